"""One section's wall, one tap deeper: what ends it first, exact beside thin, stress through it, what a change does."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated

import numpy as np
from fastapi import APIRouter, Query
from fastapi.responses import HTMLResponse

from polewright.documents.design import Design
from polewright.documents.values import Workpiece
from polewright.documents.wall_figures import wall_figures
from polewright.documents.wall_shown import ChangeFigures, LimitFigures, SlopeFigures, ThroughPoint, WallFigures
from polewright.drawings.curve import Curve, CurveScene, Strip, curve_drawing
from polewright.units import System, display_unit, from_, to
from polewright.web.asked import OnDesk, Seeing, Shown, Slug
from polewright.web.render import page
from polewright.web.say import page_reader, pretty, spoken
from polewright.web.why import Why

__all__ = ["DetailTable", "Plot", "WallDetail", "detail_view", "wall_detail_paths"]

wall_detail_paths = APIRouter()
_FIGURE = set("0123456789.+\u2212\u202f %")
_QUANTITY = {
    "kN": "force",
    "N": "force",
    "N m2": "bending",
    "N m": "moment",
    "N/mm": "stiffness",
    "MPa": "stress",
    "mm": "length",
    "g/m": "line_mass",
}


@dataclass(frozen=True, slots=True)
class DetailTable:
    """A group of figures: the first column names the row; rows to look at by their place."""

    key: str
    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    why: tuple[Why, ...] = ()
    note: str = ""
    look: tuple[int, ...] = ()

    @property
    def numbers(self) -> tuple[bool, ...]:
        """Which columns hold figures alone, to be set flush right."""
        return tuple(
            all(set(cell) <= _FIGURE for cell in column) and any(column) for column in zip(*self.rows, strict=True)
        )


@dataclass(frozen=True, slots=True)
class Plot:
    """A drawing for a desk and for a phone, with its caption."""

    caption: str
    drawing: str
    hand_drawing: str


@dataclass(frozen=True, slots=True)
class WallDetail:
    """All that the wall says one tap deeper."""

    section: int
    lead: tuple[str, ...]
    first: tuple[DetailTable, ...]
    plots: tuple[Plot, ...]
    plot_why: tuple[Why, ...]
    tables: tuple[DetailTable, ...]
    deeper: tuple[DetailTable, ...]


@wall_detail_paths.get("/poles/{slug}/wall/detail")
def show_detail(
    desk: OnDesk, sights: Seeing, system: Shown, slug: Slug, section: Annotated[int, Query(ge=1, le=12)]
) -> HTMLResponse:
    """The wall of a section in full."""
    checked = sights.checked(desk.look(slug).design)
    return HTMLResponse(
        page(
            "wall_detail.html",
            view=detail_view(_known(checked.design, section, checked.work), system, checked.design.setting.currency),
        )
    )


@lru_cache(maxsize=16)
def _known(design: Design, section: int, work: Workpiece) -> WallFigures:
    return wall_figures(design, section, work)


def detail_view(f: WallFigures, system: System, currency: str) -> WallDetail:
    """The values of the page."""
    whys = {w.figures: Why(_sentence(w.words), w.source, ()) for w in f.why}
    return WallDetail(
        section=f.section,
        lead=_lead(f, system),
        first=(_limits(f, whys, system), _tiers(f, whys, system)),
        plots=_plots(f, system),
        plot_why=(whys["stiffness, exact"],),
        tables=(
            _squeeze(f, whys, system),
            _reserves(f, whys),
            _cool(f, whys, system),
            _seams(f, whys, system),
            _earns(f, whys),
            _changes(f, whys, system, currency),
        ),
        deeper=(_stresses(f, whys, system), _slopes(f, whys)),
    )


def _in(value: float, unit: str, system: System, figures: int = 4) -> tuple[str, str]:
    """A figure of the report as printed with so many figures, and its unit."""
    quantity = _QUANTITY.get(unit)
    if quantity is not None and system == "inch":
        shown = display_unit(quantity, "inch")
        value, unit = to(from_(value, unit), shown), shown
    digits = 0 if value == 0.0 else max(0, figures - 1 - int(np.floor(np.log10(abs(value)))))
    return spoken(value, min(digits, 6)), pretty(unit)


def _said(value: float, unit: str, system: System, figures: int = 3) -> str:
    return " ".join(_in(value, unit, system, figures))


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:] + "."


def _lead(f: WallFigures, system: System) -> tuple[str, ...]:
    """What a maker wants first, in sentences."""
    named = {(limit.under, limit.name): limit for limit in f.limits}
    bent, pushed = f.fails_first_bending, f.fails_first_push
    said = [
        f"Bent, {_first(bent)} comes first{_at(named.get(('bending', bent)), system)}.",
        f"Pushed end on, {_first(pushed)} comes first{_at(named.get(('push', pushed)), system)}.",
    ]
    if f.first_ply_words:
        said.append(_sentence(f.first_ply_words))
    if f.last_ply_N_m is not None:
        said.append(f"Ply after ply let go, the wall gives way at {_said(f.last_ply_N_m, 'N m', system)}.")
    strengths = {
        "design values": "Strengths are design values.",
        "lab means": "Strengths are lab means, not design values: nothing is left for scatter.",
        "unknown": "No strengths are known for these plies.",
    }
    return (*said, strengths[f.strengths])


def _first(name: str) -> str:
    return {
        "fibre failure": "the fibre breaking",
        "flattening": "the tube going flat",
        "wrinkling": "the wall wrinkling",
    }.get(name, name)


def _at(limit: LimitFigures | None, system: System) -> str:
    return "" if limit is None else f", at {_said(limit.load, limit.unit, system)}"


def _limits(f: WallFigures, whys: dict[str, Why], system: System) -> DetailTable:
    rows = []
    for limit in f.limits:
        load, unit = _in(limit.load, limit.unit, system, 3)
        how = "bent" if limit.under == "bending" else "pushed"
        rows.append(
            (
                f"{how}: {limit.name}{', first' if limit.is_first else ''}",
                load,
                unit,
                f"{limit.knock_down:.2f}",
                "" if limit.is_in_range else "beyond its range",
            )
        )
    ranges = dict.fromkeys(_sentence(f"{limit.name}: {limit.range}") for limit in f.limits)
    return DetailTable(
        "limits",
        "What ends the wall",
        ("By", "at", "", "knock-down", ""),
        tuple(rows),
        (whys["reserves"], whys["flattening"], whys["wrinkling"]),
        " ".join(ranges),
        look=tuple(i for i, limit in enumerate(f.limits) if limit.is_first),
    )


def _tiers(f: WallFigures, whys: dict[str, Why], system: System) -> DetailTable:
    rows = []
    for t in f.tiers:
        (thin, unit), (exact, _) = _in(t.thin, t.unit, system), _in(t.exact, t.unit, system)
        apart = "" if t.exact == 0.0 else f"{spoken(to(t.thin / t.exact - 1.0, '%'), 2)} %"
        rows.append((t.name, exact, thin, unit, apart))
    rows.append(("shear coefficient", f"{f.shear_coefficient:.3f}", "", "", ""))
    return DetailTable(
        "tiers",
        "Exact beside thin",
        ("Figure", "exact", "thin", "", "thin reads"),
        tuple(rows),
        (whys["stiffness, exact"], whys["stiffness, thin"], whys["ring and collapse"]),
    )


def _plots(f: WallFigures, system: System) -> tuple[Plot, ...]:
    moment = _said(f.reference_moment_N_m, "N m", system)
    return (
        _plot(f, system, "cure", f"Left by cooling, section {f.section}"),
        _plot(f, system, "bending", f"From {moment} of bending alone, pulled side"),
    )


def _plot(f: WallFigures, system: System, load: str, caption: str) -> Plot:
    stress, length = ("MPa", "mm") if system == "metric" else (display_unit("stress", system), "in")
    kinds = (("along", "full"), ("around", "dashed"), ("through", "dotted"))
    layers = sorted({p.layer for p in f.through})

    def piece(layer: int, name: str) -> np.ndarray:
        own = [p for p in f.through if p.layer == layer]
        return np.array(
            [[to(from_(p.radius_mm, "mm"), length), to(from_(_stress(p, load, name), "MPa"), stress)] for p in own]
        )

    curves = tuple(
        Curve(
            tuple(piece(layer, name) for layer in layers),
            dash,  # type: ignore[arg-type]
            f"{name} the tube" if name != "through" else "through the wall",
        )
        for name, dash in kinds
    )
    angles = {s.layer: s for s in f.stresses}
    strips = []
    for layer in layers:
        radii = [to(from_(p.radius_mm, "mm"), length) for p in f.through if p.layer == layer]
        known = angles.get(layer)
        strips.append(Strip(min(radii), max(radii), f"{layer}" if known is None else f"{known.angle_deg:.0f}°"))
    scene = CurveScene(
        curves,
        tuple(strips),
        f"across: radius, {length}, bore to skin",
        f"up: stress, {stress}",
        f"{caption}: stress through the wall from bore to skin",
        2 if system == "metric" else 3,
    )
    reader = page_reader(system)
    return Plot(caption, curve_drawing(scene, reader), curve_drawing(scene, reader, phone=True))


def _stress(point: ThroughPoint, load: str, name: str) -> float:
    return float(getattr(point, f"{load}_{name}_MPa"))


def _squeeze(f: WallFigures, whys: dict[str, Why], system: System) -> DetailTable:
    rows = []
    for s in f.squeezes:
        guide = "; closes by more than a tenth: a guide only" if s.is_large else ""
        rows.append((s.how, *_in(s.force_N, "N", system, 3), _said(s.closure_mm, "mm", system), f"{s.breaks}{guide}"))
    rows.append(("band, least tension that holds", *_in(f.band_least_N, "N", system, 3), "", ""))
    rows.append(
        (
            "band, most tension",
            *_in(f.band_most_exact_N, "N", system, 3),
            "",
            f"{f.band_words}; by the thin ring {_said(f.band_most_N, 'N', system)}",
        )
    )
    rows.append(("pressure that collapses it", *_in(f.collar_collapse_MPa, "MPa", system, 3), "", ""))
    return DetailTable(
        "squeeze",
        "Squeezed",
        ("How", "bears", "", "closes by", "then breaks"),
        tuple(rows),
        (whys["squeezes"], whys["band"], whys["ring and collapse"]),
    )


def _reserves(f: WallFigures, whys: dict[str, Why]) -> DetailTable:
    rows = tuple(
        (f"{r.criterion}, {r.strengths}", _times(r.cure_in), r.cure_in_breaks, _times(r.cure_out), r.cure_out_breaks)
        for r in f.reserves
    )
    steps = "; ".join(f.last_ply_steps[:8])
    return DetailTable(
        "reserves",
        f"First ply, in times {f.reference_moment_N_m:g} N·m of bending",
        ("Criterion", "cure stress in", "breaks", "left out", "breaks"),
        rows,
        (whys["reserves"], whys["last ply"]),
        f"Ply after ply: {steps}." if steps else "",
    )


def _times(value: float | None) -> str:
    return "none" if value is None else f"{value:.2f}"


def _cool(f: WallFigures, whys: dict[str, Why], system: System) -> DetailTable:
    grips = f.release_gap_mm < 0.0
    rows = [
        ("bore after cure", *_in(f.cold_bore_mm, "mm", system, 5)),
        ("outside after cure", *_in(f.cold_outside_mm, "mm", system, 5)),
        ("length changes by", *_in(f.length_change_mm, "mm", system, 2)),
        ("twists over its length by", *_in(round(f.twist_after_cure_deg, 6), "°", system, 2)),
        ("grips the mandrel by" if grips else "gap to the mandrel", *_in(abs(f.release_gap_mm), "mm", system, 2)),
    ]
    if f.pull_off_at_most_kN > 0.0:
        rows += [
            ("presses on the mandrel with", *_in(f.grip_MPa, "MPa", system, 2)),
            ("pull to get it off, at most", *_in(f.pull_off_at_most_kN, "kN", system, 2)),
        ]
    return DetailTable(
        "cool",
        "After cool-down",
        ("Figure", "", ""),
        tuple(rows),
        (whys["release"],),
        _sentence(f.release_words),
        look=(4,) if grips else (),
    )


def _seams(f: WallFigures, whys: dict[str, Why], system: System) -> DetailTable:
    rows = (
        ("flags start at", ", ".join(f"{s:.0f}" for s in f.seam_starts_deg), "° of the clock"),
        ("stiffness round the clock, peak to peak", spoken(f.seam_peak_to_peak_pct, 2), "%"),
        ("stiff way (spine) at", spoken(f.seam_spine_deg, 0), "°"),
        ("bow left by the seams", *_in(f.seam_bow_mm, "mm", system, 2)),
    )
    return DetailTable("seams", "Seams round the clock", ("Figure", "", ""), rows, (whys["seams"],))


def _earns(f: WallFigures, whys: dict[str, Why]) -> DetailTable:
    rows = tuple(
        (
            f"{e.wrap}: {e.angle_deg:g}° {e.prepreg} × {e.turns:g}",
            *(spoken(v, 1) for v in (e.along_pct, e.around_pct, e.twist_pct, e.mass_pct, e.cost_pct)),
        )
        for e in f.earns
    )
    return DetailTable(
        "earns",
        "What each ply earns, % of the whole",
        ("Ply", "along", "around", "twist", "mass", "cost"),
        rows,
        (whys["what each ply earns"],),
    )


def _changes(f: WallFigures, whys: dict[str, Why], system: System, currency: str) -> DetailTable:
    length = display_unit("length", system)
    rows = tuple(
        (
            f"{c.wrap}: {c.what}",
            *(_signed(v) for v in _percents(c)),
            spoken(to(from_(c.wall_mm, "mm"), length), 3 if system == "metric" else 4),
            spoken(c.cost_per_m, 2),
        )
        for c in f.changes
    )
    head = ("Ply", "axial", "bending", "twist", "ring", "flattening", "mass", f"wall, {length}", f"{currency} a metre")
    return DetailTable("changes", "What a change does, %", head, rows, (whys["slopes"],))


def _percents(c: ChangeFigures | SlopeFigures) -> Sequence[float]:
    return (c.axial_pct, c.bending_pct, c.twist_pct, c.ring_pct, c.flattening_pct, c.mass_pct)


def _signed(value: float) -> str:
    words = spoken(value, 1)
    return f"+{words}" if value > 0.0 and words.strip("0.") else words


def _slopes(f: WallFigures, whys: dict[str, Why]) -> DetailTable:
    names = {
        "thickness": "thickness",
        "angle": "angle",
        "E1": "stiffness along the fibre",
        "E2": "across the fibre",
        "G12": "in shear",
        "nu12": "narrowing (\u03bd12)",
        "density": "density",
    }
    rows = tuple(
        (
            f"{s.wrap}, {names.get(s.parameter, s.parameter)}, {s.step}",
            *(
                spoken(v, 3)
                for v in (
                    s.axial_pct,
                    s.bending_pct,
                    s.twist_pct,
                    s.shear_pct,
                    s.ring_pct,
                    s.flattening_pct,
                    s.mass_pct,
                )
            ),
        )
        for s in f.slopes
    )
    return DetailTable(
        "slopes",
        "Slopes: % of each figure for one step of an input",
        ("Ply, input, step", "axial", "bending", "twist", "shear", "ring", "flattening", "mass"),
        rows,
        (whys["slopes"],),
    )


def _stresses(f: WallFigures, whys: dict[str, Why], system: System) -> DetailTable:
    unit = "MPa" if system == "metric" else display_unit("stress", system)
    rows = tuple(
        (
            f"{s.layer}, {s.angle_deg:g}° {s.prepreg}, {s.face}",
            *(
                spoken(to(from_(v, "MPa"), unit), 1)
                for v in (
                    s.cure_along_fibre_MPa,
                    s.cure_across_MPa,
                    s.cure_shear_MPa,
                    s.bending_along_fibre_MPa,
                    s.bending_across_MPa,
                    s.bending_shear_MPa,
                )
            ),
            _times(s.reserve),
            s.mode,
        )
        for s in f.stresses
    )
    head = (
        "Layer, face",
        "cure: along fibre",
        "across",
        "shear",
        "bending: along fibre",
        "across",
        "shear",
        "bears, times",
        "then breaks",
    )
    return DetailTable(
        "stresses", f"Stress in every layer, {unit}, fibre axes, pulled side", head, rows, (whys["reserves"],)
    )
