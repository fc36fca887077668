"""What every wall must bear: the front is that of every sequence that bears it by the wall room, one by one."""

from concurrent.futures import ThreadPoolExecutor
from contextlib import nullcontext
from dataclasses import replace

import numpy as np
import plain_search as plain
import pytest
import quillbeck_shelf as quillbeck

from polewright.errors import DesignError, NotConverged
from polewright.materials.ply import Strength
from polewright.search import (
    Bears,
    Option,
    Options,
    Rules,
    best_pole,
    best_walls,
    brief_base,
    estimate,
    links_of,
    wall_front,
)
from polewright.wall import bending_limits, clamp_window, fist_squeeze, plates_squeeze, point_squeeze

pytestmark = pytest.mark.slow

STRONG = Strength(Xt=1500e6, Xc=800e6, Yt=35e6, Yc=120e6, S=60e6)


def strong(ply, factor=1.0):
    own = Strength(**{f: factor * getattr(STRONG, f) for f in ("Xt", "Xc", "Yt", "Yc", "S")})
    return replace(ply, strength=own, design=own)


def bears_all(options, recipe):
    """The wall room, asked plainly: every load that is to be borne against every way a wall ends."""
    b, stack = options.bears, options.stack(recipe)
    wall, safe = stack.wall(options.bore), stack.design_strength()
    if b.moment and float(bending_limits(wall, safe).least) < b.moment:
        return False
    if b.plates and plates_squeeze(wall, safe, length=0.020).force < b.plates:
        return False
    if b.fist and fist_squeeze(wall, safe, length=0.080).force < b.fist:
        return False
    if b.pad and point_squeeze(wall, safe, pad=0.010).force < b.pad:
        return False
    return not b.band or float(clamp_window(wall, b.hold.band, need=1.0, strength=safe).most) >= b.band


def plain_front_that_bears(options):
    points = set()
    for recipe in plain.every_recipe(options):
        figures = plain.figures_of(options, recipe)
        if plain.keeps_rules(options, recipe, figures) and bears_all(options, recipe):
            points.add(tuple(plain.rounded(figures[f], options.digits) for f in options.figures))
    signs = np.array([plain.PROBES[f] for f in options.figures])
    score = {p: signs * np.array(p) for p in points}
    return {p for p in points if not any(q != p and np.all(score[q] >= score[p]) for q in points)}


LOADS = {
    "moment": lambda wall, safe: float(bending_limits(wall, safe).least),
    "plates": lambda wall, safe: plates_squeeze(wall, safe, length=0.020).force,
    "fist": lambda wall, safe: fist_squeeze(wall, safe, length=0.080).force,
    "pad": lambda wall, safe: point_squeeze(wall, safe, pad=0.010).force,
    "band": lambda wall, safe: float(clamp_window(wall, Bears().hold.band, need=1.0, strength=safe).most),
}


def middling(options, rng):
    """Loads that about half of all walls bear, one or two kinds at a time."""
    every = list(plain.every_recipe(options))
    stacks = [options.stack(every[i]) for i in rng.integers(0, len(every), 3)]
    kinds = rng.choice(list(LOADS), 2 if rng.random() < 0.4 else 1, replace=False)
    return Bears(
        **{
            kind: float(np.median([LOADS[kind](s.wall(options.bore), s.design_strength()) for s in stacks]))
            for kind in kinds
        }
    )


def random_case(seed):
    rng = np.random.default_rng(seed)
    while True:
        try:
            options = plain.random_options(rng)
        except DesignError:
            continue
        if len(options.plies) ** options.most > 40:
            continue
        plies = tuple(replace(o, ply=strong(o.ply, 0.5 + (k % 3))) for k, o in enumerate(options.plies))
        options = replace(options, plies=plies)
        return replace(options, bears=middling(options, rng))


def hold_to_every_wall(seeds):
    barred = 0
    for seed in seeds:
        options = random_case(seed)
        front = best_walls(options, threads=1)
        assert plain.front_points(front) == plain_front_that_bears(options), seed
        assert front.certificate.is_complete, seed
        barred += sum(n for what, n in front.certificate.ledgers[1].excluded if "bears" in what)
    assert barred > 0


def test_the_front_of_walls_that_bear_a_load_is_that_of_every_sequence_that_bears_it():
    hold_to_every_wall(range(4))


def test_twenty_random_cases_with_loads_to_bear_are_those_of_every_sequence():
    hold_to_every_wall(range(100, 120))


def workshop(**loads):
    listed = quillbeck.listed(most=7)
    plies = tuple(replace(o, ply=strong(o.ply)) for o in listed.plies)
    return replace(listed, plies=plies, bore=0.0269, digits=5, bears=Bears(**loads) if loads else None)


def test_a_load_that_every_best_wall_bears_changes_nothing_and_one_that_some_do_not_names_them():
    free, light = best_walls(workshop()), best_walls(workshop(moment=1e-3, band=1e-3))
    assert light.recipes == free.recipes
    heavy = best_walls(workshop(moment=150.0))
    assert 0 < len(heavy) < len(free)
    ledger = heavy.certificate.ledgers[1]
    assert sum(n for what, n in ledger.excluded if "bears" in what) > 0
    assert ledger.evaluated + sum(n for _, n in ledger.excluded) == ledger.in_all


def test_a_load_that_no_wall_bears_gives_an_empty_front_that_is_proved():
    front = best_walls(workshop(fist=1e7))
    assert len(front) == 0
    assert front.certificate.is_complete


def test_a_stopped_search_keeps_only_walls_that_bear_the_load():
    options = workshop(moment=150.0)
    front = best_walls(options, threads=1, stop=lambda: True)
    assert all(bears_all(options, r) for r in front.recipes)
    assert not front.certificate.is_complete


def test_a_search_stopped_while_its_walls_are_looked_at_says_so_and_keeps_those_that_bear(monkeypatch):
    options, looked = workshop(moment=1.0), []  # so little that all but a lone hoop, looked at first, bear it
    whole = best_walls(options, threads=1)
    look = wall_front.first_short
    monkeypatch.setattr(wall_front, "first_short", lambda *a: looked.append(a[1]) or look(*a))
    front = best_walls(options, threads=1, stop=lambda: len(looked) == 3)
    assert front.recipes == whole.recipes[:2] == tuple(looked[1:])
    assert not front.certificate.is_complete
    assert "walls looked at for what they bear in all; 3 evaluated" in front.certificate.words


@pytest.mark.parametrize("executor", [None, ThreadPoolExecutor])
def test_links_that_are_stopped_within_a_front_keep_no_half_of_it(executor):
    shop, known, counted = quillbeck.shop(quillbeck.OWNED[:2], workshop(moment=80.0)), {}, []
    with (
        nullcontext() if executor is None else executor(1) as on,
        pytest.raises(NotConverged, match=r"search.*want\.stopped_before_walls_were_found"),
    ):
        links_of(
            shop, 0.0335, known=known, executor=on, progress=lambda done, of: counted.append(done), stop=lambda: True
        )
    assert known == {}
    assert counted == [0]


def test_every_section_of_the_best_pole_bears_what_it_must_and_costs_droop():
    shop = quillbeck.shop(quillbeck.OWNED, replace(workshop(), bore=0.03))
    brief = replace(quillbeck.BRIEF, cost_at_most=np.inf)
    known = {}
    free = best_pole(brief, shop, links=links_of(shop, brief_base(brief, shop), known=known))
    least = min(
        float(bending_limits(shop.walls.stack(r).wall(shop.bars[b].bore), shop.walls.stack(r).design_strength()).least)
        for b, r in zip(free.best.bars, free.best.recipes, strict=True)
    )
    held = replace(shop, walls=replace(shop.walls, bears=Bears(moment=1.05 * least)))
    answer = best_pole(brief, held, links=links_of(held, brief_base(brief, held), known=known))
    assert answer.gap <= 0.01
    assert answer.best.droop >= free.best.droop * (1.0 - 1e-6) / (1.0 + free.gap)
    for b, r in zip(answer.best.bars, answer.best.recipes, strict=True):
        assert bears_all(replace(held.walls, bore=held.bars[b].bore), r)


def test_walls_of_another_strength_are_not_mistaken_for_known_ones():
    shop, known = quillbeck.shop(quillbeck.OWNED[:2], workshop(moment=80.0)), {}
    links_of(shop, 0.0335, known=known)
    plies = tuple(replace(o, ply=strong(o.ply, 0.9)) for o in shop.walls.plies)
    counted = []
    links_of(
        replace(shop, walls=replace(shop.walls, plies=plies)),
        0.0335,
        known=known,
        progress=lambda done, of: counted.append(of),
    )
    assert counted


def test_a_ply_of_unknown_strength_and_impossible_loads_are_refused_with_a_message():
    with pytest.raises(DesignError, match=r"want\.strengths_this_ply_or_no_moment"):
        Options((Option(quillbeck.SM150, 0.0),), 2, 0.025, bears=Bears(moment=10.0))
    for bad in ({"moment": -1.0}, {"band": np.inf}, {"pad": np.nan}):
        with pytest.raises(DesignError, match=r"want\.finite_load_zero_or_more"):
            Bears(**bad)
    with pytest.raises(DesignError, match="design"):
        Bears(strengths="best")


def test_a_clamp_alone_asks_for_no_strength_and_the_estimate_stays_quick():
    options = Options(
        (Option(quillbeck.SM150, 0.0), Option(quillbeck.TH55, np.pi / 2)),
        5,
        0.025,
        rules=Rules(),
        bears=Bears(band=100.0),
    )
    front = best_walls(options)
    assert all(
        float(clamp_window(front.stack(k).wall(0.025), Bears().hold.band, need=1.0).most) >= 100.0
        for k in range(len(front))
    )
    assert "sets of plies" in estimate(options).words
