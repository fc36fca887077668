"""The buyer's sheet: one page of figures that hold, the test that shows them, and no recipe."""

from collections.abc import Collection
from dataclasses import dataclass, field
from math import ceil, floor
from typing import Any

from polewright.codes import Message
from polewright.drawings.home_test import home_test_drawing
from polewright.errors import DesignError
from polewright.sheet.cautions import Caution, caution_texts, cautions, closing_line
from polewright.sheet.home_rounding import MASS, home_text, home_unit
from polewright.sheet.publish import LEAST_ROUNDING, may_be_published, modest_in
from polewright.sheet.typeset import page_count, pdf, qr_svg
from polewright.units import display_unit, from_, to
from polewright.words.forms import pretty_unit
from polewright.words.reader import Reader

__all__ = ["BuyerSheet", "MeasuredFlex", "OwnFlex", "Reach", "buyer_sheet_pdf", "buyer_sheet_values"]

PROOF_ROUNDING = 2.0  # [%] of the proof load
TEST_LOADS = {"metric": ("g", 250.0, 750.0, 100.0), "inch": ("oz", 8.0, 24.0, 1.0)}  # of the home test, and per what
TWO_SIDED = 1.96  # standard deviations to either side that hold 95 % of a normal figure
EACH, TOGETHER, SURE = 0.95, 0.90, 0.90  # [-] of poles that keep each figure, all of them; how sure by measured poles
ROWS = (
    "play",
    "spread",
    "hose",
    "hold_dry",
    "hold_wet",
    "twist",
    "straight",
    "proof",
    "heat",
    "squeeze",
    "parcel",
    "spares",
)
"""What buyers ask besides, each with its test or as not measured."""


@dataclass(frozen=True, slots=True)
class Reach:
    """What nearly every pole does at one reach: the most, or the least of reach and swing.

    out: sections drawn out from the tip; reach [m] butt to tip; droop [m] of the tip below the line of the
    first span under its own weight; flex [m/N] added droop per added load at the tip; balance [m] from the butt;
    carry [kg m] mass times balance; swing [Hz] with the load that the sheet names.
    """

    out: int
    reach: float
    droop: float
    flex: float
    balance: float
    carry: float
    swing: float


@dataclass(frozen=True, slots=True)
class MeasuredFlex:
    """An added droop that rests on measured poles: at which reach, how many, of how many lots (None: not known), when.

    spread [-]: standard deviation over mean. is_enough: the figure of the table is theirs, not the scatter's.
    """

    out: int
    poles: int
    lots: int | None
    when: str
    spread: float
    is_enough: bool


@dataclass(frozen=True, slots=True)
class OwnFlex:
    """The added droop [m/N] of the pole of the sheet's serial, as it was measured."""

    out: int
    flex: float
    when: str


@dataclass(frozen=True, slots=True)
class BuyerSheet:
    """All that a buyer's sheet says, and nothing else. Lengths [m], masses [kg], shares [-], heat_limit [K].

    Figures are what nearly every pole keeps. copies: poles computed for that, 0 where they are as designed; measured:
    what rests on measured poles; own: the pole of the serial; play: free travel of the tip, up and down; hose [kg/m],
    full, with head [kg] at the tip; swing_load: hung at the tip when the swing is read; prop [m] from the butt;
    drawing: the pole as SVG, for paper, with no figure on it that is not on the sheet; marks: what stands across.
    """

    pole: str
    maker: str
    sections: int
    closed: float
    extended: float
    mass: float
    reaches: tuple[Reach, ...]
    revision: str
    date: str
    method: Message | str
    copies: int = 0
    measured: tuple[MeasuredFlex, ...] = ()
    own: tuple[OwnFlex, ...] = ()
    play: float | None = None
    hose: float | None = None
    head: float = 0.0
    swing_load: float = 0.5
    prop: float = 1.0
    grip_diameter: float | None = None
    heat_limit: float | None = None
    conducts: bool = True
    proof_load: float | None = None
    serial: str = ""
    reference: str = ""
    contact: str = ""
    drawing: str = ""
    drawing_caption: Message | str = ""
    cautions: tuple[Caution, ...] = field(default_factory=lambda: cautions("sheet"))
    rounding_percent: float = LEAST_ROUNDING
    marks: tuple[Message, ...] = ()

    def __post_init__(self) -> None:
        if not self.reaches:
            raise DesignError("reaches", Message("given.none"), Message("want.at_least_one_reach"))
        if self.rounding_percent < LEAST_ROUNDING:
            raise DesignError(
                "rounding", self.rounding_percent, Message("want.at_least_rounding", least=LEAST_ROUNDING)
            )


def buyer_sheet_pdf(sheet: BuyerSheet, reader: Reader, *, secrets: Collection[str] = ()) -> bytes:
    """The sheet as a one-page PDF for its reader; `secrets` are names that must not appear.

    Raises
    ------
    DesignError : something on the sheet would give the recipe away, and the first such thing is named; or its words
        are too many for one page.
    """
    values = buyer_sheet_values(sheet, reader)
    refusals = [*may_be_published(sheet, secrets=secrets), *may_be_published(values, secrets=secrets)]
    if refusals:
        raise DesignError(refusals[0].field, Message("given.not_fit_buyer"), refusals[0].reason)
    for closeness in range(4):
        content = pdf("buyer.typ", {**values, "closeness": closeness})
        if page_count(content) == 1:
            return content
    raise DesignError("sheet", Message("given.longer_than_page"), Message("want.one_page"))


def buyer_sheet_values(sheet: BuyerSheet, reader: Reader) -> dict[str, Any]:
    """Every word and rounded figure of the sheet as it is set, for the paper and for a page alike."""
    return {
        "lang": reader.paper_language,
        "title": reader.say("sheet.title", pole=sheet.pole),
        "kind": reader.say("sheet.kind"),
        "heads": {key: reader.say(f"sheet.head.{key}") for key in ("reaches", "test", "behind", "further", "cautions")},
        "pole": sheet.pole,
        "maker": sheet.maker or reader.say("sheet.maker.unnamed"),
        "drawing": sheet.drawing,
        "drawing_caption": reader.text(sheet.drawing_caption),
        "drawing_alt": reader.say("sheet.drawing.alt", pole=sheet.pole),
        "qr": qr_svg(sheet.reference) if sheet.reference else "",
        "qr_alt": reader.say("sheet.qr.alt", reference=sheet.reference),
        "figures": _figures(sheet, reader),
        "columns": _columns(sheet, reader),
        "rows": [_row(reach, sheet, reader) for reach in sheet.reaches],
        "rounding": reader.say("sheet.rounding", rounding=from_(sheet.rounding_percent, "%"), prop=sheet.prop),
        "test_drawing": home_test_drawing(reader, prop=sheet.prop, paper=True),
        "test_alt": reader.say("sheet.test.alt"),
        "steps": _steps(sheet, reader),
        "behind": _behind(sheet, reader),
        "further": _further(sheet, reader),
        "cautions": [
            {"title": c.title, "words": c.words, "actions": list(c.actions)}
            for c in caution_texts(sheet.cautions, reader)
        ],
        "closing": reader.text(closing_line()),
        "block": _block(sheet, reader),
        "marks": [reader.text(mark) for mark in sheet.marks],
    }


def _figures(sheet: BuyerSheet, reader: Reader) -> list[dict[str, str]]:
    found = [(kind, getattr(sheet, kind)) for kind in ("extended", "closed", "mass")]
    out = [(kind, home_text(kind, value, reader), home_unit(kind, reader)) for kind, value in found]
    out.append(("sections", str(sheet.sections), ""))
    if sheet.grip_diameter is not None:
        out.append(("grip", home_text("grip", sheet.grip_diameter, reader), home_unit("grip", reader)))
    return [{"name": reader.say(f"sheet.figure.{key}"), "value": value, "unit": unit} for key, value, unit in out]


def _columns(sheet: BuyerSheet, reader: Reader) -> list[dict[str, str]]:
    out = [
        ("out", ""),
        ("reach", reader.unit("reach")),
        ("droop", reader.unit("length")),
        ("flex", reader.unit("flex")),
        ("balance", reader.unit("reach")),
        ("carry", reader.unit("carry")),
        ("swing", reader.unit("frequency")),
    ]
    return [{"name": reader.say(f"sheet.column.{key}", load=sheet.swing_load), "unit": unit} for key, unit in out]


def _row(reach: Reach, sheet: BuyerSheet, reader: Reader) -> list[str]:
    kinds = ("reach", "droop", "flex", "balance", "carry", "swing")
    return [
        reader.text(_drawn_out(reach.out, sheet.sections)),
        *(home_text(kind, getattr(reach, kind), reader) for kind in kinds),
    ]


def _drawn_out(out: int, sections: int) -> Message:
    if out >= sections - 1:
        return Message("sheet.out.all")
    return Message("sheet.out.first") if out == 1 else Message("sheet.out.some", out=out)


def _steps(sheet: BuyerSheet, reader: Reader) -> list[str]:
    """The home test, with loads that are round in the reader's units."""
    unit, low, high, per = TEST_LOADS[reader.system]
    values: dict[str, float] = {
        "prop": sheet.prop,
        "low": from_(low, unit),
        "high": from_(high, unit),
        "per": from_(per, unit),
        "parts": (high - low) / per,
        "swing_load": sheet.swing_load,
    }
    return [
        reader.say(f"sheet.step.{key}", **values) for key in ("hold", "sight", "own", "load", "flex", "swing", "play")
    ]


def _behind(sheet: BuyerSheet, reader: Reader) -> list[dict[str, str]]:
    out: list[tuple[str, Message | str]] = [("figures", message) for message in _basis(sheet)]
    out += [("measured", _measured(each, sheet)) for each in sheet.measured]
    out += [("own", _own(each, sheet, reader)) for each in sheet.own]
    out.append(("method", sheet.method))
    way = "conducts" if sheet.conducts else "not_insulating"
    out.append(("electricity", Message(f"sheet.behind.electricity.{way}")))
    if sheet.contact:
        out.append(("maker", sheet.contact))
    return [{"name": reader.say(f"sheet.behind.{key}.name"), "value": reader.text(value)} for key, value in out]


def _basis(sheet: BuyerSheet) -> list[Message]:
    """What the figures rest on, but those of measured poles."""
    if not sheet.copies:
        return [Message("sheet.behind.figures.designed")]
    said = Message("sheet.behind.figures.scatter", each=EACH, together=TOGETHER, count=sheet.copies)
    return [said] if sheet.measured else [said, Message("sheet.behind.figures.unmeasured")]


def _measured(each: MeasuredFlex, sheet: BuyerSheet) -> Message:
    """What rests on measured poles, or why nothing does yet."""
    code = "promised" if each.is_enough else "few"
    lots = Message("sheet.behind.measured.lots_unknown")
    if each.lots is not None:
        lots = Message("sheet.behind.measured.lots", count=each.lots)
    return Message(
        f"sheet.behind.measured.{code}",
        reach=_drawn_out(each.out, sheet.sections),
        count=each.poles,
        lots=lots,
        each=EACH,
        sure=SURE,
        day=Message("sheet.behind.day", day=each.when) if each.when else Message("sheet.behind.no_day"),
    )


def _own(each: OwnFlex, sheet: BuyerSheet, reader: Reader) -> Message:
    """What the pole of the serial showed itself, rounded up as every added droop is."""
    unit = home_unit("flex", reader)
    return Message(
        "sheet.behind.own.says",
        serial=sheet.serial,
        reach=_drawn_out(each.out, sheet.sections),
        flex=f"{home_text('flex', each.flex, reader)}\u00a0{pretty_unit(unit)}",
        day=Message("sheet.behind.day", day=each.when) if each.when else Message("sheet.behind.no_day"),
    )


def _further(sheet: BuyerSheet, reader: Reader) -> list[dict[str, str]]:
    """What buyers ask besides, each by its test, or that it is not measured."""
    known: dict[str, str] = {}
    if sheet.play is not None:
        known["play"] = f"{home_text('play', sheet.play, reader)}\u00a0{home_unit('play', reader)}"
    if sheet.hose is not None:
        unit, hose = home_unit("mass", reader), sheet.hose * sheet.extended
        heavy = f"{modest_in(sheet.mass + sheet.head + hose, unit, reader, 'up', MASS)}\u00a0{unit}"
        known["hose"] = reader.say("sheet.further.hose.says", mass=heavy, full=hose, head=sheet.head)
    spreads = [each for each in sheet.measured if each.is_enough]
    if spreads:
        most = max(spreads, key=lambda each: each.spread)
        within = reader.number(float(ceil(100.0 * TWO_SIDED * most.spread)), 0)
        known["spread"] = reader.say("sheet.further.spread.says", each=EACH, within=within, count=most.poles)
    if sheet.proof_load is not None:
        unit = home_unit("mass", reader)
        load = f"{modest_in(sheet.proof_load, unit, reader, 'down', PROOF_ROUNDING)}\u00a0{unit}"
        known["proof"] = reader.say("sheet.behind.proof.says", load=load)
    if sheet.heat_limit is not None:
        known["heat"] = reader.say("sheet.behind.heat.says", limit=_at_most(sheet.heat_limit, reader))
    none = {"parcel": reader.say("sheet.further.not_stated"), "spares": reader.say("sheet.further.ask_maker")}
    unknown = reader.say("sheet.further.not_measured")
    return [
        {"name": reader.say(f"sheet.further.{row}.name"), "value": known.get(row, none.get(row, unknown))}
        for row in ROWS
    ]


def _at_most(temperature: float, reader: Reader) -> str:
    """A limit of temperature [K] in whole degrees, never above it."""
    unit = display_unit("temperature", reader.system)
    return f"{reader.number(floor(to(temperature, unit) + 1e-9), 0)}\u00a0{pretty_unit(unit)}"


def _block_basis(sheet: BuyerSheet) -> str:
    """In a word, what the figures rest on."""
    if any(each.is_enough for each in sheet.measured):
        return "partly_measured"
    return "scatter" if sheet.copies else "predicted"


def _block(sheet: BuyerSheet, reader: Reader) -> list[dict[str, Any]]:
    cells: list[tuple[str, Message | str, float]] = [
        ("pole", sheet.pole, 1.2),
        ("state", Message("sheet.block.state.says", prop=sheet.prop), 1.4),
        ("figures", Message(f"sheet.block.figures.{_block_basis(sheet)}"), 1.2),
        ("no_certificate", Message("sheet.block.no_certificate.says"), 1.6),
        ("revision", sheet.revision, 1.0),
        ("serial", sheet.serial or Message("sheet.block.serial.none"), 1.0),
        ("date", Message("sheet.block.date.says", day=sheet.date) if sheet.date else "", 0.8),
    ]
    return [
        {"name": reader.say(f"sheet.block.{key}.name"), "value": reader.text(value), "share": share}
        for key, value, share in cells
    ]
