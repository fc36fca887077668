"""The work card: what is rolled on one mandrel, in order, and what must be written down on the way."""

from collections.abc import Collection
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from polewright.drawings.clock import clock_drawing
from polewright.drawings.flag import flag_drawing
from polewright.drawings.wall import wall_drawing
from polewright.sheet.cautions import Caution, Place, cautions, closing_line
from polewright.sheet.typeset import pdf, qr_svg
from polewright.shop.kit import Kit, KitFlag
from polewright.shop.seam_clock import section_clock
from polewright.units import System, display_unit, to
from polewright.wall.stack import Stack, Wrap

__all__ = ["CardStep", "TapeProgramme", "WorkCard", "work_card", "work_card_pdf", "work_card_values"]

MASS_BAND = 0.01  # share by which a kit may weigh more or less before someone looks
MOST_DRIFT = 0.5  # [degrees] of the fibre on a taper that needs no word
PLACES: tuple[Place, ...] = ("cut", "roll", "oven", "finish")


@dataclass(frozen=True, slots=True)
class CardStep:
    """One flag to roll on.

    number: place in the rolling order; angle [rad] from the tube axis; length, width_butt, width_tip [m] of the flag;
    pieces: labels; start [rad] from the mark, in the direction of rolling; outside_before, outside_after [m] mean
    diameter; mass [kg]; films to peel off; partner: flag that is laid on this one or under it, if any; drawing: SVG.
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

    outside_expected: mean outside diameter after cure; kit_mass without films; reference: what the QR code says.
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
    notes: tuple[str, ...] = ()
    reference: str = ""
    wall_drawing: str = ""
    clock_drawing: str = ""


def work_card(
    kit: Kit,
    *,
    workshop: str,
    pole: str,
    job: str,
    revision: str,
    date: str,
    mandrel: str = "",
    reference: str = "",
    tape: TapeProgramme | None = None,
    system: System = "metric",
) -> WorkCard:
    """The card of one kit, with its flags, wall and seam clock drawn for paper, flags in metric or inch sizes."""
    clock = section_clock(kit)
    flags = [f.flag for f in kit.flags]
    stack = Stack(tuple(Wrap(f.ply, f.flag.angle, f.flag.turns) for f in kit.flags))
    steps = tuple(_step(f, start, system) for f, start in zip(kit.flags, clock.start.tolist(), strict=True))
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
        wall_drawing=wall_drawing(stack, paper=True),
        clock_drawing=clock_drawing(clock.start.tolist(), paper=True),
    )


def work_card_pdf(card: WorkCard, *, system: System = "metric") -> bytes:
    """The card as a PDF, A4, one or more pages, in metric or inch units."""
    return pdf("card.typ", work_card_values(card, system=system))


def work_card_values(card: WorkCard, *, system: System = "metric") -> dict[str, Any]:
    """Every word and figure of the card as it is set."""
    mass = f"{_mass(card.kit_mass, system)} \u00b1 {_mass(card.kit_mass * MASS_BAND, system)}"
    unit = display_unit("length", system)
    return {
        "title": f"Work card {card.job}: {card.pole}, {card.section}",
        "workshop": card.workshop,
        "pole": card.pole,
        "section": card.section,
        "qr": qr_svg(card.reference),
        "qr_alt": f"Code for {card.reference}",
        "reference": card.reference,
        "wall": card.wall_drawing,
        "clock": card.clock_drawing,
        "facts": _facts(card, system),
        "kit_mass": mass,
        "mass_unit": display_unit("mass", system),
        "force": display_unit("force", system),
        "heat": display_unit("temperature", system),
        "films": card.films,
        "unit": unit,
        "steps": [_step_values(step, card, system) for step in card.steps],
        "outside": _length(card.outside_expected, system, 2),
        "tape": _tape_values(card.tape, system),
        "notes": list(card.notes),
        "closing": closing_line(),
        "block": _block(card),
        "cautions": [{"title": c.title, "words": c.words, "actions": list(c.actions)} for c in card.cautions],
    }


def _step(kit_flag: KitFlag, start: float, system: System) -> CardStep:
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
        drawing=flag_drawing(kit_flag, paper=True, width=470.0, system=system),
    )


def _for_the_card(families: Collection[str]) -> tuple[Caution, ...]:
    found = [caution for place in PLACES for caution in cautions(place, families=families)]
    return tuple({caution.id: caution for caution in found}.values())


def _taper_notes(kit: Kit) -> tuple[str, ...]:
    """Flags whose fibre leaves its angle on a taper by more than half a degree, and what to do about it."""
    drifts = {f.number: abs(float(np.degrees(f.flag.drift))) for f in kit.flags}
    far = [number for number, drift in drifts.items() if drift > MOST_DRIFT]
    if not far:
        return ()
    named = ", ".join(f"{number} by {drifts[number]:.1f}\u00b0" for number in far)
    words = f"on this taper the fibre drifts from the first edge to the last, in flag {named}"
    return (f"{words}; roll fewer turns at a time, or cut anew on the way",)


def _length(value: float, system: System, decimals: int) -> str:
    """A length in the workshop's small unit; an inch takes two decimals more than a millimetre."""
    unit = display_unit("length", system)
    return f"{to(value, unit):.{decimals + (2 if unit == 'in' else 0)}f}"


def _mass(value: float, system: System) -> str:
    unit = display_unit("mass", system)
    return f"{to(value, unit):.{1 if unit == 'g' else 2}f}"


def _facts(card: WorkCard, system: System) -> list[dict[str, str]]:
    unit = display_unit("length", system)
    trimmed, flag = _length(card.length, system, 0), _length(card.length + card.trim, system, 0)
    rows = [
        ("Mandrel", card.mandrel or "\u2013", ""),
        ("Bore, mean", _length(card.bore, system, 2), unit),
        ("Section", trimmed, unit),
        ("Rolled length", flag, unit),
        ("Outside, expected", _length(card.outside_expected, system, 2), unit),
    ]
    return [{"name": name, "value": value, "unit": unit_} for name, value, unit_ in rows]


def _step_values(step: CardStep, card: WorkCard, system: System) -> dict[str, Any]:
    widths = [_length(w, system, 1) for w in (step.width_butt, step.width_tip)]
    size = f"{_length(step.length, system, 0)} \u00d7 {' / '.join(dict.fromkeys(widths))}"
    pair = (
        ""
        if step.partner is None
        else (
            f"lay flag {step.partner} on it, roll both as one"
            if step.partner > step.number
            else f"rolled with flag {step.partner}"
        )
    )
    return {
        "number": step.number,
        "material": step.material,
        "angle": _angle(step.angle),
        "turns": f"{step.turns:.4g}",
        "one": step.turns == 1.0,
        "size": size,
        "pieces": ", ".join(step.pieces),
        "start": f"{np.degrees(step.start):.0f}\u00b0",
        "before": _length(step.outside_before, system, 2),
        "after": _length(step.outside_after, system, 2),
        "mass": _mass(step.mass, system),
        "films": step.films,
        "pair": pair,
        "drawing": step.drawing,
        "alt": f"Flag {step.number} of {card.section}, {size}",
    }


def _angle(angle: float) -> str:
    """An angle in degrees; a bias ply bears its sign, a hoop or axial ply none."""
    degrees = round(float(np.degrees(angle)), 1)
    sign = "" if degrees == 0.0 or abs(degrees) == 90.0 else ("+" if degrees > 0.0 else "\u2212")
    return f"{sign}{abs(degrees):g}\u00b0"


def _tape_values(tape: TapeProgramme, system: System) -> list[dict[str, str]]:
    small, force = display_unit("length", system), display_unit("force", system)
    return [
        {"name": "Tape width", "unit": small, "value": "" if tape.width is None else _length(tape.width, system, 0)},
        {"name": "Tension", "unit": force, "value": "" if tape.tension is None else f"{to(tape.tension, force):.3g}"},
        {"name": "Pitch", "unit": small, "value": "" if tape.pitch is None else _length(tape.pitch, system, 1)},
        {"name": "Passes", "unit": "", "value": "" if tape.passes is None else str(tape.passes)},
    ]


def _block(card: WorkCard) -> list[dict[str, Any]]:
    cells = [
        ("Pole", card.pole, 1.2),
        ("Section", card.section, 0.8),
        ("Job", card.job, 1.2),
        ("Rests on", "design figures, one mandrel, this revision", 1.8),
        ("Revision", card.revision, 1.1),
        ("Date", card.date, 0.9),
    ]
    return [{"name": name, "value": value, "share": share} for name, value, share in cells]
