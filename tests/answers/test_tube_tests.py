"""Two spans, torsion, ring of an off-cut and tap tone: recovered from readings made by hand, as often as said."""

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq
from tests.answers.drawn_readings import Bench, answer_of, covering, least

from polewright.conventions.gravity import GRAVITY
from polewright.documents.files import DocumentError, document_of
from polewright.documents.values import workpiece
from polewright.wall.membrane import tube_stiffness
from polewright.wall.ring import ring_stiffness

DESIGN = document_of(tomllib.loads((Path(__file__).parents[1] / "workshop" / "small-pole.toml").read_text("utf-8")))
WORK = workpiece(DESIGN)
TUBE, WALL = WORK.pole.tubes[1], WORK.sections[1].walls(np.array([0.6]))
EI, SHEAR = float(TUBE.bending[0]), float(np.mean(TUBE.shear))
GJ = float(tube_stiffness(WALL).twist[0])
RING = float(ring_stiffness(WALL).between_plates[0])  # [N/m per m]
LOADS = np.array([0.5, 1.5, 2.5])


def rows(masses: Any, droops: Any) -> list[dict[str, float]]:
    return [{"load_g": 1e3 * float(m), "reading_mm": 1e3 * float(d)} for m, d in zip(masses, droops, strict=True)]


def bend_give(span: float, bending: float, shear: float) -> float:
    return span**3 / (48.0 * bending) + span / (4.0 * shear)


def spans(first: Any, second: Any, **more: Any) -> dict[str, Any]:
    two = {"span_mm": 1100.0, "second_span_mm": 400.0, "readings": first, "second_readings": second}
    return {"kind": "bend at two spans", "section": 2, **two, **more}


def torsion(readings: Any, **more: Any) -> dict[str, Any]:
    arms = {"length_mm": 900.0, "arm_mm": 200.0, "lever_mm": 150.0}
    return {"kind": "torsion test", "section": 2, **arms, "readings": readings, **more}


def ring(readings: Any, width_mm: float = 25.0) -> dict[str, Any]:
    return {"kind": "ring of off-cut", "section": 2, "width_mm": width_mm, "readings": readings}


def tap(tones: Any, mass_kg: float, length_mm: float = 900.0) -> dict[str, Any]:
    size = {"outside_mm": 1e3 * float(TUBE.outside[0]), "bore_mm": 1e3 * float(TUBE.bore[0])}
    heard = [{"frequency_Hz": float(f)} for f in tones]
    return {"kind": "tap tone", "section": 2, "length_mm": length_mm, "mass_g": 1e3 * mass_kg, **size, "tones": heard}


def test_two_spans_tell_bending_from_shear():
    droops = [LOADS * GRAVITY * bend_give(span, 700.0, 9e4) for span in (1.1, 0.4)]
    found = answer_of(DESIGN, spans(*(rows(LOADS, d) for d in droops), reading_u_mm=1e-4))
    assert found.measured.value == pytest.approx(700.0, rel=1e-6)
    (shear,) = found.further
    assert shear.measured.value == pytest.approx(9e4, rel=1e-6)
    assert shear.comparison.predicted.value == pytest.approx(SHEAR)
    assert sum(share.standard**2 for share in found.budget) == pytest.approx(found.measured.standard**2)


def test_spans_too_alike_are_refused_at_a_field_of_the_test():
    droops = LOADS * GRAVITY * bend_give(1.1, 700.0, 9e4)
    with pytest.raises(DocumentError) as refusal:
        answer_of(DESIGN, spans(rows(LOADS, droops), rows(LOADS, droops), second_span_mm=1100.0))
    ((field, _, want),) = refusal.value.faults
    assert (field.startswith("test."), want.code) == (True, "want.spans_that_differ")


def test_a_torsion_test_reads_torque_times_length_over_angle():
    twist = LOADS * GRAVITY * 0.2 * 0.9 / 60.0  # GJ of 60 N m2, by hand
    found = answer_of(DESIGN, torsion(rows(LOADS, 0.004 + 0.15 * twist)))
    assert found.measured.value == pytest.approx(60.0, rel=1e-9)
    assert found.predicted.value == pytest.approx(GJ, rel=1e-9)
    assert [n.code for n in found.notes] == (["bench.note.large_twist"] if np.ptp(twist) > 0.1 else [])


def test_a_ring_reads_its_line_load_over_its_closure():
    closure = LOADS * GRAVITY / (5200.0 / 0.020 * 0.025)  # a ring 20 mm wide takes 5200 N/m; this one is 25 mm wide
    found = answer_of(DESIGN, ring(rows(LOADS, closure)))
    assert found.measured.value == pytest.approx(5200.0, rel=1e-9)
    assert found.predicted.value == pytest.approx(0.020 * RING, rel=1e-9)
    assert sum(share.standard**2 for share in found.budget) == pytest.approx(found.measured.standard**2)


def free_tone(bending: float, mass: float, length: float) -> float:
    """First tone [Hz] of a free slender beam; the root of cosh x cos x = 1 found here."""
    root = brentq(lambda x: np.cos(x) - 1.0 / np.cosh(x), 4.0, 5.0)
    return float(root**2 / (2.0 * np.pi) * np.sqrt(bending / (mass * length**3)))


def test_a_free_tube_rings_as_its_slender_beam_but_for_what_shear_takes():
    mass = 0.12
    found = answer_of(DESIGN, tap([free_tone(700.0, mass, 0.9)], mass))
    assert found.uncorrected == pytest.approx(700.0, rel=1e-9)
    slowed = found.measured.value / 700.0 - 1.0
    assert 0.0 < slowed < 0.2, "shear and rotary inertia slow the tone"


@pytest.mark.parametrize(
    ("test", "field"),
    [(torsion(rows(LOADS, -LOADS * 1e-3)), "readings"), (ring(rows(LOADS, -LOADS * 1e-3)), "readings"),
     (torsion(rows(LOADS, LOADS * 1e-3), length_mm=1300.0), "length_mm"),
     (torsion(rows([1.0, 1.0], [0.0, 1e-3])), "readings"), (ring(rows([1.0, 1.0], [0.0, 1e-3])), "readings"),
     (spans(rows([1.0, 1.0], [0.0, 1e-3]), rows(LOADS, LOADS * 1e-4)), "readings"),
     ({**tap([400.0], 0.12), "bore_mm": 60.0}, "bore_mm"),
     (tap([400.0], 0.12, length_mm=1300.0), "length_mm"), (tap([9e4], 0.12), "tones")],
)  # fmt: skip
def test_what_no_tube_could_give_is_refused_at_its_field(test, field):
    with pytest.raises(DocumentError) as refusal:
        answer_of(DESIGN, test)
    assert [fault[0] for fault in refusal.value.faults] == [f"test.{field}"]


def drawn_spans(rng: np.random.Generator) -> tuple[dict[str, Any], float]:
    bench, bending, shear = Bench(rng), 700.0 * (1 + 0.1 * rng.standard_normal()), 9e4
    tables = []
    hung = bench.masses(LOADS, 1.0) * bench.gravity
    for told in (1.1, 0.4):
        span = bench.span(told)
        tables.append(rows(LOADS, bench.read(hung * bend_give(span, bending, shear), 5e-6)))
    return spans(*tables, reading_u_mm=5e-3), bending


def drawn_torsion(rng: np.random.Generator) -> tuple[dict[str, Any], float]:
    bench, twist = Bench(rng), 60.0 * (1 + 0.1 * rng.standard_normal())
    length, arm, lever = (bench.span(told) for told in (0.9, 0.2, 0.15))
    torque = bench.masses(LOADS, 1.0) * bench.gravity * arm
    return torsion(rows(LOADS, bench.read(lever * torque * length / twist, 2e-5))), twist


def drawn_ring(rng: np.random.Generator) -> tuple[dict[str, Any], float]:
    bench, per_width = Bench(rng), 2.6e5 * (1 + 0.1 * rng.standard_normal())
    width = bench.span(0.025, 5e-5)
    closure = bench.masses(LOADS, 5.0) * bench.gravity / (per_width * width)
    return ring(rows(LOADS, bench.read(closure, 1e-5))), 0.020 * per_width


@pytest.mark.parametrize("draw", [drawn_spans, drawn_torsion, drawn_ring])
def test_the_uncertainty_of_a_tube_test_covers_as_often_as_it_says(draw):
    assert covering(DESIGN, draw, seed=30) >= least()


def test_the_uncertainty_of_a_tap_tone_covers_as_often_as_it_says():
    from polewright.bench.tap import first_tone

    def draw(rng: np.random.Generator) -> tuple[dict[str, Any], float]:
        bending, mass = 700.0 * (1 + 0.1 * rng.standard_normal()), 0.12
        really = {"mass": mass + 1e-4 * rng.standard_normal(), "length": 0.9 + 5e-4 * rng.standard_normal()}
        shear = SHEAR * (1 + 0.1 * rng.standard_normal())
        size = {"outside": float(TUBE.outside[0]), "bore": float(TUBE.bore[0])}
        tone = first_tone(bending=bending, shear=shear, **really, **size) * (1 + 1e-3 * rng.standard_normal())
        return tap(tone * (1 + 5e-4 * rng.standard_normal(4)), mass), bending

    assert covering(DESIGN, draw, seed=31) >= least()
