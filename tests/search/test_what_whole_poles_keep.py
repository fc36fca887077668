"""Limits asked of whole poles: other droops and the swing, against every pole of a small rack one by one."""

import itertools
from dataclasses import replace

import numpy as np
import pytest
import quillbeck_shelf as quillbeck
from numpy.testing import assert_allclose

from polewright.errors import DesignError
from polewright.search import Bar, Brief, FurtherDroop, Shop, best_pole, brief_base, given_pole, links_of, why_not

pytestmark = pytest.mark.slow

BRIEF = Brief(reach=2.9, sections=(2,), tip_mass=0.6)


def small_shop():
    walls = quillbeck.listed(most=6, axial=(quillbeck.SM150, quillbeck.IM125))
    build = replace(quillbeck.BUILD, clearance_most=0.6e-3)
    return Shop(walls, tuple(Bar(f"{b:.2f}", b * 1e-3) for b in (23.0, 24.6, 26.4)), build)


@pytest.fixture(scope="module")
def every():
    """Every pole that fits together, whatever it weighs: (pole, swing, droop at 1 kg, droop with the tip pushed in)."""
    shop, out = small_shop(), []
    kinds = range(len(shop.walls.plies))
    recipes = [
        r
        for n in range(2, 7)
        for r in itertools.combinations_with_replacement(kinds, n)
        if shop.walls.plies[r[0]].is_hoop and shop.walls.plies[r[-1]].is_hoop
    ]
    thick = {r: sum(shop.walls.plies[k].thickness for k in r) for r in recipes}
    for (a, inner), (b, outer) in itertools.combinations(enumerate(shop.bars), 2):
        for r in recipes:
            gap = outer.bore - inner.bore - 2.0 * thick[r]
            if shop.build.clearance_least - 1e-12 <= gap <= shop.build.clearance_most + 1e-12:
                out += [given_pole(BRIEF, shop, (a, b), (r, s)) for s in recipes if thick[s] > 0.5e-3]
    return shop, out


@pytest.mark.parametrize("aim", ["mass", "cost"])
def test_the_best_pole_that_swings_fast_enough_is_that_of_every_pole(every, aim):
    shop, poles = every
    some = poles[:: max(len(poles) // 40, 1)]
    wanted = float(np.quantile([p.swing for p in some], 0.6))
    brief = replace(BRIEF, aim=aim, swing_at_least=wanted)
    answer = best_pole(brief, shop, tolerance=1e-4, digits=7)
    assert answer.best.swing >= wanted
    light = sorted(poles, key=lambda p: p.figure(aim))
    exact = next(p.figure(aim) for p in light if p.swing >= wanted)
    assert answer.best.figure(aim) <= exact * (1.0 + 3e-4)
    assert answer.bound <= exact * (1.0 + 1e-12)
    assert answer.gap <= 0.002
    assert answer.certificate.is_complete
    ledger = answer.certificate.ledgers[-1]
    assert ledger.evaluated + sum(n for _, n in ledger.excluded) == ledger.in_all


def test_the_best_pole_under_two_further_droops_is_that_of_every_pole(every):
    shop, poles = every
    some = poles[:: max(len(poles) // 40, 1)]
    wishes = (
        FurtherDroop(1.0, float(np.quantile([p.droop_at(1.0) for p in some], 0.35))),
        FurtherDroop(1.5, float(np.quantile([p.droop_at(1.5, 1) for p in some], 0.5)), out=1),
    )
    answer = best_pole(replace(BRIEF, aim="cost", droops=wishes), shop, tolerance=1e-4, digits=7)

    def keeps(pole):
        return all(pole.droop_at(w.tip_mass, w.out) <= w.droop_at_most for w in wishes)

    exact = next(p.cost for p in sorted(poles, key=lambda p: p.cost) if keeps(p))
    assert keeps(answer.best)
    assert answer.best.cost <= exact * (1.0 + 3e-4)
    assert answer.bound <= exact * (1.0 + 1e-12)


def test_a_limit_that_every_pole_keeps_changes_nothing():
    shop = small_shop()
    links = links_of(shop, brief_base(BRIEF, shop))
    free = best_pole(BRIEF, shop, links=links)
    easy = best_pole(replace(BRIEF, swing_at_least=0.01, droops=(FurtherDroop(0.6, 5.0),)), shop, links=links)
    assert_allclose(easy.best.droop, free.best.droop, rtol=0.006)
    assert easy.certificate.is_complete
    assert not any(what.code == "find.excluded.whole_pole" and n for what, n in easy.certificate.ledgers[-1].excluded)


def test_a_swing_that_no_pole_has_is_proved_and_reported_as_the_wish_in_conflict():
    shop = small_shop()
    brief = replace(BRIEF, swing_at_least=30.0, mass_at_most=2.0)
    answer = best_pole(brief, shop)
    assert answer.best is None
    assert answer.is_complete
    told = why_not(brief, shop)
    assert told.wishes == ("swing",)
    assert 0.0 < told.relaxations[0].needs < 30.0


def test_further_droops_that_no_pole_has_are_reported_with_what_the_stiffest_has():
    told = why_not(replace(BRIEF, droops=(FurtherDroop(1.0, 1e-3),)), small_shop())
    assert told.wishes == ("further droop",)
    assert told.relaxations[0].needs > 1e-3


def test_a_further_droop_at_the_brief_s_own_load_is_the_final_droop():
    shop = small_shop()
    pole = best_pole(BRIEF, shop).best
    assert pole.droop_at(BRIEF.tip_mass) == pole.final_droop
    assert pole.droop_at(BRIEF.tip_mass, out=9) == pole.final_droop


def test_five_sections_with_a_swing_wish_are_settled_with_a_small_gap():
    shop = quillbeck.shop(quillbeck.OWNED)
    links = links_of(shop, brief_base(quillbeck.BRIEF, shop))
    free = best_pole(quillbeck.BRIEF, shop, links=links).best
    brief = replace(quillbeck.BRIEF, aim="cost", swing_at_least=0.97 * free.swing)
    answer = best_pole(brief, shop, links=links, tolerance=0.008)
    assert answer.best.swing >= brief.swing_at_least
    assert answer.gap <= 0.02
    assert answer.best.cost < free.cost


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: FurtherDroop(-1.0, 1.0), r"want\.zero_or_more"),
        (lambda: FurtherDroop(1.0, np.inf), "above_zero"),
        (lambda: FurtherDroop(1.0, 1.0, out=-1), r"want\.number_sections_drawn_out_0_all"),
        (lambda: replace(BRIEF, swing_at_least=-1.0), r"want\.frequency_zero_no_limit"),
        (lambda: replace(BRIEF, swing_mass=0.0), "above_zero"),
    ],
)
def test_wishes_that_cannot_be_are_refused(make, said):
    with pytest.raises(DesignError, match=said):
        make()
