"""Every kind of test of the odd pole beside its design: with default figures of its materials, and measured ones."""

import math
from collections.abc import Iterator
from functools import partial
from typing import Any

from polewright.answers.bench import bench_answer
from polewright.documents.design import Design
from polewright.documents.test_record import TestRecord
from polewright.words import Reader
from polewright.words.reports.bench import bench_result
from tests.kept.coded import CODED, texts_of
from tests.kept.figures import Place
from tests.kept.odd import odd_pole
from tests.kept.refused import refusal_of
from tests.kept.whole import places_in

MEASURED = {"nu12": 0.29, "thickness_mm": 0.15, "G12_GPa": 4.1, "E1_GPa": 131.0, "density_kg_m3": 1540.0}


def _rows(per_100_g: float, *, clock: bool = False, zero: float = 3.0) -> list[dict[str, float]]:
    loads = (0.0, 200.0, 450.0, 700.0)
    rows = [{"load_g": load, "reading_mm": round(zero + per_100_g * load / 100.0, 3)} for load in loads]
    return rows + [{**row, "reading_mm": row["reading_mm"] + 4.0, "clock_deg": 180.0} for row in rows if clock]


def _turned(per_100_g: float) -> list[dict[str, float]]:
    """Eight positions round the clock; a spine at 30 degrees, a bow at 100."""
    rows = []
    for clock in range(0, 360, 45):
        give = per_100_g * (1.0 + 0.02 * math.cos(2.0 * math.radians(clock - 30.0)))
        zero = 3.0 + 0.4 * math.cos(math.radians(clock - 100.0))
        rows += [{**row, "clock_deg": float(clock)} for row in _rows(give, zero=round(zero, 3))]
    return rows


TESTS: dict[str, dict[str, Any]] = {
    **{f"bend {i}": {"kind": "two-load bend", "section": i, "span_mm": 1300 + 10 * i, "readings": _rows(give)}
       for i, give in ((1, 0.32), (2, 0.21), (4, 0.105))},
    **{f"near bend {i}": {"kind": "two-load bend", "section": i, "span_mm": 1300 + 10 * i, "readings": _rows(give)}
       for i, give in ((1, 0.168), (2, 0.1196), (3, 0.0888), (4, 0.0353))},
    "tip": {"kind": "tip load", "prop_mm": 900, "readings": _rows(63.0, clock=True)},
    "tip of two": {"kind": "tip load", "out": 2, "prop_mm": 900, "readings": _rows(11.0, clock=True)},
    "tip of one roll": {"kind": "tip load", "out": 1, "prop_mm": 1000, "readings": _rows(3.2)},
    "tube": {"kind": "tube measured", "section": 3, "mass_g": 214.0, "outside_mm": 29.4},
    "tube in full": {"kind": "tube measured", "section": 2, "mass_g": 171.0, "outside_mm": 26.9, "length_mm": 1571.0,
                     "bore_mm": 25.52},
    "tube short of a turn": {"kind": "tube measured", "section": 3, "mass_g": 162.2, "outside_mm": 29.18},
    "tube of less resin": {"kind": "tube measured", "section": 4, "mass_g": 249.9, "outside_mm": 32.68},
    "sleeve": {"kind": "joint sleeve", "joint": 2, "sleeve_mm": 240, "sleeve_EI_N_m2": 800, "readings": _rows(61.0),
               "sleeved": _rows(57.5)},
    "overlaps": {"kind": "joint overlaps", "joint": 1, "overlap_mm": 170, "second_overlap_mm": 230,
                 "readings": _rows(61.0), "second": _rows(56.0)},
    "round the clock": {"kind": "two-load bend", "section": 2, "span_mm": 1300, "readings": _turned(0.1196)},
    "two positions": {"kind": "two-load bend", "section": 2, "span_mm": 1300, "readings": _turned(0.1196)[:8]},
    "opposite loads": {"kind": "two-load bend", "section": 2, "span_mm": 1300, "readings": _turned(0.1196)[:7]},
    "tip at its own length": {"kind": "tip load", "prop_mm": 900, "length_mm": 5480,
                              "readings": _rows(63.0, clock=True)},
    "spans": {"kind": "bend at two spans", "section": 2, "span_mm": 1300, "second_span_mm": 500,
              "readings": _rows(0.12), "second_readings": _rows(0.0088)},
    "torsion": {"kind": "torsion test", "section": 3, "length_mm": 900, "arm_mm": 210, "lever_mm": 160,
                "readings": _rows(0.6)},
    "ring": {"kind": "ring of off-cut", "section": 2, "width_mm": 22, "readings": _rows(0.006)},
    "tap": {"kind": "tap tone", "section": 2, "length_mm": 640, "mass_g": 71, "outside_mm": 26.6, "bore_mm": 25.1,
            "tones": [{"frequency_Hz": f} for f in (560.0, 561.5, 559.0)]},
    "own weight": {"kind": "own weight", "prop_mm": 900,
                   "droops": [{"reading_mm": 214.0}, {"reading_mm": 201.0, "clock_deg": 180.0}]},
    "swing": {"kind": "swing test", "prop_mm": 900, "load_g": 420,
              "counts": [{"swings": 10, "time_s": 12.4}, {"swings": 20, "time_s": 24.9}]},
    "clamp pull": {"kind": "clamp pull", "joint": 2, "surface": "wet",
                   "pulls": [{"pull_N": p} for p in (181, 196, 188)]},
    "proof": {"kind": "proof load", "load_g": 1250, "time_s": 14, "set_mm": 1.2, "creak": False},
    "proof that fails": {"kind": "proof load", "load_g": 700, "time_s": 4, "set_mm": 2.9, "creak": True},
    "sight": {"kind": "sight and tap", "tapped": True,
              "defects": [{"defect": "bow", "section": 2, "accepted": "paired"},
                          {"defect": "tape_mark", "accepted": "light"}]},
    "sight that fails": {"kind": "sight and tap", "tapped": False,
                         "defects": [{"defect": "crush", "section": 3, "at_mm": 99}]},
    "section that is not": {"kind": "two-load bend", "section": 5, "span_mm": 1300, "readings": _rows(0.3)},
    "joint that is not": {"kind": "joint overlaps", "joint": 4, "overlap_mm": 170, "second_overlap_mm": 230,
                          "readings": _rows(61.0), "second": _rows(62.0)},
    "span too long": {"kind": "two-load bend", "section": 1, "span_mm": 1541, "readings": _rows(0.3)},
    "prop beyond": {"kind": "tip load", "prop_mm": 6000, "readings": _rows(63.0)},
}  # fmt: skip


def _measured() -> Design:
    """The odd pole with materials of which a lab has measured enough."""
    given = [{"figure": name, "value": value, "kind": "measured"} for name, value in MEASURED.items()]
    plain = dict(odd_pole().plain())
    plain["materials"] = [{**m, "given": given} if m["id"] == "SM150" else m for m in plain["materials"]]
    return Design.model_validate(plain)


def _results() -> Iterator[tuple[str, Place]]:
    for about, design in (("default", odd_pole()), ("measured", _measured())):
        for name, test in TESTS.items():
            record = TestRecord.model_validate({"serial": "O6-1", "test": test})
            told = refusal_of(f"{about} {name}", partial(bench_answer, record, design))
            yield from told.items()
            if "passes" in told.values():
                answer = bench_answer(record, design)
                report = bench_result(answer, Reader(CODED)).model_dump(mode="json")
                yield from ((f"{about} {name}: {place}", value) for place, value in places_in(answer))
                yield from ((f"{about} {name} published: {place}", text) for place, text in texts_of(report))


def tests_of_the_odd_pole() -> dict[str, Place]:
    """Whole answers and published texts of every test, or what is refused."""
    return dict(_results())
