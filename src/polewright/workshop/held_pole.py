"""The pole in a hold as a drawing shows it: shape, droop by place, and the band in which the copies lie."""

from dataclasses import dataclass, replace

import numpy as np

from polewright.arrays import FloatArray
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.documents.held_service import in_service
from polewright.documents.holding import Holding, holding_state
from polewright.documents.values import Workpiece
from polewright.drawings.centreline import Span
from polewright.drawings.held import Band, HeldScene, SplitPart
from polewright.errors import DesignError
from polewright.pole.beam import Bent, bent
from polewright.pole.droop import droop_split
from polewright.pole.pole import Pole
from polewright.pole.state import Foot, State
from polewright.pole.wind import drawn_to
from polewright.units import System, display_unit, si, to

__all__ = ["HeldPole", "drawn_to", "droop_words", "held_pole", "held_scene", "split_parts"]

NEAR = 1.0e-3  # [m] a hand draws out no closer: a stop so near is the stop
UPRIGHT = 89.0  # [degrees]
_BARS = {"metric": ((0.5, 5), (1.0, 2), (2.0, 2), (5.0, 5)), "inch": ((1.0, 2), (2.0, 2), (5.0, 5), (10.0, 2))}


@dataclass(frozen=True, slots=True, eq=False)
class HeldPole:
    """A hold solved: the state and the pole in balance."""

    state: State
    bent: Bent

    @property
    def measured(self) -> int:
        """The place of the line at which it droops: the tip, or with the head on the glass where it sags most."""
        return int(np.argmax(np.abs(self.bent.droop))) if isinstance(self.state.support, Foot) else -1


def near_stops(pole: Pole, drawn: FloatArray) -> FloatArray:
    """Lengths [m] with those a millimetre from a stop put on it."""
    closed, full = np.array(pole.closed_draw), np.array(pole.full_draw)
    drawn = np.where(np.abs(drawn - full) <= NEAR, full, drawn)
    return np.asarray(np.where(np.abs(drawn - closed) <= NEAR, closed, drawn))


def held_pole(design: Design, work: Workpiece, asked: Holding) -> HeldPole:
    """The hold solved, shape alone.

    Raises
    ------
    DocumentError : the hold makes no sense for this pole. NotConverged : no balance was found.
    """
    if asked.support == "head on glass" and asked.lean_deg > UPRIGHT:
        raise DocumentError(
            [
                Fault(
                    (
                        "lean_deg",
                        f"{asked.lean_deg:g}",
                        f"at most {UPRIGHT:g} with the head on the glass: upright it does not touch",
                    )
                )
            ]
        )
    work = in_service(design, work, asked.temperature_C)
    state = holding_state(design, work, asked)
    if asked.drawn_mm:
        state = replace(state, drawn=near_stops(work.pole, np.asarray(state.drawn)))
    try:
        return HeldPole(state, bent(work.pole, state))
    except DesignError as fault:
        value = fault.value
        if fault.field.startswith("drawn[") and isinstance(value, float):
            joint = int(fault.field[6:].rstrip("]"))
            low, high = (to(v[joint], "mm") for v in (work.pole.closed_draw, work.pole.full_draw))
            raise DocumentError(
                [
                    Fault(
                        (
                            fault.field,
                            f"{to(value, 'mm'):.0f} mm",
                            f"between {low:.0f} mm, pushed in, and {high:.0f} mm, drawn out",
                        )
                    )
                ]
            ) from fault
        raise DocumentError([Fault((fault.field, "" if value is None else str(value), fault.want))]) from fault


def held_scene(
    work: Workpiece, held: HeldPole, asked: Holding, *, system: System, band: Band | None = None
) -> HeldScene:
    """The scene of a solved hold."""
    b, pole = held.bent, work.pole
    length = float(b.station[-1])
    droop, state = droop_words(float(b.droop[held.measured]), system), _state_words(length, asked, system)
    where = "the tip droops" if held.measured == -1 else "it sags"
    return HeldScene(
        station=b.station,
        x=b.x,
        z=b.z,
        anchor=float(b.station[b.pins.anchor]),
        lean=held.state.lean,
        longest=pole.extended_length,
        spans=_spans(pole, held.state, system),
        clamps=_mouths(pole, held.state)[:-1],
        support=asked.support,
        rests=_rests(asked, b),
        head=held.state.head_mass,
        wind=asked.wind_m_s,
        droop=droop,
        state=state,
        band=band,
        measured=float(b.station[held.measured]),
        title=f"The pole {state}: {where} {droop} below its unbent line",
    )


def _rests(asked: Holding, b: Bent) -> tuple[float, ...]:
    if asked.support == "trestles":
        places = sorted(r.station for r in b.reactions)
        return (places[0], places[-1])
    if asked.support in ("hands", "lifted"):
        return (si("rear_mm", asked.rear_mm), si("front_mm", asked.front_mm))
    return ()


def droop_words(droop: float, system: System) -> str:
    """A droop [m] as it is said."""
    unit = display_unit("length", system)
    return f"{to(droop, unit):.{0 if system == 'metric' else 1}f} {unit}".replace("-", "\u2212")


def _state_words(length: float, asked: Holding, system: System) -> str:
    unit, small = display_unit("reach", system), display_unit("mass", system)
    way = "up" if asked.lean_deg > 0.0 else "down"
    lean = "level" if abs(asked.lean_deg) < 0.5 else f"{abs(asked.lean_deg):.0f}° {way}"
    parts = [f"{to(length, unit):.2f} {unit}", lean]
    if asked.head_g > 0.0:
        head = to(si("x_g", asked.head_g), small)
        parts.append(f"head {head:.{0 if system == 'metric' else 1}f} {small}")
    if asked.wind_m_s > 0.0:
        speed = display_unit("speed", system)
        parts.append(f"wind {to(asked.wind_m_s, speed):.0f} {speed}")
    if asked.temperature_C is not None:
        warm = display_unit("temperature", system)
        parts.append(f"{to(si('x_C', asked.temperature_C), warm):.0f} {warm}".replace("-", "\u2212"))
    return ", ".join(parts)


def _mouths(pole: Pole, state: State) -> FloatArray:
    """(n_section,) [m] from the butt, butt section first."""
    return np.cumsum(np.concatenate([[pole.tubes[-1].length], np.asarray(state.drawn)[::-1]]))


def _spans(pole: Pole, state: State, system: System) -> tuple[tuple[Span, int | None], ...]:
    """What is seen of each section from the butt, with the joint that draws it out."""
    mouths, sections, unit = _mouths(pole, state), len(pole.tubes), display_unit("length", system)
    out: list[tuple[Span, int | None]] = []
    for place, end in enumerate(mouths.tolist()):
        own = sections - 1 - place
        start = 0.0 if place == 0 else float(mouths[place - 1])
        outside = float(pole.tubes[own].outside.mean())
        seen = to(end - start, unit)
        label = f"section {own + 1}, {seen:.{0 if system == 'metric' else 1}f} {unit} of it seen"
        out.append((Span(start, max(end, start), outside, label, f"{own + 1}"), None if place == 0 else own))
    return tuple(out)


def split_parts(
    work: Workpiece, held: HeldPole, *, system: System
) -> tuple[tuple[SplitPart, ...], tuple[SplitPart, ...]]:
    """What each section and joint gives of the droop at its place on the pole; and what has no place: shear, root."""
    split, mouths = droop_split(held.bent), _mouths(work.pole, held.state)
    unit, digits = display_unit("length", system), 0 if system == "metric" else 2
    sections = len(work.pole.tubes)

    def part(start: float, end: float, value: float, name: str) -> SplitPart:
        number = f"{to(value, unit):.{digits}f}".replace("-", "\u2212")
        return SplitPart(start, end, value, number, f"{name}: {number} {unit}")

    placed = []
    for i, value in enumerate(split.section.tolist()):
        place = sections - 1 - i
        start = 0.0 if place == 0 else float(mouths[place - 1])
        placed.append(part(start, max(float(mouths[place]), start), value, f"section {i + 1}"))
    for j, (spring, play) in enumerate(zip(split.spring.tolist(), split.play.tolist(), strict=True)):
        mouth = float(mouths[sections - 2 - j])
        placed.append(part(mouth, mouth, spring + play, f"joint {j + 1}/{j + 2}, give and play"))
    rest = [part(0.0, 0.0, split.shear, "shear of the walls")]
    if abs(split.root) > 0.0:
        rest.append(part(0.0, 0.0, split.root, "turning about the foot"))
    return tuple(placed), tuple(rest)
