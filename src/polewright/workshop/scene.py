"""A checked design as a scene for the drawing of the pole: how it hangs on two trestles, all out or partly."""

from dataclasses import replace

import numpy as np

from polewright.arrays import FloatArray
from polewright.documents.design import Design
from polewright.documents.pole_figures import bench_state, headline_total, reach_name
from polewright.documents.report import CheckReport
from polewright.documents.values import Workpiece
from polewright.drawings.centreline import Span
from polewright.drawings.pole import Ghost, PoleScene
from polewright.pole.beam import Bent, bent
from polewright.pole.pole import Pole
from polewright.pole.state import State
from polewright.sheet.publish import LEAST_ROUNDING, modest, modest_figure
from polewright.units import System, display_unit, format_length, from_, si, to

__all__ = ["pole_scene", "state_words", "with_ghost"]

_BARS = {"metric": ((0.5, 5), (1.0, 2), (2.0, 2), (5.0, 5), (10.0, 2)), "inch": ((2.0, 2), (5.0, 5), (10.0, 2))}


def pole_scene(
    design: Design,
    work: Workpiece,
    report: CheckReport,
    *,
    ghost: PoleScene | None = None,
    ghost_name: str = "",
    out: int | None = None,
    for_buyer: bool = False,
    system: System = "metric",
) -> PoleScene:
    """The pole level on its two trestles with the headline load at the tip, `out` sections drawn out (all, if None).

    Parameters
    ----------
    ghost : the scene of another state to show faintly behind, as it was made by this function.
    for_buyer : an even line with the droop rounded to the modest side, and no diameter but the widest.

    Raises
    ------
    NotConverged : the bent pole could not be found.
    """
    pole, count = work.pole, len(work.pole.joints) if out is None else out
    head = si("head_g", max(headline_total(design) - design.tip_fitting_g, 0.0))
    state = bench_state(design, pole, count, head=head)
    hung = bent(pole, state)
    droop = _droop_words(hung.tip_droop, system, for_buyer)
    along, below = _even(hung, design) if for_buyer else (hung.x - hung.x[0], hung.droop)
    words = state_words(design, report, count, system)
    bar, steps, bar_words = _bar(float(hung.station[-1]), system)
    scene = PoleScene(
        station=hung.station,
        along=along,
        below=below,
        spans=_spans(pole, state, for_buyer, system),
        clamps=_mouths(pole, state)[:-1],
        hold=0.0,
        prop=si("prop_mm", design.setting.prop_mm),
        prop_label=_prop_words(design, system),
        droop=droop,
        state=words,
        bar=bar,
        bar_steps=steps,
        bar_words=bar_words,
        title=f"{report.name}, {words}: the tip droops {droop} below the line of the trestles",
    )
    return scene if ghost is None else with_ghost(scene, ghost, ghost_name)


def state_words(design: Design, report: CheckReport, out: int, system: System = "metric") -> str:
    """The state that the headline droop stands for: "all out, level, 600 g at the tip"."""
    total = si("tip_g", headline_total(design))
    heavy = f"{to(total, 'g'):.0f} g" if system == "metric" else f"{to(total, 'oz'):.1f} oz"
    name = reach_name(out, len(report.joints))
    return f"{name}, level, {heavy} at the tip" if total > 0.0 else f"{name}, level, own weight"


def with_ghost(scene: PoleScene, other: PoleScene, name: str) -> PoleScene:
    """The scene with another one, by its name, shown faintly behind it."""
    return replace(scene, ghost=Ghost(other.along, other.below, f"{name}, dotted: {other.droop}", f"dotted: {name}"))


def _even(hung: Bent, design: Design) -> tuple[FloatArray, FloatArray]:
    """The line of a pole alike all along with the same droop, so that the curve of the drawing tells no stiffness."""
    prop, end = si("prop_mm", design.setting.prop_mm), float(hung.station[-1])
    out = np.clip((hung.station - prop) / max(end - prop, 1e-9), 0.0, 1.0)
    below = modest(hung.tip_droop, "up", LEAST_ROUNDING, least=1e-3) * out**2 * (3.0 - out) / 2.0
    level = np.sqrt(np.maximum(np.diff(hung.station) ** 2 - np.diff(below) ** 2, 0.0))
    return np.concatenate([[0.0], np.cumsum(level)]), below


def _mouths(pole: Pole, state: State) -> FloatArray:
    """(n_section,) [m] from the butt, where each section's mouth is, butt section first."""
    drawn = np.asarray(state.drawn)[::-1]
    return np.cumsum(np.concatenate([[pole.tubes[-1].length], drawn]))


def _spans(pole: Pole, state: State, for_buyer: bool, system: System) -> tuple[Span, ...]:
    """What is seen of each section, from the butt to the tip; a section that stands out of none is left out."""
    mouths, sections = _mouths(pole, state), len(pole.tubes)
    out = []
    for place, end in enumerate(mouths.tolist()):
        number = sections - place
        start = 0.0 if place == 0 else float(mouths[place - 1])
        outside = float(pole.tubes[-1 if for_buyer else number - 1].outside.mean())
        label = f"{number}" if for_buyer else f"{number}  ⌀{_thick(outside, system)}"
        if end - start > 1e-6:
            out.append(Span(start, end, outside, label, f"{number}"))
    return tuple(out)


def _thick(outside: float, system: System) -> str:
    return f"{to(outside, 'mm'):.1f}" if system == "metric" else f"{to(outside, 'in'):.2f}"


def _droop_words(droop: float, system: System, for_buyer: bool) -> str:
    unit = display_unit("length", system)
    if for_buyer:
        least = 1.0 if system == "metric" else 0.05
        return f"{modest_figure(to(droop, unit), 'up', LEAST_ROUNDING, least=least)} {unit}"
    return f"{to(droop, unit):.{0 if system == 'metric' else 1}f} {unit}"


def _prop_words(design: Design, system: System) -> str:
    return format_length(si("prop_mm", design.setting.prop_mm), display_unit("reach", system), 2)


def _bar(length: float, system: System) -> tuple[float, int, str]:
    """A round length of about a quarter of the pole."""
    unit = display_unit("reach", system)
    sizes = [(from_(size, unit), steps, f"{size:g} {unit}") for size, steps in _BARS[system]]
    return min(sizes, key=lambda size: abs(np.log(size[0] / (0.26 * length))))
