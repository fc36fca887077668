"""Every refusal that a test meets can be told: what is given is a state or a bound, what would be right a wish."""

from polewright.codes import Message
from polewright.errors import PolewrightError
from polewright.words import default_reader

GIVEN = ("given.", "bound.", "search.", "find.", "job.")
WANTED = ("want.", "limit.", "publish.", "work.stopped", "scatter.stopped", "find.stopped_early", "job.")
MET: list[PolewrightError] = []
_make = PolewrightError.__init__


def _made(self: PolewrightError, *args: object, **named: object) -> None:
    _make(self, *args, **named)  # type: ignore[arg-type]
    MET.append(self)


def watch() -> None:
    """Remember every refusal from now on."""
    PolewrightError.__init__ = _made  # type: ignore[method-assign,assignment]


def wrongly_told() -> list[str]:
    """What is wrong with the refusals since the last call."""
    met, found = list(MET), []
    MET.clear()
    for refusal in met:
        for _, given, want in refusal.faults:
            if isinstance(given, Message) and not given.code.startswith(GIVEN):
                found.append(f"given: {given}")
            if isinstance(want, Message) and not want.code.startswith(WANTED):
                found.append(f"want: {want}")
        default_reader().refusal(refusal)
    MET.clear()
    return found
