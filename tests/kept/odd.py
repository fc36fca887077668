"""A pole in which no two sections, plies, bars or joints are alike: what a mix-up of ends or neighbours would change.

Bars taper, plies are at odd angles and part turns, one is woven, every wish and every figure of a joint is given.
"""

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from polewright.documents.design import Design

ODD = "oddstem-6"
ROOT = Path(__file__).parents[2]
BARS = ((22.4, 0.35), (24.7, 0.5), (27.3, 0.45), (30.1, 0.6))
"""[mm], [mm/m] diameter at the thin end of each mandrel, and its taper."""
STACKS: tuple[tuple[tuple[str, float, float], ...], ...] = (
    (("TH55", 88.0, 1.0), ("SM150", 0.0, 3.0), ("GW80", 45.0, 1.0)),
    (("TH55", 90.0, 1.0), ("SM150", 4.0, 1.5), ("SM150", -4.0, 1.5), ("TH55", 90.0, 1.0), ("TH55", 89.0, 1.0)),
    (("TH55", 90.0, 2.0), ("EG150", 0.0, 1.0), ("SM150", 0.0, 3.0), ("TH55", -85.0, 1.0)),
    (("GW80", 0.0, 1.0), ("SM150", 12.0, 2.0), ("SM150", -12.0, 2.0), ("SM150", 0.0, 2.0), ("TH55", 90.0, 1.0)),
)
BRIEF: dict[str, Any] = {
    "use": "odd work", "reach_at_least_mm": 5300, "closed_at_most_mm": 1790, "mass_at_most_g": 1190,
    "carry_at_most_kg_m": 2.9, "balance_at_most_mm": 2350, "base_outside_at_most_mm": 33.9,
    "material_cost_at_most": 171, "twist_at_least_N_m2": 9, "tip_play_at_most_mm": 95, "swing_at_least_Hz": 0.71,
    "clamp_hold_N": 140,
    "droop": [{"tip_total_g": 430, "out": 2, "at_most_mm": 130},
              {"tip_total_g": 520, "wanted_mm_per_100g": 71.0, "within_pct": 4.0}],
}  # fmt: skip
SETTING: dict[str, Any] = {
    "stress_free_C": 117, "room_C": 23, "prop_mm": 930, "test_load_g": 470, "swing_load_g": 640, "seam_overlap_mm": 5,
    "seam_ridge_mm": 0.02, "clearance_least_mm": 0.16, "trim_mm": 62, "utilisation": 0.83, "clamp_hold_N": 160,
    "friction_wet": 0.13, "sanding_mm": 0.02, "wall_least_mm": 0.55, "criterion": "maximum_stress", "currency": "£",
}  # fmt: skip
JOINTS: tuple[dict[str, Any], ...] = (
    {"overlap_mm": 170, "proud_mm": 30, "stiffness_kN_m_rad": 7.0, "clamp_g": 38, "clamp_width_mm": 13},
    {"overlap_mm": 190, "proud_mm": 41, "stiffness_kN_m_rad": 8.5, "stiffness_from": "measured", "centring": "none",
     "stiffness_overlap_mm": 205, "pivot_pct": 35, "clamp_g": 44, "clamp_width_mm": 14, "clamp_material": "aluminium"},
    {"overlap_mm": 215, "proud_mm": 27, "stiffness_kN_m_rad": 10.0, "play_mrad": 2.1, "pivot_pct": 60, "clamp_g": 51,
     "clamp_width_mm": 17, "clamp_material": "other"},
)  # fmt: skip


@cache
def odd_pole() -> Design:
    """The pole, its shelf that of the example poles."""
    shelf: dict[str, Any] = {}
    for pole in ("reedlight-7", "crookbough-5"):
        plain = tomllib.loads((ROOT / f"examples/{pole}.toml").read_text(encoding="utf-8"))
        shelf |= {m["id"]: m for m in plain["materials"]}
    used = {name for stack in STACKS for name, _, _ in stack}
    return Design.model_validate(
        {
            "name": "Oddstem 6",
            "maker": "Quillbeck",
            "tip_fitting_g": 47,
            "brief": BRIEF,
            "setting": SETTING,
            "materials": [shelf[name] for name in sorted(used)],
            "mandrels": [
                {"id": f"T{i}", "material": "steel_carbon" if i % 2 else "aluminium_6000", "profile": [
                    {"at_mm": at, "diameter_mm": round(thin + taper * at / 1e3, 3)} for at in (0, 900, 2300)]}
                for i, (thin, taper) in enumerate(BARS)
            ],
            "sections": [
                {"length_mm": 1540 + 30 * i, "mandrel": f"T{i}", "place_mm": 110 + 25 * i, "coat_mm": 0.01 * i,
                 "stack": [{"prepreg": n, "angle_deg": a, "turns": t} for n, a, t in stack]}
                for i, stack in enumerate(STACKS)
            ],
            "joints": JOINTS,
        }
    )  # fmt: skip
