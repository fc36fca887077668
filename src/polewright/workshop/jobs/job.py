"""What is known of a job: its state, its progress, what it was refused for; codes and numbers alone."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from polewright.codes import Message

__all__ = ["ENDED", "UNDER_WAY", "Fault", "Job", "JobProgress", "State"]

State = Literal["waiting", "running", "done", "stopped", "failed", "interrupted"]
"""waiting: for its turn. done: to the end. stopped: by a person, the best so far is kept. failed: `faults` say why.
interrupted: the program that ran it is gone.
"""
UNDER_WAY: tuple[State, ...] = ("waiting", "running")
ENDED: tuple[State, ...] = ("done", "stopped", "failed", "interrupted")
Fault = tuple[str, object, Message | str]
"""field, value, what would be right; as in `PolewrightError.faults`"""


@dataclass(frozen=True, slots=True)
class JobProgress:
    """The step in hand by its code, `done` of `of` parts of it (of 0: not counted), and the gap [-] left, if known."""

    step: str = "start"
    done: int = 0
    of: int = 0
    gap: float | None = None


@dataclass(frozen=True, slots=True)
class Job:
    """One job. subject : address of the pole it is about, or "". about : content hash of the state it is for.

    can_go_on : it ended before its end and may be gone on with, from its last checkpoint if there is one.
    """

    number: int
    kind: str
    subject: str
    about: str
    state: State
    progress: JobProgress
    faults: tuple[Fault, ...]
    can_go_on: bool
    who: str
    at: datetime

    @property
    def is_under_way(self) -> bool:
        """Whether it runs or waits for its turn."""
        return self.state in UNDER_WAY
