"""What is refused and what just passes: tests, holds, and every number of a document given other sizes."""

import copy
import tomllib
from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

import numpy as np

from polewright import bench
from polewright.answers.hold import hold_answer
from polewright.codes import Message
from polewright.documents.files import document_of
from polewright.documents.values import workpiece
from polewright.errors import PolewrightError
from polewright.workshop.hold import hold_shape, holding_of
from tests.kept.figures import Place
from tests.kept.measured import GIVES, MASSES, bend, clock, tap, tip
from tests.kept.whole import ROOT, design_of, places_in


def _held(name: str, value: Any) -> object:
    design = design_of("reedlight-7")
    work = workpiece(design)
    held = holding_of({name: value})
    hold_shape(design, work, held)
    return hold_answer(design, work, held)


BAD_TESTS: dict[str, Callable[[], object]] = {
    **{f"bend {name} {value:g}": partial(bend, **{name: value}) for name, value in
       (("span", 0.0), ("span", -1.0), ("outside", -1e-3), ("outside", 1.2), ("outside", 1.19), ("span", np.inf))},
    **{f"bend inset {inset:g}": partial(bend, arrangement="two loads", inset=inset)
       for inset in (0.0, 1e-3, 0.59, 0.6)},
    "bend masses": lambda: bend(masses=np.array([0.5, 0.5, 0.5])),
    "bend stuck": lambda: bench.bending_stiffness(bend(readings=np.array([1e-3, 1e-3, 1e-3]))),
    "bend falling": lambda: bench.bending_stiffness(bend(readings=GIVES[::-1])),
    "bend one load": lambda: bench.bending_stiffness(bend(masses=MASSES[:1], readings=GIVES[:1])),
    "bend soft shear": lambda: bench.bending_stiffness(bend(), shear=bench.exactly(2e3)),
    "clock four": lambda: bench.clock_fit(clock(clock=np.arange(4) * np.pi / 2, readings=clock().readings[:4])),
    "clock one load": lambda: bench.clock_fit(clock(masses=np.array([0.5, 0.5]))),
    "clock uneven": lambda: bench.clock_fit(
        clock(readings=np.outer(1.0 + 0.95 * np.cos(2.0 * np.arange(8) * np.pi / 4), GIVES[:2]))
    ),
    "tip reach": lambda: tip(reach=0.0),
    "tip play": lambda: tip(play=-1e-3),
    "tip falling": lambda: bench.tip_flex(tip(readings=np.array([0.2, 0.15, 0.1, 0.05]))),
    **{f"tap {name} {value:g}": partial(tap, **{name: value}) for name, value in
       (("bore", 0.03), ("bore", 0.0299), ("bore", 0.0), ("bore", -1e-3), ("length", 0.0), ("mass", 0.0),
        ("outside", 0.0))},
    "tap frequencies": lambda: tap(frequencies=np.array([141.0, 0.0])),
    "tap soft shear": lambda: bench.tap_stiffness(tap(), shear=bench.exactly(200.0)),
    **{f"hold {name} {value}": partial(_held, name, value) for name, value in (
        ("reach_mm", 1), ("out", 12), ("out", 11), ("out", 5), ("out", 4), ("drawn_mm", (1000,)), ("lean_deg", 91),
        ("lean_deg", 90), ("lean_deg", -90), ("lean_deg", -91), ("rear_mm", -1), ("rear_mm", 0), ("front_mm", 0),
        ("front_mm", 9000), ("head_g", -1), ("head_g", 100000), ("hose_g_m", 2001), ("hose_g_m", 2000),
        ("wind_m_s", 40.1), ("wind_m_s", 40), ("temperature_C", 121), ("temperature_C", 200), ("temperature_C", -60),
        ("friction_pct", 301), ("push_N", 501), ("push_N", 499), ("along_N", 501), ("across_N", -501),
        ("drawn_mm", (1400, 1400, 1400, 1400)), ("drawn_mm", (1600, 1400, 1400, 1400)), ("drawn_mm", (0, 0, 0, 0)))},
}  # fmt: skip


def refused_tests() -> dict[str, Place]:
    """What is refused, and what just passes, among tests and holds: field, what would be right, and its figures."""
    found: dict[str, Place] = {}
    for name, asked in BAD_TESTS.items():
        found |= refusal_of(name, asked)
    return found


def refusal_of(name: str, asked: Callable[[], object]) -> dict[str, Place]:
    """Field and code of each fault, with the figures that it tells; "passes" where there is none."""
    try:
        asked()
    except PolewrightError as fault:
        rows = {f"{field}: {_code(want)}": (given, want) for field, given, want in fault.faults}
        return {f"{name}: {place}": each for place, each in places_in(rows)} | {f"{name}: faults": " ".join(rows)}
    return {f"{name}: faults": "passes"}


def _code(want: object) -> str:
    return want.code if isinstance(want, Message) else "text"


def _plain(file: str) -> dict[str, Any]:
    return tomllib.loads((ROOT / f"examples/{file}.toml").read_text(encoding="utf-8"))


def _record(test: dict[str, Any]) -> dict[str, Any]:
    return {"document": "test-record", "schema_version": 1, "serial": "R7-1", "test": test}


READINGS = [{"load_g": 500.0, "reading_mm": 1.0}, {"load_g": 900.0, "reading_mm": 2.0}]
PLAINS: dict[str, Callable[[], dict[str, Any]]] = {
    **{name: partial(_plain, file) for name, file in (
        ("design", "reedlight-7"), ("brief", "briefs/reedlight-7"), ("second design", "peerglass-8"))},
    "bend test": lambda: _record({"kind": "two-load bend", "section": 4, "span_mm": 1200.0,
                                  "readings": READINGS}),
    "tip test": lambda: _record({"kind": "tip load", "out": 4, "prop_mm": 900.0,
                                 "readings": READINGS}),
}  # fmt: skip


TRIES = (-1, 0, 1, 10, 100, 1e4, 1e9)


def refused_fields(kind: str) -> dict[str, Place]:
    """Each number of a document given other sizes: what is refused, by field."""
    plain = PLAINS[kind]()
    found: dict[str, Place] = {}
    for way in numbers_of(plain):
        place = "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in way).removeprefix(".")
        for value in TRIES:
            changed = copy.deepcopy(plain)
            *path, last = way
            part = changed
            for step in path:
                part = part[step]
            part[last] = value
            found |= refusal_of(f"{place} {value:g}", partial(document_of, changed))
    return found


def numbers_of(plain: Any, way: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Ways to the numbers of a document; of a list only its first member."""
    if isinstance(plain, dict):
        for name, value in plain.items():
            yield from numbers_of(value, (*way, name))
    elif isinstance(plain, list) and plain:
        yield from numbers_of(plain[0], (*way, 0))
    elif isinstance(plain, int | float) and not isinstance(plain, bool) and way != ("schema_version",):
        yield way
