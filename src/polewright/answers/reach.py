"""How far a pole is drawn out, as a code: "reach.all", "reach.some" with its number of sections."""

from polewright.codes import Message

__all__ = ["drawn_out", "reach_message"]


def reach_message(out: int, joints: int) -> Message:
    """The name of a state: `out` sections drawn out from the tip, of a pole with so many joints."""
    if joints == 0:
        return Message("reach.whole")
    if out == joints:
        return Message("reach.all")
    return {0: Message("reach.closed"), 1: Message("reach.first")}.get(out, Message("reach.some", out=out))


def drawn_out(out: int, joints: int) -> Message:
    """The same state with its sections written out, as pages and drawings tell it."""
    if joints == 0:
        return Message("drawn_out.whole")
    if out == joints:
        return Message("drawn_out.all")
    return {0: Message("drawn_out.closed"), 1: Message("drawn_out.first")}.get(out, Message("drawn_out.some", out=out))
