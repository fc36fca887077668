"""Whether a pole's papers are given, and what stands across them: the one rule for sheets and kits."""

from collections.abc import Iterable
from dataclasses import dataclass

from polewright.answers.check import Check
from polewright.answers.findings import Finding
from polewright.answers.reach import drawn_out
from polewright.codes import Message
from polewright.errors import DocumentError, Fault

__all__ = ["Release", "promised", "release_of"]

PROMISED = ("lifted", "clamp_window")  # codes of strength and clamp; every wish of the brief besides


@dataclass(frozen=True, slots=True)
class Release:
    """How a design stands with its papers.

    revision : number of the saved revision that says the same, None for a draft (a file is one). failing : checks of
    brief, strength and clamp that do not hold. reason : why papers are given all the same, as the owner wrote it.
    """

    revision: int | None
    failing: tuple[Finding, ...] = ()
    reason: str = ""

    @property
    def is_given(self) -> bool:
        """Papers are given: every check holds, or the owner says why they are given although one does not."""
        return not self.failing or bool(self.reason)

    @property
    def marks(self) -> tuple[Message, ...]:
        """What stands across every page: that it is a draft, that it is a test pole; nothing on a plain paper."""
        draft = (Message("paper.mark.draft"),) if self.revision is None else ()
        return (*draft, Message("paper.mark.test_pole")) if self.failing else draft

    @property
    def failing_names(self) -> tuple[Message, ...]:
        """The checks that do not hold by their names."""
        return tuple(_name(finding) for finding in self.failing)

    def refuse_unless_given(self) -> None:
        """Let it pass, or name every check that does not hold.

        Raises
        ------
        DocumentError : a check does not hold and there is no reason.
        """
        if not self.is_given:
            want = Message("want.check_holds_or_reason")
            raise DocumentError(
                [Fault(("check", Message("given.check", check=name), want)) for name in self.failing_names]
            )


def release_of(check: Check, *, revision: int | None = None, reason: str = "") -> Release:
    """How a design with these figures stands; a reason counts for nothing where every check holds."""
    failing = tuple(promised(check.findings))
    return Release(revision, failing, reason if failing else "")


def promised(findings: Iterable[Finding]) -> Iterable[Finding]:
    """The findings that a paper promises to hold and that do not: brief, strength, clamps."""
    return (f for f in findings if not f.holds and (f.kind == "brief" or f.code in PROMISED))


def _name(finding: Finding) -> Message:
    """The check by its name, as the lists of findings call it."""
    details, sections = finding.details, finding.subjects.sections
    if finding.code in ("wish.droop", "wish.flex"):
        out, joints = details["out"], details["joints"]
        assert isinstance(out, int)
        assert isinstance(joints, int)
        load = {"load": details["load"]} if finding.code == "wish.droop" else {}
        return Message(f"{finding.code}.name", reach=drawn_out(out, joints), **load)
    if finding.kind != "brief":
        return Message(f"{finding.code}.name", **({"section": sections[0]} if finding.code == "clamp_window" else {}))
    return Message(f"finding.name.{finding.code}", **({"section": sections[0]} if sections else {}))
