"""A tube read round the clock is fitted, one read with other loads at other positions is refused in words."""

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.answers.drawn_readings import Bench, answer_of, covering, least
from tests.said import said

from polewright.codes import Message
from polewright.conventions.gravity import GRAVITY
from polewright.documents.files import DocumentError, document_of
from polewright.documents.values import workpiece
from polewright.words import default_reader
from polewright.words.reports.bench import bench_result

DESIGN = document_of(tomllib.loads((Path(__file__).parents[1] / "workshop" / "small-pole.toml").read_text("utf-8")))
WORK = workpiece(DESIGN)
SHEAR = float(np.mean(WORK.pole.tubes[1].shear))
SPAN, EI, SPINE, STIFF, BOW, SAGS = 1.0, 800.0, 0.03, 2.1, 1.2e-3, 0.4
LOADS = np.array([0.5, 2.5])
EIGHT = np.arange(0, 360, 45)


def give(clock: float, bending: float = EI) -> float:
    """[m/N] by unsymmetric bending: the load in two principal planes, each bends by itself; shear beside it."""
    split = np.array([np.cos(clock - STIFF), np.sin(clock - STIFF)])
    plane = np.array([bending * (1.0 + SPINE), bending * (1.0 - SPINE)]) / (1.0 - SPINE**2)
    return float(split @ (split / plane)) * SPAN**3 / 48.0 + SPAN / 4.0 / SHEAR


def read_at(degrees: float, mass: float) -> float:
    """[mm]"""
    clock = float(np.deg2rad(degrees))
    return 1e3 * (0.004 + BOW * np.cos(clock - SAGS) + mass * GRAVITY * give(clock))


def rows(clocks: Any, loads: Any = LOADS) -> list[dict[str, float]]:
    return [
        {"load_g": 1e3 * float(m), "reading_mm": read_at(c, float(m)), "clock_deg": float(c)}
        for c in clocks
        for m in loads
    ]


def bend(readings: list[dict[str, Any]], **more: Any) -> dict[str, Any]:
    return {"kind": "two-load bend", "section": 2, "span_mm": 1e3 * SPAN, "readings": readings, **more}


def further(answer: Any) -> dict[str, float]:
    return {f.figure: f.measured.value for f in answer.further}


def test_sixteen_readings_round_the_clock_give_stiffness_spine_and_bow():
    found = answer_of(DESIGN, bend(rows(EIGHT), reading_u_mm=1e-3))
    shown = further(found)
    assert found.measured.value == pytest.approx(EI, rel=1e-6)
    assert shown["spine"] == pytest.approx(2.0 * SPINE, rel=1e-6)
    assert shown["spine_direction"] == pytest.approx(STIFF, abs=1e-6)
    assert (shown["bow"], shown["bow_direction"]) == pytest.approx((BOW, SAGS), rel=1e-6)
    assert shown["stiff_bending"] == pytest.approx(EI / (1.0 - SPINE), rel=1e-6)
    assert shown["soft_bending"] == pytest.approx(EI / (1.0 + SPINE), rel=1e-6)
    assert not {n.code for n in found.notes} & {"bench.note.crooked", "bench.note.few_positions"}
    result = bench_result(found, default_reader())
    assert [line.predicted for line in result.further] == [None] * 6
    assert result.further[0].measured == pytest.approx(200.0 * SPINE), "in per cent"


def test_repeats_and_uneven_repeats_round_the_clock_are_fitted_too():
    twice = answer_of(DESIGN, bend([*rows(EIGHT), *rows(EIGHT)]))
    uneven = answer_of(DESIGN, bend([*rows(EIGHT), *rows(EIGHT[:3])]))
    for found in (twice, uneven):
        assert found.measured.value == pytest.approx(EI, rel=1e-6)


@pytest.mark.parametrize("clocks", [(90, 270), (0, 90), (0, 45, 90, 135)])
def test_a_bow_cancels_at_fewer_positions_and_the_test_says_what_more_would_show(clocks):
    found = answer_of(DESIGN, bend(rows(clocks), reading_u_mm=0.3))
    mean = np.mean([give(np.deg2rad(c)) - SPAN / 4.0 / SHEAR for c in clocks])
    assert found.measured.value == pytest.approx(SPAN**3 / 48.0 / mean, rel=1e-6)
    assert Message("bench.note.few_positions", least=5) in found.notes


@pytest.mark.parametrize("readings", [[(90, 0.5), (270, 2.5)], [(90, 0.5), (90, 2.5), (270, 2.5)],
                                      [(c, m) for c in EIGHT for m in LOADS][:-1]])  # fmt: skip
def test_loads_at_opposite_clocks_are_noticed_and_told(readings):
    made = [{"load_g": 1e3 * m, "reading_mm": read_at(c, m), "clock_deg": float(c)} for c, m in readings]
    with pytest.raises(DocumentError) as refusal:
        answer_of(DESIGN, bend(made))
    ((field, given, want),) = refusal.value.faults
    assert (field, want.code, given.code) == ("test.readings", "want.same_loads_at_each_clock", "given.no_reading")
    missing = {(float(c), 1e3 * m) for c, _ in readings for _, m in readings} - {(c, 1e3 * m) for c, m in readings}
    assert (round(float(np.rad2deg(given.values["clock"])), 6), round(1e3 * given.values["load"], 6)) in missing
    assert said("want.same_loads_at_each_clock") in default_reader().refusal(refusal.value)


def test_the_stiff_direction_goes_into_the_bending_of_the_pole():
    found = answer_of(DESIGN, bend(rows(EIGHT), reading_u_mm=1e-3))
    (spine,) = [n for n in found.notes if n.code == "bench.note.spine"]
    (down,) = [n for n in found.notes if n.code == "bench.note.mark_down"]
    every = np.deg2rad(np.arange(0.0, 360.0, 0.25))
    least_give = every[np.argmin([give(c) for c in every])]
    assert np.cos(2.0 * (spine.values["stiff"] - least_give)) == pytest.approx(1.0, abs=1e-4)
    assert give(down.values["mark"]) == pytest.approx(min(give(c) for c in every), rel=1e-5)
    assert np.cos(down.values["mark"] - SAGS) < 0.0, "the bow rises"


def drawn(rng: np.random.Generator) -> tuple[dict[str, Any], float]:
    """Eight positions under two loads; stiffness, bow and every gauge as they may be."""
    bench = Bench(rng)
    bending = EI * (1.0 + 0.1 * rng.standard_normal())
    span, shear = bench.span(SPAN), SHEAR * (1.0 + 0.1 * rng.standard_normal())
    hung = bench.masses(LOADS, 1.0) * bench.gravity
    readings = []
    for degrees in EIGHT:
        clock = np.deg2rad(degrees)
        soft = (give(clock, bending) - SPAN / 4.0 / SHEAR) * (span / SPAN) ** 3 + span / 4.0 / shear
        droop = bench.read(0.004 + BOW * np.cos(clock - SAGS) + hung * soft, 2e-5)
        readings += [
            {"load_g": 1e3 * m, "reading_mm": 1e3 * d, "clock_deg": float(degrees)}
            for m, d in zip(LOADS, droop, strict=True)
        ]
    return bend(readings), bending


def test_the_clock_fit_covers_as_often_as_it_says():
    assert covering(DESIGN, drawn, seed=20) >= least()


def test_spine_and_bow_cover_as_often_as_they_say():
    rng, hits, draws = np.random.default_rng(21), {"spine": 0, "bow": 0}, 400
    for _ in range(draws):
        test, _ = drawn(rng)
        for figure in answer_of(DESIGN, test).further:
            truth = {"spine": 2.0 * SPINE, "bow": BOW}.get(figure.figure)
            if truth is not None:
                hits[figure.figure] += abs(figure.measured.value - truth) <= figure.measured.expanded
    assert min(hits.values()) >= least(), hits
