"""The pole held in the hands: what the page asks for, and the values that it shows.

The shape comes first, so that it follows a drag; what takes longer comes once the drag rests: forces, swing, limits,
then the band in which the copies lie.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse, Response

from polewright.documents.design import Design
from polewright.documents.holding import hold_figures
from polewright.documents.spend import Spending, spendings
from polewright.documents.values import Workpiece
from polewright.drawings.held import Band, held_drawing, split_drawing
from polewright.errors import DesignError, NotConverged
from polewright.sheet.cautions import CautionText, caution_texts, cautions
from polewright.units import System, display_unit, si, to
from polewright.web.asked import OnDesk, Seeing, Shown, Slug
from polewright.web.held_asked import (
    ON_GLASS,
    Control,
    Slider,
    fields_of,
    holding_asked,
    joint_sliders,
    lean_slider,
    reach_slider,
)
from polewright.web.held_bands import Bands, Grown
from polewright.web.held_rows import HeldRow, contact_rows, force_rows, limit_rows, rest_words, safe_rows, shape_rows
from polewright.web.render import page
from polewright.web.say import page_reader, say, spoken
from polewright.words import Reader
from polewright.workshop.held_band import STEPS, band_of, lines_of, sample
from polewright.workshop.held_pole import HeldPole, held_pole, held_scene, split_parts

__all__ = ["HeldView", "held_paths", "held_view"]

held_paths = APIRouter()
SHAPE, FORCES, COPIES = 0, 1, 2
ORDERS = (("thin", "thin end first"), ("thick", "thick end first"), ("own", "as set below"))
SUPPORTS = (
    ("trestles", "on two trestles"),
    ("clamped", "butt clamped"),
    ("hands", "in two hands"),
    ("lifted", "lifted flat from the ground"),
    (ON_GLASS, "foot down, head on the glass"),
)
SLIDES = (
    ("free", "set down gently"),
    ("up", "pushed up the glass"),
    ("down", "pulled down the glass"),
    ("stuck", "stuck on the glass"),
)


@dataclass(frozen=True, slots=True)
class HeldView:
    """All that is shown of a hold."""

    support: str
    order: str
    lean: Slider
    reach: Slider
    joints: tuple[Slider, ...]
    fields: tuple[Control, ...]
    drawing: str
    hand_drawing: str
    split: str
    hand_split: str
    split_rest: str
    rows: tuple[HeldRow, ...]
    depth: int
    forces: tuple[HeldRow, ...]
    limits: tuple[HeldRow, ...]
    contacts: tuple[tuple[str, str, str, str, str], ...]
    contact_unit: str
    safe: tuple[HeldRow, ...]
    advice: str
    band: str
    grown: Grown | None
    spend: tuple[Any, ...]
    spend_units: Mapping[str, str]
    slide: str
    cautions: tuple[CautionText, ...]
    slides: tuple[tuple[str, str], ...] = SLIDES
    supports: tuple[tuple[str, str], ...] = SUPPORTS
    orders: tuple[tuple[str, str], ...] = ORDERS


def _bands(request: Request) -> Bands:
    bands: Bands = request.app.state.bands
    return bands


Growing = Annotated[Bands, Depends(_bands)]


@held_paths.get("/poles/{slug}/held")
def show_held(
    request: Request,
    desk: OnDesk,
    sights: Seeing,
    bands: Growing,
    system: Shown,
    slug: Slug,
    depth: Annotated[int, Query(ge=SHAPE, le=COPIES)] = SHAPE,
) -> HTMLResponse:
    """The hold that the query asks for: its shape; from `depth` 1 forces and limits, at 2 the band of the copies."""
    about = tuple(sorted((k, v) for k, v in request.query_params.items() if k != "depth"))
    bands.leave(slug, (desk.look(slug).design.content_hash(), about))
    checked = sights.checked(desk.look(slug).design)

    def grown(held: HeldPole) -> Grown:
        return bands.grow(slug, (checked.design.content_hash(), about), sample(checked.design, checked.work, held))

    view = held_view(checked.design, checked.work, request.query_params, system, depth, grown=grown)
    return HTMLResponse(page("held.html", view=view, currency=checked.report.pole.currency))


@held_paths.post("/poles/{slug}/held/stop")
def stop_band(bands: Growing, slug: Slug) -> Response:
    """No further copies; the band of those there stays."""
    bands.stop(slug)
    return Response(status_code=204)


def held_view(
    design: Design,
    work: Workpiece,
    asked: Mapping[str, str],
    system: System,
    depth: int,
    *,
    grown: Callable[[HeldPole], Grown] | None = None,
) -> HeldView:
    """The values of the page for a hold; `grown` says how its band stands, else the first few copies are taken here.

    Raises
    ------
    DocumentError : a control that says nothing sensible, or a hold this pole cannot be in. NotConverged : no balance.
    """
    order = asked.get("order", "thin")
    hold = holding_asked(work, asked, order, system)
    held = held_pole(design, work, hold)
    stands = None if depth != COPIES else grown(held) if grown is not None else _few(design, work, held)
    band, told = (None, "") if stands is None else _band(held, stands, system)
    scene = held_scene(work, held, hold, system=system, band=band)
    parts, rest = split_parts(work, held, system=system)
    spans = tuple(span for span, _ in scene.spans)
    is_free = hold.support != ON_GLASS
    reader = page_reader(system)
    title = f"What each section and joint gives of the droop of {reader.text(scene.droop)}"
    figures = hold_figures(design, work, hold) if depth == FORCES else None
    return HeldView(
        support=hold.support,
        order=order,
        lean=lean_slider(hold),
        reach=reach_slider(work, held, system),
        joints=joint_sliders(work, held, system),
        fields=fields_of(hold, system),
        drawing=held_drawing(scene, reader),
        hand_drawing=held_drawing(scene, reader, phone=True),
        split=split_drawing(parts, spans, reader, title=title) if is_free else "",
        hand_split=split_drawing(parts, spans, reader, title=title, phone=True) if is_free else "",
        split_rest=rest_words(rest) if is_free else "The glass holds the tip: nothing droops there",
        rows=shape_rows(held, hold, system),
        depth=depth,
        forces=() if figures is None else force_rows(figures, system),
        limits=() if figures is None else limit_rows(figures, system),
        contacts=() if figures is None else contact_rows(figures, system),
        contact_unit=display_unit("force", system),
        safe=() if figures is None else safe_rows(figures, system),
        advice="" if figures is None else figures.advice,
        band=told,
        grown=stands,
        spend=_spend(design, work, system),
        spend_units=_spend_units(design, system),
        slide=hold.slide,
        cautions=_cautions(reader),
    )


def _few(design: Design, work: Workpiece, held: HeldPole) -> Grown:
    """The first few copies, taken here and now."""
    return Grown(lines_of(sample(design, work, held), None, STEPS[0]), STEPS[0], STEPS[0], False)


def _band(held: HeldPole, grown: Grown, system: System) -> tuple[Band | None, str]:
    """The band and its words; where some copies cannot be held so, the words alone."""
    if grown.lines is None:
        return None, f"no band is drawn: {grown.fault or 'it was stopped'}"
    try:
        band = band_of(held, grown.lines, system=system)
    except (DesignError, NotConverged) as fault:
        return None, f"no band is drawn: {fault.want}"
    return band, f"{band.label}; their spread is the shaded band"


@lru_cache(maxsize=8)
def _known_spendings(design: Design, work: Workpiece) -> tuple[Spending, ...]:
    return spendings(design, work)


def _spend(design: Design, work: Workpiece, system: System) -> tuple[Any, ...]:
    """Rows as said: section, prepreg, saved, cost, mass, saved per money, saved per mass, whether it still fits."""
    length = display_unit("length", system)
    digits = 1 if system == "metric" else 3
    rows = []
    for s in _known_spendings(design, work):
        saved = si("x_mm", s.droop_saved_mm)
        each = si("x_mm", s.mm_per_cost)
        weight = si("x_mm", s.mm_per_10_g) * (1.0 if system == "metric" else si("x_oz", 1.0) / si("x_g", 10.0))
        rows.append(
            (
                s.section,
                s.prepreg,
                spoken(to(saved, length), digits),
                spoken(s.cost, 2),
                say(si("x_g", s.mass_g), "mass", system, 0, 2).number,
                spoken(to(each, length), digits),
                spoken(to(weight, length), digits),
                s.still_fits,
            )
        )
    return tuple(rows)


def _spend_units(design: Design, system: System) -> Mapping[str, str]:
    length, mass = display_unit("length", system), display_unit("mass", system)
    return {
        "length": length,
        "mass": mass,
        "money": design.setting.currency,
        "per_mass": "10 g" if system == "metric" else "oz",
    }


def _cautions(reader: Reader) -> tuple[CautionText, ...]:
    shown = ("overhead_lines", "falling_pole", "wind_lightning")
    return caution_texts([c for c in cautions("use") if c.id in shown], reader)
