"""The work card: what is rolled on one mandrel, in order, and what must be written down on the way."""

from collections.abc import Collection
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from polewright.codes import Message
from polewright.drawings.clock import clock_drawing
from polewright.drawings.flag import flag_drawing
from polewright.drawings.wall import wall_drawing
from polewright.sheet.cautions import Caution, Place, caution_texts, cautions, closing_line
from polewright.sheet.typeset import pdf, qr_svg
from polewright.shop.kit import Kit, KitFlag
from polewright.shop.seam_clock import section_clock
from polewright.units import from_
from polewright.wall.stack import Stack, StackPly
from polewright.words.reader import Reader

__all__ = ["CardStep", "TapeProgramme", "WorkCard", "work_card", "work_card_pdf", "work_card_values"]

MASS_BAND = 0.01  # share by which a kit may weigh more or less before someone looks
MOST_DRIFT = from_(0.5, "°")  # [rad] of the fibre on a taper that needs no word
PLACES: tuple[Place, ...] = ("cut", "roll", "oven", "finish")


@dataclass(frozen=True, slots=True)
class CardStep:
    """One flag to roll on.

    number: place in the rolling order; angle [rad] from the tube axis; length, width_butt, width_tip [m] of the flag;
    pieces: labels; piece_lengths [m] of each; start [rad] from the mark, in the direction of rolling; outside_before,
    outside_after [m] mean diameter; mass [kg]; films to peel off; partner: flag that is laid on this one or under it,
    if any; drawing: SVG.
    """

    number: int
    material: str
    angle: float
    turns: float
    length: float
    width_butt: float
    width_tip: float
    pieces: tuple[str, ...]
    start: float
    outside_before: float
    outside_after: float
    mass: float
    films: int
    partner: int | None = None
    drawing: str = ""
    piece_lengths: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class TapeProgramme:
    """Shrink or cello tape as the workshop winds it; None is a blank on the card, to be filled in by hand.

    width [m], tension [N], pitch [m], passes [-].
    """

    width: float | None = None
    tension: float | None = None
    pitch: float | None = None
    passes: int | None = None


@dataclass(frozen=True, slots=True)
class WorkCard:
    """All that a work card says. Lengths [m], masses [kg].

    outside_expected: mean outside diameter after cure; kit_mass without films; reference: what the QR code says; marks:
    what stands across every page.
    """

    workshop: str
    pole: str
    section: str
    job: str
    revision: str
    date: str
    mandrel: str
    bore: float
    length: float
    trim: float
    steps: tuple[CardStep, ...]
    outside_expected: float
    kit_mass: float
    films: int
    tape: TapeProgramme = field(default_factory=TapeProgramme)
    cautions: tuple[Caution, ...] = ()
    notes: tuple[Message, ...] = ()
    reference: str = ""
    wall_drawing: str = ""
    clock_drawing: str = ""
    marks: tuple[Message, ...] = ()


def work_card(
    kit: Kit,
    reader: Reader,
    *,
    workshop: str,
    pole: str,
    job: str,
    revision: str,
    date: str,
    mandrel: str = "",
    reference: str = "",
    tape: TapeProgramme | None = None,
    marks: tuple[Message, ...] = (),
) -> WorkCard:
    """The card of one kit, with its flags, wall and seam clock drawn on paper for its reader."""
    clock = section_clock(kit)
    flags = [f.flag for f in kit.flags]
    stack = Stack(tuple(StackPly(f.ply, f.flag.angle, f.flag.turns) for f in kit.flags))
    steps = tuple(_step(f, start, reader) for f, start in zip(kit.flags, clock.start.tolist(), strict=True))
    families = {f.ply.family for f in kit.flags}
    return WorkCard(
        workshop=workshop,
        pole=pole,
        section=kit.section,
        job=job,
        revision=revision,
        date=date,
        mandrel=mandrel,
        bore=(flags[0].diameter_butt + flags[0].diameter_tip) / 2.0,
        length=kit.length,
        trim=kit.trim,
        steps=steps,
        outside_expected=(flags[-1].wound_butt + flags[-1].wound_tip) / 2.0,
        kit_mass=kit.mass,
        films=kit.films,
        tape=tape or TapeProgramme(),
        cautions=_for_the_card(families),
        notes=(*kit.notes, *_taper_notes(kit)),
        reference=reference or job,
        wall_drawing=wall_drawing(stack, reader, paper=True),
        clock_drawing=clock_drawing(clock.start.tolist(), reader, paper=True),
        marks=marks,
    )


def work_card_pdf(card: WorkCard, reader: Reader) -> bytes:
    """The card as a PDF for its reader, A4, one or more pages."""
    return pdf("card.typ", work_card_values(card, reader))


LABELS = (
    "wall_alt", "clock_alt", "before", "kit_weighed", "weighed", "by", "date", "gloves", "lots", "mandrel_ready",
    "room", "humidity", "coats", "order", "order_note", "start_at", "outside", "ironed", "after", "films_counted",
    "rolled_mass", "seam_at", "tape", "oven_load", "held_above", "held_for", "pull_off", "outside_places", "mass",
    "look", "lot_of", "cautions", "page", "of",
)  # fmt: skip


def work_card_values(card: WorkCard, reader: Reader) -> dict[str, Any]:
    """Every word and figure of the card as it is set."""
    return {
        "lang": reader.paper_language,
        "labels": {key: reader.say(f"card.label.{key}") for key in LABELS},
        "title": reader.say("card.title", job=card.job, pole=card.pole, section=card.section),
        "kind": reader.say("card.kind", pole=card.pole),
        "workshop": card.workshop or reader.say("card.workshop.unnamed"),
        "pole": card.pole,
        "section": card.section,
        "qr": qr_svg(card.reference),
        "qr_alt": reader.say("card.qr_alt", reference=card.reference),
        "reference": card.reference,
        "wall": card.wall_drawing,
        "clock": card.clock_drawing,
        "facts": _facts(card, reader),
        "kit_mass": reader.say("card.kit_mass", mass=card.kit_mass, band=card.kit_mass * MASS_BAND),
        "mass_unit": reader.unit("mass"),
        "force": reader.unit("force"),
        "heat": reader.unit("temperature"),
        "minutes": reader.unit("time"),
        "films": reader.say("card.films_on_table", count=card.films),
        "unit": reader.unit("length"),
        "lots": list(dict.fromkeys(step.material for step in card.steps)),
        "steps": [_step_values(step, card, reader) for step in card.steps],
        "outside": reader.bare(card.outside_expected, "length", 2, 4),
        "tape": _tape_values(card.tape, reader),
        "notes": [reader.text(note) for note in card.notes],
        "closing": reader.text(closing_line()),
        "block": _block(card, reader),
        "marks": [reader.text(mark) for mark in card.marks],
        "cautions": [
            {"title": c.title, "words": c.words, "actions": list(c.actions)}
            for c in caution_texts(card.cautions, reader)
        ],
    }


def _step(kit_flag: KitFlag, start: float, reader: Reader) -> CardStep:
    flag = kit_flag.flag
    return CardStep(
        number=kit_flag.number,
        material=kit_flag.ply.name,
        angle=flag.angle,
        turns=flag.turns,
        length=flag.length,
        width_butt=flag.width_butt,
        width_tip=flag.width_tip,
        pieces=tuple(p.label for p in kit_flag.pieces),
        start=start,
        outside_before=(flag.diameter_butt + flag.diameter_tip) / 2.0,
        outside_after=(flag.wound_butt + flag.wound_tip) / 2.0,
        mass=kit_flag.mass,
        films=len(kit_flag.pieces),
        partner=kit_flag.partner,
        piece_lengths=tuple(p.length for p in kit_flag.pieces),
        drawing=flag_drawing(kit_flag, reader, paper=True, width=470.0),
    )


def _for_the_card(families: Collection[str]) -> tuple[Caution, ...]:
    found = [caution for place in PLACES for caution in cautions(place, families=families)]
    return tuple({caution.id: caution for caution in found}.values())


def _taper_notes(kit: Kit) -> tuple[Message, ...]:
    """Flags whose fibre leaves its angle on a taper by more than half a degree, and what to do about it."""
    drifts = [(f.number, abs(f.flag.drift)) for f in kit.flags if abs(f.flag.drift) > MOST_DRIFT]
    if not drifts:
        return ()
    named = tuple(Message("card.note.drift_of", flag=number, drift=drift) for number, drift in drifts)
    return (Message("card.note.drift", flags=named),)


def _facts(card: WorkCard, reader: Reader) -> list[dict[str, str]]:
    unit = reader.unit("length")
    rows = [
        ("mandrel", card.mandrel or "\u2013", ""),
        ("bore", reader.bare(card.bore, "length", 2, 4), unit),
        ("section", reader.bare(card.length, "length", 0, 2), unit),
        ("rolled", reader.bare(card.length + card.trim, "length", 0, 2), unit),
        ("outside", reader.bare(card.outside_expected, "length", 2, 4), unit),
    ]
    return [{"name": reader.say(f"card.fact.{key}"), "value": value, "unit": unit_} for key, value, unit_ in rows]


def _step_values(step: CardStep, card: WorkCard, reader: Reader) -> dict[str, Any]:
    widths = [reader.bare(w, "length", 1, 3) for w in (step.width_butt, step.width_tip)]
    size = f"{reader.bare(step.length, 'length', 0, 2)} \u00d7 {' / '.join(dict.fromkeys(widths))}"
    return {
        "number": step.number,
        "material": step.material,
        "angle": _angle(step.angle, reader),
        "turns": reader.say("card.turns", count=step.turns),
        "size": size,
        "pieces": ", ".join(_piece_names(step, reader)),
        "start": reader.given(step.start, "angle"),
        "before": reader.bare(step.outside_before, "length", 2, 4),
        "after": reader.bare(step.outside_after, "length", 2, 4),
        "mass": reader.quantity(step.mass, "mass", 1, 2),
        "films": reader.say("card.films_off", count=step.films),
        "pair": "" if step.partner is None else _pair(step, step.partner, reader),
        "drawing": step.drawing,
        "alt": reader.say("card.step_alt", flag=step.number, section=card.section, size=size),
    }


def _piece_names(step: CardStep, reader: Reader) -> tuple[str, ...]:
    """The labels of a flag's pieces; where there are several each with its own length along the tube."""
    if len(step.piece_lengths) < 2:
        return step.pieces
    both = zip(step.pieces, step.piece_lengths, strict=True)
    return tuple(reader.say("card.piece", label=label, length=length) for label, length in both)


def _pair(step: CardStep, partner: int, reader: Reader) -> str:
    return reader.say("card.pair.lay_on" if partner > step.number else "card.pair.rolled_with", flag=partner)


def _angle(angle: float, reader: Reader) -> str:
    """An angle in degrees; a bias ply bears its sign, a hoop or axial ply none."""
    degrees = round(float(np.degrees(angle)), 1)
    if degrees == 0.0 or abs(degrees) == 90.0:
        return reader.quantity(abs(angle), "angle")
    return f"{'+' if degrees > 0.0 else ''}{reader.quantity(angle, 'angle')}"


def _tape_values(tape: TapeProgramme, reader: Reader) -> list[dict[str, str]]:
    small, force = reader.unit("length"), reader.unit("force")
    rows = (
        ("width", small, "" if tape.width is None else reader.bare(tape.width, "length", 0, 2)),
        ("tension", force, "" if tape.tension is None else reader.bare(tape.tension, "force", 0, 1)),
        ("pitch", small, "" if tape.pitch is None else reader.bare(tape.pitch, "length", 1, 3)),
        ("passes", "", "" if tape.passes is None else str(tape.passes)),
    )
    return [{"name": reader.say(f"card.tape.{key}"), "unit": unit, "value": value} for key, unit, value in rows]


def _block(card: WorkCard, reader: Reader) -> list[dict[str, Any]]:
    cells = [
        ("pole", card.pole, 1.2),
        ("section", card.section, 0.8),
        ("job", card.job, 1.2),
        ("rests_on", reader.say("card.block.rests_on.says"), 1.8),
        ("revision", card.revision, 1.1),
        ("date", reader.say("card.block.date.says", day=card.date), 0.9),
    ]
    return [
        {"name": reader.say(f"card.block.{key}.name"), "value": value, "share": share} for key, value, share in cells
    ]
