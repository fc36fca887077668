"""The buyer's sheet: one page of figures that hold, the test that shows them, and no recipe."""

from collections.abc import Collection
from dataclasses import dataclass, field
from math import floor
from typing import Any, Literal

from polewright.codes import Message
from polewright.conventions.confidence import CONFIDENCE
from polewright.drawings.home_test import home_test_drawing
from polewright.errors import DesignError
from polewright.sheet.cautions import Caution, caution_texts, cautions, closing_line
from polewright.sheet.publish import LEAST_ROUNDING, may_be_published, modest_figure, modest_in
from polewright.sheet.typeset import page_count, pdf, qr_svg
from polewright.units import display_unit, from_, to
from polewright.words.forms import pretty_unit
from polewright.words.reader import Reader

__all__ = ["BuyerSheet", "Reach", "buyer_sheet_pdf", "buyer_sheet_values"]

LENGTH_ROUNDING, MASS_ROUNDING, FEEL_ROUNDING = 0.2, 1.0, 2.0  # [%] of lengths, of mass, of balance, carry and swing
SPREAD_ROUNDING = 20.0  # [%] of the spread
TEST_LOADS = {"metric": ("g", 250.0, 750.0, 100.0), "inch": ("oz", 8.0, 24.0, 1.0)}  # of the home test, and per what


@dataclass(frozen=True, slots=True)
class Reach:
    """What the pole does at one reach.

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
class BuyerSheet:
    """All that a buyer's sheet says, and nothing else. Lengths [m], masses [kg], shares [-], heat_limit [K].

    basis: "predicted" or "measured"; poles: how many were measured; spread: half-width of the band that 95 % of them
    keep, as a share, or None; swing_load: hung at the tip when the swing is read; prop [m] from the butt; drawing: the
    pole as SVG, for paper, with no figure on it that is not on the sheet; marks: what stands across every page.
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
    basis: Literal["predicted", "measured"] = "predicted"
    poles: int = 0
    spread: float | None = None
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
        if self.basis == "measured" and self.poles < 1:
            raise DesignError("poles", self.poles, Message("want.one_measured_pole"))
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
    for closeness in range(3):
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
        "heads": {key: reader.say(f"sheet.head.{key}") for key in ("reaches", "test", "behind", "cautions")},
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
        "cautions": [
            {"title": c.title, "words": c.words, "actions": list(c.actions)}
            for c in caution_texts(sheet.cautions, reader)
        ],
        "closing": reader.text(closing_line()),
        "block": _block(sheet, reader),
        "marks": [reader.text(mark) for mark in sheet.marks],
    }


def _figures(sheet: BuyerSheet, reader: Reader) -> list[dict[str, str]]:
    long, heavy, small = _long(reader), _heavy(reader), display_unit("length", reader.system)
    out = [
        ("extended", modest_in(sheet.extended, long, reader, "down", LENGTH_ROUNDING), long),
        ("closed", modest_in(sheet.closed, long, reader, "up", LENGTH_ROUNDING * 2), long),
        ("mass", modest_in(sheet.mass, heavy, reader, "up", MASS_ROUNDING), heavy),
        ("sections", str(sheet.sections), ""),
    ]
    if sheet.grip_diameter is not None:
        out.append(("grip", modest_in(sheet.grip_diameter, small, reader, "up", LEAST_ROUNDING), small))
    return [{"name": reader.say(f"sheet.figure.{key}"), "value": value, "unit": unit} for key, value, unit in out]


def _long(reader: Reader) -> str:
    return display_unit("reach", reader.system)


def _heavy(reader: Reader) -> str:
    return "kg" if reader.system == "metric" else "lb"


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
    long, rough = _long(reader), sheet.rounding_percent
    small, carry, flex = (display_unit(q, reader.system) for q in ("length", "carry", "flex"))
    return [
        reader.text(_drawn_out(reach.out, sheet.sections)),
        modest_in(reach.reach, long, reader, "down", LENGTH_ROUNDING),
        modest_in(reach.droop, small, reader, "up", rough),
        modest_in(reach.flex, flex, reader, "up", rough),
        modest_in(reach.balance, long, reader, "up", FEEL_ROUNDING),
        modest_in(reach.carry, carry, reader, "up", FEEL_ROUNDING),
        modest_in(reach.swing, "Hz", reader, "down", FEEL_ROUNDING),
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
    return [reader.say(f"sheet.step.{key}", **values) for key in ("hold", "sight", "own", "load", "flex", "swing")]


def _behind(sheet: BuyerSheet, reader: Reader) -> list[dict[str, str]]:
    out: list[tuple[str, Message | str]] = [("figures", _basis(sheet)), ("spread", _spread(sheet, reader))]
    out.append(("method", sheet.method))
    if sheet.proof_load is not None:
        unit = _heavy(reader)
        load = f"{modest_in(sheet.proof_load, unit, reader, 'down', FEEL_ROUNDING)}\u00a0{unit}"
        out.append(("proof", Message("sheet.behind.proof.says", load=load)))
    if sheet.heat_limit is not None:
        out.append(("heat", Message("sheet.behind.heat.says", limit=_at_most(sheet.heat_limit, reader))))
    way = "conducts" if sheet.conducts else "not_insulating"
    out.append(("electricity", Message(f"sheet.behind.electricity.{way}")))
    if sheet.contact:
        out.append(("maker", sheet.contact))
    return [{"name": reader.say(f"sheet.behind.{key}.name"), "value": reader.text(value)} for key, value in out]


def _basis(sheet: BuyerSheet) -> Message:
    if sheet.basis == "measured":
        return Message("sheet.behind.figures.measured", count=sheet.poles)
    return Message("sheet.behind.figures.predicted")


def _spread(sheet: BuyerSheet, reader: Reader) -> Message:
    if sheet.spread is None:
        return Message("sheet.behind.spread.unknown")
    within = modest_figure(to(sheet.spread, "%"), "up", SPREAD_ROUNDING, reader)
    return Message("sheet.behind.spread.says", confidence=CONFIDENCE, within=within)


def _at_most(temperature: float, reader: Reader) -> str:
    """A limit of temperature [K] in whole degrees, never above it."""
    unit = display_unit("temperature", reader.system)
    return f"{reader.number(floor(to(temperature, unit) + 1e-9), 0)}\u00a0{pretty_unit(unit)}"


def _block(sheet: BuyerSheet, reader: Reader) -> list[dict[str, Any]]:
    cells: list[tuple[str, Message | str, float]] = [
        ("pole", sheet.pole, 1.2),
        ("state", Message("sheet.block.state.says", prop=sheet.prop), 1.4),
        ("figures", Message(f"sheet.block.figures.{sheet.basis}"), 1.2),
        ("no_certificate", Message("sheet.block.no_certificate.says"), 1.6),
        ("revision", sheet.revision, 1.0),
        ("serial", sheet.serial or Message("sheet.block.serial.none"), 1.0),
        ("date", Message("sheet.block.date.says", day=sheet.date) if sheet.date else "", 0.8),
    ]
    return [
        {"name": reader.say(f"sheet.block.{key}.name"), "value": reader.text(value), "share": share}
        for key, value, share in cells
    ]
