"""A test as it was read: raw readings against a serial number, never only the result."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from polewright.codes import Message
from polewright.documents.document import Document, Part
from polewright.documents.fields import (
    Clock,
    Diameter,
    Frequency,
    Length,
    Load,
    Mass,
    NonNegativeLength,
    Offset,
    PositiveLength,
    ReadingError,
    Seconds,
    Temperature,
    TwistStiffness,
)
from polewright.documents.inspection import ClampPull, ProofLoad, SightAndTap

__all__ = [
    "BendTest",
    "ClampPull",
    "JointOverlaps",
    "JointSleeve",
    "OwnWeight",
    "ProofLoad",
    "Reading",
    "RingTest",
    "SightAndTap",
    "SpansTest",
    "SwingTest",
    "TapTone",
    "TestKind",
    "TestRecord",
    "TipTest",
    "TorsionTest",
    "TubeMeasured",
]


class Reading(Part):
    """One reading: what hung there, and what the tape or gauge said (larger is lower)."""

    load_g: Load
    reading_mm: Offset
    clock_deg: Clock = 0.0


class BendTest(Part):
    """One tube on two trestles, two loads at mid-span; `reading_u_mm` is the gauge's standard uncertainty."""

    kind: Literal["two-load bend"] = "two-load bend"
    section: Annotated[int, Field(ge=1, le=12)]
    span_mm: Length
    span_u_mm: NonNegativeLength = 0.5
    load_u_g: Load = 1.0
    reading_u_mm: ReadingError = 0.02
    readings: Annotated[tuple[Reading, ...], Field(min_length=2)]

    @model_validator(mode="after")
    def _two_loads(self) -> "BendTest":
        if len({r.load_g for r in self.readings}) < 2:
            raise ValueError(Message("want.two_loads_of_bend"))
        return self


class TipTest(Part):
    """A whole pole held down at the butt and propped; loads hung at the tip, `out` sections drawn out (0: all).

    `length_mm` from butt to tip as it stood, where that is not what the design says.
    """

    kind: Literal["tip load"] = "tip load"
    out: Annotated[int, Field(ge=0, le=11)] = 0
    prop_mm: Length = 1000.0
    length_mm: Length | None = None
    load_u_g: Load = 2.0
    reading_u_mm: ReadingError = 1.5
    readings: Annotated[tuple[Reading, ...], Field(min_length=2)]

    @model_validator(mode="after")
    def _two_loads(self) -> "TipTest":
        if len({r.load_g for r in self.readings}) < 2:
            raise ValueError(Message("want.two_loads_of_tip"))
        return self


class TubeMeasured(Part):
    """One tube on the scale and under the caliper: outside diameter half-way along, bore at the butt end; each `_u_`
    is a standard uncertainty.
    """

    kind: Literal["tube measured"] = "tube measured"
    section: Annotated[int, Field(ge=1, le=12)]
    mass_g: Annotated[Mass, Field(gt=0.0)]
    outside_mm: Diameter
    length_mm: Length | None = None
    bore_mm: Diameter | None = None
    mass_u_g: Mass = 0.5
    outside_u_mm: ReadingError = 0.02
    length_u_mm: ReadingError = 0.5
    bore_u_mm: ReadingError = 0.02


class _JointTest(Part):
    """A whole pole on the trestles, all drawn out, loads hung at the tip for the give of one joint."""

    joint: Annotated[int, Field(ge=1, le=11)]
    prop_mm: Length = 1000.0
    load_u_g: Load = 0.5
    reading_u_mm: ReadingError = 0.05
    readings: Annotated[tuple[Reading, ...], Field(min_length=2)]


class JointSleeve(_JointTest):
    """Read without, then with a stiff sleeve clamped at both its ends over the middle of the joint (`sleeved`)."""

    kind: Literal["joint sleeve"] = "joint sleeve"
    sleeve_mm: Length
    sleeve_EI_N_m2: TwistStiffness
    sleeved: Annotated[tuple[Reading, ...], Field(min_length=2)]


class JointOverlaps(_JointTest):
    """Read with the joint at one overlap, then at another (`second`)."""

    kind: Literal["joint overlaps"] = "joint overlaps"
    overlap_mm: Length
    second_overlap_mm: Length
    second: Annotated[tuple[Reading, ...], Field(min_length=2)]


class SpansTest(Part):
    """One tube bent over two spans, so that bending and shear are told apart."""

    kind: Literal["bend at two spans"] = "bend at two spans"
    section: Annotated[int, Field(ge=1, le=12)]
    span_mm: Length
    second_span_mm: Length
    span_u_mm: NonNegativeLength = 0.5
    load_u_g: Load = 1.0
    reading_u_mm: ReadingError = 0.02
    readings: Annotated[tuple[Reading, ...], Field(min_length=2)]
    second_readings: Annotated[tuple[Reading, ...], Field(min_length=2)]


class TorsionTest(Part):
    """One tube clamped at one end; loads on an arm turn the other, a dial on a lever there reads the twist."""

    kind: Literal["torsion test"] = "torsion test"
    section: Annotated[int, Field(ge=1, le=12)]
    length_mm: Length
    arm_mm: Length
    lever_mm: Length
    length_u_mm: NonNegativeLength = 0.5
    load_u_g: Load = 1.0
    reading_u_mm: ReadingError = 0.02
    readings: Annotated[tuple[Reading, ...], Field(min_length=2)]


class RingTest(Part):
    """A ring cut off a tube between flat plates: loads on it, and how far it closed."""

    kind: Literal["ring of off-cut"] = "ring of off-cut"
    section: Annotated[int, Field(ge=1, le=12)]
    width_mm: PositiveLength
    width_u_mm: ReadingError = 0.05
    load_u_g: Load = 5.0
    reading_u_mm: ReadingError = 0.01
    readings: Annotated[tuple[Reading, ...], Field(min_length=2)]


class Tone(Part):
    """One frequency as heard."""

    frequency_Hz: Frequency


class TapTone(Part):
    """A tube, or a piece cut off it, hung free and tapped: the first bending tone, heard once or more."""

    kind: Literal["tap tone"] = "tap tone"
    section: Annotated[int, Field(ge=1, le=12)]
    length_mm: Length
    mass_g: Annotated[Mass, Field(gt=0.0)]
    outside_mm: Diameter
    bore_mm: Diameter
    length_u_mm: ReadingError = 0.5
    mass_u_g: Mass = 0.1
    tones: Annotated[tuple[Tone, ...], Field(min_length=1)]


class Counted(Part):
    """Full swings, to and fro, and the time that they took."""

    swings: Annotated[int, Field(ge=1, le=10000)]
    time_s: Seconds


class SwingTest(Part):
    """A whole pole on the trestles with a mass at its tip, pushed once and left to swing."""

    kind: Literal["swing test"] = "swing test"
    out: Annotated[int, Field(ge=0, le=11)] = 0
    prop_mm: Length = 1000.0
    length_mm: Length | None = None
    load_g: Load
    time_u_s: Seconds = 0.15
    counts: Annotated[tuple[Counted, ...], Field(min_length=1)]


class Droop(Part):
    """The tip below the line through the supports, with nothing hung."""

    reading_mm: Offset
    clock_deg: Clock = 0.0


class OwnWeight(Part):
    """A whole pole on the trestles with nothing hung: droop below the line of the supports, then rolled half round."""

    kind: Literal["own weight"] = "own weight"
    out: Annotated[int, Field(ge=0, le=11)] = 0
    prop_mm: Length = 1000.0
    length_mm: Length | None = None
    reading_u_mm: ReadingError = 1.5
    droops: Annotated[tuple[Droop, ...], Field(min_length=1)]


TestKind = (
    BendTest
    | TipTest
    | TubeMeasured
    | JointSleeve
    | JointOverlaps
    | SpansTest
    | TorsionTest
    | RingTest
    | TapTone
    | SwingTest
    | OwnWeight
    | ClampPull
    | ProofLoad
    | SightAndTap
)


Lot = Annotated[str, Field(min_length=1, max_length=80)]


class TestRecord(Document):
    """A test against a serial number: who, when, on what, every raw reading; `lots` the pole was made of, if known."""

    __test__ = False  # not a test of ours, whatever its name says to the test runner
    document: Literal["test-record"] = "test-record"
    serial: Annotated[str, Field(min_length=1, max_length=40, pattern=r"^[A-Za-z0-9][A-Za-z0-9._/-]*$")]
    design_hash: str = ""
    tester: Annotated[str, Field(max_length=80)] = ""
    when: str = ""
    temperature_C: Temperature | None = None
    note: str = ""
    lots: Annotated[tuple[Lot, ...], Field(max_length=24)] = ()
    test: Annotated[TestKind, Field(discriminator="kind")]
