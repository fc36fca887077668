"""Texts of a checked design beside its findings: reaches, parts, stacks, and how the two theories differ."""

from collections.abc import Iterable

from polewright.answers.reach import reach_message
from polewright.answers.reaches import DroopShare, ReachAnswer
from polewright.answers.sections import Ply
from polewright.units import to
from polewright.words.reader import Reader

__all__ = ["large_note", "play_text", "reach_name", "share_name", "stack_text"]

ALIKE = 0.005  # [-] of droop within which two theories agree


def reach_name(reach: ReachAnswer, reader: Reader) -> str:
    """A reach as tables name it: "S1-S3 out"."""
    return reader.text(reach_message(reach.out, reach.joints))


def large_note(reach: ReachAnswer, reader: Reader) -> str:
    """How large-deflection theory differs from small in the loaded droop of a reach."""
    share = reach.large_share
    if abs(share) < ALIKE:
        return reader.say("large.agree")
    return reader.say("large.less" if share < 0.0 else "large.more", share=abs(share), slope=reach.slope)


def share_name(share: DroopShare, reader: Reader, *, is_short: bool = False) -> str:
    """The part that gives a share of the droop; `is_short` as tables name it: "S4", "joint S4/S5"."""
    code = f"share.short.{share.kind}" if is_short else f"share.{share.kind}"
    return reader.say(code, number=share.number, outer=share.number + 1)


def play_text(play: float, reader: Reader) -> str:
    """The play [rad] of a joint in mrad, for readers of either system of units."""
    return f"{reader.number(to(play, 'mrad'), 2)}\u00a0mrad"


def stack_text(stack: Iterable[Ply]) -> str:
    """A stack in the workshop's shorthand, bore first: "90 TH55 / 0 SM150 x5 / 90 TH55"; the same in any language."""
    return " / ".join(
        f"{to(ply.angle, '°'):g} {ply.prepreg}" + ("" if ply.turns == 1.0 else f" x{ply.turns:g}") for ply in stack
    )
