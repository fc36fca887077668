"""Poles drawn by a seed: figures where no example stands, at ends of ranges and in rare company."""

from functools import cache
from itertools import pairwise
from typing import Any

import numpy as np

from polewright.documents.design import Design
from tests.kept.odd import odd_pole

DRAWN = tuple(f"drawn-{number}" for number in range(16))
PLIES = ("SM150", "TH55", "GW80", "EG150")
CRITERIA = ("hashin", "maximum_stress", "maximum_strain", "action_plane", "hashin_rotem")


class Draw(np.random.RandomState):
    """Choices of one pole; every one takes part in the seed."""

    def of(self, *values: Any) -> Any:
        return values[self.randint(len(values))]

    def between(self, low: float, high: float, digits: int = 2) -> float:
        return round(float(self.uniform(low, high)), digits)

    def some(self, of: float, **fields: Any) -> dict[str, Any]:
        """Each field with a chance."""
        return {name: value for name, value in fields.items() if self.uniform() < of}


@cache
def drawn_pole(name: str) -> Design:
    """A pole of one to six sections whose tubes go in each other, by the number at the end of its name."""
    number = int(name.rpartition("-")[2])
    draw, odd = Draw(number), dict(odd_pole().plain())
    count, bar = draw.randint(1, 7), draw.between(14.0, 26.0)
    taper = draw.of(0.0, 0.0, 0.4, 0.9)
    thick = {m["id"]: 0.16 if m["id"] != "TH55" else 0.06 for m in odd["materials"]}
    sections, mandrels = [], []
    for i in range(count):
        stack = [_ply(draw) for _ in range(draw.randint(2, 6))]
        length = draw.between(700, 1700, 0)
        mandrels.append({"id": f"B{i}", "material": draw.of("aluminium_6000", "steel_carbon"), "profile": [
            {"at_mm": at, "diameter_mm": round(bar + taper * at / 1e3, 3)} for at in (0, 2600)]})  # fmt: skip
        sections.append({"length_mm": length, "mandrel": f"B{i}", "place_mm": draw.of(0, 60, 150), "stack": stack,
                         **draw.some(0.3, coat_mm=0.05)})  # fmt: skip
        wall = sum(thick[p["prepreg"]] * p["turns"] for p in stack)
        bar = round(bar + 2.0 * wall + draw.of(0.7, 0.9, 1.2) + (0.9 if taper else 0.5), 2)
    joints = [_joint(draw, min(a["length_mm"], b["length_mm"])) for a, b in pairwise(sections)]
    return Design.model_validate({
        "name": name.replace("-", " ").capitalize(), "tip_fitting_g": draw.of(0, 30, 410), "brief": _brief(draw, count),
        "setting": _setting(draw), "materials": odd["materials"], "mandrels": mandrels, "sections": sections,
        "joints": joints,
    })  # fmt: skip


def _ply(draw: Draw) -> dict[str, Any]:
    angle = draw.of(0.0, 0.0, 0.0, 90.0, 90.0, 88.0, 45.0, -45.0, 10.0, -15.0, 30.0, -75.0)
    return {"prepreg": draw.of(*PLIES), "angle_deg": angle, "turns": draw.of(1.0, 1.0, 2.0, 3.0, 1.5, 4.0)}


def _joint(draw: Draw, most: float) -> dict[str, Any]:
    some = draw.some(
        0.5, stiffness_overlap_mm=draw.between(90, 240, 0), centring="none", pivot_pct=draw.of(0, 20, 100),
        play_mrad=draw.of(0.0, 0.3, 4.0), clamp_g=draw.of(12, 60), clamp_width_mm=draw.of(8, 25),
        clamp_material="other", stiffness_from="measured",
    )  # fmt: skip
    return {"overlap_mm": draw.between(80, min(280, most / 3), 0), "proud_mm": draw.of(0, 15, 60),
            "stiffness_kN_m_rad": draw.of(2.0, 9.0, 40.0), **some}  # fmt: skip


def _brief(draw: Draw, count: int) -> dict[str, Any]:
    wishes = draw.some(
        0.5, reach_at_least_mm=1000.0 * count, closed_at_most_mm=1500.0, mass_at_most_g=180.0 * count,
        carry_at_most_kg_m=2.0, balance_at_most_mm=500.0 * count, base_outside_at_most_mm=34.0,
        material_cost_at_most=40.0 * count, twist_at_least_N_m2=20.0, tip_play_at_most_mm=20.0, swing_at_least_Hz=1.0,
        clamp_hold_N=90.0,
    )  # fmt: skip
    droop = [{"tip_total_g": draw.of(450, 700), **draw.of({"at_most_mm": 100.0 * count}, {"wanted_mm_per_100g": 20.0})}]
    return wishes | draw.some(0.6, droop=droop)


def _setting(draw: Draw) -> dict[str, Any]:
    return {"currency": "£"} | draw.some(
        0.5, stress_free_C=draw.of(80.0, 180.0), room_C=draw.of(5.0, 30.0), prop_mm=draw.of(600.0, 200.0),
        test_load_g=draw.of(200.0, 1500.0), swing_load_g=draw.of(0.0, 300.0), seam_overlap_mm=draw.of(0.0, 15.0, 90.0),
        seam_ridge_mm=0.05, clearance_least_mm=0.05, trim_mm=draw.of(0.0, 120.0), utilisation=draw.of(0.5, 1.0),
        clamp_hold_N=draw.of(20.0, 400.0), friction_wet=draw.of(0.05, 0.4), sanding_mm=draw.of(0.0, 0.1),
        wall_least_mm=draw.of(0.2, 1.2), criterion=draw.of(*CRITERIA),
        spreads=[{"figure": draw.of("angle", "joint", "length"), "values": [1.0, 1.2, 0.7, 1.1, 0.9]}],
    )  # fmt: skip
