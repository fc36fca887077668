"""What a clamp does to a wall, in words: what ends it, where the resin cracks, which ply breaks and where."""

from polewright.answers.sections import CollarPlace
from polewright.words.reader import Reader

__all__ = ["break_text", "collar_name", "cracks_text", "ends_text", "load_text"]


def ends_text(ends: str, most: float, reader: Reader) -> str:
    """What ends the wall, at which tension [N]."""
    return reader.say(f"clamp.ends.{ends}", most=most)


def cracks_text(crack: float | None, reader: Reader) -> str:
    """That the resin cracks before, at a tension [N], zero where the cure cracks it; nothing where it does not."""
    if crack is None:
        return ""
    return reader.say("clamp.cracks.cure") if crack <= 0.0 else reader.say("clamp.cracks", crack=crack)


def load_text(load: float | None, what: str, reader: Reader) -> str:
    """One of the three loads [N]: `what` is crack, fibre or collapse."""
    if load is None:
        return reader.say(f"clamp.{what}.none")
    return reader.say("clamp.crack.cure") if what == "crack" and load <= 0.0 else reader.bare(load, "force", 0)


def collar_name(kind: str, reader: Reader) -> str:
    """The make of a collar."""
    return reader.say(f"clamp.kind.{kind}")


_START = {"split_band": "lugs", "two_shells": "shells", "one_pad": "pad"}  # where the clock starts


def break_text(place: CollarPlace | None, kind: str, reader: Reader) -> str:
    """Which ply breaks how and where round the clock."""
    if place is None:
        return ""
    return reader.say(
        "clamp.break", mode=place.mode, ply=place.ply, side=place.side, away=place.clock, start=_START[kind]
    )
