"""One section's wall, one tap deeper: what ends it first, stress through it, and the tables of all its figures."""

from dataclasses import dataclass
from typing import Annotated, Literal

import numpy as np
from fastapi import APIRouter, Query
from fastapi.responses import HTMLResponse

from polewright.codes import Message
from polewright.drawings.curve import Curve, CurveScene, Dash, Strip, curve_drawing
from polewright.web.render import page
from polewright.web.request import DraftsDep, PageStatesDep, ReaderDep, Slug
from polewright.web.wall_tables import DetailTable, capital, deeper_tables, first_tables, further_tables
from polewright.web.why import Why
from polewright.words import Reader
from polewright.words.significant import number_in_unit, significant_text
from polewright.words.wall import first_ply_text, limit_parts, why_texts
from polewright.workshop.wall import ThroughStress, WallAnswer, wall_answer

__all__ = ["Plot", "WallDetail", "detail_view", "wall_detail_paths"]

wall_detail_paths = APIRouter()
_WAYS: tuple[tuple[str, Dash], ...] = (("along", "full"), ("around", "dashed"), ("through", "dotted"))


@dataclass(frozen=True, slots=True)
class Plot:
    """A drawing for a drafts and for a phone, with its caption."""

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
    drafts: DraftsDep, states: PageStatesDep, reader: ReaderDep, slug: Slug, section: Annotated[int, Query(ge=1, le=12)]
) -> HTMLResponse:
    """The wall of a section in full."""
    checked = states.checked(drafts.look(slug).design)
    answer = wall_answer(checked.design, section, checked.work)
    view = detail_view(answer, reader, checked.design.setting.currency)
    return HTMLResponse(page("wall_detail.html", reader, view=view))


def detail_view(f: WallAnswer, reader: Reader, currency: str) -> WallDetail:
    """The values of the page."""
    whys = {w.key: Why(capital(w.words), w.source.removesuffix("."), ()) for w in why_texts(reader)}
    return WallDetail(
        section=f.section,
        lead=_lead(f, reader),
        first=first_tables(f, whys, reader),
        plots=_plots(f, reader),
        plot_why=(whys["exact"],),
        tables=further_tables(f, whys, reader, currency),
        deeper=deeper_tables(f, whys, reader),
    )


def _lead(f: WallAnswer, reader: Reader) -> tuple[str, ...]:
    """What a maker wants first, in sentences."""
    lines = [_first(f, under, name, reader) for under, name in f.first]
    lines.append(capital(first_ply_text(f.strength, reader)))
    if f.strength is not None and f.strength.last is not None:
        lines.append(reader.say("wall.lead.last", moment=significant_text(f.strength.last, "moment", reader)))
    return (*lines, reader.say(f"wall.lead.strengths.{f.strengths}"))


def _first(f: WallAnswer, under: str, name: str, reader: Reader) -> str:
    """What comes first under bending or push, with its load where there is one."""
    what = reader.say(f"wall.lead.what.{name}")
    found = next((limit for limit in f.limits if (limit.under, limit.name) == (under, name)), None)
    if found is None:
        return reader.say(f"wall.lead.{under}.never", what=what)
    return reader.say(f"wall.lead.{under}", what=what, load="\u00a0".join(limit_parts(under, found.load, reader)))


def _plots(f: WallAnswer, reader: Reader) -> tuple[Plot, ...]:
    moment = significant_text(f.reference_moment, "moment", reader)
    return (
        _plot(f, reader, "cure", reader.say("wall.plot.cure", section=f.section)),
        _plot(f, reader, "bending", reader.say("wall.plot.bending", moment=moment)),
    )


def _plot(f: WallAnswer, reader: Reader, load: Literal["cure", "bending"], caption: str) -> Plot:
    layers = sorted({p.layer for p in f.through})
    own = {layer: [p for p in f.through if p.layer == layer] for layer in layers}
    curves = tuple(
        Curve(
            tuple(_piece(own[layer], load, way, reader) for layer in layers),
            dash,
            Message(f"wall.plot.{name}"),
            Message(f"wall.plot.short.{name}"),
        )
        for way, (name, dash) in enumerate(_WAYS)
    )
    angles = {} if f.strength is None else {s.layer: s.angle for s in f.strength.stresses}
    strips = []
    for layer in layers:
        radii = [number_in_unit(p.radius, "length", reader) for p in own[layer]]
        name = reader.given(angles[layer], "angle") if layer in angles else str(layer)
        strips.append(Strip(min(radii), max(radii), name))
    scene = CurveScene(
        curves,
        tuple(strips),
        Message("wall.plot.across", unit=reader.unit("length")),
        Message("wall.plot.up", unit=reader.unit("stress")),
        Message("wall.plot.title", caption=caption),
        2 if reader.system == "metric" else 3,
    )
    return Plot(caption, curve_drawing(scene, reader), curve_drawing(scene, reader, phone=True))


def _piece(points: list[ThroughStress], load: Literal["cure", "bending"], way: int, reader: Reader) -> np.ndarray:
    """(n_point, 2) radius and stress as printed."""
    rows = [((p.cure if load == "cure" else p.bending)[way], p.radius) for p in points]
    return np.array([[number_in_unit(r, "length", reader), number_in_unit(s, "stress", reader)] for s, r in rows])
