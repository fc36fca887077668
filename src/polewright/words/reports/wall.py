"""One section's wall as it is published: figures in the workshop's units, texts of a reader."""

from typing import Annotated, Literal

from pydantic import Field

from polewright.answers.wall_changes import ChangeEffect, Slope
from polewright.answers.wall_detail import LimitAnswer, SqueezeAnswer, Tier, WallAnswer
from polewright.answers.wall_strength import FaceStress, PlyReserve, ThroughStress
from polewright.codes import Message
from polewright.documents.document import Document, Part
from polewright.units import to
from polewright.words.check import stack_text
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

Number = Annotated[float, Field(allow_inf_nan=False)]


class Tiers(Part):
    """One figure by thin-wall theory and by the exact layered tube."""

    name: str
    unit: str
    thin: Number
    exact: Number


class LimitFigures(Part):
    """One way a wall ends; `load` has the knock-down in."""

    under: Literal["bending", "push"]
    name: str
    unit: str
    perfect: Number
    knock_down: Number
    load: Number
    range: str
    is_in_range: bool
    is_first: bool


class SqueezeFigures(Part):
    """Pressed from two sides until the first ply breaks; beyond a tenth of the bore the figure is a guide only."""

    how: str
    force_N: Number
    closure_mm: Number
    stiffness_N_mm: Number
    breaks: str
    is_large: bool


class ReserveFigures(Part):
    """Times the reference moment at first failure, by one criterion; None where nothing breaks at any multiple."""

    strengths: Literal["design values", "lab means"]
    criterion: str
    cure_in: Number | None
    cure_in_breaks: str
    cure_out: Number | None
    cure_out_breaks: str


class PlyStress(Part):
    """Stress of one layer at one face, ply axes: from cooling, and of the reference moment on the pulled side."""

    layer: int
    face: Literal["bore side", "outer"]
    prepreg: str
    angle_deg: Number
    cure_along_fibre_MPa: Number
    cure_across_MPa: Number
    cure_shear_MPa: Number
    bending_along_fibre_MPa: Number
    bending_across_MPa: Number
    bending_shear_MPa: Number
    reserve: Number | None
    mode: str


class ThroughPoint(Part):
    """Stress at one place through the wall in tube axes, pulled side: reference moment alone, and cooling alone."""

    radius_mm: Number
    layer: int
    bending_along_MPa: Number
    bending_around_MPa: Number
    bending_through_MPa: Number
    cure_along_MPa: Number
    cure_around_MPa: Number
    cure_through_MPa: Number


class PlyFigures(Part):
    """What one ply earns: its share of each figure in percent; each column adds up to 100."""

    wrap: int  # the ply, from 1 at the bore: the name programs know
    prepreg: str
    angle_deg: Number
    turns: Number
    along_pct: Number
    around_pct: Number
    twist_pct: Number
    mass_pct: Number
    cost_pct: Number


class ChangeFigures(Part):
    """One ply taken out, rotated or thickened, and the change of each figure in percent; cost per metre of tube."""

    wrap: int  # the ply, from 1 at the bore: the name programs know
    what: str
    axial_pct: Number
    bending_pct: Number
    twist_pct: Number
    ring_pct: Number
    flattening_pct: Number
    mass_pct: Number
    wall_mm: Number
    cost_per_m: Number


class SlopeFigures(Part):
    """Exact slope: percent of each figure for one percent of a parameter of one ply, for an angle for one degree."""

    wrap: int  # the ply, from 1 at the bore: the name programs know
    parameter: str
    step: str
    axial_pct: Number
    bending_pct: Number
    twist_pct: Number
    shear_pct: Number
    ring_pct: Number
    flattening_pct: Number
    mass_pct: Number


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
    bore_mm: Number
    outside_mm: Number
    wall_mm: Number
    mass_per_length_g_m: Number
    strengths: Literal["design values", "lab means", "unknown"]
    tiers: tuple[Tiers, ...]
    shear_coefficient: Number
    band_least_N: Number
    band_most_N: Number
    band_most_exact_N: Number
    band_words: str
    squeezes: tuple[SqueezeFigures, ...]
    collar_MPa: Number | None
    collar_collapse_MPa: Number
    limits: tuple[LimitFigures, ...]
    fails_first_bending: str
    fails_first_push: str
    reference_moment_N_m: Number
    first_ply_N_m: Number | None
    first_ply_words: str
    last_ply_N_m: Number | None
    last_ply_steps: tuple[str, ...]
    reserves: tuple[ReserveFigures, ...]
    stresses: tuple[PlyStress, ...]
    through: tuple[ThroughPoint, ...]
    cold_bore_mm: Number
    cold_outside_mm: Number
    length_change_mm: Number
    twist_after_cure_deg: Number
    release_gap_mm: Number
    grip_MPa: Number
    pull_off_at_most_kN: Number
    release_words: str
    seam_starts_deg: tuple[Number, ...]
    seam_peak_to_peak_pct: Number
    seam_spine_deg: Number
    seam_bow_mm: Number
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
        "band_least_N": r.least,
        "band_most_N": r.most,
        "band_most_exact_N": r.most_exact,
        "band_words": _message(r.window, reader),
        "squeezes": tuple(_squeeze(s, reader) for s in r.squeezes),
        "collar_MPa": None if r.collar is None else to(r.collar, "MPa"),
        "collar_collapse_MPa": to(r.collapse, "MPa"),
    }


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
