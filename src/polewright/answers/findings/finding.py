"""One check of a design: what it is about, its figure beside its limit, and what to change; codes and SI values."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from polewright.codes import Message
from polewright.materials.frozen_map import FrozenMap

__all__ = ["Finding", "Subjects", "Verdict", "verdict"]

Verdict = Literal["holds", "look"]


@dataclass(frozen=True, slots=True)
class Subjects:
    """What a finding is about: numbers of sections from the tip and of joints (that of the section that draws out).

    wish: place in the brief's list of droop wishes, from 0; rule: id of a rule.
    """

    sections: tuple[int, ...] = ()
    joints: tuple[int, ...] = ()
    wish: int | None = None
    rule: str = ""


@dataclass(frozen=True, slots=True)
class Finding:
    """One check.

    code: what is checked, as "fit" or "wish.mass"; kind: of the brief, a fit of two sections, or a rule; quantity: of
    value and limit, SI (of the table of units, "money", or "" for none); where: path in the design document; details:
    SI values and codes that the sentence names; remedies: what to change, in the order worth trying, as messages or as
    a workshop wrote them.
    """

    code: str
    kind: Literal["brief", "rule", "fit"]
    verdict: Verdict
    subjects: Subjects = Subjects()
    value: float | None = None
    limit: float | None = None
    quantity: str = ""
    where: str = ""
    details: Mapping[str, object] = field(default_factory=dict)
    remedies: tuple[Message | str, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "details", FrozenMap(dict(self.details)))

    @property
    def holds(self) -> bool:
        """Whether the check is met."""
        return self.verdict == "holds"


def verdict(holds: bool) -> Verdict:
    """The verdict of a check that is met or not."""
    return "holds" if holds else "look"
