"""What the functions of words say in every state of what they are given: in codes, in both systems of units."""

from collections.abc import Callable, Iterator
from itertools import product
from types import SimpleNamespace as Given
from typing import Any

from polewright.answers.find.answer import CountAnswer, OfferAnswer, WayAnswer, WishLimit
from polewright.answers.findings import Finding
from polewright.answers.findings.finding import Subjects
from polewright.answers.hold import DroopPart, SafeAnswer
from polewright.answers.ranking import Waste
from polewright.answers.scatter import ScatterFigure
from polewright.answers.sections import BandWindow, Ply
from polewright.answers.wall_strength import BreakStep
from polewright.codes import Message
from polewright.documents.document import Part
from polewright.documents.test_record import Reading
from polewright.pole.margins import Margin, Place
from polewright.units import QUANTITIES, quantity_of_field
from polewright.words import Reader, find, findings, forms, hold, readings, scatter, wall
from polewright.words.check import large_note, play_text, share_name, stack_text
from polewright.words.faults import addressed, fault_text
from polewright.words.figures import closed_window_text, figure, mass_text, money, pole_mass, width_change
from polewright.words.form_values import (
    as_typed,
    field_number,
    field_stem,
    field_text,
    field_unit,
    field_value,
    plain_figure,
    sent_in,
    with_unit,
)
from polewright.words.jobs import job_text
from polewright.words.ranking import reason_texts
from polewright.words.rules import limit_in_form, limit_unit, typed_limit
from polewright.words.significant import number_in_unit, number_of_digits, significant_parts, significant_text

NUMBERS = (0.0, 4e-7, 6e-7, -0.00012345, 0.0123456, 0.5, -3.0, 12.3456789, 1234.5678, 98765.4321, 2.5e9)
FORMS = ("", "number.0", "number.2", "number.s3", "percent.1", "length", "length.1", "length.1.3", "length.s3",
         "mass.1@kg", "mass.s3@kg", "length.2.bare", "length.s3.bare",
         "force.0", "reach.2", "angle.1", "code.verdict")  # fmt: skip
TYPED = ("8", "8 mm", "8 in", "eight", " 8 ")
Said = Iterator[tuple[str, object]]


def told_in_every_state() -> dict[str, Any]:
    """Every text and number by the function that says it, what it was given, and the system of units."""
    found: dict[str, Any] = {}
    for system, (name, says) in product(("metric", "inch"), SAYS.items()):
        for given, text in says(Reader("x-coded", system)):
            found[f"{name} in {system}: {given}"] = text if isinstance(text, float) else str(text)
    return found


def _numbers(reader: Reader) -> Said:
    local = Reader("de", reader.system)
    for number in NUMBERS:
        yield f"digits {number:g}", [number_of_digits(number, digits, local) for digits in (1, 3, 5)]
        yield f"forms {number:g}", [forms.value_text(number, form, local) for form in FORMS[:-1]]
    for quantity in QUANTITIES:
        parts = significant_parts(12.3456789, quantity, reader)
        yield quantity, (parts, significant_text(12.3456789, quantity, reader), number_in_unit(2.0, quantity, reader))
        yield f"{quantity} typed", [plain_figure(1.23456789, quantity, reader, is_fine=fine) for fine in (False, True)]
    own = [significant_parts(2.0, "force", reader, 3, unit="kN"), significant_text(2.0, "force", reader, unit="kN")]
    yield "in a unit of its own", own
    yield "a state", [forms.value_text(state, "code.verdict", reader) for state in ("holds", "look")]
    yield "nothing and yes", [forms.value_text(each, "", reader) for each in (None, True, -3, "text", (1, 2.5))]


def _figures(reader: Reader) -> Said:
    for before, now in product((None, 1.0, 1.0004, 2.0, -1.0), (1.0, -0.5)):
        beside = figure(now, "length", reader, 0, 1, before=before)
        yield f"{before} {now}", (beside, beside.change, beside.is_changed)
        yield f"money {before} {now}", money(now, "€", reader, 1, before=before).change
        yield f"mass {before} {now}", (pole_mass(now, reader, before=before).change, mass_text(now, reader))
        yield f"width {before} {now}", width_change(40.0 * now, None if before is None else 40.0 * before, reader)
    yield "unit", figure(2000.0, "force", reader, 1, unit="kN")
    for least, most in ((50.0, 40.0), (50.0, 49.9), (40.4, 39.6)):
        yield (
            f"window {least} {most}",
            closed_window_text(BandWindow(least, most, 1.0, 1.0, 1.0, "fibre", 1.0, 1.0, "split_band"), reader),
        )


def _fields(reader: Reader) -> Said:
    for name in sorted({name for part in _parts(Part) for name in part.model_fields}):
        if quantity_of_field(name) is not None:
            shown = [field_value(name, 12.3456789, reader), field_value(name, 12.3456789, reader, 3)]
            shown += [
                field_text(name, 12.3456789, reader),
                as_typed(name, 12.3456789, reader),
                field_unit(name, reader),
            ]
            yield name, [*shown, field_stem(name), sent_in(name, 12.0), f"{field_number(name, 0.1):.9g}"]
    for name, text in product(("at_mm", "play_mrad", "name"), TYPED):
        yield f"{name} {text}", with_unit(text, name, reader)
    yield "plain", [field_value("turns", value, reader) for value in (None, 2.5, 3, "text", 1.0 / 3.0)]
    for clock in (0.0, 90.0):
        reading = Reading(load_g=250.0, reading_mm=12.3456, clock_deg=clock)
        yield (
            f"reading at {clock}",
            (
                readings.reading_text(reading, reader),
                tuple(
                    field_value(name, getattr(reading, name), reader) for name in ("load_g", "reading_mm", "clock_deg")
                ),
            ),
        )


def _parts(kind: type[Part]) -> set[type[Part]]:
    """Kinds of parts that documents have; not those that tests make."""
    own = {each for each in kind.__subclasses__() if each.__module__.startswith("polewright.documents")}
    return own.union(*(_parts(each) for each in own))


def _find(reader: Reader) -> Said:
    pole = Given(droop=0.31, base_outside=0.04, gap=0.02, misses=())
    for wish, limit in product(find.WISHES, (None, 0.0123)):
        yield f"{wish} {limit}", find.conflict_text(WishLimit(wish, limit), "€", reader)
    states = product(("droop", "mass"), (None, 0.5), (True, False), (None, pole))
    for wish, needs, is_possible, found in states:
        way: Any = WayAnswer(wish, 0.3, needs, is_possible, found)
        yield f"{wish} {needs} {is_possible} {found is None}", find.way_text(way, "€", reader)
    for code, droop, cost, cheaper, is_beside in product(
        ("offer.base", "offer.section"), (0.0, 0.02), (0.0, 9.0), (None, 0.3), (True, False)
    ):
        for poles in ({}, {"stiffer": pole}, {"cheaper": Given(base_outside=0.05)}):
            given: dict[str, Any] = {"stiffer": None, "cheaper": None} | poles
            offer = OfferAnswer(
                Message(code), is_worth_it=droop + cost > 0.0, droop_saved=droop, cost_saved=cost,
                cheaper_droop=cheaper, is_beside_best=is_beside, **given,
            )  # fmt: skip
            state = f"{code} {droop} {cost} {cheaper} {is_beside} {''.join(poles)}"
            yield state, find.offer_text(offer, "€", reader).replace(str(Message(code)), code)
    for best, is_complete in product((None, pole, Given(gap=None)), (True, False)):
        answer: Any = Given(best=best, is_complete=is_complete)
        yield f"proof {best and best.gap} {is_complete}", find.proof_text(answer, reader)
    for left, excluded in product((0, 3), (0, 4)):
        count = CountAnswer(Message("find.no_estimate"), 9, 2, ((Message("want.finite"), excluded),), left)
        yield f"count {left} {excluded}", find.count_text(count, reader)
    yield "plies", find.plies_text([Ply("TH55", 1.5707963267948966, 1.0), Ply("SM150", 0.0, 2.5)], reader)


def _hold(reader: Reader) -> Said:
    places = [Place(kind, 3, "strength") for kind in ("section", "joint", "tip", "balance")]
    yield "places", [hold.place_text(place, reader) for place in places]
    yield "compared", hold.compared_mass(reader)
    for state, place in product(
        ("whole", "stopped", "no_balance", "not_even_closed", "unsolved", "on_glass"), (None, 1)
    ):
        safe: Any = SafeAnswer(state, 3.0, 0.5, place and places[1], Message("want.finite"))
        yield f"safe {state} {place}", hold.safe_text(Given(safe=safe), reader)
    near = Margin(places[0], 4.0, 12.0)
    for weakest in (None, near):
        answer: Any = Given(weakest=weakest, jerk=1.5)
        yield f"weakest {weakest is None}", hold.weakest_text(answer, reader)
    for limit in ("contact_mouth", "contact_inner_end"):
        yield f"pressed {limit}", hold.pressed_text(Margin(Place("joint", 2, limit), 4.0, 12.0), reader)
    yield "pressed by none", hold.pressed_text(None, reader)
    for strokes, force in zip((None, True, False), (0, 5, 12), strict=True):
        moved: Any = Given(strokes=strokes, beaufort=force)
        yield f"strokes {strokes} {force}", (hold.strokes_text(moved, reader), hold.wind_text(moved, reader))
    for heat, too_warm in (
        (None, False),
        (Given(retention=0.9, limit=350.0), False),
        (Given(retention=0.4, limit=330.0), True),
    ):
        warm: Any = Given(warmth=Given(temperature=340.0, heat=heat, is_too_warm=too_warm))
        yield f"warmth {heat and heat.limit}", hold.warmth_text(warm, reader)
    for limits in product((None, 2.0), (None, 30.0), (None, -20.0)):
        comfort = Given(carry="tiring", mass_limit=limits[0], moment_limit=limits[1])
        borne: Any = Given(comfort=comfort, hand_moment=limits[2], mass=1.5)
        yield f"comfort {limits}", hold.comfort_text(borne, reader)
    yield "parts", [hold.part_name(DroopPart(kind, 2, 0.1), reader) for kind in ("section", "joint", "play", "shear")]


def _scatter(reader: Reader) -> Said:
    for kind, drawn in product(scatter.FIGURE_FORMS, (None, Message("want.finite"))):
        own = ScatterFigure(kind, 2, drawn, 0.4)
        shown = [scatter.figure_number(own, 0.0123456, reader), scatter.figure_unit(own, reader)]
        yield f"{kind} {drawn}", [*shown, scatter.limit_text(own, 0.0123456, reader), scatter.figure_text(own, reader)]
    for figure_, is_least in ((None, True), (ScatterFigure("mass"), True), (ScatterFigure("mass"), False)):
        promise: Any = Given(figure=figure_, is_least=is_least, limit=0.4)
        yield f"promise {figure_ is None} {is_least}", scatter.promise_text(promise, reader)
    for name in scatter.FIGURES:
        said = [scatter.input_number(name, size, reader) for size in (0.0, 0.012345)]
        yield f"input {name}", [scatter.input_text(name, reader), scatter.input_unit(name, reader), *said]
    yield "orders", [scatter.order_text(count, reader) for count in (None, 1, 7)]
    yield "sources", [scatter.source_text("a book", trust, reader) for trust in ("", "very low")]


def _rules(reader: Reader) -> Said:
    for unit, limit in product(("m", "rad", "mm/kg", Message("unit.of_plies")), (None, 0.00123456789, 2.0)):
        rule: Any = Given(limit=limit, unit=unit)
        yield f"{unit} {limit}", (limit_in_form(rule, reader), [typed_limit(rule, text, reader) for text in TYPED])
        if not isinstance(unit, Message):
            yield f"{unit} of {limit}", limit_unit(rule, reader)
    for sections, is_short in product(((2,), (2, 3), (2, 3, 4), (1, 2, 4)), (True, False)):
        yield f"{sections} {is_short}", findings.named_sections(sections, reader, is_short=is_short)
    for kind, quantity in product(
        ("brief", "fit"), ("length", "mass", "carry", "bending", "frequency", "flex", "money")
    ):
        for value in (None, 0.0123456):
            own = Finding("wish.x", kind, "look", quantity=quantity, details={"currency": "€"})
            yield f"{kind} {quantity} {value}", findings.figure_text(own, value, reader)
    for verdict, is_short, off in product(("holds", "look"), (True, False), (None, -0.2, 0.2)):
        details = {"out": 2, "joints": 4, "within": 0.05, "off": off, "is_least": bool(off), "load": 0.5}
        for code, quantity in (("wish.droop", "length"), ("wish.flex", "flex"), ("wish.mass", "mass")):
            own = Finding(code, "brief", verdict, Subjects((2,)), 0.4, 0.3, quantity, details=details)
            yield f"{code} {verdict} {is_short} {off}", findings.finding_text(own, reader, is_short=is_short).says


def _walls(reader: Reader) -> Said:
    for key in wall.TIERS:
        yield (
            key,
            (
                wall.tier_parts(key, 12.3456789, reader),
                wall.tier_parts(key, 0.0123, reader, 2),
                wall.tier_name(key, reader),
            ),
        )
    yield "limits", [wall.limit_parts(under, 1234.5, reader) for under in ("bending", "push")]
    yield "changes", [wall.change_text(what, reader) for what in ("thicker", "rotated")]
    yield "steps", [wall.step_text(BreakStep(moment, "fibre_tension", 2), reader) for moment in (0.0, 3.0)]
    yield "first ply", wall.first_ply_text(None, reader)
    for in_cure in (True, False):
        first: Any = Given(first=Given(in_cure=in_cure, broken=Message("want.finite"), failure=Message("want.missing")))
        yield f"first ply {in_cure}", wall.first_ply_text(first, reader)
    for share in (0.0, 0.0049, 0.0051, -0.0051):
        reach: Any = Given(large_share=share, slope=0.2)
        yield f"large {share}", large_note(reach, reader)
    for kind, is_short in product(("section", "joint"), (True, False)):
        part: Any = Given(kind=kind, number=2)
        yield f"share {kind} {is_short}", share_name(part, reader, is_short=is_short)
    yield "play", play_text(0.00123, reader)
    yield "stack", stack_text([Ply("TH55", 1.5707963267948966, 1.0), Ply("SM150", 0.0, 2.5)])
    for gap, step in product((None, 0.012), ("wishes", "offers")):
        yield f"job {gap} {step}", job_text(Given(gap=gap, step=step, done=3, of=9), reader)
    for place, waste in product((1, 2), (None, Waste("B", 9.0, 0.02, 0.002, 0.005, (1, 3), 0.25))):
        design: Any = Given(misses=(), place=place, waste=waste)
        yield f"reasons {place} {waste is None}", reason_texts(design, Given(currency="€"), reader)


FAULTS: tuple[tuple[str, object, Message | str], ...] = tuple(
    product(
        ("", "page", "sections[1].length_mm", "sections[1].stack[0].angle_deg-2", "brief.droop[0].at_most_mm",
         "fibre share", "entry 5", "--out", "of_no_document_mm", "of_no_document[3]", "a[b"),
        (None, "", "''", 0.0123, "text", "x" * 310),
        ("", "plain words", Message("want.finite"), Message("want.number_such_as")),
    )
)  # fmt: skip


def _faults(reader: Reader) -> Said:
    for field, value, want in FAULTS:
        own = fault_text(reader, field, value, want)
        shown = f"{value}"[:6]
        yield (
            f"{field}, {shown}, {want}",
            (own.field, own.value, own.want, own.says, addressed(reader, field, value, want)),
        )


SAYS: dict[str, Callable[[Reader], Said]] = {
    "numbers": _numbers, "figures": _figures, "fields": _fields, "find": _find, "hold": _hold, "scatter": _scatter,
    "rules": _rules, "walls": _walls, "faults": _faults,
}  # fmt: skip
