"""The pole in a hold, as it is published: figures in the workshop's units, texts of a reader."""

import math
from collections.abc import Sequence
from typing import Literal, Protocol

from polewright.answers.hold import HoldAnswer, JointPress, SafeAnswer
from polewright.answers.spend import Spending
from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.documents.document import Document, Part
from polewright.pole.margins import Margin
from polewright.units import to
from polewright.words.hold import (
    comfort_text,
    part_name,
    place_text,
    pressed_text,
    safe_text,
    strokes_text,
    warmth_text,
    weakest_text,
    wind_text,
)
from polewright.words.reader import Reader
from polewright.words.reports.plain import plain_text
from polewright.words.reports.spend import SpendingFigures, spending_figures

__all__ = ["HoldBand", "HoldFigures", "JointForce", "MarginFigure", "SafeFigure", "band_figures", "hold_figures"]

MOST_FACTOR, MOST_LIMIT = 1e9, 1e12  # written where there is no end: JSON has no infinity


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
    """What the pole does in this hold, and what one more axial turn in each section would save."""

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
    where_to_spend: tuple[SpendingFigures, ...] = ()


class Band(Protocol):
    """Where copies lie: along, least, most (n,) [m], and what is said of it."""

    @property
    def along(self) -> FloatArray:
        """(n,) [m] along the root axis."""

    @property
    def least(self) -> FloatArray:
        """(n,) [m] below it."""

    @property
    def most(self) -> FloatArray:
        """(n,) [m] below it."""

    @property
    def label(self) -> Message | str:
        """The band in words."""


class HoldBand(Document):
    """Where 95 of 100 copies of a held pole lie: least and most below the root axis, by place along it."""

    document: Literal["hold-band"] = "hold-band"
    says: str
    along_mm: tuple[float, ...]
    least_mm: tuple[float, ...]
    most_mm: tuple[float, ...]


def band_figures(band: Band, reader: Reader) -> HoldBand:
    """The band as it is published; figures are metric for every reader."""
    says = band.label if isinstance(band.label, str) else Reader(reader.language).text(band.label)
    return HoldBand(
        says=plain_text(says),
        along_mm=tuple(to(float(v), "mm") for v in band.along),
        least_mm=tuple(to(float(v), "mm") for v in band.least),
        most_mm=tuple(to(float(v), "mm") for v in band.most),
    )


def hold_figures(answer: HoldAnswer, reader: Reader, *, spending: Sequence[Spending] = ()) -> HoldFigures:
    """The answer as it is published, its texts for a reader; figures are metric for every reader."""
    reader = Reader(reader.language)
    return HoldFigures(
        name=answer.name,
        reach=plain_text(reader.text(answer.reach)),
        length_mm=to(answer.length, "mm"),
        lean_deg=to(answer.lean, "°"),
        support=answer.support,
        droop_mm=to(answer.droop, "mm"),
        tip_level_mm=to(answer.tip_level, "mm"),
        tip_up_mm=to(answer.tip_up, "mm"),
        bent_aside=answer.bent_aside,
        split=tuple((plain_text(part_name(p, reader)), to(p.droop, "mm")) for p in answer.split),
        mass_g=to(answer.mass, "g"),
        balance_mm=to(answer.balance, "mm"),
        carry_kg_m=answer.carry,
        rear_hand_N=answer.rear_hand,
        front_hand_N=answer.front_hand,
        hand_moment_N_m=answer.hand_moment,
        felt_mass_g=None if answer.felt_mass is None else to(answer.felt_mass, "g"),
        swing_Hz=answer.swing,
        swing_propped_Hz=answer.swing_propped,
        settles_s=answer.settles,
        self_buckling_factor=answer.self_buckling_factor,
        push_limit_N=answer.push_limit,
        sway_mm=None if answer.sway is None else to(answer.sway, "mm"),
        wind_m_s=answer.wind,
        safe_reach=_safe(answer.safe, reader),
        glass_push_N=answer.glass_push,
        glass_drag_N=answer.glass_drag,
        joints=tuple(_joint(j) for j in answer.joints),
        margins=tuple(_margin(m, reader) for m in answer.margins),
        line_x_mm=tuple(to(x, "mm") for x in answer.line_x),
        line_z_mm=tuple(to(z, "mm") for z in answer.line_z),
        where_to_spend=tuple(spending_figures(row) for row in spending),
        **{name: plain_text(text) for name, text in _texts(answer, reader).items()},
    )


def _texts(answer: HoldAnswer, reader: Reader) -> dict[str, str]:
    """The sentences of the report by its fields."""
    comfort = reader.say("report.hold.carry", carry=answer.carry, comfort=comfort_text(answer, reader))
    strokes = strokes_text(answer, reader)
    if answer.swing is not None:
        strokes = reader.say("report.hold.strokes", swing=answer.swing, strokes=strokes)
    return {
        "comfort": comfort,
        "strokes": strokes,
        "wind": wind_text(answer, reader),
        "warmth": warmth_text(answer, reader),
        "safe_words": safe_text(answer, reader),
        "weakest": weakest_text(answer, reader),
        "advice": pressed_text(answer.pressed, reader),
    }


def _safe(safe: SafeAnswer, reader: Reader) -> SafeFigure | None:
    if safe.reach is None or safe.used is None:
        return None
    stopped = "" if safe.place is None else plain_text(place_text(safe.place, reader))
    return SafeFigure(reach_mm=to(safe.reach, "mm"), stopped_by=stopped, used_pct=to(safe.used, "%"))


def _joint(joint: JointPress) -> JointForce:
    return JointForce(
        between=joint.between,
        front_N=joint.front,
        back_N=joint.back,
        front_bears_N=joint.front_bears,
        back_bears_N=joint.back_bears,
        mouth_moment_N_m=joint.mouth_moment,
    )


def _margin(margin: Margin, reader: Reader) -> MarginFigure:
    place = margin.place
    factor = margin.factor if math.isfinite(margin.factor) else MOST_FACTOR
    return MarginFigure(
        place=plain_text(reader.say(f"where.{place.kind}", number=place.number, outer=place.number + 1)),
        what=plain_text(reader.say(f"limit.{place.limit}")),
        load=margin.load,
        limit=min(margin.limit, MOST_LIMIT),
        factor=min(factor, MOST_FACTOR),
    )
