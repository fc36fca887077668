"""The search's limits move by as much as the whole check reads otherwise, one by one; those that are met stay."""

import math
from dataclasses import replace

import pytest
from tests.answers.test_find_on_tapered_bars import tapered

from polewright.answers.check import check_design
from polewright.answers.find.moved_limits import moved_limits
from polewright.answers.find.pole import checked_figures, design_of
from polewright.answers.options import search_values
from polewright.documents.brief import DroopWish
from polewright.search import best_pole

WISHES = (
    DroopWish(tip_total_g=400.0, out=1, at_most_mm=300.0),
    DroopWish(tip_total_g=300.0, wanted_mm_per_100g=9.0, within_pct=50.0),
    DroopWish(tip_total_g=700.0, wanted_mm_per_100g=9.0, within_pct=50.0),
    DroopWish(tip_total_g=900.0, at_most_mm=400.0),
)


@pytest.fixture(scope="module")
def found():
    """Values of a search with every kind of wish, the pole it finds, and what the check reads of it."""
    document = tapered(0.0)
    brief = document.brief.model_copy(update={"droop": WISHES, "swing_at_least_Hz": 0.1, "mass_at_most_g": 900.0})
    values = search_values(document.model_copy(update={"brief": brief}))
    pole = best_pole(values.brief, values.shop).best
    return values, pole, checked_figures(values, check_design(design_of(values, pole)))


def moved(values, pole, **changes):
    wanted = replace(values.brief, **changes)
    return wanted, moved_limits(replace(values, brief=wanted), wanted, pole)


def test_a_pole_that_meets_every_limit_moves_none(found):
    values, pole, read = found
    flexes = tuple(replace(w, wanted=v, within=1e-3) for w, v in zip(values.brief.flexes, read.flexes, strict=True))
    wide = {
        "droop_at_most": read.droop * 1.001,
        "mass_at_most": read.mass * 1.001,
        "swing_at_least": 0.999 * read.swing,
    }
    flex = {"flex_wanted": read.flex * 1.0005, "flex_within": 1e-3, "flexes": flexes}
    assert moved(values, pole, **wide, **flex)[1] is None


@pytest.mark.parametrize("name", ["droop", "mass", "cost", "carry"])
def test_a_limit_that_is_missed_moves_by_what_the_check_reads_above_the_search(found, name):
    values, pole, read = found
    limit = 0.99 * getattr(read, name)
    wanted, now = moved(values, pole, **{f"{name}_at_most": limit})
    new = getattr(now, f"{name}_at_most")
    assert new / limit == pytest.approx(min(pole.figure(name) / getattr(read, name), 1.0), rel=2e-4)
    assert new < limit
    assert replace(now, **{f"{name}_at_most": limit}, flexes=wanted.flexes, droops=wanted.droops) == wanted


@pytest.mark.parametrize("off", [0.9, 1.1])
def test_a_flex_that_is_missed_on_either_side_moves_by_their_ratio(found, off):
    values, pole, read = found
    _, now = moved(values, pole, flex_wanted=off * read.flex, flex_within=0.05)
    assert now.flex_wanted == pytest.approx(off * pole.flex, rel=1e-9)
    _, now = moved(values, pole, flex_wanted=off * read.flex, flex_within=0.15)
    assert now is None or now.flex_wanted == off * read.flex


def test_wishes_at_other_loads_move_each_by_its_own_reading(found):
    values, pole, read = found
    assert len(values.brief.droops) >= 1
    assert len(values.brief.flexes) >= 1
    for i, value in enumerate(read.droops):
        tight = tuple(
            replace(w, droop_at_most=(0.98 if i == j else 2.0) * v)
            for j, (w, v) in enumerate(zip(values.brief.droops, read.droops, strict=True))
        )
        _, now = moved(values, pole, droops=tight)
        ratio = pole.droop_at(tight[i].tip_mass, tight[i].out) / value
        assert now.droops[i].droop_at_most == pytest.approx(tight[i].droop_at_most * min(ratio, 1.0), rel=2e-4)
        assert [w for j, w in enumerate(now.droops) if j != i] == [w for j, w in enumerate(tight) if j != i]
    for i, value in enumerate(read.flexes):
        off = tuple(
            replace(w, wanted=(1.1 if i == j else 1.0) * v, within=0.05)
            for j, (w, v) in enumerate(zip(values.brief.flexes, read.flexes, strict=True))
        )
        _, now = moved(values, pole, flexes=off)
        at = pole.flex_at(off[i].tip_mass, off[i].out)
        assert now.flexes[i].wanted == pytest.approx(off[i].wanted * at / value, rel=1e-9)
        assert [w for j, w in enumerate(now.flexes) if j != i] == [w for j, w in enumerate(off) if j != i]


def test_a_swing_that_is_missed_moves_up(found):
    values, pole, read = found
    _, now = moved(values, pole, swing_at_least=1.02 * read.swing)
    assert now.swing_at_least == pytest.approx(1.02 * max(pole.swing, read.swing), rel=2e-4)
    assert now.swing_at_least > 1.02 * read.swing
    assert math.isfinite(now.swing_at_least)
