"""The figures of a held pole as its page says them, each with its why."""

import inspect
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from polewright.documents.holding import HoldFigures, Holding
from polewright.documents.pole_figures import JERK
from polewright.drawings.held import SplitPart
from polewright.pole.droop import droop_split
from polewright.pole.hands import grip, heft
from polewright.pole.margins import margins
from polewright.pole.modes import modes, settling_time
from polewright.pole.stability import push_limit, self_buckling_factor
from polewright.pole.wind import safe_reach, wind_load
from polewright.units import System, si
from polewright.web.say import Said, say, spoken
from polewright.web.why import Why
from polewright.words import default_reader
from polewright.workshop.held_pole import HeldPole

__all__ = ["HeldRow", "capital", "contact_rows", "force_rows", "limit_rows", "rest_words", "safe_rows", "shape_rows"]


@dataclass(frozen=True, slots=True)
class HeldRow:
    """One figure with its words and its why."""

    name: str
    said: Said
    words: str = ""
    why: Why | None = None
    look: bool = False


def shape_rows(held: HeldPole, hold: Holding, system: System) -> tuple[HeldRow, ...]:
    """Where the tip is, or how far it sags."""
    b = held.bent
    level, up = b.tip
    aside = "it bends aside: longer than its own weight allows upright" if b.buckled else ""
    start = {
        "head on glass": "the foot",
        "hands": "the rear hand",
        "lifted": "the rear hand",
        "clamped": "the clamp",
    }.get(hold.support, "the first trestle")
    name = "Droop at the tip" if held.measured == -1 else "Sags between foot and glass by"
    return (
        HeldRow(
            name,
            say(float(b.droop[held.measured]), "length", system, 0, 1),
            aside,
            _why(
                "From the unbent line, square to it: what sections, joints, play and shear give, added up "
                "along the bent pole.",
                droop_split,
            ),
            bool(aside),
        ),
        HeldRow(f"Tip {'above' if up >= 0.0 else 'below'} {start}", say(abs(up), "reach", system, 2)),
        HeldRow(f"Tip out from {start}", say(abs(level), "reach", system, 2)),
    )


def force_rows(f: HoldFigures, system: System) -> tuple[HeldRow, ...]:
    """In the hands, on the glass, and how it swings."""
    rows: list[HeldRow | None] = [
        _row(
            "Mass with all that hangs on it",
            si("x_g", f.mass_g),
            "mass",
            system,
            0,
            1,
            why=_why("Every tube over its whole length, buried or not, with clamps, head and hose.", heft),
        ),
        _row("Balance, from the butt", si("x_mm", f.balance_mm), "reach", system, 2),
        _row(
            "Rear hand",
            f.rear_hand_N,
            "force",
            system,
            0,
            1,
            words=_press(f.rear_hand_N),
            why=_why("Two hands hold but do not turn the pole: forces and moments balance over them.", grip),
        ),
        _row("Front hand", f.front_hand_N, "force", system, 0, 1, words=_press(f.front_hand_N)),
        _row("Turning moment at the front hand", f.hand_moment_N_m, "moment", system, 1),
        _row(
            "Felt when raised",
            None if f.felt_mass_g is None else si("x_g", f.felt_mass_g),
            "mass",
            system,
            1,
            words="the mass at the front hand that would swing as heavily",
            unit="kg",
        ),
        _row("Carry", f.carry_kg_m, "carry", system, 2, words=f.comfort.partition(": ")[2]),
        _row(
            "Swing",
            f.swing_Hz,
            "frequency",
            system,
            2,
            words=_after_number(f.strokes),
            why=_why("Lowest frequency of the bent pole as it is held, the head free.", modes),
        ),
        _row("Swing, tip touching", f.swing_propped_Hz, "frequency", system, 2),
        _row(
            "Comes to rest in",
            f.settles_s,
            "time",
            system,
            1,
            unit="s",
            words="to a twentieth of its first size",
            why=_why("Damping of 2 % of critical is taken, not measured here.", settling_time),
        ),
        _row("Push of the head on the glass", f.glass_push_N, "force", system, 1),
        _row(
            "Drag of the glass along itself",
            None if f.glass_drag_N is None else abs(f.glass_drag_N),
            "force",
            system,
            1,
            words=""
            if f.glass_drag_N is None
            else "holds it up"
            if f.glass_drag_N > 0.05
            else "holds it down"
            if f.glass_drag_N < -0.05
            else "",
        ),
        _row(
            "Sways in the wind by",
            None if f.sway_mm is None else si("x_mm", f.sway_mm),
            "length",
            system,
            0,
            1,
            why=_why("Wind square to the pole, drag 1.2 on its outside.", wind_load),
        ),
    ]
    return tuple(r for r in rows if r is not None)


def limit_rows(f: HoldFigures, system: System) -> tuple[HeldRow, ...]:
    """How many times its load each place bears, nearest first, one row a place."""
    source = _why(
        f"Largest moment over each section, force and pull of each joint, a jerk of {JERK:g} counted in, "
        "against what wall and collar bear by design values.",
        margins,
    )
    checks = [m for m in f.margins if m.factor < 1e8]
    seen: set[str] = set()
    rows: list[HeldRow] = []
    for m in checks:
        if m.place not in seen:
            seen.add(m.place)
            rows.append(
                HeldRow(
                    f"{m.place}, {m.what.replace('_', '-')}".capitalize(),
                    Said(f"{m.factor:.1f}", "times"),
                    "less than it must bear" if m.factor < 1.0 else "",
                    source if not rows else None,
                    m.factor < 1.0,
                )
            )
    more: list[HeldRow | None] = [
        _factor("Own weight, standing", f.self_buckling_factor),
        _row(
            "Push at the tip before it bends aside",
            f.push_limit_N,
            "force",
            system,
            0,
            why=_why("The least push along the pole at which the straight shape gives way.", push_limit),
        ),
    ]
    return (*rows, *(r for r in more if r is not None))


def _factor(name: str, value: float | None) -> HeldRow | None:
    if value is None or value > 1e6:
        return None
    return HeldRow(
        name,
        Said(spoken(value, 1), "times"),
        "then the straight pole bends aside",
        _why("Factor on pole, head and hose at which the straight shape gives way.", self_buckling_factor),
        value < 1.0,
    )


def contact_rows(f: HoldFigures, system: System) -> tuple[tuple[str, str, str, str, str], ...]:
    """Joint; pressed and borne at the mouth; pressed and borne at the inner end."""

    def said(force: float | None) -> str:
        return "unknown" if force is None else say(force, "force", system, 0).number

    return tuple(
        (f"{j.between[0]}/{j.between[1]}", said(j.front_N), said(j.front_bears_N), said(j.back_N), said(j.back_bears_N))
        for j in f.joints
    )


def safe_rows(f: HoldFigures, system: System) -> tuple[HeldRow, ...]:
    """The reach that is still safe, and the wind and warmth it is for."""
    if f.safe_reach is None:
        return ()
    row = _row(
        "Safe to draw out to",
        si("x_mm", f.safe_reach.reach_mm),
        "reach",
        system,
        2,
        words=capital(
            f"{f.safe_words}, by strength alone; {f.warmth}. Trade practice in a {f.wind}"
            if f.wind_m_s > 0.0
            else f"{f.safe_words}, by strength alone; {f.warmth}"
        ),
        why=_why(
            f"Longest reach, thin end out first, at which every limit below is still kept with a jerk of {JERK:g} "
            "counted in; wind from behind and from the side.",
            safe_reach,
        ),
    )
    return () if row is None else (row,)


def capital(words: str) -> str:
    """Words that open a line."""
    return words[:1].upper() + words[1:]


def _row(
    name: str,
    value: float | None,
    quantity: str,
    system: System,
    digits: int,
    inch_digits: int | None = None,
    *,
    words: str = "",
    unit: str | None = None,
    why: Why | None = None,
) -> HeldRow | None:
    """A row, or none where the hold has no such figure."""
    if value is None:
        return None
    said = (
        Said(spoken(value, digits), unit)
        if unit == "s"
        else say(value, quantity, system, digits, inch_digits, unit=unit)
    )
    return HeldRow(name, said, words, why)


def _press(force: float | None) -> str:
    return "" if force is None else "lifts" if force >= 0.0 else "presses down"


def _after_number(words: str) -> str:
    return words.partition(" Hz ")[2] or words


def rest_words(rest: tuple[SplitPart, ...]) -> str:
    """What has no place along the pole."""
    return capital("; ".join(default_reader().text(p.words) for p in rest))


def _why(words: str, behind: Callable[..., Any]) -> Why:
    """Words, and what the core cites for the formula."""
    found = re.search(r"^Source\n-+\n(.+?)(?:\n\n|\Z)", inspect.getdoc(behind) or "", re.S | re.M)
    source = " ".join(found.group(1).replace("`", "").split()) if found else ""
    source = source.removesuffix(": module text.")
    return Why(words, "" if source.startswith(("Module text", "as ")) else source, ())
