"""The buyer's sheet: one page of figures that hold, the test that shows them, and no recipe."""

from collections.abc import Collection
from dataclasses import dataclass, field
from typing import Any, Literal

from polewright.codes import Message
from polewright.drawings.home_test import home_test_drawing
from polewright.errors import DesignError
from polewright.sheet.cautions import Caution, cautions, closing_line
from polewright.sheet.publish import LEAST_ROUNDING, Worse, may_be_published, modest_figure
from polewright.sheet.typeset import page_count, pdf, qr_svg
from polewright.units import System, display_unit, from_, to

__all__ = ["BuyerSheet", "Reach", "buyer_sheet_pdf", "buyer_sheet_values"]

LENGTH_ROUNDING, MASS_ROUNDING, FEEL_ROUNDING = 0.2, 1.0, 2.0  # [%] of lengths, of mass, of balance, carry and swing
LEAST_STEP = {"mm": 1.0, "mm/100 g": 1.0, "m": 0.01, "kg": 0.01, "in": 0.05, "ft": 0.01, "lb": 0.01, "in/oz": 0.002}


@dataclass(frozen=True, slots=True)
class Reach:
    """What the pole does at one reach.

    drawn_out in words ("all", "sections 1 to 3"); reach [m] butt to tip; droop [m] of the tip below the line of the
    first span under its own weight; flex [m/N] added droop per added load at the tip; balance [m] from the butt;
    carry [kg m] mass times balance; swing [Hz] with the load that the sheet names.
    """

    drawn_out: str
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
    pole as SVG, for paper, with no figure on it that is not on the sheet.
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
    method: str
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
    drawing_caption: str = ""
    cautions: tuple[Caution, ...] = field(default_factory=lambda: cautions("sheet"))
    rounding_percent: float = LEAST_ROUNDING

    def __post_init__(self) -> None:
        if self.basis == "measured" and self.poles < 1:
            raise DesignError("poles", self.poles, Message("want.one_measured_pole"))
        if not self.reaches:
            raise DesignError("reaches", Message("given.none"), Message("want.at_least_one_reach"))
        if self.rounding_percent < LEAST_ROUNDING:
            raise DesignError(
                "rounding_percent", self.rounding_percent, Message("want.at_least_rounding", least=LEAST_ROUNDING)
            )


def buyer_sheet_pdf(sheet: BuyerSheet, *, secrets: Collection[str] = (), system: System = "metric") -> bytes:
    """The sheet as a one-page PDF, in metric or inch units; `secrets` are names that must not appear.

    Raises
    ------
    DesignError : something on the sheet would give the recipe away, and the first such thing is named; or its words
        are too many for one page.
    """
    refusals = may_be_published(sheet, secrets=secrets)
    if refusals:
        raise DesignError(refusals[0].field, Message("given.not_fit_buyer"), refusals[0].reason)
    values = buyer_sheet_values(sheet, system=system)
    for closeness in range(3):
        content = pdf("buyer.typ", {**values, "closeness": closeness})
        if page_count(content) == 1:
            return content
    raise DesignError("sheet", Message("given.longer_than_page"), Message("want.one_page"))


def buyer_sheet_values(sheet: BuyerSheet, *, system: System = "metric") -> dict[str, Any]:
    """Every word and rounded figure of the sheet as it is set, for the paper and for a page alike."""
    return {
        "title": f"{sheet.pole}: figures for the buyer",
        "kind": "buyer's sheet",
        "pole": sheet.pole,
        "maker": sheet.maker,
        "drawing": sheet.drawing,
        "drawing_caption": sheet.drawing_caption,
        "drawing_alt": f"{sheet.pole} held level, drawn to scale",
        "qr": qr_svg(sheet.reference) if sheet.reference else "",
        "qr_alt": f"Code for {sheet.reference}",
        "figures": _figures(sheet, system),
        "columns": _columns(sheet, system),
        "rows": [_row(reach, sheet, system) for reach in sheet.reaches],
        "rounding": _rounding(sheet, system),
        "test_drawing": home_test_drawing(prop=_prop(sheet, system), paper=True),
        "test_alt": "How the pole is held for the test",
        "steps": _steps(sheet, system),
        "behind": _behind(sheet, system),
        "cautions": [{"title": c.title, "words": c.words, "actions": list(c.actions)} for c in sheet.cautions],
        "closing": closing_line(),
        "block": _block(sheet, system),
    }


def _said(value: float, unit: str, worse: Worse, percent: float) -> str:
    """A figure in a unit, rounded toward modesty, without the unit."""
    return modest_figure(to(value, unit), worse, percent, least=LEAST_STEP.get(unit, 0.01))


def _figures(sheet: BuyerSheet, system: System) -> list[dict[str, str]]:
    long, heavy = ("m", "kg") if system == "metric" else ("ft", "lb")
    out = [
        ("Extended", _said(sheet.extended, long, "down", LENGTH_ROUNDING), long),
        ("Closed", _said(sheet.closed, long, "up", LENGTH_ROUNDING * 2), long),
        ("Ready to work", _said(sheet.mass, heavy, "up", MASS_ROUNDING), heavy),
        ("Sections", str(sheet.sections), ""),
    ]
    if sheet.grip_diameter is not None:
        unit = display_unit("length", system)
        out.append(("Widest grip", _said(sheet.grip_diameter, unit, "up", LEAST_ROUNDING), unit))
    return [{"name": name, "value": value, "unit": unit} for name, value, unit in out]


def _columns(sheet: BuyerSheet, system: System) -> list[dict[str, str]]:
    small, long, carry, flex = (display_unit(q, system) for q in ("length", "reach", "carry", "flex"))
    load = f"{to(sheet.swing_load, display_unit('mass', system)):.3g} {display_unit('mass', system)}"
    out = [
        ("Drawn out", ""),
        ("Reach", long),
        ("Droop, own weight", small),
        ("Added droop", flex),
        ("Balance from butt", long),
        ("Carry moment", carry.replace(" ", "\u00b7")),
        (f"Swing with {load}", "Hz"),
    ]
    return [{"name": name, "unit": unit} for name, unit in out]


def _row(reach: Reach, sheet: BuyerSheet, system: System) -> list[str]:
    small, long, carry, flex = (display_unit(q, system) for q in ("length", "reach", "carry", "flex"))
    rough = sheet.rounding_percent
    return [
        reach.drawn_out,
        _said(reach.reach, long, "down", LENGTH_ROUNDING),
        _said(reach.droop, small, "up", rough),
        _said(reach.flex, flex, "up", rough),
        _said(reach.balance, long, "up", FEEL_ROUNDING),
        _said(reach.carry, carry, "up", FEEL_ROUNDING),
        modest_figure(reach.swing, "down", FEEL_ROUNDING, least=0.01),
    ]


def _rounding(sheet: BuyerSheet, system: System) -> str:
    return (
        f"Rounded so that no figure promises more than it holds: droops upward within {sheet.rounding_percent:g} "
        "%, weight, balance and carry moment upward, reach and swing downward. Held level at the butt, propped "
        f"{_prop(sheet, system)} from it, clamps closed, hose out, thin end drawn out first."
    )


def _prop(sheet: BuyerSheet, system: System) -> str:
    return f"{sheet.prop:.3f} m" if system == "metric" else f"{to(sheet.prop, 'in'):.2f} in"


def _steps(sheet: BuyerSheet, system: System) -> list[str]:
    shared = (
        "divided by five, is the added droop for each 100 g"
        if system == "metric"
        else f"divided by {to(from_(500.0, 'g'), 'oz'):.1f}, is the added droop for each ounce"
    )
    return [
        (
            "Strap the butt down on trestle A. Put trestle B under the pole, soft and not sharp, exactly "
            f"{_prop(sheet, system)} from A. Close every clamp."
        ),
        (
            "Sight or string along the first span, A to B, out to the tip. D is how far the tip hangs below that line. "
            "Tap the pole lightly before each reading."
        ),
        "Read D with nothing hung: droop by own weight. Turn the pole half round, read again and take the mean.",
        "Hang a bottle on a short loop at the tip. Read D at 250 g and at 750 g, bottle and loop weighed in.",
        f"The difference of the two readings, {shared}.",
        f"Hang {to(sheet.swing_load, 'g'):.0f} g, flick the tip and count full swings in ten seconds.",
    ]


def _behind(sheet: BuyerSheet, system: System) -> list[dict[str, str]]:
    if sheet.basis == "measured":
        many = f"median of {sheet.poles} poles" if sheet.poles > 1 else "one pole"
        out = [("Figures", f"Measured: {many}.")]
    else:
        out = [("Figures", "Predicted by calculation. No pole of this revision has been measured for this sheet yet.")]
    if sheet.spread is not None:
        out.append(("Spread", f"95 % of poles within \u00b1{modest_figure(100 * sheet.spread, 'up', 20)} %"))
    else:
        out.append(("Spread", "not yet known; ask for the record of your serial"))
    out.append(("Method", sheet.method))
    if sheet.proof_load is not None:
        unit = "kg" if system == "metric" else "lb"
        load = modest_figure(to(sheet.proof_load, unit), "down", FEEL_ROUNDING)
        out.append(("Proof load", f"{load} {unit} at the tip, held level, every pole"))
    if sheet.heat_limit is not None:
        unit = display_unit("temperature", system)
        limit = int(to(sheet.heat_limit, unit) + 1e-9)
        out.append(("Heat", f"store and carry below {limit} {unit}, never over one support"))
    out.append(
        (
            "Electricity",
            "conducts; not an insulating stick" if sheet.conducts else "not an insulating stick; treat as a conductor",
        )
    )
    if sheet.contact:
        out.append(("Maker", sheet.contact))
    return [{"name": name, "value": value} for name, value in out]


def _block(sheet: BuyerSheet, system: System) -> list[dict[str, Any]]:
    cells = [
        ("Pole", sheet.pole, 1.2),
        ("State", f"level, prop at {_prop(sheet, system)}", 1.4),
        ("Figures", "measured" if sheet.basis == "measured" else "predicted, not measured", 1.2),
        ("Not a certificate", "local codes and licensed practice decide", 1.6),
        ("Revision", sheet.revision, 1.0),
        ("Serial", sheet.serial or "model sheet", 1.0),
        ("Date", sheet.date, 0.8),
    ]
    return [{"name": name, "value": value, "share": share} for name, value, share in cells]
