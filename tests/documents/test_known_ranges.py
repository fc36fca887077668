"""A material that cannot be is refused; one far outside what is known is kept only where the workshop insists."""

import tomllib
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from pydantic import ValidationError

from polewright.answers.check import check_design
from polewright.codes import Message
from polewright.conventions.known_ranges import FIBRE_RANGES, RESIN_RANGES
from polewright.documents.design import Design
from polewright.documents.files import faults_of, load
from polewright.documents.values import workpiece
from polewright.errors import DesignError
from polewright.materials.ply import Elastic
from polewright.pole.pole import Tube
from polewright.shop.flag import fibre_drift, flag_width
from polewright.wall.stack import Wall
from polewright.words import Reader
from polewright.workshop.papers import work_cards

EXAMPLES = Path(__file__).parents[2] / "examples"
FAMILIES = {"carbon_pan": "carbon", "carbon_pitch": "carbon", "mineral": "basalt", "natural": "flax"}
FIBRE: dict[str, Any] = {
    "family": "carbon", "E1_GPa": 230.0, "E2_GPa": 15.0, "G12_GPa": 15.0, "nu12": 0.2, "density_kg_m3": 1780.0,
    "cte1_1e6_K": -0.5, "cte2_1e6_K": 10.0,
}  # fmt: skip
RESIN: dict[str, Any] = {"E_GPa": 3.2, "nu": 0.36, "density_kg_m3": 1220.0, "cte_1e6_K": 60.0}


def design(fibre: dict[str, Any] | None = None, resin: dict[str, Any] | None = None) -> Design:
    found = load(EXAMPLES / "crookbough-5.toml")
    assert isinstance(found, Design)
    plain = found.plain()
    own = {"fibre_areal_g_m2": 150.0, "resin_content_pct": 34.0, "roll_width_mm": 990.0}
    used = plain["sections"][0]["stack"][1]["prepreg"]
    at = next(i for i, material in enumerate(plain["materials"]) if material["id"] == used)
    plain["materials"][at] = {"id": used, **own, "fibre": FIBRE | (fibre or {}), "resin": RESIN | (resin or {})}
    return Design.model_validate(plain)


def refusal(fibre: dict[str, Any] | None = None, resin: dict[str, Any] | None = None) -> tuple[str, str]:
    with pytest.raises(ValidationError) as fault:
        design(fibre, resin)
    field, _, want = faults_of(fault.value, Design)[0]
    assert isinstance(want, Message)
    return field.partition("].")[2], want.code


@pytest.mark.parametrize(
    ("fibre", "field"),
    [
        ({"G12_GPa": 1500.0}, "G12_GPa"),
        ({"density_kg_m3": 17800.0}, "density_kg_m3"),
        ({"strength_MPa": 8e-8}, "strength_MPa"),
        ({"family": "glass", "E2_GPa": 72.0, "G12_GPa": 30.0, "density_kg_m3": 2550.0, "E1_GPa": 230.0}, "E1_GPa"),
        ({"E1_GPa": 2.3}, "E1_GPa"),
        ({"Xc_ref_MPa": 14500.0}, "Xc_ref_MPa"),
        ({"Yt_ref_MPa": 0.5}, "Yt_ref_MPa"),
        ({"Yc_ref_MPa": 1800.0}, "Yc_ref_MPa"),
        ({"S_ref_MPa": 8e-8}, "S_ref_MPa"),
    ],
)
def test_a_fibre_far_outside_what_is_known_is_refused_unless_the_shop_insists(
    fibre: dict[str, Any], field: str
) -> None:
    assert refusal(fibre) == (f"fibre.{field}", "want.known_of")
    assert design(fibre | {"insist": True, "cte1_1e6_K": 1.0}).materials


@pytest.mark.parametrize("resin", [{"E_GPa": 32.0}, {"density_kg_m3": 12200.0}, {"nu": 0.499}])
def test_a_resin_far_outside_what_is_known_is_refused_unless_the_shop_insists(resin: dict[str, Any]) -> None:
    assert refusal(resin=resin) == (f"resin.{next(iter(resin))}", "want.known_of")
    assert design(resin=resin | {"insist": True}).materials


def test_the_refusal_says_the_range_and_the_way_to_insist() -> None:
    with pytest.raises(ValidationError) as fault:
        design({"E1_GPa": 2.3})
    _, _, want = faults_of(fault.value, Design)[0]
    text = Reader("en", "metric").text(want)
    assert all(part in text for part in ("carbon", "20\u00a0GPa", "1\u202f000\u00a0GPa", "insist"))


@pytest.mark.parametrize("insist", [False, True])
def test_carbon_that_insulates_is_refused_whatever_the_shop_insists_on(insist: bool) -> None:
    assert refusal({"conductive": False, "insist": insist}) == ("fibre.conductive", "want.carbon_conducts")


def test_a_wet_glass_transition_above_the_dry_one_is_refused() -> None:
    assert refusal(resin={"Tg_dry_C": 110.0, "Tg_wet_C": 120.0})[1] == "want.wet_below_dry"
    assert refusal(resin={"Tg_dry_C": 80.0})[1] == "want.wet_below_dry"  # the wet one left out is 95


def test_what_the_shop_insists_on_stands_in_the_check_and_on_the_cards() -> None:
    odd = design({"E1_GPa": 15.0, "E2_GPa": 10.0, "G12_GPa": 5.0, "insist": True})
    name = next(m.id for m in odd.materials if m.is_insisted)
    assert Message("assumption.insisted", material=name) in check_design(odd).assumptions
    cards = work_cards(odd, workpiece(odd), Reader(), date="2026-11-30")
    for card in cards:
        told = Message("card.note.insisted", materials=(name,)) in card.notes
        assert told == any(step.material == name for step in card.steps)
    assert "insist" not in str(design().plain())


def shipped() -> Iterator[tuple[str, str, list[float], tuple[float, float], list[str]]]:
    """Family, field, the figures of one shipped row with its own range, the known range, the works of the row."""
    data = files("polewright.materials") / "data"
    fibres = tomllib.loads((data / "fibres.toml").read_text(encoding="utf-8"))["fibre"]
    resins = tomllib.loads((data / "resins.toml").read_text(encoding="utf-8"))["resin"]
    named = [
        *((FAMILIES.get(row["family"], row["family"]), row) for row in fibres),
        *(("resin", row) for row in resins),
    ]
    for family, row in named:
        for field, known in (RESIN_RANGES if family == "resin" else FIBRE_RANGES[family]).items():
            name, _, unit = field.partition("_")
            name, unit = ("Tg_" + field.split("_")[1], "C") if field.startswith("Tg_") else (name, unit)
            value = row[field] if field in row else row[f"{field}_vf60"]
            yield family, field, [value, *row.get(f"{name}_range_{unit}", ())], known, row["refs"]


def test_every_shipped_fibre_and_resin_lies_within_what_is_known() -> None:
    rows = list(shipped())
    for family, field, values, (least, most), _ in rows:
        assert least < min(values), (family, field)
        assert max(values) < most, (family, field)
    assert sum(len(values) for _, _, values, _, _ in rows) > 300


def test_the_docs_show_each_known_range_beside_the_shipped_figures_and_their_works() -> None:
    known: dict[tuple[str, str], tuple[float, float]] = {}
    values: dict[tuple[str, str], list[float]] = {}
    works: dict[tuple[str, str], list[str]] = {}
    for family, field, figures, span, refs in shipped():
        known[family, field] = span
        values.setdefault((family, field), []).extend(figures)
        works.setdefault((family, field), []).extend(refs)
    rows = []
    for (family, field), (least, most) in known.items():
        figures, cited = values[family, field], ", ".join(sorted(set(works[family, field]))) or "none named"
        span = f"{least:g} to {most:g} | {min(figures):g} to {max(figures):g}"
        rows.append(f"| {family} | `{field}` | {span} | {cited} |")
    page = (EXAMPLES.parent / "docs" / "theory" / "materials.md").read_text(encoding="utf-8")
    assert [line for line in page.splitlines() if line.startswith("| ") and " | `" in line and " to " in line] == rows
    keys = {key for refs in works.values() for key in refs}
    assert all(f"- `{key}`: " in page for key in keys), sorted(key for key in keys if f"- `{key}`: " not in page)


def test_degrees_in_place_of_radians_are_refused() -> None:
    elastic = Elastic.isotropic(E=70e9, nu=0.3)
    for angle in ([90.0, 0.0], [-45.0, 45.0], [22.5, 0.0]):
        with pytest.raises(DesignError, match=r"want\.radians"):
            Wall(bore=0.02, angle=angle, thickness=[1e-4, 1e-4], elastic=elastic)  # type: ignore[arg-type]
    assert Wall(bore=0.02, angle=[np.pi / 2, 3.0], thickness=[1e-4, 1e-4], elastic=elastic).angle.size == 2  # type: ignore[arg-type]


@pytest.mark.parametrize("turns", [-1.0, 0.0])
def test_negative_turns_give_no_flag(turns: float) -> None:
    with pytest.raises(DesignError, match=r"turns"):
        flag_width(0.02, 1e-4, turns)


def test_a_fibre_drifts_over_no_negative_turns() -> None:
    with pytest.raises(DesignError, match=r"turns"):
        fibre_drift(-1.0, 0.01)


def test_a_tube_has_no_diameter_that_nobody_gave() -> None:
    with pytest.raises(TypeError, match=r"bore.*outside"):
        Tube.uniform(length=1.0, bending=100.0, mass_per_length=0.1)  # type: ignore[call-arg]
