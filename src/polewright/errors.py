"""What can be wrong with what a person asked, as one class per kind of decision they can take."""

from typing import TYPE_CHECKING

from polewright.codes import Message

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

__all__ = ["DesignError", "NotConverged", "PolewrightError", "StockError", "reason_of", "refuse_unless_finite"]

MOST_SHOWN = 300  # letters of a value; a path is shown whole, what somebody's hand lay on is not


class PolewrightError(Exception):
    """Any refusal: which field, what value, what would be right.

    field : path of the field, as "sections[3].wall". value : SI number or what was typed. want : a `Message`, which
    `words` makes a sentence of, in the reader's language and units.
    """

    where: str = ""  # the file that the refusal speaks of

    def __init__(self, field: str, value: object = None, want: Message | str = "") -> None:
        self.field, self.value, self.want = field, value, want
        super().__init__(self.sentence())

    def __reduce__(self) -> tuple[object, ...]:
        return type(self), (self.field, self.value, self.want)

    @property
    def given(self) -> Message | str:
        """The value as it is told: nothing for none, a message for a state that no number says."""
        return self.value if isinstance(self.value, Message) else "" if self.value is None else str(self.value)

    @property
    def faults(self) -> tuple[tuple[str, object, Message | str], ...]:
        """All that is wrong: field, value, what would be right; more than one where a whole form was read."""
        return ((self.field, self.value, self.want),)

    def sentence(self) -> str:
        """The refusal as one line for a log or a traceback: field, value, what would be right as a code."""
        shown = "" if self.value is None else f" is {_clipped(str(self.value))}"
        return f"{self.field}{shown}: {self.want}" if self.want else f"{self.field}{shown}"


def _clipped(text: str) -> str:
    return text if len(text) <= MOST_SHOWN else f"{text[:MOST_SHOWN]}..."


class DesignError(PolewrightError):
    """The design, brief or material as given cannot be built or computed."""


class StockError(PolewrightError):
    """The workshop does not have, or may not use, what was asked for."""


class NotConverged(PolewrightError):  # noqa: N818 - says what happened, as a person would
    """A solver stopped without an answer; no number is given."""


def reason_of(fault: OSError) -> Message:
    """Why the operating system refused a file, as a message."""
    import errno

    name = errno.errorcode.get(fault.errno or 0, "")
    return Message(f"reason.{name}") if name in _REASONS else Message("reason.other", name=name or type(fault).__name__)


_REASONS = frozenset({"EACCES", "EEXIST", "EISDIR", "ENOENT", "ENOSPC", "ENOTDIR", "EPERM", "EROFS"})


def refuse_unless_finite(**figures: "ArrayLike") -> None:
    """Refuse what is not a number or has no end, by its name.

    Raises
    ------
    DesignError : a figure, or one of an array, is not finite.
    """
    import numpy as np  # help and schemas speak of refusals too, and load no arrays

    for name, value in figures.items():
        if not np.all(np.isfinite(np.asarray(value, dtype=np.float64))):
            raise DesignError(name, value, Message("want.finite"))
