"""A checked design as a scene for the drawing of the pole: how it hangs on two trestles, all out or partly."""

from dataclasses import replace

import numpy as np

from polewright.answers.reach import drawn_out
from polewright.answers.trestles import bench_state, headline_head, headline_load
from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.values import Workpiece
from polewright.drawings.centreline import Span
from polewright.drawings.pole import Ghost, PoleScene
from polewright.pole.beam import Bent, bent
from polewright.pole.pole import Pole
from polewright.pole.state import State
from polewright.sheet.publish import LEAST_ROUNDING, modest, modest_quantity
from polewright.units import si
from polewright.words import Reader

__all__ = ["pole_scene", "state_message", "with_ghost"]


def pole_scene(
    design: Design,
    work: Workpiece,
    *,
    out: int | None = None,
    buyer: Reader | None = None,
    promised: float | None = None,
) -> PoleScene:
    """The pole level on its two trestles with the headline load at the tip, `out` sections drawn out (all, if None).

    Parameters
    ----------
    buyer : who reads it on a buyer's sheet: an even line with the droop rounded to the modest side in their units,
        and no diameter but the widest.
    promised : [m] droop that the sheet promises in that state, in place of the design's own.

    Raises
    ------
    NotConverged : the bent pole could not be found.
    """
    pole, count = work.pole, len(work.pole.joints) if out is None else out
    drawn = bench_state(design, pole, count, head=headline_head(design))
    hung = bent(pole, drawn)
    told = hung.tip_droop if promised is None else promised
    droop: Message | str = (
        Message("scene.droop", droop=hung.tip_droop)
        if buyer is None
        else modest_quantity(told, "length", buyer, "up", LEAST_ROUNDING)
    )
    along, below = (hung.x - hung.x[0], hung.droop) if buyer is None else _even(hung, design, told)
    state = state_message(design, count)
    return PoleScene(
        station=hung.station,
        along=along,
        below=below,
        spans=_spans(pole, drawn, for_buyer=buyer is not None),
        clamps=_mouths(pole, drawn)[:-1],
        hold=0.0,
        prop=si("prop_mm", design.setting.prop_mm),
        droop=droop,
        state=state,
        title=Message("scene.title", pole=design.name, state=state, droop=droop),
    )


def state_message(design: Design, out: int) -> Message:
    """The state that the headline droop stands for: "all out, level, 600 g at the tip"."""
    reach = drawn_out(out, len(design.joints))
    return Message("scene.state.loaded", reach=reach, load=headline_load(design))


def with_ghost(scene: PoleScene, other: PoleScene, name: Message | str) -> PoleScene:
    """The scene with another one, by its name, shown faintly behind it."""
    return replace(scene, ghost=Ghost(other.along, other.below, name, other.droop))


def _even(hung: Bent, design: Design, droop: float) -> tuple[FloatArray, FloatArray]:
    """The line of a pole alike all along with such a droop, so that the curve of the drawing tells no stiffness."""
    prop, end = si("prop_mm", design.setting.prop_mm), float(hung.station[-1])
    out = np.clip((hung.station - prop) / max(end - prop, 1e-9), 0.0, 1.0)
    below = modest(droop, "up", LEAST_ROUNDING, least=1e-3) * out**2 * (3.0 - out) / 2.0
    level = np.sqrt(np.maximum(np.diff(hung.station) ** 2 - np.diff(below) ** 2, 0.0))
    return np.concatenate([[0.0], np.cumsum(level)]), below


def _mouths(pole: Pole, state: State) -> FloatArray:
    """(n_section,) [m] from the butt, where each section's mouth is, butt section first."""
    drawn = np.asarray(state.drawn)[::-1]
    return np.cumsum(np.concatenate([[pole.tubes[-1].length], drawn]))


def _spans(pole: Pole, state: State, *, for_buyer: bool) -> tuple[Span, ...]:
    """What is seen of each section, from the butt to the tip; a section that stands out of none is left out."""
    mouths, sections = _mouths(pole, state), len(pole.tubes)
    out = []
    for place, end in enumerate(mouths.tolist()):
        number = sections - place
        start = 0.0 if place == 0 else float(mouths[place - 1])
        outside = float(pole.tubes[-1 if for_buyer else number - 1].outside.mean())
        label = f"{number}" if for_buyer else Message("scene.span", section=number, outside=outside)
        if end - start > 1e-6:
            out.append(Span(start, end, outside, label, f"{number}"))
    return tuple(out)
