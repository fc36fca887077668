"""Fronts of walls worked out so far as plain numbers and arrays, and back: what a checkpoint may hold."""

from collections.abc import Hashable, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.search.certificate import Certificate, Ledger
from polewright.search.chain import Known
from polewright.search.option_table import NAMES
from polewright.search.options import Options
from polewright.search.wall_front import WallFront

__all__ = ["fronts_of", "kept_fronts"]

Kept = dict[str, Any]
Wanted = Mapping[Hashable, Options]


def kept_fronts(known: Known, wanted: Wanted) -> Kept:
    """The known ones of the fronts that a rack wants (`fronts_wanted`), as arrays over all their walls.

    at : (n_front,) place of each in `wanted`; walls (n_front,) of each; plies (n_wall,) of each; recipes : the plies
    of all walls in a row; figures (n_figure, n_wall).
    """
    some = [(at, known[key]) for at, key in enumerate(wanted) if key in known]
    recipes = [recipe for _, front in some for recipe in front.recipes]
    figures = [np.array([getattr(front, name) for name in NAMES]) for _, front in some]
    return {
        "at": np.array([at for at, _ in some], np.int64),
        "walls": np.array([len(front) for _, front in some], np.int64),
        "plies": np.array([len(recipe) for recipe in recipes], np.int64),
        "recipes": np.array([ply for recipe in recipes for ply in recipe], np.int64),
        "figures": np.concatenate([np.empty((len(NAMES), 0)), *figures], axis=1),
        "ledgers": [
            [[g.what, g.in_all, g.evaluated, dict(g.excluded)] for g in f.certificate.ledgers] for _, f in some
        ],
    }


def fronts_of(kept: Kept, wanted: Wanted) -> Known:
    """The fronts again, for the same rack and options.

    Raises
    ------
    DesignError : they belong to other options, or they are not whole.
    """
    try:
        at, walls, plies = (_whole(kept[name]) for name in ("at", "walls", "plies"))
        recipes = _parts(_whole(kept["recipes"]), plies)
        figures = np.array(kept["figures"], np.float64)
        if figures.shape != (len(NAMES), len(recipes)) or walls.sum() != len(recipes) or np.any(walls < 0):
            raise ValueError(f"{figures.shape} figures of {len(recipes)} walls")
        names, ends = list(wanted), np.cumsum(walls)
        return {
            names[n]: _front(
                wanted[names[n]], recipes[end - many : end], figures[:, end - many : end], kept["ledgers"][i]
            )
            for i, (n, many, end) in enumerate(zip(at.tolist(), walls.tolist(), ends.tolist(), strict=True))
        }
    except (KeyError, TypeError, ValueError, IndexError) as fault:
        raise DesignError("state", str(fault), Message("want.walls_stopped_search_whole")) from fault


def _front(
    options: Options, recipes: list[tuple[int, ...]], figures: NDArray[np.float64], ledgers: list[Any]
) -> WallFront:
    if any(not 0 <= ply < len(options.plies) for recipe in recipes for ply in recipe):
        raise ValueError("recipes of other options")
    proof = tuple(
        Ledger(str(what), int(in_all), int(evaluated), tuple((str(k), int(n)) for k, n in excluded.items()))
        for what, in_all, evaluated, excluded in ledgers
    )
    values = dict(zip(NAMES, figures, strict=True))
    return WallFront(options, tuple(recipes), **values, certificate=Certificate(proof))


def _whole(kept: Any) -> NDArray[np.int64]:
    array = np.array(kept)
    if array.dtype != np.int64 or array.ndim != 1:
        raise ValueError(f"an array of {array.dtype} where counts are due")
    return array


def _parts(flat: NDArray[np.int64], sizes: NDArray[np.int64]) -> list[tuple[int, ...]]:
    if np.any(sizes < 1) or sizes.sum() != flat.size:
        raise ValueError("recipes that are not whole")
    ends = np.cumsum(sizes)
    return [tuple(flat[end - size : end].tolist()) for size, end in zip(sizes, ends, strict=True)]
