"""The one-wall search against the plain twin, sequence by sequence, and what it promises besides."""

import itertools
import pickle
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from math import comb

import numpy as np
import plain_search as plain
import pytest
import quillbeck_shelf as quillbeck
from numpy.testing import assert_allclose

from polewright.errors import DesignError
from polewright.search import Option, Options, Rules, best_walls, candidates_in_all, estimate, wall_search
from polewright.search.branch_bound import frame_of
from polewright.search.option_table import NAMES, wall_figures
from polewright.search.packing import empty_table, shelf_of
from polewright.search.wall_search import Heads, Order, _chunks_of_heads, _frames, put_in_order, search_heads

WANTED = [
    ("bending", "mass", "cost"),
    ("axial", "mass"),
    ("bending", "cost"),
    ("bending", "mass", "cost", "twist"),
    ("axial", "cost", "ring"),
]

BEGUN = "the same plies begun in another order are as good, whatever follows"


def hold_to_every_sequence(first_seed, count):
    done, seed = 0, first_seed
    while done < count:
        seed += 1
        figures = WANTED[seed % len(WANTED)] if seed % 3 == 0 else WANTED[0]
        try:
            options = plain.random_options(np.random.default_rng(seed), figures=figures)
        except DesignError:
            continue  # rules that contradict are refused in words, tested below
        front = best_walls(options, threads=1)
        assert plain.front_points(front) == plain.plain_front(options), seed
        assert front.certificate.is_complete, seed
        done += 1


@pytest.mark.slow
@pytest.mark.parametrize("block", range(12))
def test_the_front_of_twenty_random_cases_is_that_of_every_sequence_to_the_last_member(block):
    hold_to_every_sequence(1000 * block, 20)


def test_the_front_of_a_few_random_cases_is_that_of_every_sequence():
    hold_to_every_sequence(99_000, 6)


def off_axis(rng, kinds, most, **rules):
    """Plies off the axis, single and in pairs, so that extension and twist couple; some equal but for the price."""
    plies = [plain.random_ply(rng, f"p{i}") for i in range(3)]
    plies.append(replace(plies[0], name="dear", price=2.0 * plies[0].price))
    options = [
        Option(plies[i % 4], float(rng.choice([0.0, 0.3, -0.6, 1.2, np.pi / 2])), is_pair=False) for i in range(kinds)
    ]
    options[-1] = replace(options[-1], angle=0.3, is_pair=True)
    return Options(tuple(options), most, float(rng.uniform(5e-3, 30e-3)), rules=Rules(**rules), digits=8)


@pytest.mark.slow
@pytest.mark.parametrize("rules", [{}, {"neighbours": 1.0}, {"block": 0.35e-3}])
def test_beginnings_passed_over_lose_no_order_of_coupled_plies(rules):
    options = off_axis(np.random.default_rng(500), 4, 5, **rules)
    front = best_walls(options, threads=1)
    assert plain.front_points(front) == plain.plain_front(options)
    begun = dict(front.certificate.ledgers[1].excluded)[BEGUN]
    assert rules or begun > 0


def test_a_figure_that_the_energy_does_not_know_leaves_beginnings_alone():
    front = best_walls(quillbeck.large(12, 5, least_ring=0.03), threads=1)
    assert dict(front.certificate.ledgers[1].excluded)[BEGUN] == 0
    assert dict(best_walls(quillbeck.large(12, 5), threads=1).certificate.ledgers[1].excluded)[BEGUN] > 0


def test_a_block_continues_into_a_pair_and_begins_with_the_inner_face():
    tilted, hoop = Option(quillbeck.SM150, 0.3), Option(quillbeck.TH55, np.pi / 2)
    pair, thick = Option(quillbeck.SM150, 0.3, is_pair=True), Option(quillbeck.SM150, np.pi / 2)
    options = Options((tilted, hoop, pair, thick), 3, 0.02, rules=Rules(block=0.2e-3, hoop_inside=True), digits=7)
    front = best_walls(options, threads=1)
    assert plain.front_points(front) == plain.plain_front(options)
    assert any(2 in r for r in front.recipes)
    thin = replace(options, rules=Rules(block=0.1e-3, hoop_inside=True), plies=(hoop, thick))
    assert all(1 not in r for r in best_walls(thin, threads=1).recipes)


def test_plies_that_no_neighbour_joins_are_excluded_by_that_rule_before_any_order():
    options = quillbeck.large(12, 3, neighbours=1.0)  # axial plies and hoops alone, at right angles
    sets, orders = best_walls(options, threads=1).certificate.ledgers
    # sets with both: of at most 3 plies all but those of axial plies alone and hoops alone
    apart = dict(sets.excluded)["rule: neighbouring angles, in no order kept"]
    assert 0 < apart <= comb(15, 3) - 1 - 2 * (comb(9, 3) - 1)
    assert dict(orders.excluded).get("rule: neighbouring angles", 0) == 0


@pytest.mark.slow
def test_no_wall_drawn_at_random_beats_the_front_of_a_large_case():
    options = quillbeck.large(25, 8)
    front, shelf, rng = best_walls(options), shelf_of(options, prune=True), np.random.default_rng(3)
    best = np.lexsort((-front.bending, front.cost, front.mass))
    mass, cost, bending = front.mass[best], front.cost[best], front.bending[best]
    out, of_front = np.empty(len(NAMES)), sorted({k for r in front.recipes for k in r})
    place = np.argsort(shelf.number)
    for _ in range(4000):
        recipe = place[rng.choice(of_front, rng.integers(1, 9))]
        wall_figures(shelf, recipe, recipe.size, out)
        as_good = (mass <= out[2] * (1 + 1e-8)) & (cost <= out[3] * (1 + 1e-8)) & (bending >= out[0] * (1 - 1e-8))
        assert as_good.any()


@pytest.mark.parametrize(("options", "most"), [(3, 4), (6, 3), (9, 5)])
def test_the_certificate_adds_up_to_the_multisets_of_at_most_so_many(options, most):
    front = best_walls(quillbeck.large(options, most), threads=1)
    sets, orders = front.certificate.ledgers
    assert sets.in_all == comb(options + most, most) - 1
    assert sets.evaluated + sum(n for _, n in sets.excluded) == sets.in_all
    assert orders.evaluated + sum(n for _, n in orders.excluded) == orders.in_all


def test_candidates_between_two_faces_are_counted_by_hand():
    options = quillbeck.large(12, 4, hoop_inside=True, hoop_outside=True)  # six hoops, six axial
    assert candidates_in_all(options) == 6 + 36 * comb(12 + 2, 2)
    listed = replace(quillbeck.listed(most=4), bore=0.03)
    # hoops stand first and last: four pairs in rank order, three with width 1, 1 and 5
    assert candidates_in_all(listed) == 2 + (2 * comb(1 + 2, 2) + comb(5 + 2, 2))


def test_the_numbers_of_the_two_large_cases_are_the_known_ones():
    assert candidates_in_all(quillbeck.large(25, 8)) == 13_884_155
    assert candidates_in_all(quillbeck.large(40, 10)) == 10_272_278_169


@pytest.mark.slow
def test_ten_milliards_of_sets_are_settled_by_bounds_and_none_is_lost():
    front = best_walls(quillbeck.large(40, 10, order="listed"))
    assert front.certificate.is_complete
    assert front.certificate.ledgers[0].in_all == 10_272_278_169
    unbeaten = np.argsort(front.mass, kind="stable")
    assert np.all(np.diff(front.mass[unbeaten]) >= 0.0)


def test_the_answer_does_not_hang_on_threads_or_executor():
    options = quillbeck.large(12, 6)
    one, two = best_walls(options, threads=1), best_walls(options, threads=2)
    with ThreadPoolExecutor(2) as pool:
        elsewhere = best_walls(options, executor=pool)
    for other in (two, elsewhere):
        assert other.recipes == one.recipes
        assert other.certificate == one.certificate
        for name in NAMES:
            assert np.array_equal(getattr(other, name), getattr(one, name))


def test_a_chunk_of_the_search_can_be_sent_to_another_process():
    options = quillbeck.large(6, 3)
    shelf = shelf_of(options, prune=True)
    [(part, frame)] = _frames(options, shelf)
    whole = Heads(options, part, frame, np.zeros((0, 2), np.int64), empty_table(options, shelf, 83), frozenset(), 83)
    [task] = _chunks_of_heads(whole, 1)
    there = pickle.loads(pickle.dumps(task))
    here, back = search_heads(task), search_heads(there)
    assert np.array_equal(here.walls.recipe, back.walls.recipe)
    again = put_in_order(pickle.loads(pickle.dumps(Order(options, part, here.left, np.zeros((0, 3))))))
    assert again.walls.size.size > 0


def test_every_figure_of_the_front_is_that_of_the_wall_room():
    front = best_walls(quillbeck.large(14, 3), threads=1)
    for at in range(0, len(front), 7):
        for name, value in plain.figures_of(front.options, front.recipes[at]).items():
            assert_allclose(getattr(front, name)[at], value, rtol=1e-10)


def test_no_member_of_the_front_beats_another():
    front = best_walls(quillbeck.large(12, 4), threads=1)
    score = np.column_stack([-front.bending, front.mass, front.cost])
    for row in score:
        assert np.sum(np.all(score <= row, axis=1)) == 1


def test_more_options_never_make_the_front_worse():
    few, more = (best_walls(quillbeck.large(n, 4), threads=1) for n in (8, 14))
    for e, m, c in zip(few.bending, few.mass, few.cost, strict=True):
        assert np.any((more.bending >= e * (1 - 1e-8)) & (more.mass <= m * (1 + 1e-8)) & (more.cost <= c * (1 + 1e-8)))


def test_fewer_digits_keep_a_wall_near_each_one_dropped():
    options = quillbeck.large(10, 4)
    fine, coarse = (best_walls(replace(options, digits=d), threads=1) for d in (9, 3))
    assert len(coarse) < len(fine)
    near = 1.0 + 10.0**-2
    for e, m, c in zip(fine.bending, fine.mass, fine.cost, strict=True):
        assert np.any((coarse.bending * near >= e) & (coarse.mass <= m * near) & (coarse.cost <= c * near))


def test_stopping_gives_the_best_so_far_and_says_so():
    front = best_walls(quillbeck.large(10, 5), threads=1, stop=lambda: True)
    assert len(front) > 0
    assert not front.certificate.is_complete
    assert "stopped before the end" in front.certificate.words


def test_progress_counts_up_to_all_chunks():
    seen = []
    best_walls(quillbeck.large(8, 4), threads=1, progress=lambda done, of: seen.append((done, of)))
    assert [d for d, _ in seen] == list(range(1, seen[-1][1] + 1))


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"plies": ()}, r"want\.at_least_one_ply_at_one"),
        ({"most": 0}, r"want\.from_1_plies"),
        ({"bore": -1.0}, r"want\.diameter_above_zero"),
        ({"bore": float("nan")}, r"want\.diameter_above_zero"),
        ({"utilisation": 0.0}, r"want\.above_0_at_most_1_2"),
        ({"figures": ("mass",)}, r"want\.bending_or_axial_first"),
        ({"rules": Rules(woven_skin=True)}, r"want\.ply_that_can_be_skin_or"),
        ({"rules": Rules(least_wall=0.1)}, r"want\.at_most_thickest_that_plies_make"),
        ({"rules": Rules(most_wall=1e-6)}, r"want\.at_least_thinnest_ply"),
    ],
)
def test_options_that_cannot_be_are_refused_with_a_message(change, said):
    with pytest.raises(DesignError, match=said):
        replace(quillbeck.large(6, 3), **change)


def test_contradicting_rules_are_refused_with_a_message():
    with pytest.raises(DesignError, match=r"want\.at_most_thickest_wall_allowed_two"):
        Rules(least_wall=1e-3, most_wall=0.5e-3)


def test_a_further_figure_over_too_many_walls_is_refused_with_the_remedy():
    with pytest.raises(DesignError, match=r"want\.at_most_walls_when_twist_or"):
        best_walls(replace(quillbeck.large(25, 8), figures=("bending", "mass", "cost", "ring")))


def test_rules_that_no_wall_keeps_give_an_empty_front_that_is_proved():
    front = best_walls(quillbeck.large(6, 3, least_twist=1e6), threads=1)
    assert len(front) == 0
    assert front.certificate.is_complete


def test_an_estimate_is_reported_before_a_hundred_million_candidates():
    small, large = estimate(quillbeck.large(6, 3)), estimate(quillbeck.large(40, 16))
    assert "83 sets of plies, about a second" in small.words
    assert large.candidates == comb(56, 16) - 1
    assert large.seconds > 100.0 * small.seconds
    assert "hours" in large.words


def test_the_effort_grows_with_plies_in_the_estimate():
    seconds = [estimate(quillbeck.large(20, n)).seconds for n in (4, 6, 8, 10)]
    assert all(b > a for a, b in itertools.pairwise(seconds))


@pytest.mark.parametrize(
    "rules",
    [{}, {"block": 0.3e-3}, {"hoop_inside": True, "hoop_outside": True}, {"neighbours": 1.2}, {"least_ring": 0.05}],
)
def test_the_certificate_adds_up_in_any_order_under_every_kind_of_rule(rules):
    front = best_walls(quillbeck.large(15, 5, **rules), threads=1)
    for ledger in front.certificate.ledgers:
        assert ledger.in_all == ledger.evaluated + sum(n for _, n in ledger.excluded)
        assert all(n >= 0 for _, n in ledger.excluded)
    assert front.certificate.ledgers[0].in_all == candidates_in_all(front.options)


def test_sets_put_in_order_at_once_for_want_of_room_give_the_same_front(monkeypatch):
    options = quillbeck.large(12, 5)
    at_leisure = best_walls(options)
    monkeypatch.setattr(wall_search, "_SETS", 100)
    at_once = best_walls(options)
    assert at_once.recipes == at_leisure.recipes
    assert at_once.certificate.is_complete


def test_one_option_and_one_ply_is_its_own_front():
    options = Options((Option(quillbeck.SM150, 0.0),), 1, 0.025)
    front = best_walls(options)
    assert front.recipes == ((0,),)
    assert front.stack(0).thickness == quillbeck.SM150.thickness


@pytest.mark.parametrize("order", ["listed", "any"])
def test_some_kept_completion_bounds_every_completion_on_every_wall(order):
    options = quillbeck.large(5, 4, order=order)
    shelf = shelf_of(options, prune=True)
    frame = frame_of(shelf, -1, 2, 3)
    for s, k in itertools.product(range(1, 4), range(5)):
        start = frame.start[s, k]
        pool = frame.pool[start : start + frame.kept[s, k]]
        assert 0 < frame.kept[s, k] <= comb(5 - k + s, s)
        for n in range(s + 1):
            for plies in itertools.combinations_with_replacement(range(k, 5), n):
                for below in (0.0, 0.2e-3, 0.5e-3):
                    edge, gain, content = shelf.radius + below, 0.0, np.zeros(2)
                    for p in (*plies, 2):
                        out = edge + shelf.thickness[p]
                        gain += shelf.along[p] * np.pi / 4.0 * (out**4 - edge**4)
                        content += shelf.content[p] * np.pi * (out**2 - edge**2)
                        edge = out
                    gains = pool[:, 0] + below * (pool[:, 1] + below * (pool[:, 2] + below * pool[:, 3]))
                    least = pool[:, 4::2] + below * pool[:, 5::2]
                    assert np.any((gains >= gain * (1 - 1e-12)) & np.all(least <= content * (1 + 1e-12), axis=1))
