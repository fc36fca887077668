"""What can be wrong with what a person asked, as one class per kind of decision they can take."""

import math
from typing import TYPE_CHECKING

from polewright.codes import Message

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

__all__ = [
    "Absent",
    "DesignError",
    "DocumentError",
    "Fault",
    "NotConverged",
    "Overtaken",
    "PolewrightError",
    "StockError",
    "StoreFault",
    "reason_of",
    "refuse_unless_finite",
]

MOST_TOLD = 50  # faults of one file on the terminal; the first ones are mended first
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


def _clipped(text: str, most: int = MOST_SHOWN) -> str:
    return text if len(text) <= most else f"{text[:most]}..."


class DesignError(PolewrightError):
    """The design, brief or material as given cannot be built or computed."""


class StockError(PolewrightError):
    """The workshop does not have, or may not use, what was asked for."""


class Absent(StockError):  # noqa: N818 - said as a person says it, like its base names
    """No such pole, revision, entry: look at the list and choose another."""


class Overtaken(StockError):  # noqa: N818
    """Somebody saved meanwhile; `latest` is the number of the newest revision. Nothing was lost or overwritten."""

    def __init__(self, field: str, value: object, want: Message | str, *, latest: int) -> None:
        self.latest = latest
        super().__init__(field, value, want)

    def __reduce__(self) -> tuple[object, ...]:
        return _overtaken, (self.field, self.value, self.want, self.latest)


class StoreFault(StockError):  # noqa: N818
    """The database itself cannot be used as it is: unreachable, busy, of another program, newer, damaged."""


def _overtaken(field: str, value: object, want: Message | str, latest: int) -> Overtaken:
    return Overtaken(field, value, want, latest=latest)


class Fault(tuple[str, str | Message, Message | str]):
    """One fault of a document: (field, what stands there, what would be right); the value as typed, or a message."""

    __slots__ = ()

    @classmethod
    def of(cls, fault: PolewrightError, field: str | None = None) -> "Fault":
        """A refusal of the core as a fault of a document, at `field` where that is another place."""
        return cls((fault.field if field is None else field, fault.given, fault.want))

    def __str__(self) -> str:
        field, value, want = self
        return f"{field} is {_clipped(str(value), 60)}: {want}" if value else f"{field}: {want}"


class DocumentError(PolewrightError):
    """A file or form that cannot be read as the document it should be; `faults` lists every one."""

    def __init__(self, faults: list[Fault], where: str = "") -> None:
        self._faults = tuple(faults)
        self.where = where
        first = faults[0]
        super().__init__(first[0], first[1] or None, first[2])

    @classmethod
    def at(cls, field: str, value: str | Message, want: Message | str, where: str = "") -> "DocumentError":
        """A refusal of one field."""
        return cls([Fault((field, value, want))], where)

    def __reduce__(self) -> tuple[object, ...]:
        return type(self), (list(self._faults), self.where)

    @property
    def faults(self) -> tuple[Fault, ...]:
        """Every fault of the file or form."""
        return self._faults

    def sentence(self) -> str:
        """All faults for a log, one a line, opened by the file's name."""
        lead = f"{self.where}: " if self.where else ""
        more = len(self.faults) - MOST_TOLD
        lines = [lead + str(fault) for fault in self.faults[:MOST_TOLD]]
        return "\n".join([*lines, f"{lead}... (+{more})"] if more > 0 else lines)

    def naming_file(self, where: str) -> "DocumentError":
        """The same refusal, opened by a file's name where it has none yet."""
        return self if self.where else DocumentError(list(self.faults), where)


class NotConverged(PolewrightError):  # noqa: N818 - says what happened, as a person would
    """A solver stopped without an answer; no number is given."""


def reason_of(fault: OSError) -> Message:
    """Why the operating system refused a file, as a message."""
    import errno

    name = errno.errorcode.get(fault.errno or 0, "")
    return Message(f"reason.{name}") if name in _REASONS else Message("reason.other", name=name or type(fault).__name__)


_REASONS = frozenset({"EACCES", "EEXIST", "EISDIR", "ENOENT", "ENOSPC", "ENOTDIR", "EPERM", "EROFS"})


def refuse_unless_finite(**figures: "ArrayLike | float") -> None:
    """Refuse what is not a number or has no end, by its name.

    Raises
    ------
    DesignError : a figure, or one of an array, is not finite.
    """
    import numpy as np  # help and schemas speak of refusals too, and load no arrays

    for name, value in figures.items():
        if isinstance(value, float) and math.isfinite(value):
            continue
        numbers = np.asarray(value, float).ravel()
        if (wrong := numbers[~np.isfinite(numbers)]).size:
            raise DesignError(name, float(wrong[0]), Message("want.finite"))
