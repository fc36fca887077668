"""What measured poles of a design say of the figures of its sheet: a bound from them, and each pole's own."""

from collections.abc import Iterable
from dataclasses import dataclass

from polewright.answers.bench import bench_answer
from polewright.answers.guaranteed import HomeSample
from polewright.bench.tolerance import Tolerance, shared_lots, tolerance_bound
from polewright.documents.design import Design
from polewright.documents.test_record import TestRecord, TipTest
from polewright.scatter import HomeFigure

__all__ = ["LEAST_POLES", "MeasuredFigure", "PoleReading", "measured_figures", "pole_readings"]

LEAST_POLES = 5  # measured, before a figure is promised by them


@dataclass(frozen=True, slots=True)
class PoleReading:
    """One figure of one pole as it was measured, SI; lots it was made of, none where nobody wrote them down."""

    figure: HomeFigure
    serial: str
    value: float
    lots: frozenset[str]
    when: str


@dataclass(frozen=True, slots=True)
class MeasuredFigure:
    """One figure over measured poles, SI: what 95 % of all poles keep, said with 90 % confidence.

    lots: how many different ones, None where some pole's are not known; when: the day of the latest test.
    """

    figure: HomeFigure
    tolerance: Tolerance
    lots: int | None
    when: str

    @property
    def is_enough(self) -> bool:
        """There are enough poles to promise by."""
        return self.tolerance.count >= LEAST_POLES


def pole_readings(
    records: Iterable[tuple[TestRecord, str]], design: Design, sample: HomeSample
) -> tuple[PoleReading, ...]:
    """The figures of the home test that tests of whole poles show, the newest of each serial.

    records : of poles built to this design, newest first, with the day of each. A tip-load test gives the flex at its
    reach: its ratio to what the design gives under the same loads, on the same trestles, is put to the loads of the
    home test.
    """
    found: dict[tuple[str, HomeFigure], PoleReading] = {}
    for record, day in records:
        if isinstance(record.test, TipTest):
            figure = HomeFigure("flex", record.test.out or len(design.joints))
            if figure in sample.nominal and (record.serial, figure) not in found:
                beside = bench_answer(record, design).compared
                value = sample.nominal[figure] * beside.measured.value / beside.predicted.value
                reading = PoleReading(figure, record.serial, value, frozenset(record.lots), record.when or day)
                found[record.serial, figure] = reading
    return tuple(found.values())


def measured_figures(readings: Iterable[PoleReading], sample: HomeSample) -> tuple[MeasuredFigure, ...]:
    """The bound of every figure that two poles or more were measured for."""
    by_figure: dict[HomeFigure, list[PoleReading]] = {}
    for reading in readings:
        by_figure.setdefault(reading.figure, []).append(reading)
    return tuple(_of(figure, own, sample) for figure, own in by_figure.items() if len(own) > 1)


def _of(figure: HomeFigure, own: list[PoleReading], sample: HomeSample) -> MeasuredFigure:
    lots = [reading.lots for reading in own]
    bound = tolerance_bound(
        [reading.value for reading in own], shared_lots(lots, sample.alike[figure]), is_most=figure.is_most
    )
    named = len(frozenset[str]().union(*lots)) if all(lots) else None
    return MeasuredFigure(figure, bound, named, max(reading.when for reading in own))
