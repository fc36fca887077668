"""The band in which the copies of a held pole lie: at once from a few, then from more and more of them."""

import math
import time
from collections.abc import Callable, Mapping
from concurrent.futures import Executor
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from typing import Any

import numpy as np

from polewright.answers.scatter_problem import problem_of
from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.conventions.confidence import tails
from polewright.documents.design import Design
from polewright.documents.values import Workpiece, workpiece
from polewright.drawings.hold import Band
from polewright.errors import DesignError, NotConverged
from polewright.pole.batch import PoleBatch, bent_lines
from polewright.pole.beam import bent
from polewright.pole.pole import Pole
from polewright.pole.state import Bench, Clamped, Hands, Lifted, State
from polewright.scatter import (
    Copies,
    Plan,
    Problem,
    Reach,
    Stopped,
    Watch,
    copies_of,
    in_chunks,
    points_of,
    pole_of_copy,
    poles_drawn,
)
from polewright.workshop.hold import holding_at
from polewright.workshop.hold_shape import HoldShape, hold_shape

__all__ = ["STEPS", "Lines", "Sampling", "band_of", "held_band", "hold_band", "lines_of", "sample"]

STEPS = (64, 512, 4096)  # copies after which the band is drawn anew
STATIONS = 25
PIECES = 24  # elements of a copy at least: straight between them, within a millimetre of its curve
AT_ONCE = 16
FAILING = 0.01  # share of copies without balance above which no band is drawn


@dataclass(frozen=True, slots=True, eq=False)
class Sampling:
    """All that a copy's line follows from: the problem, the hold, how far drawn out, how warm.

    share is how far each section is drawn out between its own stops; warmth how a warm pole's stiffness stands to that
    of the tested one.
    """

    problem: Problem
    state: State
    share: FloatArray  # (n_joint,) [-]
    warmth: tuple[FloatArray, ...]  # a section (3,) [-] bending, axial, shear


@dataclass(frozen=True, slots=True, eq=False)
class Lines:
    """Droop (n_copy, n_station) [m] of the copies found so far, at even places along each; NaN without a balance."""

    droop: FloatArray

    @property
    def copies(self) -> int:
        """How many were tried."""
        return int(self.droop.shape[0])


def sample(design: Design, work: Workpiece, held: HoldShape) -> Sampling:
    """What is sampled for a hold: every copy is drawn out as far between its own stops as the nominal pole is.

    work : the pole as tested; `held` may be of the pole in service, as warm as it is.
    """
    pole, warm = work.pole, held.bent.pole
    closed, full = np.array(pole.closed_draw), np.array(pole.full_draw)
    share = np.clip((np.asarray(held.state.drawn) - closed) / np.maximum(full - closed, 1e-12), 0.0, 1.0)
    names = ("bending", "axial", "shear")
    ratio = tuple(
        np.array([float(np.mean(getattr(w, n) / getattr(t, n))) for n in names])
        for t, w in zip(pole.tubes, warm.tubes, strict=True)
    )
    return Sampling(_problem(design), held.state, share, ratio)


@lru_cache(maxsize=4)
def _problem(design: Design) -> Problem:
    return problem_of(design)


@lru_cache(maxsize=4)
def _points(inputs: int) -> FloatArray:
    """Chances of the copies, always the same ones; the first few are a design of their own."""
    return points_of(Plan(STEPS[-1], 1), inputs).reshape(-1, inputs)


def lines_of(
    sampling: Sampling,
    known: Lines | None,
    most: int,
    *,
    on: Executor | None = None,
    watch: Watch | None = None,
    is_stopped: Callable[[], bool] = lambda: False,
) -> Lines:
    """The lines of the first `most` copies, those known already taken over.

    Raises
    ------
    Stopped : the person asked for it, or the hold is another by now.
    """
    done = 0 if known is None else known.copies
    points = _points(sampling.problem.inputs)[done:most]

    def task(piece: FloatArray) -> FloatArray:
        return _lines(sampling, piece, is_stopped)

    found = in_chunks(task, points, on=on, watch=watch)
    return Lines(found if known is None else np.concatenate([known.droop, found]))


def _lines(sampling: Sampling, points: FloatArray, is_stopped: Callable[[], bool]) -> FloatArray:
    """(n_copy, n_station) [m]: in one compiled call where the hold allows it, else pole by pole."""
    if is_stopped():
        raise Stopped("band", None, Message("want.band_not_stopped"))
    made, at = copies_of(sampling.problem, points), np.linspace(0.0, 1.0, STATIONS)
    state = sampling.state
    if state.wind is None and isinstance(state.support, Bench | Clamped | Hands | Lifted):
        return _together(_batch(sampling, made), state, at, is_stopped)
    rows = np.full((points.shape[0], STATIONS), np.nan)
    for i in range(points.shape[0]):
        if is_stopped():
            raise Stopped("band", None, Message("want.band_not_stopped"))
        copy = _warmed(pole_of_copy(sampling.problem, made, i), sampling.warmth)
        low, high = np.array(copy.closed_draw), np.array(copy.full_draw)
        try:
            b = bent(copy, replace(state, drawn=low + sampling.share * (high - low)))
        except (DesignError, NotConverged):
            continue
        rows[i] = np.interp(at, b.station / b.station[-1], b.droop)
        time.sleep(0.0)  # whoever drags the pole meanwhile is answered first
    return rows


def _together(batch: PoleBatch, state: State, at: FloatArray, is_stopped: Callable[[], bool]) -> FloatArray:
    """(n_copy, n_station) [m], a few copies a call, so that a stop is heeded within milliseconds."""
    rows = []
    for low in range(0, batch.length.shape[0], AT_ONCE):
        if is_stopped():
            raise Stopped("band", None, Message("want.band_not_stopped"))
        few = PoleBatch(*(getattr(batch, f.name)[low : low + AT_ONCE] for f in fields(batch)))
        rows.append(bent_lines(few, state, at, pieces=PIECES, threads=1))
    return np.concatenate(rows)


def _batch(sampling: Sampling, made: Copies) -> PoleBatch:
    batch = poles_drawn(sampling.problem, made, Reach("as held", tuple(sampling.share.tolist())))
    bending, axial, shear = np.stack(sampling.warmth, axis=1)[:, None, :, None]
    return replace(batch, bending=bending * batch.bending, axial=axial * batch.axial, shear=shear * batch.shear)


def _warmed(pole: Pole, warmth: tuple[FloatArray, ...]) -> Pole:
    if all(np.all(w == 1.0) for w in warmth):
        return pole
    tubes = tuple(
        replace(t, bending=w[0] * t.bending, axial=w[1] * t.axial, shear=w[2] * t.shear)
        for t, w in zip(pole.tubes, warmth, strict=True)
    )
    return replace(pole, tubes=tubes)


def band_of(held: HoldShape, lines: Lines) -> Band:
    """Where 95 of 100 of these copies lie.

    Raises
    ------
    NotConverged : more than one copy in a hundred finds no balance.
    """
    found = lines.droop[~np.isnan(lines.droop[:, 0])]
    lost = lines.copies - found.shape[0]
    if lost > FAILING * lines.copies:
        raise NotConverged(
            "band",
            Message("given.copies_without_balance", lost=lost, copies=lines.copies),
            Message("want.hold_with_balance", lost=lost, copies=lines.copies),
        )
    least, most = np.quantile(found, tails(), axis=0)
    b, at = held.bent, np.linspace(0.0, 1.0, STATIONS)
    c, s = math.cos(held.state.lean), math.sin(held.state.lean)
    along = np.interp(at, b.station / b.station[-1], b.x * c + b.z * s)
    worst = -1 if held.measured == -1 else int(np.argmax(np.abs(most + least)))
    ends = {"least": float(least[worst]), "most": float(most[worst]), "copies": lines.copies}
    label = Message("band.droops" if worst == -1 else "band.sags", **ends)
    return Band(along, least, most, Message("band.lost", band=label, lost=lost) if lost else label)


def held_band(design: Design, values: Mapping[str, Any], *, reach: str | None = None, copies: int = STEPS[0]) -> Band:
    """The band of a hold as it is asked for; see `hold_report` for what `values` and `reach` are.

    Raises
    ------
    DocumentError : a hold that this pole cannot be in. NotConverged : more than one copy in a hundred finds no balance.
    """
    work = workpiece(design)
    return hold_band(design, work, hold_shape(design, work, holding_at(work, values, reach)), copies=copies)


def hold_band(design: Design, work: Workpiece, held: HoldShape, *, copies: int = STEPS[0]) -> Band:
    """The band of so many copies, found here and now by the shipped spreads.

    Raises
    ------
    NotConverged : more than one copy in a hundred finds no balance.
    """
    return band_of(held, lines_of(sample(design, work, held), None, copies))
