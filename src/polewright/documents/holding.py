"""The pole as somebody holds it: any reach, lean, support, head, hose and wind; what it does and what it asks."""

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from polewright.documents.design import Design
from polewright.documents.document import Document, Part
from polewright.documents.fields import Angle, Length, Mass, NonNegativeLength, Temperature
from polewright.documents.files import DocumentError, Fault
from polewright.documents.held_limits import section_limits
from polewright.documents.held_service import in_service, safe_reach_of, warmth_words, wind_words
from polewright.documents.pole_figures import JERK, reach_name
from polewright.documents.values import Workpiece
from polewright.errors import DesignError, NotConverged
from polewright.materials.library import library
from polewright.pole.beam import Bent, bent
from polewright.pole.droop import droop_split
from polewright.pole.hands import grip, heft
from polewright.pole.joint import contact
from polewright.pole.margins import CONTACTS, Margin, Margins, margins
from polewright.pole.modes import is_near_strokes, modes, settling_time
from polewright.pole.stability import push_limit, self_buckling_factor
from polewright.pole.state import Bench, Clamped, Foot, Hands, Lifted, State, Support
from polewright.pole.wind import NO_BALANCE, SafeReach, side_state, wind_load
from polewright.units import si, to

__all__ = ["HoldFigures", "Holding", "JointForce", "MarginFigure", "hold_figures", "holding_state", "section_limits"]

DRAG, DAMPING = 1.2, 0.02
Warmth = Annotated[Temperature, Field(ge=-40.0, le=200.0)]


class Holding(Part):
    """How the pole is held. `out` sections drawn out from the tip (0: all), or `drawn_mm` one a joint, tip first.

    temperature_C is the pole's own, wet; left out, the pole is as tested. slide, friction and push_N are for a head on
    the glass: set down gently, moved up or down, or stuck there under a push.
    """

    out: Annotated[int, Field(ge=0, le=11)] = 0
    drawn_mm: tuple[NonNegativeLength, ...] = ()
    lean_deg: Angle = 0.0
    support: Literal["trestles", "clamped", "hands", "lifted", "head on glass"] = "trestles"
    rear_mm: NonNegativeLength = 100.0
    front_mm: Length = 1000.0
    head_g: Mass = 0.0
    hose_g_m: Annotated[float, Field(ge=0.0, le=2000.0)] = 0.0
    wind_m_s: Annotated[float, Field(ge=0.0, le=40.0)] = 0.0
    temperature_C: Warmth | None = None
    slide: Literal["free", "up", "down", "stuck"] = "free"
    friction_pct: Annotated[float, Field(ge=0.0, le=300.0)] = 40.0
    push_N: Annotated[float, Field(ge=0.0, le=500.0)] = 0.0
    along_N: Annotated[float, Field(ge=-500.0, le=500.0)] = 0.0
    across_N: Annotated[float, Field(ge=-500.0, le=500.0)] = 0.0


class JointForce(Part):
    """A joint's contact forces, what the walls there bear of them (None: no strength is known), and its moment."""

    between: tuple[int, int]
    front_N: float
    back_N: float
    front_bears_N: float | None
    back_bears_N: float | None
    mouth_moment_N_m: float


class MarginFigure(Part):
    """One check of a place: how many times its load it bears."""

    place: str
    what: str
    load: float
    limit: float
    factor: float


class SafeFigure(Part):
    """How far the pole may be drawn out, thin end first, with every margin kept and a jerk counted in.

    stopped_by: place and limit that end it, empty if the whole pole is safe. used_pct: nearest margin there.
    """

    reach_mm: float
    stopped_by: str
    used_pct: float


class HoldFigures(Document):
    """What the pole does in this hold."""

    document: Literal["hold-figures"] = "hold-figures"
    name: str
    reach: str
    length_mm: float
    lean_deg: float
    support: str
    droop_mm: float
    tip_level_mm: float
    tip_up_mm: float
    bent_aside: bool
    split: tuple[tuple[str, float], ...]
    mass_g: float
    balance_mm: float
    carry_kg_m: float
    rear_hand_N: float | None
    front_hand_N: float | None
    hand_moment_N_m: float | None
    felt_mass_g: float | None
    comfort: str
    swing_Hz: float | None
    swing_propped_Hz: float | None
    settles_s: float | None
    strokes: str
    self_buckling_factor: float | None
    push_limit_N: float | None
    sway_mm: float | None
    wind_m_s: float
    wind: str
    warmth: str
    safe_reach: SafeFigure | None
    safe_words: str
    glass_push_N: float | None
    glass_drag_N: float | None
    joints: tuple[JointForce, ...]
    margins: tuple[MarginFigure, ...]
    weakest: str
    advice: str
    line_x_mm: tuple[float, ...]
    line_z_mm: tuple[float, ...]


def holding_state(design: Design, work: Workpiece, asked: Holding) -> State:
    """The core's state for a hold.

    Raises
    ------
    DocumentError : drawn further than the overlap allows, or hands off the pole.
    """
    pole = work.pole
    joints = len(pole.joints)
    if asked.drawn_mm:
        if len(asked.drawn_mm) != joints:
            raise DocumentError([Fault(("drawn_mm", f"{len(asked.drawn_mm)} lengths", f"{joints}, one a joint"))])
        drawn = np.array([si("drawn_mm", d) for d in asked.drawn_mm])
    else:
        if asked.out > joints:
            raise DocumentError([Fault(("out", str(asked.out), f"0 to {joints}; 0 means all sections drawn out"))])
        drawn = State.out(pole, asked.out or joints).drawn
    state = State(
        drawn=drawn,
        lean=si("lean_deg", asked.lean_deg),
        support=_support(design, asked),
        head_mass=si("head_g", asked.head_g),
        hose=si("hose_g_m", asked.hose_g_m),
        tip_force=np.array([asked.along_N, asked.across_N]),
    )
    if asked.wind_m_s > 0.0 and asked.support != "head on glass":
        state = replace(state, wind=wind_load(np.array([0.0]), np.array([asked.wind_m_s]), drag=DRAG))
    return state


def _support(design: Design, asked: Holding) -> Support:
    rear, front = si("rear_mm", asked.rear_mm), si("front_mm", asked.front_mm)
    if asked.support in ("hands", "lifted") and front <= rear:
        raise DocumentError([Fault(("front_mm", f"{asked.front_mm:g}", f"above rear_mm, which is {asked.rear_mm:g}"))])
    match asked.support:
        case "trestles":
            return Bench(distance=si("prop_mm", design.setting.prop_mm))
        case "clamped":
            return Clamped()
        case "hands":
            return Hands(rear=rear, front=front)
        case "lifted":
            return Lifted(rear=rear, front=front)
        case _:
            return _foot(asked)


def _foot(asked: Holding) -> Foot:
    if asked.push_N > 0.0 and asked.slide != "stuck":
        raise DocumentError([Fault(("push_N", f"{asked.push_N:g}", "zero unless the head is stuck; else it is found"))])
    return Foot(friction=si("friction_pct", asked.friction_pct), slide=asked.slide, push=asked.push_N)


def hold_figures(design: Design, work: Workpiece, asked: Holding) -> HoldFigures:
    """Every answer of one hold.

    Raises
    ------
    DocumentError : the hold makes no sense for this pole. NotConverged : no balance was found; no figure is given.
    """
    work = in_service(design, work, asked.temperature_C)
    try:
        state = holding_state(design, work, asked)
        b = bent(work.pole, state)
    except DocumentError:
        raise
    except DesignError as fault:
        raise DocumentError([Fault((fault.field, fault.given, fault.want))]) from fault
    weight = heft(work.pole, state)
    held = grip(b) if isinstance(state.support, Hands | Lifted) else None
    felt = None
    if isinstance(state.support, Hands | Lifted):
        felt = to(weight.felt_mass(state.support.rear, state.support.front), "g")
    free, propped = _swing(b, "free"), _swing(b, "pinned")
    checks = _margins(design, work, b)
    out = asked.out or len(work.pole.joints)
    safe, safe_words = _safe(design, work, state, asked)
    push, drag = _glass(b)
    return HoldFigures(
        name=design.name,
        reach="as drawn" if asked.drawn_mm else reach_name(out, len(work.pole.joints)),
        length_mm=to(float(b.station[-1]), "mm"),
        lean_deg=asked.lean_deg,
        support=asked.support,
        droop_mm=to(b.tip_droop, "mm"),
        tip_level_mm=to(b.tip[0], "mm"),
        tip_up_mm=to(b.tip[1], "mm"),
        bent_aside=b.buckled,
        split=_split(b),
        mass_g=to(weight.mass, "g"),
        balance_mm=to(weight.balance, "mm"),
        carry_kg_m=weight.carry_moment,
        rear_hand_N=None if held is None else held.rear_across,
        front_hand_N=None if held is None else held.front_across,
        hand_moment_N_m=None if held is None else held.moment,
        felt_mass_g=felt,
        comfort=_comfort(weight.mass, weight.carry_moment, None if held is None else held.moment),
        swing_Hz=free,
        swing_propped_Hz=propped,
        settles_s=None if free is None else settling_time(free, damping=DAMPING),
        strokes=_strokes(free),
        self_buckling_factor=_finite(lambda: self_buckling_factor(work.pole, state)),
        push_limit_N=_finite(lambda: push_limit(work.pole, state)),
        sway_mm=_sway(work, state, asked),
        wind_m_s=asked.wind_m_s,
        wind=wind_words(asked.wind_m_s),
        warmth=warmth_words(design, asked.temperature_C),
        safe_reach=safe,
        safe_words=safe_words,
        glass_push_N=push,
        glass_drag_N=drag,
        joints=_joints(design, work, b),
        margins=tuple(_figure(m) for m in checks.checks[:12]),
        weakest=_weakest(checks),
        advice=_advice(checks),
        line_x_mm=tuple(to(float(x), "mm") for x in b.x),
        line_z_mm=tuple(to(float(z), "mm") for z in b.z),
    )


def _safe(design: Design, work: Workpiece, state: State, asked: Holding) -> tuple[SafeFigure | None, str]:
    """The reach still safe in this wind at this temperature, and in words."""
    wind = wind_load(np.array([0.0]), np.array([asked.wind_m_s]), drag=DRAG) if asked.wind_m_s > 0.0 else None
    try:
        found = safe_reach_of(design, work, state, wind=wind, jerk=JERK)
    except DesignError as fault:
        return None, f"not even the pushed-in pole keeps its margins: {fault.value}"
    except NotConverged as fault:
        return None, f"no balance was found for the drawn-out pole: {fault.want}"
    if found is None:
        return None, "with the head on the glass the reach is what the wall gives"
    return _safe_figure(found), _safe_said(found)


def _safe_figure(found: SafeReach) -> SafeFigure:
    return SafeFigure(reach_mm=to(found.reach, "mm"), stopped_by=found.limit, used_pct=to(found.used, "%"))


def _safe_said(found: SafeReach) -> str:
    if not found.limit:
        return f"all of it, with {found.used:.0%} of the nearest limit used"
    return "no balance is found beyond" if found.limit == NO_BALANCE else f"then {found.limit} is at its limit"


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


def _split(b: Bent) -> tuple[tuple[str, float], ...]:
    """Droop in mm by section, joint springs, play and shear; adds up to the droop."""
    split = droop_split(b)
    rows = [(f"S{i + 1}", to(float(v), "mm")) for i, v in enumerate(split.section)]
    rows += [(f"joint S{i + 1}/S{i + 2}", to(float(v), "mm")) for i, v in enumerate(split.spring)]
    rows += [("joint play", to(float(np.sum(split.play)), "mm")), ("shear", to(split.shear, "mm"))]
    return (*rows, ("root", to(split.root, "mm"))) if abs(split.root) > 0.0 else tuple(rows)


def _comfort(mass: float, carry: float, moment: float | None) -> str:
    """What the workshop's own experience says of the load on the arms."""
    shelf = library()
    all_day = shelf.scalar("pole_hold_mass_all_day").value
    steady = shelf.scalar("pole_moment_two_hands_working").value
    said = "pleasant all day" if carry < 3.0 else "tiring" if carry <= 6.0 else "two-handed short spells"
    words = f"carry moment {carry:.1f} kg m: {said} (default, not measured here)"
    if mass > all_day:
        words += f"; {mass:.1f} kg is above the {all_day:g} kg to hold all day"
    if moment is not None and abs(moment) > steady:
        words += f"; {abs(moment):.0f} N m at the front hand is above the {steady:g} N m of steady work"
    return words


def _strokes(free: float | None) -> str:
    if free is None:
        return "no free swing found"
    if is_near_strokes(free):
        return f"{free:.2f} Hz lies among scrub strokes of 0.7 to 1.5 Hz: it will whip"
    return f"{free:.2f} Hz lies clear of scrub strokes of 0.7 to 1.5 Hz"


def _sway(work: Workpiece, state: State, asked: Holding) -> float | None:
    """[mm] of the tip sideways in the wind."""
    if asked.wind_m_s == 0.0 or isinstance(state.support, Foot | Lifted):
        return None
    wind = wind_load(np.array([0.0]), np.array([asked.wind_m_s]), drag=DRAG)
    return abs(to(bent(work.pole, side_state(state, wind)).tip_droop, "mm"))


def _joints(design: Design, work: Workpiece, b: Bent) -> tuple[JointForce, ...]:
    if not b.pole.joints:
        return ()
    c, bears = contact(b), section_limits(design, work).contact
    return tuple(
        JointForce(
            between=(i + 1, i + 2),
            front_N=float(c.front[i]),
            back_N=float(c.back[i]),
            front_bears_N=_known(bears[i, 0]),
            back_bears_N=_known(bears[i, 1]),
            mouth_moment_N_m=float(c.mouth_moment[i]),
        )
        for i in range(len(b.pole.joints))
    )


def _known(limit: float) -> float | None:
    return float(limit) if math.isfinite(limit) else None


def _weakest(found: Margins) -> str:
    """The place nearest to its limit in words."""
    near = found.weakest
    if not math.isfinite(near.factor):
        return "no limit is known"
    return f"{near.place}, {near.what}: bears {near.factor:.1f} times its load, a jerk of {JERK:g} counted in"


def _advice(found: Margins) -> str:
    """What would help where a joint presses harder than its walls bear; else nothing."""
    weak = [m for m in found.checks if m.what in CONTACTS and m.factor < 1.0]
    if not weak:
        return ""
    first = weak[0]
    end = "mouth of the outer tube" if first.what == CONTACTS[0] else "butt end of the inner tube"
    return (
        f"{first.place}: lengthen the overlap, or add a hoop turn at the {end}; {first.load:.0f} N presses there "
        f"with a jerk and {first.limit:.0f} N is borne"
    )


def _margins(design: Design, work: Workpiece, b: Bent) -> Margins:
    return margins(b, section_limits(design, work), load_factor=JERK)


def _figure(m: Margin) -> MarginFigure:
    factor = m.factor if math.isfinite(m.factor) else 1e9
    return MarginFigure(place=m.place, what=m.what, load=m.load, limit=min(m.limit, 1e12), factor=min(factor, 1e9))
