"""The pole as somebody holds it: any reach, lean, support, head, hose and wind; what it does and what it asks."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from polewright.answers.hold_limits import section_limits
from polewright.answers.reach import reach_message
from polewright.answers.service import Warmth, beaufort, in_service, warmth_of
from polewright.codes import Message
from polewright.conventions.comfort import CarryClass, carry_class
from polewright.conventions.jerk import JERK
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.documents.hold import WIND_DRAG, Held, Holding, hold_state
from polewright.documents.values import Workpiece
from polewright.errors import DesignError, NotConverged
from polewright.materials.library import library
from polewright.pole.beam import Bent, bent
from polewright.pole.droop import droop_split
from polewright.pole.hands import Grip, Heft, grip, heft
from polewright.pole.joint import contact
from polewright.pole.margins import CONTACTS, Margin, Place, margins
from polewright.pole.modes import is_near_strokes, modes, settling_time
from polewright.pole.stability import push_limit, self_buckling_factor
from polewright.pole.state import Bench, Clamped, Foot, Hands, Lifted, State
from polewright.pole.wind import safe_reach, side_state, wind_load

__all__ = ["DAMPING", "Comfort", "DroopPart", "HoldAnswer", "JointPress", "SafeAnswer", "hold_answer"]

DAMPING = 0.02  # of critical
SHOWN = 12  # margins, the nearest first


@dataclass(frozen=True, slots=True)
class DroopPart:
    """What one cause gives of the droop [m]; number: of a section, or of the joint out of which that section draws."""

    kind: Literal["section", "joint", "play", "shear", "root"]
    number: int
    droop: float


@dataclass(frozen=True, slots=True)
class Comfort:
    """The load on the arms by the trade's experience: class of the carry moment, and limits that are passed.

    mass_limit [kg] that can be held all day; moment_limit [N m] of steady work at the front hand; None if kept.
    """

    carry: CarryClass
    mass_limit: float | None = None
    moment_limit: float | None = None


@dataclass(frozen=True, slots=True)
class JointPress:
    """Contact forces of a joint [N], what the walls there bear (None: no strength is known), its moment [N m]."""

    between: tuple[int, int]
    front: float
    back: float
    front_bears: float | None
    back_bears: float | None
    mouth_moment: float


@dataclass(frozen=True, slots=True)
class SafeAnswer:
    """How far the pole may be drawn out, thin end first, with every margin kept and a jerk counted in.

    state: "whole" (all of it), "stopped" (a limit is met), "no_balance" (none is found beyond), "not_even_closed" (a
    limit is passed pushed in), "unsolved" (no balance at all) or "on_glass". reach [m] and used [-] of the nearest
    limit are None where there is no such reach.
    """

    state: Literal["whole", "stopped", "no_balance", "not_even_closed", "unsolved", "on_glass"]
    reach: float | None = None
    used: float | None = None
    place: Place | None = None
    want: Message | str = ""


@dataclass(frozen=True, slots=True)
class HoldAnswer:
    """What the pole does in a hold.

    Lengths [m] from the butt or from where it is held, forces [N], moments [N m], frequencies [Hz]; None where the hold
    has no such figure. `strokes`: whether the free swing lies among scrub strokes, None for no swing. `weakest` and
    `pressed` (joint that presses harder than its walls bear) with a jerk counted in.
    """

    name: str
    reach: Message
    length: float
    lean: float
    support: Held
    droop: float
    tip_level: float
    tip_up: float
    bent_aside: bool
    split: tuple[DroopPart, ...]
    mass: float
    balance: float
    carry: float
    rear_hand: float | None
    front_hand: float | None
    hand_moment: float | None
    felt_mass: float | None
    comfort: Comfort
    swing: float | None
    swing_propped: float | None
    settles: float | None
    strokes: bool | None
    self_buckling_factor: float | None
    push_limit: float | None
    sway: float | None
    wind: float
    beaufort: int
    warmth: Warmth
    safe: SafeAnswer
    glass_push: float | None
    glass_drag: float | None
    joints: tuple[JointPress, ...]
    margins: tuple[Margin, ...]
    line_x: tuple[float, ...]
    line_z: tuple[float, ...]
    pressed: Margin | None
    jerk: float = JERK

    @property
    def weakest(self) -> Margin | None:
        """The place nearest to its limit, a jerk counted in; None if no limit is known."""
        near = self.margins[0]
        return near if math.isfinite(near.factor) else None


def hold_answer(design: Design, work: Workpiece, asked: Holding) -> HoldAnswer:
    """Every answer of one hold.

    Raises
    ------
    DocumentError : the hold makes no sense for this pole. NotConverged : no balance was found; no figure is given.
    """
    work = in_service(design, work, asked.temperature_C)
    state, b = _balance(design, work, asked)
    weight = heft(work.pole, state)
    hands = grip(b) if isinstance(state.support, Hands | Lifted) else None
    free = _swing(b, "free")
    checks = margins(b, section_limits(design, work), load_factor=JERK).checks
    push, drag = _glass(b)
    joints = len(work.pole.joints)
    return HoldAnswer(
        name=design.name,
        reach=Message("reach.own") if asked.drawn_mm else reach_message(asked.out or joints, joints),
        length=float(b.station[-1]),
        lean=state.lean,
        support=asked.support,
        droop=b.tip_droop,
        tip_level=b.tip[0],
        tip_up=b.tip[1],
        bent_aside=b.buckled,
        split=_split(b),
        mass=weight.mass,
        balance=weight.balance,
        carry=weight.carry_moment,
        rear_hand=None if hands is None else hands.rear_across,
        front_hand=None if hands is None else hands.front_across,
        hand_moment=None if hands is None else hands.moment,
        felt_mass=_felt_mass(weight, state),
        comfort=_comfort(weight, hands),
        swing=free,
        swing_propped=_swing(b, "pinned"),
        settles=None if free is None else settling_time(free, damping=DAMPING),
        strokes=None if free is None else is_near_strokes(free),
        self_buckling_factor=_finite(lambda: self_buckling_factor(work.pole, state)),
        push_limit=_finite(lambda: push_limit(work.pole, state)),
        sway=_sway(work, state, asked),
        wind=asked.wind_m_s,
        beaufort=beaufort(asked.wind_m_s),
        warmth=warmth_of(design, asked.temperature_C),
        safe=_safe(design, work, state, asked),
        glass_push=push,
        glass_drag=drag,
        joints=_joints(design, work, b),
        margins=checks[:SHOWN],
        line_x=tuple(float(x) for x in b.x),
        line_z=tuple(float(z) for z in b.z),
        pressed=next((m for m in checks if m.place.limit in CONTACTS and m.factor < 1.0), None),
    )


def _balance(design: Design, work: Workpiece, asked: Holding) -> tuple[State, Bent]:
    try:
        state = hold_state(design, work, asked)
        return state, bent(work.pole, state)
    except DocumentError:
        raise
    except DesignError as fault:
        raise DocumentError([Fault((fault.field, fault.given, fault.want))]) from fault


def _felt_mass(weight: Heft, state: State) -> float | None:
    hands = state.support
    return weight.felt_mass(hands.rear, hands.front) if isinstance(hands, Hands | Lifted) else None


def _safe(design: Design, work: Workpiece, state: State, asked: Holding) -> SafeAnswer:
    """The reach still safe in this wind at this temperature; wind in the pole's plane and square to it, the worse."""
    if not isinstance(state.support, Bench | Clamped | Hands | Lifted):
        return SafeAnswer("on_glass")
    wind = wind_load(np.array([0.0]), np.array([asked.wind_m_s]), drag=WIND_DRAG) if asked.wind_m_s > 0.0 else None
    try:
        found = safe_reach(work.pole, replace(state, wind=wind), limits=section_limits(design, work), load_factor=JERK)
    except DesignError as fault:
        return SafeAnswer("not_even_closed", place=fault.value if isinstance(fault.value, Place) else None)
    except NotConverged as fault:
        return SafeAnswer("unsolved", want=fault.want)
    place = found.stopped_by
    kind: Literal["whole", "stopped", "no_balance"] = (
        "whole" if place is None else "no_balance" if place.kind == "balance" else "stopped"
    )
    return SafeAnswer(kind, found.reach, found.used, place)


def _glass(b: Bent) -> tuple[float | None, float | None]:
    """[N] push of the head on an upright pane and its drag along it, positive if the pane holds the head up."""
    if not isinstance(b.state.support, Foot):
        return None, None
    return abs(b.reactions[-1].level), b.reactions[-1].upright


def _swing(b: Bent, head: Literal["free", "pinned"]) -> float | None:
    on_glass = isinstance(b.state.support, Foot)
    if on_glass and head == "free":
        return None  # the glass is there already
    for kind in (head, "free") if on_glass else (head,):  # an upright pole is held across by the glass alone
        try:
            found = modes(b, count=1, head=kind).frequency
        except (NotConverged, DesignError):
            continue
        if found.size:
            return float(found[0])
    return None


def _finite(find: Callable[[], float]) -> float | None:
    """A figure that may not exist for this hold: None then."""
    try:
        value = float(find())
    except (DesignError, NotConverged):
        return None
    return value if math.isfinite(value) else None


def _split(b: Bent) -> tuple[DroopPart, ...]:
    """Droop by section, joint springs, play, shear and root; adds up to the droop."""
    split = droop_split(b)
    rows = [DroopPart("section", i + 1, float(v)) for i, v in enumerate(split.section)]
    rows += [DroopPart("joint", i + 1, float(v)) for i, v in enumerate(split.spring)]
    rows += [DroopPart("play", 0, float(np.sum(split.play))), DroopPart("shear", 0, split.shear)]
    return (*rows, DroopPart("root", 0, split.root)) if abs(split.root) > 0.0 else tuple(rows)


def _comfort(weight: Heft, hands: Grip | None) -> Comfort:
    """What the workshop's own experience says of the load on the arms."""
    shelf = library()
    all_day = shelf.scalar("pole_hold_mass_all_day").value
    steady = shelf.scalar("pole_moment_two_hands_working").value
    return Comfort(
        carry_class(weight.carry_moment),
        all_day if weight.mass > all_day else None,
        steady if hands is not None and abs(hands.moment) > steady else None,
    )


def _sway(work: Workpiece, state: State, asked: Holding) -> float | None:
    """[m] of the tip sideways in the wind."""
    if asked.wind_m_s == 0.0 or isinstance(state.support, Foot | Lifted):
        return None
    wind = wind_load(np.array([0.0]), np.array([asked.wind_m_s]), drag=WIND_DRAG)
    return abs(bent(work.pole, side_state(state, wind)).tip_droop)


def _joints(design: Design, work: Workpiece, b: Bent) -> tuple[JointPress, ...]:
    if not b.pole.joints:
        return ()
    c, bears = contact(b), section_limits(design, work).contact
    return tuple(
        JointPress(
            between=(i + 1, i + 2),
            front=float(c.front[i]),
            back=float(c.back[i]),
            front_bears=_known(bears[i, 0]),
            back_bears=_known(bears[i, 1]),
            mouth_moment=float(c.mouth_moment[i]),
        )
        for i in range(len(b.pole.joints))
    )


def _known(limit: float) -> float | None:
    return float(limit) if math.isfinite(limit) else None
