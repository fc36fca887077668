"""Long work in text: the step in hand, and how near its answer is."""

from typing import Protocol

from polewright.words.reader import Reader

__all__ = ["job_text"]


class Progress(Protocol):
    """Where long work stands."""

    @property
    def step(self) -> str:
        """The step in hand by its code."""

    @property
    def done(self) -> int:
        """Parts of the step that are done."""

    @property
    def of(self) -> int:
        """All its parts; 0 where they are not counted."""

    @property
    def gap(self) -> float | None:
        """[-] by how much the best so far might be bettered, if known."""


def job_text(progress: Progress, reader: Reader) -> str:
    """The step and the gap so far as one line."""
    step = reader.say(f"job.step.{progress.step}", done=progress.done, of=progress.of)
    return step if progress.gap is None else f"{step}; {reader.say('job.gap', gap=progress.gap)}"
