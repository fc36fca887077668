"""Whether every tube comes off its mandrel."""

from collections.abc import Iterator

from polewright.answers.findings.finding import Finding, Subjects, verdict
from polewright.answers.sections import SectionAnswer
from polewright.codes import Message

__all__ = ["release_findings"]


def release_findings(sections: tuple[SectionAnswer, ...]) -> Iterator[Finding]:
    """One finding a section, tip first; value is the gap [m] on the cold mandrel."""
    for s in sections:
        remedies = ("release.remedy.hoops", "release.remedy.aluminium") if s.grips_mandrel else ()
        yield Finding(
            code="release",
            kind="rule",
            verdict=verdict(not s.grips_mandrel),
            subjects=Subjects(sections=(s.number,)),
            where=f"sections[{s.number - 1}]",
            value=s.release_gap,
            limit=0.0,
            quantity="length",
            remedies=tuple(Message(code) for code in remedies),
        )
