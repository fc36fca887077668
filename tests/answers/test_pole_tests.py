"""Swing with a tip mass and the droop of own weight: recovered from readings made by hand, as often as said."""

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.answers.drawn_readings import Bench, answer_of, covering, least

from polewright.answers.trestles import bent_on_trestles, trestle_state
from polewright.documents.files import DocumentError, document_of
from polewright.documents.values import workpiece
from polewright.pole.beam import bent
from polewright.pole.droop import flex
from polewright.pole.modes import modes

DESIGN = document_of(tomllib.loads((Path(__file__).parents[1] / "workshop" / "small-pole.toml").read_text("utf-8")))
POLE = workpiece(DESIGN).pole


def swing(counts: Any, load_g: float = 800.0, **more: Any) -> dict[str, Any]:
    rows = [{"swings": int(n), "time_s": float(t)} for n, t in counts]
    return {"kind": "swing test", "prop_mm": 500.0, "load_g": load_g, "counts": rows, **more}


def own(droops: Any, **more: Any) -> dict[str, Any]:
    rows = [{"reading_mm": 1e3 * float(d), "clock_deg": float(c)} for c, d in droops]
    return {"kind": "own weight", "prop_mm": 500.0, "droops": rows, **more}


def test_swings_counted_against_a_watch_give_their_frequency():
    found = answer_of(DESIGN, swing([(20, 10.0), (10, 5.0)]))
    assert found.measured.value == pytest.approx(2.0, rel=1e-12)
    assert found.quantity == "frequency"
    predicted = modes(bent_on_trestles(POLE, 0.5, 1, 0.8), count=1).frequency[0]
    assert found.predicted.value == pytest.approx(float(predicted), rel=1e-12)
    (told,) = found.further
    assert told.measured.value == pytest.approx(told.comparison.predicted.value * (predicted / 2.0) ** 2, rel=1e-9)


def test_a_heavy_mass_at_the_tip_tells_the_flex_that_the_model_has():
    """With a mass far heavier than the pole, (2 pi f)^2 is one over mass and flex: a spring with a mass on it."""
    load = 4.0
    state = trestle_state(POLE, 0.5, 1, load)
    frequency = modes(bent(POLE, state), count=1).frequency[0]
    heavy = answer_of(DESIGN, swing([(1000, 1000.0 / float(frequency))], load_g=1e3 * load))
    give = heavy.further[0].measured.value
    assert (2.0 * np.pi * frequency) ** 2 * load * give == pytest.approx(1.0, abs=0.05)
    assert give == pytest.approx(flex(POLE, state).flex, rel=1e-6)


def test_the_mean_of_two_rolls_is_the_droop_of_own_weight_without_its_bow():
    found = answer_of(DESIGN, own([(0, 0.031), (180, 0.025), (0, 0.031), (180, 0.025)]))
    assert found.measured.value == pytest.approx(0.028, rel=1e-12)
    assert found.predicted.value == pytest.approx(bent_on_trestles(POLE, 0.5, 1, 0.0).tip_droop, rel=1e-12)
    assert not found.notes
    once = answer_of(DESIGN, own([(0, 0.031)]))
    assert [n.code for n in once.notes] == ["bench.note.not_rolled"]


@pytest.mark.parametrize(
    ("test", "field", "code"),
    [(own([(0, 0.03), (90, 0.03)]), "droops", "want.half_turn_apart"),
     (own([(0, 0.03)], out=5), "out", "want.sections_out"),
     (swing([(10, 5.0)], prop_mm=9000.0), "prop_mm", "want.prop_below_length"),
     (swing([(10, 5.0)], length_mm=1500.0), "length_mm", "want.length_of_pole")],
)  # fmt: skip
def test_what_no_pole_could_give_is_refused_at_its_field(test, field, code):
    with pytest.raises(DocumentError) as refusal:
        answer_of(DESIGN, test)
    ((where, _, want),) = refusal.value.faults
    assert (where, want.code) == (f"test.{field}", code)


def drawn_swing(rng: np.random.Generator) -> tuple[dict[str, Any], float]:
    frequency = 1.5 * (1.0 + 0.2 * rng.random())
    return swing([(n, n / frequency + 0.15 * rng.standard_normal()) for n in (10, 20, 20)]), frequency


def drawn_droop(rng: np.random.Generator) -> tuple[dict[str, Any], float]:
    bench, droop, bow = Bench(rng), 0.03 * (1.0 + rng.random()), 0.004 * rng.standard_normal()
    rolls = [(clock, droop + bow * (1 if clock == 0 else -1)) for clock in (0, 180, 0, 180)]
    return own([(clock, bench.read(d, 1.5e-3)) for clock, d in rolls]), droop


@pytest.mark.parametrize("draw", [drawn_swing, drawn_droop])
def test_the_uncertainty_of_a_pole_test_covers_as_often_as_it_says(draw):
    assert covering(DESIGN, draw, seed=40) >= least()
