"""The plain twin of the one-wall search: every sequence of options, computed by the wall room, compared in pairs."""

import itertools

import numpy as np

from polewright.materials.ply import Elastic, Ply
from polewright.search import Option, Options, Rules
from polewright.wall.membrane import tube_stiffness
from polewright.wall.ring import collapse_pressure, ring_stiffness

PROBES = {"bending": 1.0, "axial": 1.0, "twist": 1.0, "ring": 1.0, "mass": -1.0, "cost": -1.0}


def random_ply(rng, name):
    stiff = rng.uniform(30e9, 300e9)
    elastic = Elastic.unidirectional(
        E1=stiff,
        E2=rng.uniform(4e9, 0.4 * stiff),
        G12=rng.uniform(2e9, 8e9),
        nu12=rng.uniform(0.1, 0.35),
        density=rng.uniform(1400.0, 2100.0),
    )
    thickness = rng.uniform(0.05e-3, 0.3e-3)
    return Ply(
        name,
        thickness,
        elastic,
        area_mass=float(elastic.density) * thickness,
        price=rng.uniform(5.0, 150.0),
        is_woven=bool(rng.random() < 0.3),
    )


def random_options(rng, *, figures=("bending", "mass", "cost"), digits=7):
    """A small case: few options of few plies, some alike but for one figure, random rules, both orders."""
    shelf = [random_ply(rng, f"p{i}") for i in range(rng.integers(1, 4))]
    plies = []
    for _ in range(rng.integers(1, 5)):
        angle = float(rng.choice([0.0, np.pi / 2, rng.uniform(0.05, 1.5)]))
        plies.append(
            Option(shelf[rng.integers(len(shelf))], angle, is_pair=bool(0.0 < angle < 1.5 and rng.random() < 0.7))
        )
    most = int(rng.integers(1, 5 if len(plies) < 4 else 4))
    t = min(o.thickness for o in plies)
    rules = Rules(
        hoop_inside=bool(rng.random() < 0.25),
        hoop_outside=bool(rng.random() < 0.25),
        woven_skin=bool(rng.random() < 0.1),
        least_wall=t * rng.choice([0.0, 0.0, 1.9]),
        most_wall=rng.choice([np.inf, np.inf, 3.1 * t]),
        block=rng.choice([np.inf, np.inf, 1.7 * t + 0.1e-3]),
        neighbours=rng.choice([np.inf, np.inf, 1.2]),
        least_ring=rng.choice([0.0, 0.0, 0.0, 0.01]),
        least_collapse=rng.choice([0.0, 0.0, 0.0, 1e4]),
        least_twist=rng.choice([0.0, 0.0, 0.0, 3.0]),
        least_bending=rng.choice([0.0, 0.0, 0.0, 30.0]),
    )
    return Options(
        tuple(plies),
        most,
        float(rng.uniform(8e-3, 40e-3)),
        order="any" if rng.random() < 0.6 else "listed",
        rules=rules,
        figures=figures,
        utilisation=float(rng.uniform(0.7, 1.0)),
        digits=digits,
    )


def _kink(a, b):
    turn = abs(a - b) % np.pi
    return min(turn, np.pi - turn)


def keeps_rules(options, recipe, figures):
    rules, plies = options.rules, [options.plies[k] for k in recipe]
    layers = options.stack(recipe).layers
    if (rules.hoop_inside and not plies[0].is_hoop) or (rules.hoop_outside and not plies[-1].is_hoop):
        return False
    if rules.woven_skin and not plies[-1].ply.is_woven:
        return False
    if any(
        _kink(a.stack_plies[-1].angle, b.stack_plies[0].angle) > rules.neighbours + 1e-9
        for a, b in itertools.pairwise(plies)
    ):
        return False
    block = 0.0
    for i, (_, angle, thickness) in enumerate(layers):
        block = thickness + (block if i and _kink(layers[i - 1][1], angle) < 1e-9 else 0.0)
        if block > rules.block + 1e-12:
            return False
    return bool(
        rules.least_wall - 1e-12 <= figures["wall"] <= rules.most_wall + 1e-12
        and figures["ring"] >= rules.least_ring
        and figures["collapse"] >= rules.least_collapse
        and figures["twist"] >= rules.least_twist
        and figures["bending"] >= rules.least_bending
    )


def figures_of(options, recipe):
    """All figures of one wall by the wall room; cost from the developed width of every flag."""
    stack = options.stack(recipe)
    wall = stack.wall(options.bore)
    stiff = tube_stiffness(wall)
    middle = (wall.edges[1:] + wall.edges[:-1]) / 2.0
    cost = sum(2.0 * np.pi * r * ply.price for r, (ply, _, _) in zip(middle, stack.layers, strict=True))
    return {
        "bending": float(stiff.bending),
        "axial": float(stiff.axial),
        "twist": float(stiff.twist),
        "mass": float(wall.mass_per_length),
        "cost": cost / options.utilisation,
        "ring": float(ring_stiffness(wall).bending),
        "collapse": float(collapse_pressure(wall)),
        "wall": float(wall.total_thickness),
    }


def every_recipe(options):
    kinds = range(len(options.plies))
    for n in range(1, options.most + 1):
        if options.order == "any":
            yield from itertools.product(kinds, repeat=n)
        else:
            yield from itertools.combinations_with_replacement(kinds, n)


def rounded(value, digits):
    scale = 10.0 ** (np.floor(np.log10(max(abs(value), 1e-300))) - digits + 1)
    return float(np.rint(value / scale) * scale)


def plain_front(options):
    """The set of best figures, each a tuple in the order of `options.figures`."""
    points = set()
    for recipe in every_recipe(options):
        figures = figures_of(options, recipe)
        if keeps_rules(options, recipe, figures):
            points.add(tuple(rounded(figures[f], options.digits) for f in options.figures))
    signs = np.array([PROBES[f] for f in options.figures])
    score = {p: signs * np.array(p) for p in points}
    return {p for p in points if not any(q != p and np.all(score[q] >= score[p]) for q in points)}


def front_points(front):
    options = front.options
    columns = [getattr(front, f) for f in options.figures]
    return {tuple(rounded(v, options.digits) for v in row) for row in zip(*columns, strict=True)}
