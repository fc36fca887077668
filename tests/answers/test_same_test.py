"""A difference between two designs is a difference of the poles: both are in one test."""

from pathlib import Path
from typing import Any

import pytest

from polewright.answers.check import check_design
from polewright.answers.ranking import rank_designs
from polewright.answers.same_test import TEST_FIELDS, in_the_test_of, is_same_load
from polewright.answers.trestles import headline_load
from polewright.documents.design import Design
from polewright.documents.files import load

EXAMPLES = Path(__file__).parents[2] / "examples"


def pole(**fields: Any) -> Design:
    design = load(EXAMPLES / "reedlight-7.toml")
    assert isinstance(design, Design)
    plain = design.plain()
    for name, value in fields.items():
        table, _, key = name.partition("__")
        if not key:
            plain[name] = value
        elif isinstance(plain[table], list):
            plain[table][int(key)] = value
        else:
            plain[table][key] = value
    return Design.model_validate(plain)


def test_a_design_in_its_own_test_is_the_design_itself() -> None:
    assert in_the_test_of(design := pole(), pole(name="another")) is design


@pytest.mark.parametrize(
    "fields",
    [
        {"brief": {"droop": [{"tip_total_g": 499.0, "at_most_mm": 1000.0}]}},
        {"brief": {"droop": []}, "setting__test_load_g": 300.0},
        {"brief": {"droop": []}, "tip_fitting_g": 0.0},
        {"setting__prop_mm": 700.0},
        {"setting__swing_load_g": 200.0},
    ],
    ids=["load of the brief", "test load", "fitting", "prop", "swing load"],
)
def test_a_pole_in_another_test_has_no_difference_from_itself(fields: dict[str, Any]) -> None:
    now, old = pole(**fields), pole()
    alike = in_the_test_of(old, now)
    assert is_same_load(alike, now)
    assert headline_load(alike) == pytest.approx(headline_load(now))
    a, b = check_design(alike), check_design(now)
    assert a.pole.droop == pytest.approx(b.pole.droop, rel=1e-9)
    assert [r.droop_loaded for r in a.reaches] == pytest.approx([r.droop_loaded for r in b.reaches], rel=1e-9)
    if "tip_fitting_g" not in fields:
        assert [r.swing for r in a.reaches] == pytest.approx([r.swing for r in b.reaches], rel=1e-9)


def test_a_change_of_the_wall_stays_a_difference_in_any_test() -> None:
    now = pole(brief={"droop": [{"tip_total_g": 499.0, "at_most_mm": 1000.0}]}, sections__3=load_section())
    alike = in_the_test_of(pole(), now)
    assert check_design(now).pole.droop < check_design(alike).pole.droop


def load_section() -> dict[str, Any]:
    section = pole().plain()["sections"][3]
    section["stack"][1]["turns"] += 1
    return dict(section)


def test_all_fields_of_a_test_are_taken_over() -> None:
    other = pole(
        setting__prop_mm=800.0, setting__clamp_hold_N=90.0, setting__friction_wet=0.2, setting__criterion="hashin_rotem"
    )
    alike = in_the_test_of(pole(), other)
    for name in TEST_FIELDS:
        assert getattr(alike.setting, name) == getattr(other.setting, name)
    assert alike.sections == pole().sections


def test_a_ranking_takes_no_droop_at_one_load_from_a_droop_at_another() -> None:
    cheap = check_design(pole())
    dear = check_design(
        pole(name="dear", sections__3=load_section(), brief={"droop": [{"tip_total_g": 900.0, "at_most_mm": 2000.0}]})
    )
    assert dear.pole.material_cost > cheap.pole.material_cost + 1.0
    ranking = rank_designs([cheap, dear])
    assert all(design.waste is None for design in ranking.designs)
    assert ranking.offers == ()
