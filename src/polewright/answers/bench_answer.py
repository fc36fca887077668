"""What the evaluation of every kind of test record gives, and what its kind asks of a person."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from polewright.bench.compare import Comparison, Verdict
from polewright.bench.uncertainty import Estimate, Share
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.documents.test_record import TestRecord
from polewright.documents.values import Workpiece

TestVerdict = Verdict | Literal["passes", "fails"]

__all__ = [
    "LOADED",
    "BenchAnswer",
    "BenchFigure",
    "FormField",
    "Outcome",
    "ReadingTable",
    "RecordKind",
    "TestVerdict",
    "refuse",
    "rests_on_defaults",
]


@dataclass(frozen=True, slots=True)
class BenchFigure:
    """A further figure of the same test: code of its texts, quantity of the table of units, and the comparison, or
    what was measured `alone` where the design says nothing about it.
    """

    figure: str
    quantity: str
    comparison: Comparison | None = None
    alone: Estimate | None = None

    @property
    def measured(self) -> Estimate:
        """The figure that was measured."""
        measured = self.alone if self.comparison is None else self.comparison.measured
        assert measured is not None
        return measured


@dataclass(frozen=True, slots=True)
class Outcome:
    """A test that a pole or tube passes or not: what was measured, if anything, the least or most allowed, in SI, and
    the reasons, a sentence each.
    """

    passes: bool
    reasons: tuple[Message, ...]
    measured: Estimate | None = None
    limit: float | None = None


@dataclass(frozen=True, slots=True)
class BenchAnswer:
    """A test evaluated.

    figure: code of the texts of what was measured; quantity: of the table of units ("bending": EI [N m2], "flex":
    [m/N]), empty where nothing was measured; where: what a sentence names, the number of a section or joint from the
    tip, or the sections drawn out; comparison: measured and predicted with their uncertainty in SI, None for a test
    that is passed or not and has an `outcome`; uncorrected: EI without the shear correction, else None; budget: what
    each input adds, in the same unit; further: other figures of the same test; causes: what may explain them, a
    sentence each.
    """

    serial: str
    pole: str
    figure: str
    quantity: str
    where: Mapping[str, float | Message]
    comparison: Comparison | None
    uncorrected: float | None
    notes: tuple[Message, ...]
    budget: tuple[Share, ...]
    further: tuple[BenchFigure, ...] = ()
    causes: tuple[Message, ...] = ()
    outcome: Outcome | None = None

    @property
    def compared(self) -> Comparison:
        """The comparison of a test that has one."""
        assert self.comparison is not None, "a test with an outcome has no comparison"
        return self.comparison

    @property
    def measured(self) -> Estimate | None:
        """The figure that was measured."""
        return self.compared.measured if self.outcome is None else self.outcome.measured

    @property
    def predicted(self) -> Estimate | None:
        """The figure of the design."""
        return self.compared.predicted if self.outcome is None else None

    @property
    def verdict(self) -> TestVerdict:
        """Of all figures: one that reads low or high, else one that cannot be told, else that they agree; of a test
        with an outcome, whether it passes.
        """
        if self.outcome is not None:
            return "passes" if self.outcome.passes else "fails"
        verdicts = [self.compared.verdict, *(f.comparison.verdict for f in self.further if f.comparison)]
        off = [v for v in verdicts if v.startswith("reads")]
        return off[0] if off else "cannot_tell" if "cannot_tell" in verdicts else "agrees"

    @property
    def what(self) -> Message:
        """What was measured, within a sentence."""
        return Message(f"bench.what.{self.figure}", **self.where)

    @property
    def subject(self) -> Message:
        """What was measured, as the opening of a sentence."""
        return Message(f"bench.subject.{self.figure}", **self.where)

    @property
    def says(self) -> Message:
        """The verdict with its figures; of a test with an outcome, what it was."""
        if self.outcome is not None:
            return Message(f"bench.says.{self.verdict}", subject=self.subject)
        beside = self.compared
        side = "below" if beside.relative < 0.0 else "above"
        verdict = f"{beside.verdict}_{side}" if beside.verdict in ("agrees", "cannot_tell") else beside.verdict
        if beside.verdict in ("reads_low", "reads_high"):
            verdict = f"{verdict}_{'within' if beside.is_within_tolerance else 'outside'}"
        return Message(
            f"bench.says.{verdict}",
            subject=self.subject,
            difference=abs(beside.relative),
            blur=beside.blur,
            tolerance=beside.tolerance,
        )


Choice = Literal["section", "joint", "out", "yes_no", "surface", "defect", "section_or_none"]


@dataclass(frozen=True, slots=True)
class FormField:
    """A field that a form asks beside the readings, or a column of its readings.

    name : of the document. quantity : of a figure. choose : what is chosen from a list: the number of a "section", of a
    "joint", the sections drawn "out", yes or no, or a code of the document. Neither: a number or text.
    offered : SI figure that the form begins with, by the design and the section in sight; None: empty.
    """

    name: str
    quantity: str | None = None
    choose: Choice | None = None
    offered: Callable[[Design, int], float] | None = None


LOADED = (FormField("load_g", "mass"), FormField("reading_mm", "length"), FormField("clock_deg", "angle"))
"""Columns of a table of loads and readings."""


@dataclass(frozen=True, slots=True)
class ReadingTable:
    """A table of readings: the document field, its columns, the column without which a row is not used, and for loads
    two of them to begin with, in g and in oz; is_optional : it may stay empty.
    """

    name: str
    loads: tuple[str, str] = ("", "")
    loads_oz: tuple[str, str] = ("", "")
    columns: tuple[FormField, ...] = LOADED
    key: str = "reading_mm"
    is_optional: bool = False

    @property
    def prefix(self) -> str:
        """What the form puts before the names of its columns."""
        return "" if self.name == "readings" else f"{self.name}_"


@dataclass(frozen=True, slots=True)
class RecordKind:
    """A kind of test record.

    name : as a document says it. code : in the codes of its texts, "bench.kind.<code>". fields, tables : what its form
    asks. evaluate : what the record shows. is_daily : its form stands open; of_pole : a test of a whole pole.
    """

    name: str
    code: str
    fields: tuple[FormField, ...]
    tables: tuple[ReadingTable, ...]
    evaluate: Callable[[TestRecord, Design, Workpiece], BenchAnswer]
    is_daily: bool = False
    of_pole: bool = False


def refuse(field: str, value: object, want: Message) -> DocumentError:
    """A figure of a test that cannot be evaluated, by its field."""
    return DocumentError([Fault((f"test.{field}", value if isinstance(value, Message) else str(value), want))])


def rests_on_defaults(design: Design, work: Workpiece, section: int | None) -> bool:
    """Whether a ply of a section (counted from 0; None: of any) has the stiffness of the shipped tables."""
    sections = design.sections if section is None else (design.sections[section],)
    used = {w.prepreg for s in sections for w in s.stack}
    return any(work.records[u].origins["E1"].is_default for u in used)
