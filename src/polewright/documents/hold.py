"""How a pole is held: any reach, lean, support, head, hose and wind, as asked; and the core's state for it."""

from dataclasses import replace
from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.document import Part
from polewright.documents.fields import (
    Angle,
    Friction,
    Hose,
    Length,
    Mass,
    NonNegativeLength,
    Push,
    SideForce,
    Temperature,
    WindSpeed,
)
from polewright.documents.files import DocumentError, Fault
from polewright.documents.values import Workpiece
from polewright.pole.state import Bench, Clamped, Foot, Hands, Lifted, State, Support
from polewright.pole.wind import wind_load
from polewright.units import si

__all__ = ["WIND_DRAG", "Held", "Holding", "hold_state"]

WIND_DRAG = 1.2  # of a round tube
Held = Literal["trestles", "clamped", "hands", "lifted", "head on glass"]
Warmth = Annotated[Temperature, Field(ge=-40.0, le=200.0)]


class Holding(Part):
    """How the pole is held. `out` sections drawn out from the tip (0: all), or `drawn_mm` one a joint, tip first.

    temperature_C is the pole's own, wet; left out, the pole is as tested. slide, friction and push_N are for a head on
    the glass: set down gently, moved up or down, or stuck there under a push.
    """

    out: Annotated[int, Field(ge=0, le=11)] = 0
    drawn_mm: tuple[NonNegativeLength, ...] = ()
    lean_deg: Angle = 0.0
    support: Held = "trestles"
    rear_mm: NonNegativeLength = 100.0
    front_mm: Length = 1000.0
    head_g: Mass = 0.0
    hose_g_m: Hose = 0.0
    wind_m_s: WindSpeed = 0.0
    temperature_C: Warmth | None = None
    slide: Literal["free", "up", "down", "stuck"] = "free"
    friction_pct: Friction = 40.0
    push_N: Push = 0.0
    along_N: SideForce = 0.0
    across_N: SideForce = 0.0


def hold_state(design: Design, work: Workpiece, asked: Holding) -> State:
    """The core's state for a hold.

    Raises
    ------
    DocumentError : drawn further than the overlap allows, hands off the pole, or a push or slide of a head on the glass
        where no head stands there.
    """
    pole = work.pole
    joints = len(pole.joints)
    if asked.drawn_mm:
        if len(asked.drawn_mm) != joints:
            raise DocumentError(
                [
                    Fault(
                        (
                            "drawn_mm",
                            Message("given.so_many_lengths", count=len(asked.drawn_mm)),
                            Message("want.one_length_a_joint", count=joints),
                        )
                    )
                ]
            )
        drawn = np.array([si("drawn_mm", d) for d in asked.drawn_mm])
    else:
        if asked.out > joints:
            raise DocumentError([Fault(("out", str(asked.out), Message("want.sections_out", most=joints)))])
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
        state = replace(state, wind=wind_load(np.array([0.0]), np.array([asked.wind_m_s]), drag=WIND_DRAG))
    return state


def _support(design: Design, asked: Holding) -> Support:
    rear, front = si("rear_mm", asked.rear_mm), si("front_mm", asked.front_mm)
    if asked.support in ("hands", "lifted") and front <= rear:
        raise DocumentError(
            [Fault(("front_mm", Message("bound.length", value=front), Message("want.above_rear_hand", least=rear)))]
        )
    if asked.support != "head on glass":
        _refuse_head(asked)
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


def _refuse_head(asked: Holding) -> None:
    """What belongs to a head on the glass is refused where there is none, and not left out in silence."""
    faults = []
    if asked.push_N > 0.0:
        faults.append(Fault(("push_N", Message("bound.force", value=asked.push_N), Message("want.no_push_off_glass"))))
    if asked.slide != "free":
        faults.append(Fault(("slide", repr(asked.slide), Message("want.no_slide_off_glass"))))
    if faults:
        raise DocumentError(faults)


def _foot(asked: Holding) -> Foot:
    if asked.push_N > 0.0 and asked.slide != "stuck":
        raise DocumentError(
            [Fault(("push_N", Message("bound.force", value=asked.push_N), Message("want.no_push_unless_stuck")))]
        )
    return Foot(friction=si("friction_pct", asked.friction_pct), slide=asked.slide, push=asked.push_N)
