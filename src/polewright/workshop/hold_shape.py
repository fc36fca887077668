"""The pole in a hold as a drawing shows it: shape and droop by place."""

from dataclasses import dataclass, replace

import numpy as np

from polewright.answers.service import in_service
from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.documents.hold import Holding, hold_state
from polewright.documents.values import Workpiece
from polewright.drawings.centreline import Span
from polewright.drawings.hold import Band, HoldScene, SplitPart
from polewright.errors import DesignError
from polewright.pole.beam import Bent, bent
from polewright.pole.droop import droop_split
from polewright.pole.pole import Pole
from polewright.pole.state import Foot, State
from polewright.pole.wind import drawn_to
from polewright.units import si

__all__ = ["HoldShape", "drawn_to", "hold_scene", "hold_shape", "lean_message", "split_parts"]

NEAR = 1.0e-3  # [m] a hand draws out no closer: a stop so near is the stop
UPRIGHT = si("upright_deg", 89.0)  # [rad]
LEVEL = si("level_deg", 0.5)  # [rad] a lean is said to be level below it


@dataclass(frozen=True, slots=True, eq=False)
class HoldShape:
    """A hold solved: the state and the pole in balance."""

    state: State
    bent: Bent

    @property
    def measured(self) -> int:
        """The place of the line at which it droops: the tip, or with the head on the glass where it sags most."""
        return int(np.argmax(np.abs(self.bent.droop))) if isinstance(self.state.support, Foot) else -1

    @property
    def droop(self) -> float:
        """[m] at that place."""
        return float(self.bent.droop[self.measured])


def near_stops(pole: Pole, drawn: FloatArray) -> FloatArray:
    """Lengths [m] with those a millimetre from a stop put on it."""
    closed, full = np.array(pole.closed_draw), np.array(pole.full_draw)
    drawn = np.where(np.abs(drawn - full) <= NEAR, full, drawn)
    return np.asarray(np.where(np.abs(drawn - closed) <= NEAR, closed, drawn))


def hold_shape(design: Design, work: Workpiece, holding: Holding) -> HoldShape:
    """The hold solved, shape alone.

    Raises
    ------
    DocumentError : the hold makes no sense for this pole. NotConverged : no balance was found.
    """
    lean = si("lean_deg", holding.lean_deg)
    if holding.support == "head on glass" and lean > UPRIGHT:
        want = Message("want.lean_that_touches_glass", most=UPRIGHT)
        raise DocumentError([Fault(("lean_deg", Message("given.angle", angle=lean), want))])
    work = in_service(design, work, holding.temperature_C)
    state = hold_state(design, work, holding)
    if holding.drawn_mm:
        state = replace(state, drawn=near_stops(work.pole, np.asarray(state.drawn)))
    try:
        return HoldShape(state, bent(work.pole, state))
    except DesignError as fault:
        raise DocumentError([_fault(fault, work.pole)]) from fault


def _fault(fault: DesignError, pole: Pole) -> Fault:
    """A refusal of the core at the control that says so; how far a section may be drawn out with its ends."""
    value = fault.value
    if fault.field.startswith("drawn[") and isinstance(value, float):
        joint = int(fault.field[6:].rstrip("]"))
        want = Message("want.drawn_between", least=pole.closed_draw[joint], most=pole.full_draw[joint])
        return Fault((fault.field, Message("given.small_length", length=value), want))
    return Fault((fault.field, fault.given, fault.want))


def hold_scene(work: Workpiece, shape: HoldShape, holding: Holding, *, band: Band | None = None) -> HoldScene:
    """The scene of a solved hold."""
    b, pole = shape.bent, work.pole
    state = _state_message(float(b.station[-1]), holding)
    title = "scene.hold.droops" if shape.measured == -1 else "scene.hold.sags"
    return HoldScene(
        station=b.station,
        x=b.x,
        z=b.z,
        anchor=float(b.station[b.pins.anchor]),
        lean=shape.state.lean,
        longest=pole.extended_length,
        spans=_spans(pole, shape.state),
        clamps=_mouths(pole, shape.state)[:-1],
        support=holding.support,
        rests=_rests(holding, b),
        head=shape.state.head_mass,
        wind=holding.wind_m_s,
        droop=Message("scene.droop", droop=shape.droop),
        state=state,
        band=band,
        measured=float(b.station[shape.measured]),
        title=Message(title, state=state, droop=shape.droop),
    )


def _rests(holding: Holding, b: Bent) -> tuple[float, ...]:
    if holding.support == "trestles":
        places = sorted(r.station for r in b.reactions)
        return (places[0], places[-1])
    if holding.support in ("hands", "lifted"):
        return (si("rear_mm", holding.rear_mm), si("front_mm", holding.front_mm))
    return ()


def lean_message(lean: float) -> Message:
    """A lean [rad]: level, or so much up or down."""
    if abs(lean) < LEVEL:
        return Message("hold.lean.level")
    return Message("hold.lean.up" if lean > 0.0 else "hold.lean.down", lean=abs(lean))


def _state_message(length: float, holding: Holding) -> Message:
    parts = [Message("scene.hold.length", length=length), lean_message(si("lean_deg", holding.lean_deg))]
    if holding.head_g > 0.0:
        parts.append(Message("scene.hold.head", head=si("head_g", holding.head_g)))
    if holding.wind_m_s > 0.0:
        parts.append(Message("scene.hold.wind", wind=holding.wind_m_s))
    if holding.temperature_C is not None:
        parts.append(Message("scene.hold.temperature", temperature=si("temperature_C", holding.temperature_C)))
    return Message("scene.hold.state", parts=tuple(parts))


def _mouths(pole: Pole, state: State) -> FloatArray:
    """(n_section,) [m] from the butt, butt section first."""
    return np.cumsum(np.concatenate([[pole.tubes[-1].length], np.asarray(state.drawn)[::-1]]))


def _spans(pole: Pole, state: State) -> tuple[tuple[Span, int | None], ...]:
    """What is seen of each section from the butt, with the joint that draws it out."""
    mouths, sections = _mouths(pole, state), len(pole.tubes)
    out: list[tuple[Span, int | None]] = []
    for place, end in enumerate(mouths.tolist()):
        own = sections - 1 - place
        start = 0.0 if place == 0 else float(mouths[place - 1])
        outside = float(pole.tubes[own].outside.mean())
        label = Message("scene.hold.span", section=own + 1, seen=end - start)
        out.append((Span(start, max(end, start), outside, label, f"{own + 1}"), None if place == 0 else own))
    return tuple(out)


def split_parts(work: Workpiece, shape: HoldShape) -> tuple[tuple[SplitPart, ...], tuple[SplitPart, ...]]:
    """What each section and joint gives of the droop at its place on the pole; and what has no place: shear, root."""
    split, mouths = droop_split(shape.bent), _mouths(work.pole, shape.state)
    sections = len(work.pole.tubes)

    def part(start: float, end: float, value: float, name: Message) -> SplitPart:
        label, words = Message("split.number", droop=value), Message("split.part", name=name, droop=value)
        return SplitPart(start, end, value, label, words)

    placed = []
    for i, value in enumerate(split.section.tolist()):
        place = sections - 1 - i
        start = 0.0 if place == 0 else float(mouths[place - 1])
        name = Message("split.section", section=i + 1)
        placed.append(part(start, max(float(mouths[place]), start), value, name))
    for j, (spring, play) in enumerate(zip(split.spring.tolist(), split.play.tolist(), strict=True)):
        mouth = float(mouths[sections - 2 - j])
        placed.append(part(mouth, mouth, spring + play, Message("split.joint", inner=j + 1, outer=j + 2)))
    rest = [part(0.0, 0.0, split.shear, Message("split.shear"))]
    if abs(split.root) > 0.0:
        rest.append(part(0.0, 0.0, split.root, Message("split.root")))
    return tuple(placed), tuple(rest)
