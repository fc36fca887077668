"""The pole held in the hands: what the page asks for, and the values that it shows.

The shape comes first, so that it follows a drag; what takes longer comes once the drag rests: forces, swing, limits,
then the band in which the copies lie.
"""

import inspect
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Any, cast, get_args

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse
from pydantic import ValidationError

from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.documents.held_pole import HeldPole, drawn_to, held_band, held_pole, held_scene, split_parts
from polewright.documents.holding import JERK, HoldFigures, Holding, hold_figures
from polewright.documents.spend import Spending, spendings
from polewright.documents.values import Workpiece
from polewright.drawings.held import Band, SplitPart, held_drawing, split_drawing
from polewright.errors import DesignError, NotConverged, PolewrightError
from polewright.pole.droop import droop_split
from polewright.pole.hands import grip, heft
from polewright.pole.margins import margins
from polewright.pole.modes import modes, settling_time
from polewright.pole.stability import push_limit, self_buckling_factor
from polewright.pole.wind import wind_load
from polewright.sheet.cautions import Caution, cautions
from polewright.units import System, display_unit, parse, si, to
from polewright.web.asked import OnDesk, Seeing, Shown, Slug
from polewright.web.render import page
from polewright.web.say import Said, pretty, say, spoken
from polewright.web.why import Why

__all__ = ["Control", "HeldRow", "HeldView", "Slider", "held_paths", "held_view"]

held_paths = APIRouter()
SHAPE, FORCES, COPIES = 0, 1, 2
ORDERS = (("thin", "thin end first"), ("thick", "thick end first"), ("own", "as set below"))
SUPPORTS = (("trestles", "on two trestles"), ("clamped", "butt clamped"), ("hands", "in two hands"),
            ("lifted", "lifted flat from the ground"), ("head on glass", "foot down, head on the glass"))
MOST_TEXT = 40


@dataclass(frozen=True, slots=True)
class Slider:
    """A range with what it stands at, in words."""

    name: str
    label: str
    least: float
    most: float
    step: float
    value: float
    says: str


@dataclass(frozen=True, slots=True)
class Control:
    """A field to be typed in, shown only for some supports."""

    name: str
    label: str
    text: str
    unit: str
    only_for: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class HeldRow:
    """One figure with its words and its why."""

    name: str
    said: Said
    words: str = ""
    why: Why | None = None
    look: bool = False


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
    contacts: tuple[tuple[str, str, str], ...]
    contact_unit: str
    band: str
    spend: tuple[Any, ...]
    spend_units: Mapping[str, str]
    cautions: tuple[Caution, ...]
    supports: tuple[tuple[str, str], ...] = SUPPORTS
    orders: tuple[tuple[str, str], ...] = ORDERS


@held_paths.get("/poles/{slug}/held")
def show_held(request: Request, desk: OnDesk, sights: Seeing, system: Shown, slug: Slug,
              depth: Annotated[int, Query(ge=SHAPE, le=COPIES)] = SHAPE) -> HTMLResponse:
    """The hold that the query asks for: its shape; from `depth` 1 forces and limits, at 2 the band of the copies."""
    checked = sights.checked(desk.look(slug).design)
    view = held_view(checked.design, checked.work, request.query_params, system, depth)
    return HTMLResponse(page("held.html", view=view, currency=checked.report.pole.currency))


def held_view(design: Design, work: Workpiece, asked: Mapping[str, str], system: System, depth: int) -> HeldView:
    """The values of the page for a hold.

    Raises
    ------
    DocumentError : a control that says nothing sensible, or a hold this pole cannot be in. NotConverged : no balance.
    """
    order = asked.get("order", "thin")
    hold = _holding(work, asked, order, system)
    held = held_pole(design, work, hold)
    band, told = _band(design, work, held, system) if depth == COPIES else (None, "")
    scene = held_scene(work, held, hold, system=system, band=band)
    parts, rest = split_parts(work, held, system=system)
    spans = tuple(span for span, _ in scene.spans)
    is_free = hold.support != "head on glass"
    title = f"What each section and joint gives of the droop of {scene.droop}"
    figures = hold_figures(design, work, hold) if depth == FORCES else None
    return HeldView(
        support=hold.support, order=order, lean=_lean(hold), reach=_reach(work, held, system),
        joints=_joints(work, held, system), fields=_fields(hold, system), drawing=held_drawing(scene),
        hand_drawing=held_drawing(scene, phone=True), split=split_drawing(parts, spans, title=title) if is_free else "",
        hand_split=split_drawing(parts, spans, title=title, phone=True) if is_free else "",
        split_rest=_rest_words(rest) if is_free else "The glass holds the tip: nothing droops there",
        rows=_shape_rows(held, hold, system), depth=depth, forces=() if figures is None else _forces(figures, system),
        limits=() if figures is None else _limits(figures, system),
        contacts=() if figures is None else _contacts(figures, system), contact_unit=display_unit("force", system),
        band=told, spend=_spend(design, work, system), spend_units=_spend_units(design, system), cautions=_cautions())


def _holding(work: Workpiece, asked: Mapping[str, str], order: str, system: System) -> Holding:
    """What the controls ask for, every fault of theirs gathered."""
    faults: list[Fault] = []

    def read(name: str, quantity: str, unit: str, usual: float) -> float:
        text = asked.get(name, "").strip()[:MOST_TEXT]
        if not text:
            return usual
        try:
            is_slider = quantity == "angle" or name.startswith(("drawn", "reach"))
            shown = unit if is_slider else display_unit(quantity, system)
            return to(parse(text, quantity, shown, field=name), unit)
        except PolewrightError as fault:
            faults.append(Fault((name, repr(text), fault.want)))
            return usual

    joints = len(work.pole.joints)
    longest = to(work.pole.extended_length, "mm")
    values: dict[str, Any] = {
        "lean_deg": read("lean_deg", "angle", "°", 0.0), "support": asked.get("support", "trestles"),
        "rear_mm": read("rear_mm", "length", "mm", 100.0), "front_mm": read("front_mm", "length", "mm", 1000.0),
        "head_g": read("head_g", "mass", "g", 0.0), "hose_g_m": read("hose_g_m", "line_mass", "g/m", 0.0),
        "wind_m_s": read("wind_m_s", "speed", "m/s", 0.0)}
    if order == "own":
        full = [to(length, "mm") for length in work.pole.full_draw]
        values["drawn_mm"] = tuple(read(f"drawn-{j}", "length", "mm", full[j]) for j in range(joints))
    elif order in ("thin", "thick"):
        reach = si("reach_mm", read("reach_mm", "length", "mm", longest))
        values["drawn_mm"] = tuple(to(float(d), "mm") for d in drawn_to(work.pole, reach, cast(Any, order)))
    else:
        faults.append(Fault(("order", repr(order[:MOST_TEXT]), "thin, thick or own")))
    try:
        hold = Holding(**values)
    except ValidationError as fault:
        faults += [_fault(item, system) for item in fault.errors()]
    if faults:
        raise DocumentError(faults)
    return hold


def _fault(item: Any, system: System) -> Fault:
    """A field out of its range, its limit said in the unit it was typed in."""
    name = str(item["loc"][0])
    quantity, unit, _ = _TYPED.get(name, ("", "", ""))
    limits = item.get("ctx", {})
    words = str(item["msg"])
    if quantity and ("le" in limits or "ge" in limits):
        side, value = ("at most", limits["le"]) if "le" in limits else ("at least", limits["ge"])
        shown = display_unit(quantity, system)
        words = f"{side} {to(si(f'x_{unit}', float(value)), shown):.4g} {shown}"
    elif name == "support":
        words = "one of " + ", ".join(get_args(Holding.model_fields["support"].annotation))
    return Fault((name, "" if quantity else repr(str(item.get("input", ""))[:MOST_TEXT]), words))


_TYPED: Mapping[str, tuple[str, str, str]] = {
    "lean_deg": ("angle", "deg", "Lean"), "head_g": ("mass", "g", "Head"), "hose_g_m": ("line_mass", "g_m", "Hose"),
    "wind_m_s": ("speed", "m_s", "Wind"), "rear_mm": ("length", "mm", "Rear hand, from the butt"),
    "front_mm": ("length", "mm", "Front hand, from the butt"),
}


def _lean(hold: Holding) -> Slider:
    way = "level" if abs(hold.lean_deg) < 0.5 else "up" if hold.lean_deg > 0.0 else "down"
    says = way if way == "level" else f"{abs(hold.lean_deg):.0f}° {way}"
    return Slider("lean_deg", "Lean", -90.0, 90.0, 1.0, round(hold.lean_deg, 1), says)


def _reach(work: Workpiece, held: HeldPole, system: System) -> Slider:
    length = float(held.bent.station[-1])
    said = say(length, "reach", system, 2)
    return Slider("reach_mm", "Drawn out to", *_ends(work.pole.closed_length, work.pole.extended_length), 1.0,
                  round(to(length, "mm")), str(said))


def _ends(least: float, most: float) -> tuple[float, float]:
    return float(round(to(least, "mm"))), float(round(to(most, "mm")))


def _joints(work: Workpiece, held: HeldPole, system: System) -> tuple[Slider, ...]:
    rows = []
    for j, (low, high, now) in enumerate(zip(work.pole.closed_draw, work.pole.full_draw,
                                             held.state.drawn.tolist(), strict=True)):
        says = "pushed in" if now <= low + 1e-9 else "drawn out" if now >= high - 1e-9 else "partly"
        rows.append(Slider(f"drawn-{j}", f"Section {j + 1}", *_ends(min(low, high), high), 1.0, round(to(now, "mm")),
                           f"{say(now, 'length', system, 0, 1)}, {says}"))
    return tuple(rows)


def _fields(hold: Holding, system: System) -> tuple[Control, ...]:
    rows = []
    for name, (quantity, unit, label) in _TYPED.items():
        if name != "lean_deg":
            shown = display_unit(quantity, system)
            number = to(si(f"x_{unit}", getattr(hold, name)), shown)
            hands = ("hands", "lifted") if name in ("rear_mm", "front_mm") else ()
            rows.append(Control(name, label, f"{number:.4g}", pretty(shown), hands))
    return tuple(rows)


def _shape_rows(held: HeldPole, hold: Holding, system: System) -> tuple[HeldRow, ...]:
    b = held.bent
    level, up = b.tip
    aside = "it bends aside: longer than its own weight allows upright" if b.buckled else ""
    start = {"head on glass": "the foot", "hands": "the rear hand", "lifted": "the rear hand",
             "clamped": "the clamp"}.get(hold.support, "the first trestle")
    name = "Droop at the tip" if held.measured == -1 else "Sags between foot and glass by"
    return (HeldRow(name, say(float(b.droop[held.measured]), "length", system, 0, 1), aside,
                    _why("From the unbent line, square to it: what sections, joints, play and shear give, added up "
                         "along the bent pole.", droop_split), bool(aside)),
            HeldRow(f"Tip {'above' if up >= 0.0 else 'below'} {start}", say(abs(up), "reach", system, 2)),
            HeldRow(f"Tip out from {start}", say(abs(level), "reach", system, 2)))


def _forces(f: HoldFigures, system: System) -> tuple[HeldRow, ...]:
    rows: list[HeldRow | None] = [
        _row("Mass with all that hangs on it", si("x_g", f.mass_g), "mass", system, 0, 1, why=_why(
            "Every tube over its whole length, buried or not, with clamps, head and hose.", heft)),
        _row("Balance, from the butt", si("x_mm", f.balance_mm), "reach", system, 2),
        _row("Rear hand", f.rear_hand_N, "force", system, 0, 1, words=_press(f.rear_hand_N), why=_why(
            "Two hands hold but do not turn the pole: forces and moments balance over them.", grip)),
        _row("Front hand", f.front_hand_N, "force", system, 0, 1, words=_press(f.front_hand_N)),
        _row("Turning moment at the front hand", f.hand_moment_N_m, "moment", system, 1),
        _row("Felt when raised", None if f.felt_mass_g is None else si("x_g", f.felt_mass_g), "mass", system, 1,
             words="the mass at the front hand that would swing as heavily", unit="kg"),
        _row("Carry", f.carry_kg_m, "carry", system, 2, words=f.comfort.partition(": ")[2]),
        _row("Swing", f.swing_Hz, "frequency", system, 2, words=_after_number(f.strokes), why=_why(
            "Lowest frequency of the bent pole as it is held, the head free.", modes)),
        _row("Swing, tip touching", f.swing_propped_Hz, "frequency", system, 2),
        _row("Comes to rest in", f.settles_s, "time", system, 1, unit="s",
             words="to a twentieth of its first size", why=_why(
            "Damping of 2 % of critical is taken, not measured here.", settling_time)),
        _row("Sways in the wind by", None if f.sway_mm is None else si("x_mm", f.sway_mm), "length", system, 0, 1,
             why=_why("Wind square to the pole, drag 1.2 on its outside.", wind_load)),
    ]
    return tuple(r for r in rows if r is not None)


def _limits(f: HoldFigures, system: System) -> tuple[HeldRow, ...]:
    source = _why(f"Largest moment over each section, force and pull of each joint, a jerk of {JERK:g} counted in, "
                  "against what wall and collar bear by design values.", margins)
    checks = [m for m in f.margins if m.factor < 1e8]
    seen: set[str] = set()
    rows: list[HeldRow] = []
    for m in checks:
        if m.place not in seen:
            seen.add(m.place)
            rows.append(HeldRow(f"{m.place}, {m.what.replace('_', '-')}".capitalize(), Said(f"{m.factor:.1f}", "times"),
                                "less than it must bear" if m.factor < 1.0 else "", source if not rows else None,
                                m.factor < 1.0))
    more: list[HeldRow | None] = [
        _factor("Own weight, standing", f.self_buckling_factor),
        _row("Push at the tip before it bends aside", f.push_limit_N, "force", system, 0, why=_why(
            "The least push along the pole at which the straight shape gives way.", push_limit))]
    return (*rows, *(r for r in more if r is not None))


def _factor(name: str, value: float | None) -> HeldRow | None:
    if value is None or value > 1e6:
        return None
    return HeldRow(name, Said(spoken(value, 1), "times"), "then the straight pole bends aside", _why(
        "Factor on pole, head and hose at which the straight shape gives way.", self_buckling_factor), value < 1.0)


def _contacts(f: HoldFigures, system: System) -> tuple[tuple[str, str, str], ...]:
    return tuple((f"{j.between[0]}/{j.between[1]}", say(j.front_N, "force", system, 0).number,
                  say(j.back_N, "force", system, 0).number) for j in f.joints)


def _row(name: str, value: float | None, quantity: str, system: System, digits: int, inch_digits: int | None = None, *,
         words: str = "", unit: str | None = None, why: Why | None = None) -> HeldRow | None:
    """A row, or none where the hold has no such figure."""
    if value is None:
        return None
    said = Said(spoken(value, digits), unit) if unit == "s" else say(value, quantity, system, digits, inch_digits,
                                                                     unit=unit)
    return HeldRow(name, said, words, why)


def _press(force: float | None) -> str:
    return "" if force is None else "lifts" if force >= 0.0 else "presses down"


def _after_number(words: str) -> str:
    return words.partition(" Hz ")[2] or words


def _rest_words(rest: tuple[SplitPart, ...]) -> str:
    words = "; ".join(p.words for p in rest)
    return words[:1].upper() + words[1:]


def _band(design: Design, work: Workpiece, held: HeldPole, system: System) -> tuple[Band | None, str]:
    """The band and its words; where some copies cannot be held so, the words alone."""
    try:
        band = held_band(design, work, held, system=system)
    except (DesignError, NotConverged) as fault:
        return None, f"no band is drawn: some copies cannot be held so ({fault.want})"
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
        rows.append((s.section, s.prepreg, spoken(to(saved, length), digits), spoken(s.cost, 2),
                     say(si("x_g", s.mass_g), "mass", system, 0, 2).number, spoken(to(each, length), digits),
                     spoken(to(weight, length), digits), s.still_fits))
    return tuple(rows)


def _spend_units(design: Design, system: System) -> Mapping[str, str]:
    length, mass = display_unit("length", system), display_unit("mass", system)
    return {"length": length, "mass": mass, "money": design.setting.currency,
            "per_mass": "10 g" if system == "metric" else "oz"}


def _cautions() -> tuple[Caution, ...]:
    return tuple(c for c in cautions("use") if c.id in ("overhead_lines", "falling_pole", "wind_lightning"))


def _why(words: str, behind: Callable[..., Any]) -> Why:
    """Words, and what the core cites for the formula."""
    found = re.search(r"^Source\n-+\n(.+?)(?:\n\n|\Z)", inspect.getdoc(behind) or "", re.S | re.M)
    source = " ".join(found.group(1).replace("`", "").split()) if found else ""
    source = source.removesuffix(": module text.")
    return Why(words, "" if source.startswith(("Module text", "as ")) else source, ())
