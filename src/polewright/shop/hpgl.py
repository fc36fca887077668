"""Cut sheets as pen-up, pen-down HPGL for old cutters, in tiles or scaled where their coordinates run out."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.shop.cut_sheet import CutSheet
from polewright.units import from_

__all__ = ["HpglJob", "HpglTile", "hpgl", "hpgl_scaled"]

MM = from_(1.0, "mm")  # [m]
UNITS_PER_MM = 40  # of a plotter
LARGEST = 32767  # coordinate that an old cutter takes
COARSE = 10  # user units a millimetre when scaled


@dataclass(frozen=True, slots=True)
class HpglTile:
    """One file of a job; x, y [m] is where its origin lies on the sheet."""

    x: float
    y: float
    code: str


@dataclass(frozen=True, slots=True)
class HpglJob:
    """Files to send in order, and what the person at the cutter must know."""

    tiles: tuple[HpglTile, ...]
    note: Message


def hpgl(sheet: CutSheet, *, largest: int = LARGEST) -> HpglJob:
    """Outlines in plain pen-up, pen-down HPGL at 40 units a millimetre, in tiles where a coordinate would not fit.

    `largest` [-] is the highest coordinate that the cutter takes. Labels and the check square are left out: the knife
    would cut them.

    Raises
    ------
    DesignError : the sheet holds more than one prepreg. A cutter has one roll on it, and a plot tells it no other.
    """
    _refuse_two_prepregs(sheet)
    span = largest // UNITS_PER_MM // 100 * 100 * MM if largest >= 100 * UNITS_PER_MM else largest / UNITS_PER_MM * MM
    # what the knife reaches, not the empty rest of the roll
    long, wide = (max(float(max(cut.outline[:, axis].max() for cut in sheet.cuts)), MM) for axis in (0, 1))
    fits = max(long, wide) / MM * UNITS_PER_MM <= largest
    steps = (max(long, wide), max(long, wide)) if fits else (span, span)
    tiles = []
    for ix in range(int(np.ceil(long / steps[0] - 1e-9))):
        for iy in range(int(np.ceil(wide / steps[1] - 1e-9))):
            low = np.array([ix * steps[0], iy * steps[1]])
            runs = [run for cut in sheet.cuts for run in _window(cut.outline, low, low + steps)]
            if runs:
                code = _strokes([(run - low) / MM * UNITS_PER_MM for run in runs])
                tiles.append(HpglTile(float(low[0]), float(low[1]), f"IN;SP1;{code}SP0;"))
    if fits:
        return HpglJob(tuple(tiles), Message("cut.hpgl.one_file", units=UNITS_PER_MM))
    note = Message(
        "cut.hpgl.tiles",
        along=round(long / MM * UNITS_PER_MM),
        across=round(wide / MM * UNITS_PER_MM),
        largest=largest,
        count=len(tiles),
        span=span,
    )
    return HpglJob(tuple(tiles), note)


def hpgl_scaled(sheet: CutSheet) -> HpglJob:
    """Outlines in one file of 0.1 mm user units, for a cutter that knows SC and wants no number above 32767.

    Raises
    ------
    DesignError : the sheet is longer than such units reach, 3.2767 m, or holds more than one prepreg.
    """
    _refuse_two_prepregs(sheet)
    longest = max(sheet.extent) / MM * COARSE
    if longest > LARGEST:
        raise DesignError(
            "sheet",
            Message("given.length", length=max(sheet.extent)),
            Message("want.at_most_or_tiles", most=LARGEST / COARSE * MM),
        )
    code = _strokes([np.vstack([c.outline, c.outline[:1]]) / MM * COARSE for c in sheet.cuts])
    hundred = 100 * UNITS_PER_MM
    return HpglJob(
        (HpglTile(0.0, 0.0, f"IN;IP0,0,{hundred},{hundred};SC0,1000,0,1000;SP1;{code}SP0;"),),
        Message("cut.hpgl.scaled"),
    )


def _refuse_two_prepregs(sheet: CutSheet) -> None:
    found = tuple(dict.fromkeys(cut.material for cut in sheet.cuts))
    if len(found) > 1:
        raise DesignError("sheet", ", ".join(found), Message("want.one_prepreg_of_plot"))


def _strokes(runs: Sequence[FloatArray]) -> str:
    out = []
    for run in runs:
        points = [f"{round(x)},{round(y)}" for x, y in run.tolist()]
        out.append(f"PU{points[0]};PD{','.join(points[1:])};")
    return "".join(out) + "PU;"


def _window(outline: FloatArray, low: FloatArray, high: FloatArray) -> list[FloatArray]:
    """The runs of a closed outline that lie inside a window, each (k, 2)."""
    runs: list[list[FloatArray]] = []
    for a, b in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        part = _clipped_segment(a, b, low, high)
        if part is None:
            continue
        if runs and np.allclose(runs[-1][-1], part[0], atol=1e-9):
            runs[-1].append(part[1])
        else:
            runs.append([part[0], part[1]])
    if len(runs) > 1 and np.allclose(runs[-1][-1], runs[0][0], atol=1e-9):
        runs[0] = [*runs.pop()[:-1], *runs[0]]
    return [np.array(run) for run in runs]


def _clipped_segment(
    a: FloatArray, b: FloatArray, low: FloatArray, high: FloatArray
) -> tuple[FloatArray, FloatArray] | None:
    """The part of a segment inside a window, None if it has no length there.

    Source
    ------
    Y.-D. Liang, B. A. Barsky, A new concept and method for line clipping, ACM Transactions on Graphics, 1984.
    """
    step, enter, leave = b - a, 0.0, 1.0
    for p, q in (
        (-step[0], a[0] - low[0]),
        (step[0], high[0] - a[0]),
        (-step[1], a[1] - low[1]),
        (step[1], high[1] - a[1]),
    ):
        if p == 0.0:
            if q < 0.0:
                return None
        elif p < 0.0:
            enter = max(enter, q / p)
        else:
            leave = min(leave, q / p)
    return (a + enter * step, a + leave * step) if leave - enter > 1e-12 else None
