"""What is said of a pole in a hold: places, comfort, warmth, wind, how far it is safe to draw out."""

from polewright.answers.hold import DroopPart, HoldAnswer
from polewright.conventions.comfort import STROKES
from polewright.pole.margins import Margin, Place
from polewright.units import si
from polewright.words.reader import Reader

__all__ = [
    "comfort_text",
    "compared_mass",
    "part_name",
    "place_text",
    "pressed_text",
    "safe_text",
    "strokes_text",
    "support_name",
    "warmth_text",
    "weakest_text",
    "wind_text",
]

LONG = 10.0  # [m] a pole that is put away first when the wind rises


def support_name(support: str, reader: Reader) -> str:
    """How the pole is held, of a closed set of codes."""
    return reader.say(f"hold.support.{support.replace(' ', '_')}")


def place_text(place: Place, reader: Reader) -> str:
    """Where, and which limit: "section 3, strength"; the tip's own limit has no section."""
    if place.kind not in ("section", "joint"):
        return reader.say(f"where.{place.kind}.limit")
    return reader.say(
        "where.at_limit",
        place=reader.say(f"where.{place.kind}", number=place.number, outer=place.number + 1),
        limit=reader.say(f"limit.{place.limit}"),
    )


def part_name(part: DroopPart, reader: Reader) -> str:
    """The name of a cause of droop, short."""
    return reader.say(f"hold.part.{part.kind}", number=part.number, outer=part.number + 1)


def comfort_text(answer: HoldAnswer, reader: Reader) -> str:
    """How the load on the arms is borne, by the trade's experience."""
    comfort, moment = answer.comfort, answer.hand_moment
    parts = [reader.say(f"hold.comfort.{comfort.carry}")]
    if comfort.mass_limit is not None:
        parts.append(reader.say("hold.comfort.mass", mass=answer.mass, limit=comfort.mass_limit))
    if comfort.moment_limit is not None and moment is not None:
        parts.append(reader.say("hold.comfort.moment", moment=abs(moment), limit=comfort.moment_limit))
    return "; ".join(parts)


def compared_mass(reader: Reader) -> float:
    """[kg] by which savings are compared: ten grams, or an ounce."""
    return si("mass_g", 10.0) if reader.system == "metric" else si("mass_oz", 1.0)


def strokes_text(answer: HoldAnswer, reader: Reader) -> str:
    """Whether scrub strokes feed the swing."""
    if answer.strokes is None:
        return reader.say("hold.strokes.none")
    slow, quick = STROKES
    return reader.say("hold.strokes.among" if answer.strokes else "hold.strokes.clear", slow=slow, quick=quick)


def wind_text(answer: HoldAnswer, reader: Reader) -> str:
    """The Beaufort name and number of the wind, and what the trade does in it."""
    force = answer.beaufort
    does = reader.say(f"wind.practice.{force}", long=LONG)
    return reader.say("wind.named", name=reader.say(f"wind.name.{force}"), force=force, does=does)


def warmth_text(answer: HoldAnswer, reader: Reader) -> str:
    """How warm the pole is taken to be, and what that does to the resin."""
    warmth = answer.warmth
    if warmth.heat is None:
        return reader.say("hold.warmth.tested", temperature=warmth.temperature)
    text = reader.say("hold.warmth.wet", temperature=warmth.temperature, kept=warmth.heat.retention)
    return f"{text}; {reader.say('hold.warmth.too_warm', limit=warmth.heat.limit)}" if warmth.is_too_warm else text


def safe_text(answer: HoldAnswer, reader: Reader) -> str:
    """What ends the reach that is safe to draw out, or why there is none."""
    safe = answer.safe
    place = "" if safe.place is None else place_text(safe.place, reader)
    return reader.say(f"hold.safe.{safe.state}", used=safe.used, place=place, want=reader.text(safe.want))


def weakest_text(answer: HoldAnswer, reader: Reader) -> str:
    """The place nearest to its limit."""
    near = answer.weakest
    if near is None:
        return reader.say("hold.weakest.none")
    return reader.say("hold.weakest", place=place_text(near.place, reader), factor=near.factor, jerk=answer.jerk)


def pressed_text(pressed: Margin | None, reader: Reader) -> str:
    """What would help where a joint presses harder than its walls bear; else nothing."""
    if pressed is None:
        return ""
    place = reader.say("where.joint", number=pressed.place.number, outer=pressed.place.number + 1)
    return reader.say(f"hold.pressed.{pressed.place.limit}", place=place, load=pressed.load, limit=pressed.limit)
