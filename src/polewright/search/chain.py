"""The nest chain of the whole-pole search: which bar may follow which, and the walls that make it fit."""

from collections.abc import Callable, Hashable, Iterator
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import dataclass, fields, replace
from functools import partial
from itertools import pairwise
from typing import Any, NamedTuple

import numpy as np
from numpy.lib.recfunctions import unstructured_to_structured
from numpy.typing import NDArray

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import DesignError, NotConverged
from polewright.search.brief import SLICES, Bar, Brief, Build, Shop
from polewright.search.option_table import IntArray
from polewright.search.options import Options
from polewright.search.pole_arrays import AHEAD_RANGE, BIN, BINS, WALL, Chain
from polewright.search.span import Spans
from polewright.search.wall_front import WallFront, best_walls

__all__ = [
    "Known",
    "Link",
    "Links",
    "asked_of",
    "brief_base",
    "chain_of",
    "fronts_wanted",
    "heaviest_walls",
    "links_of",
    "ways_of",
]

Known = dict[Hashable, WallFront]

GRID = (6, 5)


@dataclass(frozen=True, slots=True, eq=False)
class Link:
    """One bar with the next that its tube slides in (-1: it stands last), and the walls that fit, best ones only.

    recipe and bore of each wall; figures (n, 5): EI, kg/m, cost a metre of flag, tilt of its joint [rad], least tilt
    of any wall it stands for; outside (n,) [m]. is_tip : walls that the tip section alone may have.
    """

    inner: int
    outer: int
    recipes: tuple[tuple[int, ...], ...]
    figures: FloatArray
    outside: FloatArray
    is_tip: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Links:
    """All links of a rack; walls in each stand for others within `slack` [-] of every figure; `candidates` sets of
    plies were gone through for them, `evaluated` of them one by one.
    """

    links: tuple[Link, ...]
    slack: float
    candidates: int
    evaluated: int


def _windows(shop: Shop, a: Bar, b: Bar | None, base: float) -> Iterator[tuple[float, float]]:
    """(thinnest, thickest) wall [m] of each slice of the clearance window."""
    build = shop.build
    if b is None:
        thick = (base - a.bore) / 2.0
        edges = np.linspace(0.0, thick, 1 + (build.slices if build.slices > SLICES else 1))
        yield from ((float(thin), float(wide)) for thin, wide in pairwise(edges) if thick > 0.0)
        return
    low, high = b.bore - build.clearance_most, b.bore - build.clearance_least
    edges = np.linspace((low - a.bore) / 2.0, (high - a.bore) / 2.0, build.slices + 1)
    for thin, thick in pairwise(edges):
        if thick > 0.0:
            yield max(float(thin), 0.0), float(thick)


class _Wanted(NamedTuple):
    """One front of walls that some link needs; the plain numbers in it are its name in a store of known fronts."""

    options: Options

    @property
    def key(self) -> Hashable:
        o = self.options
        plies = tuple(
            (
                p.ply.name,
                p.angle,
                p.is_pair,
                p.ply.thickness,
                p.ply.price,
                *(float(getattr(p.ply.elastic, f)) for f in ("E1", "E2", "G12", "nu12", "density")),
            )
            for p in o.plies
        )
        return (plies, o.most, o.bore, o.order, o.rules, o.utilisation, o.digits, o.bears, self._strengths)

    @property
    def _strengths(self) -> Hashable:
        bears = self.options.bears
        if bears is None or not bears.needs_strength:
            return None
        known = [bears.strength_of(self.options.stack((k,))) for k in range(len(self.options.plies))]
        return tuple(tuple(getattr(s, f.name).tolist()) for s in known if s is not None for f in fields(s))


def _wanted(shop: Shop, bar: Bar, thin: float, thick: float, digits: int) -> _Wanted | None:
    rules = shop.walls.rules
    thin, thick = max(thin, rules.least_wall), min(thick, rules.most_wall)
    if thin > thick or min(o.thickness for o in shop.walls.plies) > thick or shop.walls.thickest < thin:
        return None
    inside = replace(rules, least_wall=thin, most_wall=thick)
    return _Wanted(replace(shop.walls, bore=bar.bore, rules=inside, digits=digits, figures=("bending", "mass", "cost")))


class _Halted(Exception):  # noqa: N818 - says what happened
    """A stop was asked for while a front was being worked out; half a front is of no use to a link."""


def _front(options: Options, *, stop: Callable[[], bool] | None = None) -> WallFront:
    def asked() -> bool:
        if stop is not None and stop():
            raise _Halted
        return False

    return best_walls(options, threads=1, stop=asked)


def _link(shop: Shop, build: Build, inner: int, outer: int, fronts: list[WallFront]) -> Link | None:
    bars, rows, recipes = shop.bars, [], []
    for front in fronts:
        outside = bars[inner].bore + 2.0 * front.wall
        gap = bars[outer].bore - outside if outer >= 0 else np.zeros(len(front))
        least = (
            max(float(bars[outer].bore - bars[inner].bore - 2.0 * front.options.rules.most_wall), 0.0)
            if outer >= 0
            else 0.0
        )
        recipes += list(front.recipes)
        rows.append(
            np.column_stack(
                [front.bending, front.mass, front.cost, build.tilt(gap), np.full(len(front), build.tilt(least))]
            )
        )
    if not recipes:
        return None
    figures = np.concatenate(rows)
    outside = np.array([bars[inner].bore + 2.0 * sum(shop.walls.plies[k].thickness for k in r) for r in recipes])
    return Link(inner, outer, tuple(recipes), figures, outside)


def _spares_tip(shop: Shop) -> bool:
    bears = shop.walls.bears
    return bears is not None and bears.spares_tip and bears.band > 0.0


def _unclamped(shop: Shop) -> Shop:
    """The same workshop, its walls without a clamp on them."""
    bears = shop.walls.bears
    assert bears is not None
    free = replace(bears, band=0.0)
    return replace(shop, walls=replace(shop.walls, bears=free if free.asks else None))


def _all_wanted(shop: Shop, base: float, digits: int) -> dict[tuple[int, int, bool], list[_Wanted]]:
    """The fronts of each link (inner bar, outer bar, whether for the tip alone), in a fixed order."""
    order = sorted(range(len(shop.bars)), key=lambda i: (shop.bars[i].bore, i))
    pairs = [
        (a, b, tip)
        for tip in ((False, True) if _spares_tip(shop) else (False,))
        for i, a in enumerate(order)
        for b in (*order[i + 1 :], -1)
    ]
    return {
        (a, b, tip): [
            w
            for window in _windows(shop, shop.bars[a], shop.bars[b] if b >= 0 else None, base)
            if (w := _wanted(_unclamped(shop) if tip else shop, shop.bars[a], *window, digits))
        ]
        for a, b, tip in pairs
    }


def fronts_wanted(shop: Shop, base: float, *, digits: int = 5) -> dict[Hashable, Options]:
    """What `links_of` asks for a rack, in its order: the name of each front of walls and its options.

    Parameters
    ----------
    base : [m] most outside diameter of the last section.
    """
    return {w.key: w.options for ws in _all_wanted(shop, base, digits).values() for w in ws}


def links_of(
    shop: Shop,
    base: float,
    *,
    digits: int = 5,
    known: Known | None = None,
    executor: Executor | None = None,
    progress: Callable[[int, int], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Links:
    """Every link of the rack whose fit some wall can make, with its best walls; base [m] most outside of the last.

    known : fronts from earlier calls, kept by the caller; new ones are added, so that a further bar costs its own
    links alone. executor : runs the fronts elsewhere (processes, a cluster). progress : links done and in all. stop :
    asked within a front too where it is worked in this process.

    Raises
    ------
    NotConverged : stopped, and `progress` did not raise a refusal of its own.
    """
    wanted = _all_wanted(shop, base, digits)
    known = {} if known is None else known
    new = {w.key: w.options for ws in wanted.values() for w in ws if w.key not in known}
    run = map if executor is None else executor.map
    is_here = executor is None or isinstance(executor, ThreadPoolExecutor)  # a stop does not travel
    done = 0
    try:
        for key, front in zip(new, run(partial(_front, stop=stop) if is_here else _front, new.values()), strict=True):
            known[key], done = front, done + 1
            if progress is not None:
                progress(done, len(new))
    except _Halted as fault:
        if progress is not None:
            progress(done, len(new))
        said = f"{done} of {len(new)} fits done"
        raise NotConverged("search", said, Message("want.stopped_before_walls_were_found")) from fault
    fronts = {pair: [known[w.key] for w in ws] for pair, ws in wanted.items()}
    links = [
        replace(link, is_tip=tip)
        for (a, b, tip), some in fronts.items()
        if (link := _link(shop, shop.build, a, b, some)) is not None
    ]
    sets = [f.certificate.ledgers[0] for some in fronts.values() for f in some]
    return Links(tuple(links), 10.0 ** (1 - digits), sum(s.in_all for s in sets), sum(s.evaluated for s in sets))


def asked_of(links: Links, brief: Brief) -> Links:
    """The same without walls that only their price makes worth having, where no price is asked for: of each slice
    of the clearance window those that no other beats in EI and mass. A flex wanted needs soft walls too, and a
    figure of the whole pole heavy ones: all are kept.
    """
    if (
        brief.figures
        or brief.aim == "cost"
        or np.isfinite(brief.cost_at_most)
        or brief.flex_wanted is not None
        or brief.flexes
    ):
        return links
    return replace(links, links=tuple(_unpriced(link) for link in links.links))


def _unpriced(link: Link) -> Link:
    stiff, own, _, _, least = link.figures.T
    kept: list[int] = []
    for tilt in np.unique(least):
        lightest = np.inf
        for i in np.lexsort((own, -stiff)):
            if least[i] == tilt and own[i] < lightest:
                lightest = own[i]
                kept.append(int(i))
    kept.sort()
    return replace(
        link, recipes=tuple(link.recipes[i] for i in kept), figures=link.figures[kept], outside=link.outside[kept]
    )


def chain_of(links: Links, build: Build, spans: Spans) -> Chain:
    """The links as plain arrays for so many sections."""
    nodes = links.links
    walls = np.asarray(unstructured_to_structured(np.concatenate([n.figures for n in nodes]), WALL))
    first = np.concatenate([[0], np.cumsum([len(n.recipes) for n in nodes])]).astype(np.int64)
    bins, share, ends = _bins(nodes)
    follow = [[j for j, after in enumerate(nodes) if after.inner == node.outer and not after.is_tip] for node in nodes]
    link = np.concatenate([[0], np.cumsum([len(f) for f in follow])]).astype(np.int64)
    give = 1.0 / build.joint_stiffness
    is_last = np.array([n.outer < 0 for n in nodes])
    return Chain(
        walls,
        first,
        bins,
        share,
        ends,
        _most(walls, first, is_last, spans),
        is_last,
        link,
        np.array([j for f in follow for j in f], np.int64),
        build.clamp,
        build.fitting,
        build.flag_extra,
        give,
        _grid(walls["mass"], build.clamp, spans),
    )


def _bins(nodes: tuple[Link, ...]) -> tuple[IntArray, FloatArray, NDArray[Any]]:
    """Bin of every wall, place in it, and ends of every bin, as in `Chain`; bins of a node are equally wide."""
    bins, shares, ends = [], [], np.full((len(nodes), BINS), -1.0, BIN)
    for i, node in enumerate(nodes):
        stiff, own = node.figures[:, 0], node.figures[:, 1]
        rank = np.searchsorted(np.linspace(stiff.min(), stiff.max(), BINS + 1)[1:-1], stiff)
        for b in set(rank.tolist()):
            inside = rank == b
            ends[i, b] = stiff[inside].min(), stiff[inside].max(), own[inside].min()
        softest = ends["softest"][i, rank]
        width = ends["stiffest"][i, rank] - softest
        bins.append(rank)
        shares.append((stiff - softest) / np.where(width > 0.0, width, 1.0))
    return np.concatenate(bins).astype(np.int64), np.concatenate(shares), ends


def _most(walls: NDArray[Any], first: IntArray, is_last: NDArray[np.bool_], spans: Spans) -> FloatArray:
    """(n_section,) most EI of any wall that a section may have."""
    last, most = np.repeat(is_last, np.diff(first)), np.empty(spans.butt.size)
    most[:-1], most[-1] = (walls["bending"][some].max(initial=0.0) for some in (~last, last))
    return most


def _grid(own: FloatArray, clamp: float, spans: Spans) -> NDArray[Any]:
    """Least and most moment about each section's butt end, and mass, of all sections so far."""
    out = np.zeros(spans.butt.size, AHEAD_RANGE)
    for k in range(spans.butt.size):
        lever = spans.butt[: k + 1] + spans.length / 2.0 - spans.butt[k]
        fixed = clamp * np.sum(spans.mouth[1 : k + 1] - spans.butt[k])
        for end, value, wider in (("least", own.min(), 1.0 - 1e-9), ("most", own.max(), 1.0 + 1e-9)):
            out[f"{end}_moment"][k] = (value * spans.length * lever.sum() + fixed) * wider
            out[f"{end}_mass"][k] = (value * spans.length * (k + 1) + clamp * k) * wider
    return out


def ways_of(chain: Chain, sections: int, links: Links) -> tuple[IntArray, int]:
    """(n_section, n_node) ways to complete a pole once the wall of a node is chosen, and poles in all."""
    nodes, has_tips = chain.is_last.size, any(n.is_tip for n in links.links)
    many = np.diff(chain.first)
    ways: list[list[int]] = [[0] * nodes for _ in range(sections)]
    for k in range(sections - 1, -1, -1):
        for node in range(nodes):
            if chain.is_last[node] != (k == sections - 1) or (has_tips and links.links[node].is_tip != (k == 0)):
                continue
            ways[k][node] = (
                1
                if k == sections - 1
                else sum(ways[k + 1][j] * int(many[j]) for j in chain.follow[chain.link[node] : chain.link[node + 1]])
            )
    total = sum(ways[0][node] * int(many[node]) for node in range(nodes))
    if total > 2**62:
        raise DesignError(
            "mandrels",
            Message("given.poles", total=float(total)),
            Message("want.narrower_clearance_window_or_fewer_options"),
        )
    return np.array(ways, np.int64), total


def brief_base(brief: Brief, shop: Shop) -> float:
    """[m] most outside diameter of the last section, by the brief or by the thickest wall on the largest bar."""
    return min(brief.base_at_most, max(b.bore for b in shop.bars) + 2.0 * shop.walls.thickest)


def heaviest_walls(shop: Shop, links: Links, base: float, sections: int) -> FloatArray:
    """(n_section,) [kg/m] that no wall which fits exceeds, walls that others beat among them; base [m] as `links_of`.

    pi (D + t) t times the density of the densest ply, t the thickest wall between the bar and the bore round it.
    """
    density = max(float(o.ply.elastic.density) for o in shop.walls.plies)
    most = {True: 0.0, False: 0.0}
    for link in links.links:
        bore, is_last = shop.bars[link.inner].bore, link.outer < 0
        room = base if is_last else shop.bars[link.outer].bore - shop.build.clearance_least
        thick = max(min((room - bore) / 2.0, shop.walls.thickest, shop.walls.rules.most_wall), 0.0)
        most[is_last] = max(most[is_last], np.pi * (bore + thick) * thick * density * (1.0 + 1e-9))
    return np.array([most[False]] * (sections - 1) + [most[True]])
