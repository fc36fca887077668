"""Whole answers in SI, codes among them, of what no command prints, or prints rounded."""

import dataclasses
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from polewright.answers.check import check_design
from polewright.answers.cutting import kits
from polewright.answers.hold import hold_answer
from polewright.answers.hold_limits import section_limits
from polewright.answers.spend import spendings
from polewright.answers.wall_detail import wall_answer
from polewright.codes import Message
from polewright.documents.files import load
from polewright.documents.values import workpiece
from polewright.shop import section_clock
from polewright.workshop import rules_of
from polewright.workshop.hold import drawn_lengths, hold_scene, hold_shape, holding_of, split_parts
from polewright.workshop.scene import pole_scene
from tests.kept.drawn import DRAWN, drawn_pole
from tests.kept.drawn_further import FURTHER, further_pole
from tests.kept.figures import Place
from tests.kept.odd import ODD, odd_pole

ROOT = Path(__file__).parents[2]
NOISE = 1e-9
"""Beside the others of an array, less is what rounding leaves."""
MOST = 8
"""Of longer arrays the ends and the sums are kept."""

HOLDS: dict[str, dict[str, Any]] = {
    "level": {"out": 3, "head_g": 500},
    "steep": {"lean_deg": 60, "wind_m_s": 9, "head_g": 350, "hose_g_m": 40},
    "by hands": {"out": 2, "support": "hands", "head_g": 450},
    "hot": {"temperature_C": 45, "along_N": 20, "across_N": 5},
}


def places_in(value: Any, place: str = "", depth: int = 0) -> Iterator[tuple[str, Place]]:
    """Every number and code of frozen values under its place."""
    if isinstance(value, Message):
        yield f"{place}.code", value.code
        value = value.values
    if isinstance(value, bool | int | float | np.number | np.bool_):
        yield place, _rounded(float(value))
    elif isinstance(value, np.ndarray | tuple | list):
        yield from _several(value, place, depth)
    elif depth < 9:
        own: Mapping[str, Any] = {}
        if dataclasses.is_dataclass(value):
            own = {f.name: getattr(value, f.name) for f in dataclasses.fields(value)}
        elif isinstance(value, Mapping):
            own = value
        for name, each in own.items():
            yield from places_in(each, f"{place}.{name}" if place else str(name), depth + 1)


def _rounded(number: float) -> float:
    return float(f"{number:.7g}") if abs(number) > 1e-12 else 0.0


def _several(value: Any, place: str, depth: int) -> Iterator[tuple[str, Place]]:
    if isinstance(value, np.ndarray) and value.dtype.kind in "fiub":
        flat = np.asarray(value, dtype=np.float64).ravel()
        size = float(np.sum(np.abs(flat)))
        ends = [flat[0], flat[-1], float(np.sum(flat)), size] if flat.size > MOST else list(flat)
        value = [each if abs(each) > NOISE * size else 0.0 for each in ends]
    for i, each in enumerate(value):
        yield from places_in(each, f"{place}[{i}]", depth + 1)


@cache
def design_of(pole: str) -> Any:
    """An example pole by its name, or the odd one."""
    if pole == ODD:
        return odd_pole()
    if pole in DRAWN:
        return drawn_pole(pole)
    if pole in FURTHER:
        return further_pole(pole)
    return load(ROOT / f"examples/{pole}.toml")


def pole_in_full(pole: str) -> dict[str, Place]:
    """Check, walls, clamps, spending, cutting, seams and drawing of one pole."""
    design = design_of(pole)
    work = workpiece(design)
    found = {
        "check": check_design(design),
        "limits": section_limits(design, work),
        "spend": spendings(design, work),
        "seams": [section_clock(kit) for kit in kits(design, work)],
        "kits": kits(design, work),
        "scene": [pole_scene(design, work, out=out) for out in (None, 1)],
        "rules": rules_of(design),
    }
    return dict(places_in(found))


def walls_in_full(pole: str) -> dict[str, Place]:
    """Every wall of one pole down to its plies."""
    design = design_of(pole)
    return dict(places_in([wall_answer(design, i + 1) for i in range(len(design.sections))]))


def holds_in_full(pole: str) -> dict[str, Place]:
    """A pole in several holds: figures, line, parts of the droop."""
    design = design_of(pole)
    work, found = workpiece(design), {}
    for name, asked in HOLDS.items():
        own = {"drawn_mm": drawn_lengths(work, 3.0)} if name == "hot" else {}
        held = holding_of({**asked, **own})
        shape = hold_shape(design, work, held)
        found[name] = [hold_answer(design, work, held), hold_scene(work, shape, held), split_parts(work, shape)]
    drawn = {way: drawn_lengths(work, reach, way) for way, reach in (("thin", 3.0), ("thick", 4.2))}
    return dict(places_in({**found, "drawn": list(drawn.values())}))
