"""Whether every clamp has a tension that holds when wet and does not end the wall."""

from collections.abc import Iterator

from polewright.answers.findings.finding import Finding, Subjects, verdict
from polewright.answers.sections import BandWindow, SectionAnswer
from polewright.codes import Message

__all__ = ["clamp_findings"]


def clamp_findings(sections: tuple[SectionAnswer, ...]) -> Iterator[Finding]:
    """One finding a section that carries a clamp, tip first; value is the most, limit the least tension [N]."""
    for s in sections:
        if s.window is None:
            continue
        even = ("clamp_window.remedy.even",) if s.window.kind == "one_pad" else ()
        remedies = () if s.window.is_open else (*even, "clamp_window.remedy.hoops", "clamp_window.remedy.wider")
        yield Finding(
            code="clamp_window",
            kind="rule",
            verdict=verdict(s.window.is_open),
            subjects=Subjects(sections=(s.number,)),
            where=f"sections[{s.number - 1}]",
            value=s.window.most,
            limit=s.window.least,
            quantity="force",
            details={"hold": s.window.hold_needed, "ends": s.window.ends, "crack": _cracks(s.window)},
            remedies=tuple(Message(code) for code in remedies),
        )


def _cracks(window: BandWindow) -> float | None:
    """[N] at which the resin cracks, None if not before the wall ends."""
    return window.crack if window.cracks_first else None
