"""A stopped search of whole poles as plain numbers and arrays, and back: what a file may hold without holding code."""

from dataclasses import replace
from typing import Any

import numpy as np
from numpy.lib.recfunctions import structured_to_unstructured
from numpy.typing import NDArray

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.search.brief import Brief, Shop
from polewright.search.candidate import FoundPole
from polewright.search.chain import Links, asked_of, ways_of
from polewright.search.pole_arrays import Stack, Trail
from polewright.search.pole_bound import Cut, Incumbent, Problem, cut_of, problems_of
from polewright.search.pole_parts import Part, SearchState

__all__ = ["kept_of", "state_of"]

Kept = dict[str, Any]
_FIELDS = ("depth", "children", "bound", "many", "next", "tally", "best", "least", "path", "figures", "leaf")
_TRAIL = ("figures", "ahead", "stiff")


def kept_of(state: SearchState) -> Kept:
    """Lists, dicts, numbers, words and arrays that `state_of` makes the state of again."""
    best = state.incumbent.best
    return {
        "value": float(state.incumbent.value),
        "best": None if best is None else _kept_pole(best),
        "parts": [_kept_part(p) for p in state.parts],
    }


def _kept_pole(pole: FoundPole) -> Kept:
    return {
        "bars": list(pole.bars),
        "recipes": [list(r) for r in pole.recipes],
        "droop": pole.droop,
        "flex": pole.flex,
        "mass": pole.mass,
        "cost": pole.cost,
        "carry": pole.carry,
        "outside": np.array(pole.outside),
        "length": pole.length,
    }


def _kept_part(part: Part) -> Kept:
    return {
        "sections": part.problem.sections,
        "walls": structured_to_unstructured(part.problem.chain.walls),
        "done": part.done,
        "likes": [_kept_pole(p) for p in part.references],
        "turned_down": dict(part.turned_down),
        "window": part.window.copy(),
        "cuts": [{"weight": c.weight.copy(), "is_aim": c.is_aim, "bound": c.bound} for c in part.cuts],
        "stack": {n: np.array(getattr(part.stack, n)) for n in _FIELDS},
        "trail": {n: np.array(getattr(part.stack.trail, n)) for n in _TRAIL},
    }


def state_of(kept: Kept, brief: Brief, shop: Shop, links: Links) -> SearchState:
    """The state again, for the same brief and shop.

    Raises
    ------
    DesignError : it belongs to other options, or it is not whole.
    """
    problems = {p.sections: p for p in problems_of(brief, shop, asked_of(links, brief))}
    try:
        incumbent = Incumbent(None if kept["best"] is None else _pole(kept["best"], brief, shop), float(kept["value"]))
        return SearchState(incumbent, tuple(_part(k, problems) for k in kept["parts"]))
    except (KeyError, TypeError, ValueError, IndexError) as fault:
        raise DesignError("state", str(fault), Message("want.state_stopped_search_whole")) from fault


def _pole(kept: Kept, brief: Brief, shop: Shop) -> FoundPole:
    figures = {n: float(kept[n]) for n in ("droop", "flex", "mass", "cost", "carry", "length")}
    bars, recipes = tuple(int(b) for b in kept["bars"]), tuple(tuple(int(k) for k in r) for r in kept["recipes"])
    if (
        len(bars) != len(recipes)
        or not all(0 <= b < len(shop.bars) for b in bars)
        or not all(0 <= k < len(shop.walls.plies) for r in recipes for k in r)
    ):
        raise ValueError("a pole of other options")
    return FoundPole(brief, shop, bars, recipes, outside=np.array(kept["outside"], float), **figures)


def _part(kept: Kept, problems: dict[int, Problem]) -> Part:
    problem = problems[int(kept["sections"])]
    if not np.array_equal(kept["walls"], structured_to_unstructured(problem.chain.walls)):
        raise ValueError("walls of other options")
    references = tuple(_pole(k, problem.brief, problem.shop) for k in kept["likes"])
    if references:
        problem = problem.beside(references)
    ways, total = ways_of(problem.chain, problem.sections, problem.links)
    cuts = [_cut(problem, c) for c in kept["cuts"]]
    trail = Trail(*(_array(kept["trail"][n], getattr(problem.trail(), n)) for n in _TRAIL))
    n, room, size = problem.sections, len(problem.chain.walls), len(problem.figures)
    shapes = {
        "depth": (1,),
        "children": (n, room, 2),
        "bound": (n, room),
        "many": (n,),
        "next": (n,),
        "tally": (2,),
        "best": (1,),
        "least": (1,),
        "path": (n, 2),
        "figures": (size,),
        "leaf": (1,),
    }
    whole = ("depth", "children", "many", "next", "tally", "path")
    arrays = {f: _array(kept["stack"][f], np.zeros(shapes[f], np.int64 if f in whole else np.float64)) for f in _FIELDS}
    stack = Stack(**arrays, trail=trail)
    _refuse_outside(stack, problem)
    return Part(
        problem,
        cuts,
        stack,
        ways,
        total,
        _array(kept["window"], np.zeros((2, size))),
        references,
        bool(kept["done"]),
        {str(k): int(v) for k, v in kept["turned_down"].items()},
    )


def _array(kept: Any, like: NDArray[Any]) -> NDArray[Any]:
    """A copy of an array of the kind and shape of another."""
    array = np.array(kept)
    if array.shape != like.shape or array.dtype != like.dtype:
        raise ValueError(f"an array of {array.shape} where {like.shape} is due")
    return array


def _refuse_outside(stack: Stack, problem: Problem) -> None:
    """Raise ValueError where the compiled loops would read beyond their arrays."""
    n, room = problem.sections, len(problem.chain.walls)
    nodes = problem.chain.is_last.size
    good = (
        -1 <= int(stack.depth[0]) < n
        and np.all((stack.many >= -1) & (stack.many <= room))
        and np.all((stack.next >= 0) & (stack.next <= room))
        and np.all(stack.children >= 0)
        and np.all(stack.children[..., 0] < nodes)
        and np.all(stack.children[..., 1] < room)
        and np.all((stack.path >= 0) & (stack.path < room))
        and np.all(stack.path[:, 0] < nodes)
    )
    if not good:
        raise ValueError("numbers outside the options")


def _cut(problem: Problem, kept: Kept) -> Cut:
    weight = _array(kept["weight"], np.zeros(len(problem.figures)))
    cut = cut_of(problem, weight, is_aim=bool(kept["is_aim"]))
    if cut is None:
        raise ValueError("weights of other options")
    return replace(cut, bound=float(kept["bound"]))
