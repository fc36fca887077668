"""The pole held in the hands: what the page asks for, and the values that it shows.

The shape comes first, so that it follows a drag; what takes longer comes once the drag rests: forces, swing, limits,
then the band in which the copies lie.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse, Response

from polewright.codes import Message
from polewright.drawings.hold import Band, hold_drawing, split_drawing
from polewright.errors import DesignError, NotConverged
from polewright.sheet.cautions import CautionText, caution_texts, cautions
from polewright.web.hold_controls import (
    ON_GLASS,
    Control,
    Slider,
    fields_of,
    holding_of_query,
    joint_sliders,
    lean_slider,
    reach_slider,
)
from polewright.web.hold_rows import HoldRow, contact_rows, force_rows, limit_rows, rest_text, safe_rows, shape_rows
from polewright.web.render import page
from polewright.web.request import DraftsDep, PageStatesDep, ReaderDep, Slug
from polewright.web.spend_rows import SpendRow, SpendUnits, spend_rows, spend_units
from polewright.words import Reader
from polewright.words.hold import pressed_text
from polewright.workshop.bands import Bands, BandState
from polewright.workshop.hold import (
    Design,
    HoldAnswer,
    HoldShape,
    Workpiece,
    hold_answer,
    hold_scene,
    hold_shape,
    split_parts,
)
from polewright.workshop.hold_band import STEPS, band_of, lines_of, sample

__all__ = ["HoldView", "hold_paths", "hold_view"]

hold_paths = APIRouter()
SHAPE, FORCES, COPIES = 0, 1, 2
ORDERS = ("thin", "thick", "own")
SUPPORTS = ("trestles", "clamped", "hands", "lifted", ON_GLASS)
SLIDES = ("free", "up", "down", "stuck")
Choices = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class HoldView:
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
    rows: tuple[HoldRow, ...]
    depth: int
    forces: tuple[HoldRow, ...]
    limits: tuple[HoldRow, ...]
    contacts: tuple[tuple[str, str, str, str, str], ...]
    contact_unit: str
    safe: tuple[HoldRow, ...]
    advice: str
    band: str
    band_state: BandState | None
    spend: tuple[SpendRow, ...]
    spend_units: SpendUnits
    slide: str
    cautions: tuple[CautionText, ...]
    slides: Choices
    supports: Choices
    orders: Choices


def _bands(request: Request) -> Bands:
    bands: Bands = request.app.state.bands
    return bands


BandsDep = Annotated[Bands, Depends(_bands)]


@hold_paths.get("/poles/{slug}/held")
def show_held(
    request: Request,
    drafts: DraftsDep,
    states: PageStatesDep,
    bands: BandsDep,
    reader: ReaderDep,
    slug: Slug,
    depth: Annotated[int, Query(ge=SHAPE, le=COPIES)] = SHAPE,
) -> HTMLResponse:
    """The hold that the query asks for: its shape; from `depth` 1 forces and limits, at 2 the band of the copies."""
    about = tuple(sorted((k, v) for k, v in request.query_params.items() if k != "depth"))
    bands.leave(slug, (drafts.look(slug).design.content_hash(), about))
    checked = states.checked(drafts.look(slug).design)

    def band_state(shape: HoldShape) -> BandState:
        return bands.grow(slug, (checked.design.content_hash(), about), sample(checked.design, checked.work, shape))

    view = hold_view(checked.design, checked.work, request.query_params, reader, depth, band_state=band_state)
    return HTMLResponse(page("hold.html", reader, view=view))


@hold_paths.post("/poles/{slug}/held/stop")
def stop_band(bands: BandsDep, slug: Slug) -> Response:
    """No further copies; the band of those there stays."""
    bands.stop(slug)
    return Response(status_code=204)


def hold_view(
    design: Design,
    work: Workpiece,
    query: Mapping[str, str],
    reader: Reader,
    depth: int,
    *,
    band_state: Callable[[HoldShape], BandState] | None = None,
) -> HoldView:
    """The values of the page for a hold; `band_state` gives its band, else it is of the first few copies.

    Raises
    ------
    DocumentError : a control that says nothing sensible, or a hold this pole cannot be in. NotConverged : no balance.
    """
    order = query.get("order", "thin")
    hold = holding_of_query(work, query, order, reader)
    shape = hold_shape(design, work, hold)
    stands = None if depth != COPIES else _band_state(design, work, shape, band_state)
    band, band_text = (None, "") if stands is None else _band(shape, stands, reader)
    scene = hold_scene(work, shape, hold, band=band)
    parts, rest = split_parts(work, shape)
    spans = tuple(span for span, _ in scene.spans)
    is_free = hold.support != ON_GLASS
    title = Message("split.title", droop=shape.droop)
    answer = hold_answer(design, work, hold) if depth == FORCES else None
    return HoldView(
        support=hold.support,
        order=order,
        lean=lean_slider(hold, shape, reader),
        reach=reach_slider(work, shape, reader),
        joints=joint_sliders(work, shape, reader),
        fields=fields_of(hold, reader),
        drawing=hold_drawing(scene, reader),
        hand_drawing=hold_drawing(scene, reader, phone=True),
        split=split_drawing(parts, spans, reader, title=title) if is_free else "",
        hand_split=split_drawing(parts, spans, reader, title=title, phone=True) if is_free else "",
        split_rest=rest_text(rest, reader) if is_free else reader.say("page.hold.split.glass"),
        rows=shape_rows(shape, hold.support, reader),
        depth=depth,
        **_answer_rows(answer, reader),
        contact_unit=reader.unit("force"),
        band=band_text,
        band_state=stands,
        spend=spend_rows(design, work, reader),
        spend_units=spend_units(design.setting.currency, reader),
        slide=hold.slide,
        cautions=_cautions(reader),
        slides=_choices("slide", SLIDES, reader),
        supports=_choices("support", SUPPORTS, reader),
        orders=_choices("order", ORDERS, reader),
    )


def _answer_rows(answer: HoldAnswer | None, reader: Reader) -> dict[str, Any]:
    """The rows that come once a drag rests."""
    if answer is None:
        return {"forces": (), "limits": (), "contacts": (), "safe": (), "advice": ""}
    return {
        "forces": force_rows(answer, reader),
        "limits": limit_rows(answer, reader),
        "contacts": contact_rows(answer, reader),
        "safe": safe_rows(answer, reader),
        "advice": pressed_text(answer.pressed, reader),
    }


def _choices(kind: str, codes: tuple[str, ...], reader: Reader) -> Choices:
    """The values of a list to choose from, each with its name."""
    return tuple((code, reader.say(f"hold.{kind}.{code.replace(' ', '_')}")) for code in codes)


def _band_state(
    design: Design, work: Workpiece, shape: HoldShape, band_state: Callable[[HoldShape], BandState] | None
) -> BandState:
    """How the band of a hold stands; of sections that do not fit yet there are no copies to take."""
    if work.misfits:
        return BandState(None, 0, 0, False, fault=Message("page.hold.band.misfit"))
    return _few(design, work, shape) if band_state is None else band_state(shape)


def _few(design: Design, work: Workpiece, shape: HoldShape) -> BandState:
    """The first few copies, taken here and now."""
    return BandState(lines_of(sample(design, work, shape), None, STEPS[0]), STEPS[0], STEPS[0], False)


def _band(shape: HoldShape, band_state: BandState, reader: Reader) -> tuple[Band | None, str]:
    """The band and its words; where some copies cannot be held so, the words alone."""
    if band_state.lines is None:
        reason = reader.text(band_state.fault) if band_state.fault else reader.say("page.hold.band.stopped")
        return None, reader.say("page.hold.band.none", reason=reason)
    try:
        band = band_of(shape, band_state.lines)
    except (DesignError, NotConverged) as fault:
        return None, reader.say("page.hold.band.none", reason=fault.want)
    return band, reader.say("page.hold.band", band=band.label)


def _cautions(reader: Reader) -> tuple[CautionText, ...]:
    shown = ("overhead_lines", "falling_pole", "wind_lightning")
    return caution_texts([c for c in cautions("use") if c.id in shown], reader)
