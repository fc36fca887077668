"""What a worker process is given and what it gives back."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Protocol

from polewright.errors import PolewrightError

__all__ = ["Answer", "Order", "Stopped", "Watch", "Work"]


@dataclass(frozen=True, slots=True)
class Order:
    """One job as a worker process is given it.

    work : "module:function" of a `Work`. document : plain values of the document. options : JSON values. state : the
    checkpoint to go on from. every : [s] between checkpoints.
    """

    work: str
    document: Mapping[str, Any]
    options: Mapping[str, Any] = field(default_factory=dict)
    state: bytes | None = None
    every: float = 5.0


@dataclass(frozen=True, slots=True)
class Answer:
    """What a job gave, as plain JSON values; `is_complete` is false where it was stopped with the best so far."""

    plain: dict[str, Any]
    is_complete: bool


class Stopped(PolewrightError):  # noqa: N818 - says what happened, as a person would
    """The work was stopped before there was anything to keep."""


class Watch(Protocol):
    """How work says where it stands and hears of a stop."""

    def step(self, step: str, done: int = 0, of: int = 0, gap: float | None = None) -> None:
        """Say how far it is; may be called as often as it likes."""

    def is_stopped(self) -> bool:
        """Whether to end with the best so far; asked at least ten times a second."""

    def keep(self, make: Callable[[], bytes]) -> None:
        """Offer a checkpoint, as often as it likes; `make` is called when one is due."""

    def keep_last(self, data: bytes) -> None:
        """The checkpoint of work that was stopped, kept whether one is due or not."""


class Work(Protocol):
    """The function of a kind, called in a process of its own.

    Raises
    ------
    PolewrightError : it cannot be done as asked. Stopped : it was stopped before there was anything to keep.
    """

    def __call__(
        self, document: Mapping[str, Any], options: Mapping[str, Any], *, watch: Watch, state: bytes | None
    ) -> Answer:
        """Do the work, going on from `state` where one is given."""
