"""Limits at other loads and reaches, and the swing, as sums over the sections, against what is not our sum."""

import itertools
from dataclasses import replace

import numpy as np
import pytest
import quillbeck_shelf as quillbeck
from numpy.testing import assert_allclose
from scipy.linalg import eigh

from polewright.errors import DesignError
from polewright.pole import Bench, State, bent_small
from polewright.search import (
    Bar,
    Bears,
    Brief,
    FurtherDroop,
    FurtherFlex,
    Shop,
    best_pole,
    brief_base,
    candidates_in_all,
    estimate,
    given_pole,
    links_of,
)
from polewright.search.further_limits import Range, _arms, _cells, _figures, _slowest, _walls, further_of
from polewright.search.pole_bound import cut_of, limit_sum, problems_of
from polewright.search.pole_table import _soft
from polewright.search.span import drawn_of, spans_of
from polewright.wall.clamp import Band, clamp_window
from polewright.wall.report import Hold

pytestmark = pytest.mark.slow

REACH = Brief(reach=4.35, sections=(3,), tip_mass=0.6)


def three_sections(seed=0):
    """A pole of three sections with random walls."""
    shop, rng = quillbeck.shop(quillbeck.OWNED), np.random.default_rng(seed)
    recipes = [
        (0, *sorted(rng.integers(1, len(shop.walls.plies) - 1, rng.integers(2, 6))), len(shop.walls.plies) - 1)
        for _ in range(3)
    ]
    return shop, given_pole(REACH, shop, (0, 1, 2), recipes, clearance=0.4e-3)


def test_a_droop_at_another_load_is_the_own_one_and_the_flex_times_the_load_between():
    shop, pole = three_sections()
    spans, walls = spans_of(REACH, shop.build, 3), _walls(pole)
    walls = replace(walls, tilt=np.array([*np.full(2, 0.4e-3 / (2 * shop.build.overlap)), 0.0]))
    droop, flex = drawn_of(spans, shop.build, out=2, tip_mass=1.1, stiffest=walls.stiff)
    assert_allclose(_figures(flex, spans, shop.build, walls), [pole.flex], rtol=1e-12)
    assert_allclose(_figures(droop, spans, shop.build, walls), [pole.droop + 0.5 * 9.80665 * pole.flex], rtol=1e-12)


@pytest.mark.parametrize("out", [1, 2])
@pytest.mark.parametrize("seed", range(3))
def test_a_droop_at_another_reach_agrees_with_the_beam_of_small_deflections(out, seed):
    shop, pole = three_sections(seed)
    spans, walls = spans_of(REACH, shop.build, 3), _walls(pole)
    droop, _ = drawn_of(spans, shop.build, out=out, tip_mass=0.6, stiffest=walls.stiff)
    state = State.out(pole.pole, out, head_mass=0.6 - shop.build.fitting, support=Bench(distance=shop.build.prop))
    # the beam has shear and the weight of what is pushed in, the sum has neither: less by a few parts in a hundred
    ratio = float(_figures(droop, spans, shop.build, walls)[0]) / float(bent_small(pole.pole, state).droop[-1])
    assert 0.94 < ratio <= 1.001


def test_the_slowest_swing_is_that_of_the_dense_eigenproblem_and_no_other_forces_give_a_slower_one():
    shop, pole = three_sections()
    spans, walls = spans_of(REACH, shop.build, 3), _walls(pole)
    cells = _cells(spans, shop.build.prop)
    soft = cells.length / (walls.stiff @ cells.lies)
    place, mass = cells.middle[cells.middle > 1.0], (walls.own @ cells.lies * cells.length)[cells.middle > 1.0]
    bend, turn = _arms(cells.middle, place, 1.0), _arms(np.array([1.5, 3.0]), place, 1.0)
    force, slow = _slowest(bend, soft, turn, 1e-4, mass)
    flexible = bend.T @ (soft[:, None] * bend) + 1e-4 * turn.T @ turn
    half = np.sqrt(mass)
    assert_allclose(slow, eigh(half[:, None] * flexible * half, eigvals_only=True)[-1], rtol=1e-9)
    rng = np.random.default_rng(2)
    for p in (*rng.normal(size=(20, mass.size)), force * rng.uniform(0.8, 1.2, mass.size)):
        assert p @ flexible @ p / np.sum(p * p / mass) <= slow * (1.0 + 1e-12)


def test_a_pole_that_swings_fast_enough_keeps_the_row_of_every_other_pole():
    shop = quillbeck.shop(quillbeck.OWNED)
    spans = spans_of(REACH, shop.build, 3)
    poles = [three_sections(seed)[1] for seed in range(8)]
    near = [(a, b) for a, b in itertools.permutations(poles, 2) if abs(a.swing / b.swing - 1.0) < 0.1]
    assert len(near) >= 6
    for like, pole in near:
        brief = replace(REACH, swing_at_least=pole.swing)
        limits, rows = further_of(brief, shop.build, spans, Range(np.full(3, 1e5), 0.02, np.full(3, 0.3)), (like,))
        assert float(_figures(rows, spans, shop.build, _walls(pole))[0]) <= limits[0].limit
        own, row = further_of(brief, shop.build, spans, Range(np.full(3, 1e5), 0.02, np.full(3, 0.3)), (pole,))
        # set by itself the row is exact, but for what is left on top
        assert_allclose(float(_figures(row, spans, shop.build, _walls(pole))[0]), own[0].limit, rtol=0.0041)


def small_shop(bears=None, *, most=6):
    walls = quillbeck.listed(most=most, axial=(quillbeck.SM150, quillbeck.IM125))
    build = replace(quillbeck.BUILD, clearance_most=0.6e-3)
    return Shop(replace(walls, bears=bears), tuple(Bar(f"{b:.2f}", b * 1e-3) for b in (23.0, 24.6, 26.4)), build)


def every_pole(brief, shop):
    kinds = range(len(shop.walls.plies))
    recipes = [
        r
        for n in range(2, shop.walls.most + 1)
        for r in itertools.combinations_with_replacement(kinds, n)
        if shop.walls.plies[r[0]].is_hoop and shop.walls.plies[r[-1]].is_hoop
    ]
    thick = {r: sum(shop.walls.plies[k].thickness for k in r) for r in recipes}
    for (a, inner), (b, outer) in itertools.combinations(enumerate(shop.bars), 2):
        for r in recipes:
            gap = outer.bore - inner.bore - 2.0 * thick[r]
            if shop.build.clearance_least - 1e-12 <= gap <= shop.build.clearance_most + 1e-12:
                yield from (given_pole(brief, shop, (a, b), (r, s)) for s in recipes)


def test_a_flex_wanted_at_another_load_is_met_by_the_best_of_every_pole():
    shop, brief = small_shop(most=5), Brief(reach=2.9, sections=(2,), tip_mass=0.6, aim="mass")
    free = best_pole(replace(brief, aim="droop"), shop).best
    wish = FurtherFlex(0.3, 2.0 * free.flex_at(0.3), within=0.1)
    answer = best_pole(replace(brief, flexes=(wish,)), shop, tolerance=1e-4, digits=7)
    # of small deflections first, for true rotations of tens of thousands of poles take minutes
    near = [p for p in every_pole(brief, shop) if abs(p.flex / wish.wanted - 1.0) <= 1.2 * wish.within]
    exact = next(
        p.mass for p in sorted(near, key=lambda p: p.mass) if abs(p.flex_at(0.3) / wish.wanted - 1.0) <= wish.within
    )
    assert_allclose(answer.best.flex_at(0.3), wish.wanted, rtol=wish.within)
    assert answer.best.mass <= exact * (1.0 + 3e-4)
    assert answer.bound <= exact * (1.0 + 1e-12)


def test_the_tip_section_alone_need_not_bear_the_clamp():
    hold = Hold(band=Band(0.015, 0.12), need=150.0)
    band = 150.0 / (2.0 * np.pi * 0.12)
    brief, found = Brief(reach=2.9, sections=(2,), tip_mass=0.3, aim="mass"), {}
    for spares in (False, True):
        shop = small_shop(Bears(band=band, hold=hold, spares_tip=spares))
        found[spares] = best_pole(brief, shop)
        ledger = found[spares].certificate.ledgers[-1]
        assert ledger.evaluated + sum(n for _, n in ledger.excluded) == ledger.in_all
    assert found[True].best.mass <= found[False].best.mass
    for spares, answer in found.items():
        windows = [clamp_window(w, hold.band, need=hold.need) for w in answer.best.walls]
        assert all(bool(w.is_open) for w in (windows[1:] if spares else windows))


def test_five_sections_with_a_swing_wish_have_a_gap_of_one_per_cent():
    shop = quillbeck.shop(quillbeck.OWNED)
    links = links_of(shop, brief_base(quillbeck.BRIEF, shop))
    free = best_pole(quillbeck.BRIEF, shop, links=links).best
    brief = replace(quillbeck.BRIEF, aim="mass", mass_at_most=np.inf, swing_at_least=0.97 * free.swing)
    answer = best_pole(brief, shop, links=links)
    assert answer.is_complete
    assert answer.best.swing >= 0.97 * free.swing
    assert answer.gap <= 0.01


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: FurtherFlex(-1.0, 1.0), r"want\.zero_or_more"),
        (lambda: FurtherFlex(1.0, 0.0), r"want\.flex_above_zero"),
        (lambda: FurtherFlex(1.0, 1.0, within=1.0), r"want\.between_0_1"),
        (lambda: FurtherFlex(1.0, 1.0, out=-1), r"want\.number_sections_drawn_out_0_all"),
        (lambda: FurtherDroop(1.0, 0.0), r"want\.droop_above_zero"),
    ],
)
def test_further_wishes_that_cannot_be_are_refused(make, said):
    with pytest.raises(DesignError, match=said):
        make()


@pytest.mark.parametrize("least", [0.6e-3, 0.9e-3, 1.2e-3])
def test_an_estimate_is_given_where_the_thinnest_wall_allowed_needs_more_than_four_plies(least):
    walls = quillbeck.listed(most=10)
    asked = replace(walls, rules=replace(walls.rules, least_wall=least))
    guess = estimate(asked)
    assert guess.candidates == candidates_in_all(asked)
    assert 0.0 < guess.seconds < 60.0
    assert "sets of plies" in guess.words


@pytest.mark.parametrize("seed", range(8))
def test_the_line_between_the_ends_of_a_bin_lies_below_what_an_overlap_bends_and_near_it(seed):
    rng = np.random.default_rng(seed)
    low, stiff = rng.uniform(10.0, 1e3, 2)
    high = low * rng.uniform(1.0, 1.5)
    for load in (*rng.normal(size=6), 0.0):
        ends = [_soft.py_func(load, stiff, (low + high) / 2.0, s) for s in (low, high)]
        for share in np.linspace(0.0, 1.0, 11):
            exact = load / (stiff + low + share * (high - low))
            line = ends[0] * (1.0 - share) + ends[1] * share
            assert line <= exact + 1e-15
            assert line >= exact - 0.07 * abs(exact)


def every_nest(shop, links):
    """Every pole of three sections from kept walls: bars and recipes."""
    nodes = links.links
    for a, b, c in itertools.product(nodes, repeat=3):
        if a.outer == b.inner and b.outer == c.inner and c.outer < 0:
            for recipes in itertools.product(a.recipes, b.recipes, c.recipes):
                yield (a.inner, b.inner, c.inner), recipes


@pytest.fixture(scope="module")
def nests():
    """A rack of four mandrels, the walls it keeps, and every pole of them."""
    shop = small_shop(most=4)
    shop = replace(shop, bars=tuple(Bar(f"{b}", b * 1e-3) for b in (23.0, 24.1, 25.2, 26.2)))
    brief = replace(REACH, aim="mass", cost_at_most=1e6)
    links = links_of(shop, brief_base(brief, shop))
    return shop, brief, links, [given_pole(brief, shop, *one) for one in every_nest(shop, links)]


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("flex", [False, True])
def test_no_pole_has_a_smaller_weighted_sum_than_the_bound_and_the_least_is_near_it(nests, seed, flex):
    shop, brief, links, poles = nests
    rng = np.random.default_rng(seed)
    some = {"flexes": (FurtherFlex(0.6, 0.02, out=1),)} if flex else {"droops": (FurtherDroop(0.9, 0.3, out=1),)}
    problem = problems_of(replace(brief, swing_at_least=2.0, **some), shop, links)[0].beside((poles[0], poles[-1]))
    kept = {(p.bars, p.recipes) for p in poles}
    assert len(kept) == len(poles) > 500
    further = further_of(
        problem.brief,
        shop.build,
        problem.spans,
        Range(problem.chain.most, 0.02, np.full(3, 0.3)),
        (poles[0], poles[-1]),
    )[1]
    rows = np.array([_figures(further, problem.spans, shop.build, _walls(p)) for p in poles])
    figures = np.array([[getattr(p, n) for n in ("droop", "flex", "mass", "cost")] for p in poles])
    weight = problem.weight("mass")
    scale = np.array([*figures.mean(axis=0), 0.0, *np.abs(rows).mean(axis=0)])
    weight[[0, 1, 3]] = rng.uniform(0.0, 1.0, 3) * (rng.random(3) < 0.5) * scale[2] / scale[[0, 1, 3]]
    weight[5:] = rng.uniform(0.0, 2.0, weight.size - 5) * scale[2] / scale[5:]
    sums = figures @ weight[:4] + rows @ weight[5:]
    cut = cut_of(problem, weight, is_aim=True)
    bound = cut.bound + limit_sum(problem, weight, is_aim=True)
    # of other clearances in a slice the bound has the tightest
    play = weight[0] * 2.0 * 0.15e-3 / 0.4 * brief.reach
    assert bound <= sums.min() * (1.0 + 1e-12)
    assert bound >= sums.min() * (1.0 - 0.01) - play - weight[5] * play
