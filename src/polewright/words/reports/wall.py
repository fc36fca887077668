"""One section's wall as it is published: figures in the workshop's units, texts of a reader."""

from typing import Literal

from polewright.answers.sections import BandWindow
from polewright.answers.wall_changes import ChangeEffect, Slope
from polewright.answers.wall_detail import LimitAnswer, SqueezeAnswer, Tier, WallAnswer
from polewright.answers.wall_strength import FaceStress, PlyReserve, ThroughStress
from polewright.codes import Message
from polewright.conventions.collars import CollarKind
from polewright.documents.document import Document, Part
from polewright.units import to
from polewright.wall.collar import WallEnd
from polewright.words.check import stack_text
from polewright.words.clamps import break_text, collar_name, ends_text
from polewright.words.findings import ruling_text
from polewright.words.reader import Reader
from polewright.words.report_fields import published
from polewright.words.reports.plain import plain_text
from polewright.words.wall import TIERS, change_text, first_ply_text, squeeze_text, step_text, tier_name, why_texts

__all__ = [
    "ChangeFigures",
    "LimitFigures",
    "PlyFigures",
    "PlyStress",
    "ReserveFigures",
    "SlopeFigures",
    "SqueezeFigures",
    "ThroughPoint",
    "Tiers",
    "WallFigures",
    "WhyWall",
    "wall_figures",
]

STRENGTHS: dict[str, Literal["design values", "lab means", "unknown"]] = {
    "design": "design values",
    "lab": "lab means",
    "unknown": "unknown",
}
QUIET = 9  # decimals of a stress in MPa: what lies beyond is left of a zero


class Tiers(Part):
    """One figure by thin-wall theory and by the exact layered tube."""

    name: str
    unit: str
    thin: float
    exact: float


class LimitFigures(Part):
    """One way a wall ends; `load` has the knock-down in."""

    under: Literal["bending", "push"]
    name: str
    unit: str
    perfect: float
    knock_down: float
    load: float
    range: str
    is_in_range: bool
    is_first: bool


class SqueezeFigures(Part):
    """Pressed from two sides until the first ply breaks; beyond a tenth of the bore the figure is a guide only."""

    how: str
    force_N: float
    closure_mm: float
    stiffness_N_mm: float
    breaks: str
    is_large: bool


class ReserveFigures(Part):
    """Times the reference moment at first failure, by one criterion; None where nothing breaks at any multiple."""

    strengths: Literal["design values", "lab means"]
    criterion: str
    cure_in: float | None
    cure_in_breaks: str
    cure_out: float | None
    cure_out_breaks: str


class PlyStress(Part):
    """Stress of one layer at one face, ply axes: from cooling, and of the reference moment on the pulled side."""

    layer: int
    face: Literal["bore side", "outer"]
    prepreg: str
    angle_deg: float
    cure_along_fibre_MPa: float
    cure_across_MPa: float
    cure_shear_MPa: float
    bending_along_fibre_MPa: float
    bending_across_MPa: float
    bending_shear_MPa: float
    reserve: float | None
    mode: str


class ThroughPoint(Part):
    """Stress at one place through the wall in tube axes, pulled side: reference moment alone, and cooling alone."""

    radius_mm: float
    layer: int
    bending_along_MPa: float
    bending_around_MPa: float
    bending_through_MPa: float
    cure_along_MPa: float
    cure_around_MPa: float
    cure_through_MPa: float


class PlyFigures(Part):
    """What one ply earns: its share of each figure in percent; each column adds up to 100."""

    wrap: int  # the ply, from 1 at the bore: the name programs know
    prepreg: str
    angle_deg: float
    turns: float
    along_pct: float
    around_pct: float
    twist_pct: float
    mass_pct: float
    cost_pct: float


class ChangeFigures(Part):
    """One ply taken out, rotated or thickened, and the change of each figure in percent; cost per metre of tube."""

    wrap: int  # the ply, from 1 at the bore: the name programs know
    what: str
    axial_pct: float
    bending_pct: float
    twist_pct: float
    ring_pct: float
    flattening_pct: float
    mass_pct: float
    wall_mm: float
    cost_per_m: float


class SlopeFigures(Part):
    """Exact slope: percent of each figure for one percent of a parameter of one ply, for an angle for one degree."""

    wrap: int  # the ply, from 1 at the bore: the name programs know
    parameter: str
    step: str
    axial_pct: float
    bending_pct: float
    twist_pct: float
    shear_pct: float
    ring_pct: float
    flattening_pct: float
    mass_pct: float


class CollarFigures(Part):
    """Band tensions under one make of clamp: what ends the wall, first crack of the resin (0: the cure cracks it),
    first broken fibre, collapse; None where unknown or not before the wall ends; and which ply breaks where.
    """

    kind: CollarKind
    name: str
    least_N: float
    most_N: float
    is_open: bool
    ends: WallEnd
    crack_N: float | None
    fibre_N: float | None
    collapse_N: float | None
    crack_at: str
    fibre_at: str


class WhyWall(Part):
    """Where a group of figures comes from."""

    figures: str
    words: str
    source: str


class WallFigures(Document):
    """All figures of one section's wall."""

    document: Literal["wall-figures"] = "wall-figures"
    name: str
    section: int
    stack: str
    bore_mm: float
    outside_mm: float
    wall_mm: float
    mass_per_length_g_m: float
    strengths: Literal["design values", "lab means", "unknown"]
    tiers: tuple[Tiers, ...]
    shear_coefficient: float
    band_least_N: float
    band_most_N: float
    band_words: str
    collars: tuple[CollarFigures, ...]
    squeezes: tuple[SqueezeFigures, ...]
    limits: tuple[LimitFigures, ...]
    fails_first_bending: str
    fails_first_push: str
    reference_moment_N_m: float
    first_ply_N_m: float | None
    first_ply_words: str
    last_ply_N_m: float | None
    last_ply_steps: tuple[str, ...]
    reserves: tuple[ReserveFigures, ...]
    stresses: tuple[PlyStress, ...]
    through: tuple[ThroughPoint, ...]
    cold_bore_mm: float
    cold_outside_mm: float
    length_change_mm: float
    twist_after_cure_deg: float
    release_gap_mm: float
    grip_MPa: float
    pull_off_at_most_kN: float
    release_words: str
    seam_starts_deg: tuple[float, ...]
    seam_peak_to_peak_pct: float
    seam_spine_deg: float
    seam_bow_mm: float
    earns: tuple[PlyFigures, ...]
    changes: tuple[ChangeFigures, ...]
    slopes: tuple[SlopeFigures, ...]
    rules: tuple[str, ...]
    why: tuple[WhyWall, ...]


def wall_figures(answer: WallAnswer, reader: Reader) -> WallFigures:
    """The answer as it is published, its texts for a reader; figures are metric for every reader."""
    reader = Reader(reader.language)
    first = dict(answer.first)
    return published(
        WallFigures,
        answer,
        strengths=STRENGTHS[answer.strengths],
        stack=stack_text(answer.stack),
        earns=tuple(published(PlyFigures, share, wrap=share.ply) for share in answer.earns),
        rules=tuple(_plain(ruling_text(r, reader)) for r in answer.rules),
        tiers=tuple(_tier(t, reader) for t in answer.tiers),
        limits=tuple(_limit(limit, reader) for limit in answer.limits),
        fails_first_bending=_text(f"wall.limit.{first['bending']}", reader),
        fails_first_push=_text(f"wall.limit.{first['push']}", reader),
        reserves=tuple(_reserve(r, reader) for r in answer.reserves),
        through=tuple(_through(p) for p in answer.through),
        changes=tuple(_change(c, reader) for c in answer.changes),
        slopes=tuple(_slope(s, reader) for s in answer.slopes),
        why=tuple(WhyWall(figures=w.name, words=_plain(w.words), source=w.source) for w in why_texts(reader)),
        **_round(answer, reader),
        **_strength(answer, reader),
        **_made(answer, reader),
    )


def _plain(text: str) -> str:
    """As published, a per cent apart from its number."""
    return plain_text(text.replace("\u202f%", " %"))


def _text(code: str, reader: Reader) -> str:
    return _plain(reader.say(code))


def _message(message: Message, reader: Reader) -> str:
    return _plain(reader.text(message))


def _tier(tier: Tier, reader: Reader) -> Tiers:
    unit = TIERS[tier.key].unit
    thin, exact = (v if TIERS[tier.key].is_coupling else to(v, unit) for v in (tier.thin, tier.exact))
    return Tiers(name=_plain(tier_name(tier.key, reader)), unit=unit, thin=thin, exact=exact)


def _limit(limit: LimitAnswer, reader: Reader) -> LimitFigures:
    unit = "N m" if limit.under == "bending" else "kN"
    return published(
        LimitFigures,
        limit,
        name=_text(f"wall.limit.{limit.name}", reader),
        unit=unit,
        perfect=to(limit.perfect, unit),
        load=to(limit.load, unit),
        range=_message(limit.range, reader),
    )


def _reserve(row: PlyReserve, reader: Reader) -> ReserveFigures:
    return published(
        ReserveFigures,
        row,
        strengths=STRENGTHS[row.strengths],
        criterion=_text(f"criterion.{row.criterion}", reader),
        cure_in=row.cure_in,
        cure_out=row.cure_out,
        cure_in_breaks=_message(row.broken_in, reader),
        cure_out_breaks=_message(row.broken_out, reader),
    )


def _through(point: ThroughStress) -> ThroughPoint:
    ways = ("along", "around", "through")
    return published(
        ThroughPoint, point, **_stresses("bending", ways, point.bending), **_stresses("cure", ways, point.cure)
    )


def _stresses(load: str, ways: tuple[str, ...], stress: tuple[float, ...]) -> dict[str, float]:
    return {f"{load}_{way}_MPa": round(to(v, "MPa"), QUIET) for way, v in zip(ways, stress, strict=True)}


def _change(change: ChangeEffect, reader: Reader) -> ChangeFigures:
    return published(
        ChangeFigures, change, wrap=change.ply, what=_plain(change_text(change.what, reader)), cost_per_m=change.cost
    )


def _slope(slope: Slope, reader: Reader) -> SlopeFigures:
    step = "wall.step.angle" if slope.parameter == "angle" else "wall.step.share"
    return published(SlopeFigures, slope, wrap=slope.ply, step=_text(step, reader))


def _round(answer: WallAnswer, reader: Reader) -> dict[str, object]:
    r = answer.round
    return {
        "band_least_N": r.clamp.least,
        "band_most_N": r.clamp.most,
        "band_words": _plain(ends_text(r.clamp.ends, r.clamp.most, reader)),
        "collars": tuple(_collar(c, reader) for c in r.collars),
        "squeezes": tuple(_squeeze(s, reader) for s in r.squeezes),
    }


def _collar(c: BandWindow, reader: Reader) -> CollarFigures:
    crack, fibre = (_plain(break_text(place, c.kind, reader)) for place in (c.crack_at, c.fibre_at))
    return published(CollarFigures, c, name=_plain(collar_name(c.kind, reader)), crack_at=crack, fibre_at=fibre)


def _squeeze(s: SqueezeAnswer, reader: Reader) -> SqueezeFigures:
    how, breaks = _plain(squeeze_text(s, reader)), _message(s.broken, reader)
    return published(SqueezeFigures, s, how=how, breaks=breaks)


def _strength(answer: WallAnswer, reader: Reader) -> dict[str, object]:
    s = answer.strength
    return {
        "first_ply_N_m": None if s is None else s.first.moment,
        "first_ply_words": _plain(first_ply_text(s, reader)),
        "last_ply_N_m": None if s is None else s.last,
        "last_ply_steps": () if s is None else tuple(_plain(step_text(step, reader)) for step in s.steps),
        "stresses": () if s is None else tuple(_stress(row, reader) for row in s.stresses),
    }


def _stress(row: FaceStress, reader: Reader) -> PlyStress:
    ways = ("along_fibre", "across", "shear")
    return published(
        PlyStress,
        row,
        face="outer" if row.face == "outer" else "bore side",
        mode=_text(f"failure.mode.{row.mode}", reader),
        **_stresses("cure", ways, row.cure),
        **_stresses("bending", ways, row.bending),
    )


def _made(answer: WallAnswer, reader: Reader) -> dict[str, object]:
    cool, seams = answer.cool, answer.seams
    return {
        "cold_bore_mm": to(cool.bore, "mm"),
        "cold_outside_mm": to(cool.outside, "mm"),
        "length_change_mm": to(cool.length_change, "mm"),
        "twist_after_cure_deg": to(cool.twist, "°"),
        "release_gap_mm": to(cool.gap, "mm"),
        "grip_MPa": to(cool.pressure, "MPa"),
        "pull_off_at_most_kN": to(cool.pull_off, "kN"),
        "release_words": _message(cool.fit, reader),
        "seam_starts_deg": tuple(to(s, "°") for s in seams.starts),
        "seam_peak_to_peak_pct": to(seams.peak_to_peak, "%"),
        "seam_spine_deg": to(seams.spine, "°"),
        "seam_bow_mm": to(seams.bow, "mm"),
    }
