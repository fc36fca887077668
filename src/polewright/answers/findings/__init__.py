"""Every check of a design: the brief, the fits, clamps, release, the pole lifted flat, the workshop's rules."""

from polewright.answers.findings.brief import brief_findings
from polewright.answers.findings.clamps import clamp_findings
from polewright.answers.findings.finding import Finding, Subjects
from polewright.answers.findings.fits import fit_findings
from polewright.answers.findings.lift import lifted_finding
from polewright.answers.findings.release import release_findings
from polewright.answers.findings.rules import loose_findings, rule_findings

__all__ = [
    "Finding",
    "Subjects",
    "brief_findings",
    "clamp_findings",
    "fit_findings",
    "lifted_finding",
    "loose_findings",
    "release_findings",
    "rule_findings",
]
