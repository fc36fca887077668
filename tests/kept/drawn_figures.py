"""Figures of poles drawn by a seed, in holds and tests that are drawn too.

Of each answer the numbers of one name are kept as their count, how many are below zero, and their mean size; codes
as their count.
"""

import re
from collections import defaultdict
from collections.abc import Iterator
from typing import Any

import numpy as np

from polewright.answers.bench import bench_answer
from polewright.answers.check import check_design
from polewright.answers.cutting import kits
from polewright.answers.hold import hold_answer
from polewright.answers.options import brief_of
from polewright.answers.scatter_problem import problem_of
from polewright.answers.wall_detail import wall_answer
from polewright.documents.design import Design
from polewright.documents.hold import Holding
from polewright.documents.test_record import TestRecord
from polewright.documents.values import Workpiece, workpiece
from polewright.errors import PolewrightError
from polewright.workshop import rules_of
from polewright.workshop.hold import hold_scene, hold_shape
from polewright.workshop.scene import pole_scene
from tests.kept.drawn import Draw
from tests.kept.figures import Place
from tests.kept.whole import design_of, places_in

NOISE, LEAST = 1e-6, 1e-9
"""What rounding leaves: beside the others of a name, and by itself."""


def _holds(draw: Draw, count: int) -> Iterator[Holding]:
    for _ in range(4):
        support = draw.of("trestles", "clamped", "hands", "lifted", "head on glass")
        steep = {"lean_deg": draw.of(40, 65, 80), "slide": draw.of("free", "up", "down")}
        own = steep if support == "head on glass" else {"lean_deg": draw.of(-60, 0, 0, 25, 85)}
        yield Holding(support=support, **own, **draw.some(
            0.4, out=int(draw.randint(0, count)), rear_mm=draw.of(0, 250), front_mm=draw.of(500, 700),
            head_g=draw.of(5, 300, 900), hose_g_m=draw.of(0.4, 55), wind_m_s=draw.of(0.3, 0.9, 6.0),
            temperature_C=draw.of(-20, 45, 80), friction_pct=draw.of(0, 15, 80), along_N=draw.of(-12, 0.5),
            across_N=draw.of(0.4, 9)))  # fmt: skip


def _tests(draw: Draw, count: int) -> Iterator[dict[str, Any]]:
    def rows(per_100_g: float, most: int = 5) -> list[dict[str, float]]:
        loads = sorted(draw.choice(np.arange(0, 1001, 50), draw.randint(2, most), replace=False).tolist())
        return [{"load_g": float(n), "reading_mm": draw.between(-0.02, 0.02, 3) + per_100_g * n / 100.0} for n in loads]

    for section in range(1, count + 1):
        yield {"kind": "two-load bend", "section": section, "span_mm": 600, "readings": rows(draw.of(0.02, 0.05, 0.2)),
               **draw.some(0.4, reading_u_mm=0.02, load_u_g=2.0)}  # fmt: skip
        yield {"kind": "tube measured", "section": section, "mass_g": draw.between(60, 260), "outside_mm": 25.0,
               **draw.some(0.5, length_mm=draw.between(700, 1500, 0), bore_mm=23.0)}  # fmt: skip
    yield {"kind": "tip load", "out": int(draw.randint(0, count)), "prop_mm": 500, "readings": rows(draw.of(3.0, 30.0))}


def figures_of_drawn_pole(name: str) -> dict[str, Place]:
    """Counts and means of the figures of one drawn pole, its walls, four holds, some tests; refusals by their codes."""
    design = design_of(name)
    work, count = workpiece(design), len(design.sections)
    draw = Draw(1000 + int(name.rpartition("-")[2]))
    found: dict[str, Any] = {
        "check": check_design(design), "walls": [wall_answer(design, i + 1) for i in range(count)],
        "kits": kits(design, work), "brief": brief_of(design).plain(), "problem": problem_of(design),
        "rules": rules_of(design), "scene": pole_scene(design, work, out=None),
        "holds": [_held(design, work, each) for each in _holds(draw, count)],
        "tests": [_tested(design, each) for each in _tests(draw, count)],
    }  # fmt: skip
    return _counted(places_in(found))


def _held(design: Design, work: Workpiece, holding: Holding) -> Any:
    try:
        shape = hold_shape(design, work, holding)
        return [hold_answer(design, work, holding), hold_scene(work, shape, holding)]
    except PolewrightError as refusal:
        return [{"field": place, "want": want} for place, _, want in refusal.faults]


def _tested(design: Design, test: dict[str, Any]) -> Any:
    try:
        return bench_answer(TestRecord.model_validate({"serial": "D-1", "test": test}), design)
    except PolewrightError as refusal:
        return [{"want": want} for _, _, want in refusal.faults]


def _counted(places: Iterator[tuple[str, Place]]) -> dict[str, Place]:
    numbers, codes = defaultdict[str, list[float]](list), defaultdict[str, int](int)
    for place, value in places:
        name = re.sub(r"\[\d+\]", "[]", place)
        if isinstance(value, str):
            codes[f"{name} {value}"] += 1
        else:
            numbers[name].append(value)
    kept: dict[str, Place] = {}
    for name, row in numbers.items():
        sizes = np.abs(row)
        weights = 1.0 + np.arange(len(row)) / len(row)
        size = float(np.average(sizes, weights=weights))
        kept[f"{name}: times"] = float(len(row))
        kept[f"{name}: below zero"] = float(np.sum(np.array(row) < -NOISE * size))
        kept[f"{name}: mean size"] = float(f"{size:.7g}") if size > LEAST else 0.0
    return kept | {f"{name}: times": float(n) for name, n in codes.items()}
