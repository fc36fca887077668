"""The whole pole: six sections from fourteen mandrels and eight materials, against a general optimiser.

Prints the seconds for the walls of all links and for the search, the gap proved, the answer on one core and on two, how
often differential evolution over the same walls misses in ten times the time and by how much, the same search with
limits on swing and further droops, and the most memory against its limit.
"""

import argparse
import os
import resource
import time
from dataclasses import replace

import numpy as np
from scipy.optimize import differential_evolution

from polewright.materials.ply import Elastic, Ply
from polewright.search import (
    Bar,
    Brief,
    Build,
    FurtherDroop,
    Links,
    Option,
    Options,
    Rules,
    Shop,
    best_pole,
    brief_base,
    links_of,
)
from polewright.search.chain import chain_of
from polewright.search.span import spans_of

# thickness mm, density g/cm3, E1, E2, G12 GPa, nu12, price
AXIAL = {
    "SM150": (0.1476, 1.540, 132.7, 7.61, 3.44, 0.264, 31.0),
    "SM100": (0.1003, 1.534, 130.2, 7.49, 3.36, 0.266, 27.0),
    "IM125": (0.1203, 1.551, 172.0, 7.46, 3.51, 0.263, 58.0),
    "HM125": (0.1188, 1.571, 225.7, 6.53, 3.30, 0.264, 118.0),
    "EG150": (0.1167, 1.890, 37.9, 10.8, 3.25, 0.274, 9.0),
    "IM175": (0.1680, 1.555, 170.5, 7.50, 3.50, 0.263, 70.0),
    "HM80": (0.0765, 1.568, 223.0, 6.50, 3.30, 0.264, 95.0),
}
TRIALS = 4
MEMORY = 2.0  # [GB]
HOOP = (0.0585, 1.516, 122.9, 7.14, 3.13, 0.271, 33.0)
BORES = np.cumsum([18.0, 1.35, 1.05, 1.5, 0.95, 1.6, 1.2, 1.4, 1.1, 1.55, 1.0, 1.45, 1.25, 1.3])


def ply(name: str, row: tuple[float, ...]) -> Ply:
    t, rho, e1, e2, g, nu, price = row
    elastic = Elastic.unidirectional(E1=e1 * 1e9, E2=e2 * 1e9, G12=g * 1e9, nu12=nu, density=rho * 1e3)
    return Ply(name, t * 1e-3, elastic, area_mass=rho * t, price=price)


def case(sections: int, bars: int, materials: int) -> tuple[Brief, Shop]:
    hoop = ply("TH55", HOOP)
    plies = (
        Option(hoop, np.pi / 2),
        *(Option(ply(n, AXIAL[n]), 0.0) for n in list(AXIAL)[: materials - 1]),
        Option(hoop, np.pi / 2),
    )
    options = Options(
        plies, 9, 0.03, order="listed", rules=Rules(hoop_inside=True, hoop_outside=True), utilisation=0.86
    )
    shop = Shop(options, tuple(Bar(f"{b:.2f}", b * 1e-3) for b in BORES[:bars]), Build(joint_stiffness=9e3))
    reach = 1.45 * sections - 0.1
    return Brief(
        reach=reach,
        sections=(sections,),
        tip_mass=0.6,
        mass_at_most=0.225 * sections,
        cost_at_most=55.0 * sections,
        base_at_most=(BORES[bars - 1] + 2.0) * 1e-3,
    ), shop


def rival(brief: Brief, shop: Shop, links: Links, seconds: float, seed: int = 3) -> float:
    """Least droop that differential evolution finds: per section which next bar and which wall, limits as penalties."""
    sections = brief.sections[0]
    spans = spans_of(brief, shop.build, sections)
    chain = chain_of(links, shop.build, spans)
    after = [chain.follow[chain.link[i] : chain.link[i + 1]] for i in range(len(chain.is_last))]
    starts = np.arange(len(chain.is_last))
    until = time.perf_counter() + seconds

    def droop(x: np.ndarray) -> float:
        mass = moment = total = cost = 0.0
        node, before = -1, np.inf
        for k in range(sections):
            some = starts if k == 0 else after[node]
            some = [n for n in some if chain.is_last[n] == (k == sections - 1)]
            if not some:
                return 100.0 - k
            node = some[min(int(x[2 * k] * len(some)), len(some) - 1)]
            low, high = chain.first[node], chain.first[node + 1]
            stiff, own, price, tilt, _ = chain.walls[min(low + int(x[2 * k + 1] * (high - low)), high - 1)]
            if k:
                mass += chain.clamp
                moment += chain.clamp * spans.mouth[k]
            for region, soft in ((0, 1.0 / (before + stiff)), (1, 1.0 / stiff)):
                total += soft * (
                    spans.by_moment[k, region] * moment
                    + spans.by_mass[k, region] * mass
                    + spans.by_own[k, region] * own
                    + spans.by_tip[k, region]
                )
            load = spans.joint[k]["load"]
            bends = load["moment"] * moment + load["mass"] * mass + load["own"] * own + load["always"]
            total += chain.give * bends
            total += tilt * (spans.lever[k + 1] if k + 1 < sections else 0.0)
            mass += own * spans.length
            moment += own * spans.length * (spans.butt[k] + spans.length / 2.0)
            cost += price * (spans.length + chain.flag_extra)
            before = stiff
        over = max((mass + chain.fitting) / brief.mass_at_most - 1.0, 0.0) + max(cost / brief.cost_at_most - 1.0, 0.0)
        return float(total + 20.0 * over)

    found = differential_evolution(
        droop,
        [(0.0, 1.0)] * (2 * sections),
        seed=seed,
        maxiter=100_000,
        tol=0.0,
        atol=0.0,
        polish=False,
        callback=lambda *_: time.perf_counter() > until,
    )
    return float(found.fun)


def run(sections: int, bars: int, materials: int) -> None:
    brief, shop = case(sections, bars, materials)
    start = time.perf_counter()
    links = links_of(shop, brief_base(brief, shop))
    walls = time.perf_counter() - start
    start = time.perf_counter()
    answer = best_pole(brief, shop, links=links)
    search = time.perf_counter() - start
    again = best_pole(brief, shop, links=links)
    assert answer.best is not None
    assert again.best is not None
    assert (answer.best.recipes, answer.bound) == (again.best.recipes, again.bound)
    poles = answer.certificate.ledgers[-1]
    print(
        f"{sections} sections, {bars} mandrels, {materials} materials: walls {walls:.1f} s, search {search:.1f} s, "
        f"{poles.in_all:.2e} poles, {poles.evaluated} evaluated, gap {100 * answer.gap:.2f} %, same answer twice"
    )
    print(f"  droop {answer.best.droop:.4f} m (small), {answer.best.final_droop:.4f} m (true rotations)")
    if hasattr(os, "sched_setaffinity"):
        cores = os.sched_getaffinity(0)
        os.sched_setaffinity(0, {min(cores)})
        one = best_pole(brief, shop, links=links_of(shop, brief_base(brief, shop)))
        os.sched_setaffinity(0, cores)
        assert one.best is not None
        assert (one.best.recipes, one.bound) == (answer.best.recipes, answer.bound)
        print("  same answer on one core")
    missed(brief, shop, links, 10.0 * (walls + search), answer.best.droop)


def missed(brief: Brief, shop: Shop, links: Links, seconds: float, droop: float) -> None:
    """How often the optimiser ends above the search, and by how much, over a few beginnings."""
    over = [rival(brief, shop, links, seconds, seed) / droop - 1.0 for seed in range(1, 1 + TRIALS)]
    print(
        f"  differential evolution, ten times the time ({seconds:.0f} s): misses in {sum(o > 1e-3 for o in over)} of "
        f"{len(over)} beginnings, by {100.0 * np.mean(over):.2f} % on average, {100.0 * max(over):.2f} % at most, "
        f"{100.0 * min(over):+.2f} % at best"
    )


def varied(sections: int, bars: int, materials: int, seconds: float) -> None:
    """The same with limits of whole poles: gap and seconds, each stopped after so many."""
    brief, shop = case(sections, bars, materials)
    links = links_of(shop, brief_base(brief, shop))
    best = best_pole(brief, shop, links=links).best
    assert best is not None
    free = replace(brief, mass_at_most=np.inf, cost_at_most=np.inf)
    cases = {
        "least mass, swing": replace(brief, aim="mass", mass_at_most=np.inf, swing_at_least=0.95 * best.swing),
        "least droop, swing": replace(brief, cost_at_most=0.8 * best.cost, swing_at_least=0.93 * best.swing),
        "least cost, swing": replace(
            free, aim="cost", mass_at_most=brief.mass_at_most, swing_at_least=0.9 * best.swing
        ),
        "least cost, droop at 1 kg": replace(free, aim="cost", droops=(FurtherDroop(1.0, 1.1 * best.droop_at(1.0)),)),
        "least mass, one drawn in": replace(
            free, aim="mass", droops=(FurtherDroop(0.6, 1.2 * best.droop_at(0.6, sections - 2), out=sections - 2),)
        ),
        "least mass, two drawn in": replace(
            free, aim="mass", droops=(FurtherDroop(0.6, 1.2 * best.droop_at(0.6, sections - 3), out=sections - 3),)
        ),
    }
    print(f"{'limits of whole poles':28s} {'s':>6} {'gap %':>7} {'ended':>6}")
    for name, wish in cases.items():
        start = time.perf_counter()
        until = start + seconds
        answer = best_pole(wish, shop, links=links, stop=lambda until=until: time.perf_counter() > until)
        print(
            f"{name:28s} {time.perf_counter() - start:6.1f} {100.0 * answer.gap:7.2f} "
            f"{'yes' if answer.is_complete else 'no':>6}",
            flush=True,
        )


def main(quick: bool = False) -> None:
    best_pole(*case(2, 3, 2))  # the loops are compiled before any clock runs
    if quick:
        run(2, 3, 3)
        return
    run(3, 6, 4)
    run(6, 14, 8)
    varied(6, 14, 8, 60.0)
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
    print(f"most memory: {most:.2f} GB, {most / MEMORY:.2f} of the {MEMORY:g} GB allowed")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true")
    main(parser.parse_args().quick)
