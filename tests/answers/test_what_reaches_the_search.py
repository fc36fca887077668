"""Each rule and each load of a brief reaches the search in SI units and in its own place."""

import math
from types import SimpleNamespace

import pytest
from tests.answers.test_find_on_tapered_bars import tapered

from polewright.answers.find import finder
from polewright.answers.options import search_values
from polewright.answers.options.search_plies import bears_of, rules_of
from polewright.documents.files import DocumentError

ROLLS = {
    "wall_least_mm": 0.61,
    "wall_most_mm": 1.32,
    "block_most_mm": 0.74,
    "neighbours_most_deg": 60.0,
    "ring_least_N_m": 0.9,
    "clamp_least_kPa": 53.0,
    "moment_least_N_m": 31.0,
    "plates_squeeze_least_N": 21.0,
    "hand_squeeze_least_N": 22.0,
    "pads_squeeze_least_N": 23.0,
}


def asked(**changes):
    """A short pole of two sections with every rule, whose brief is changed."""
    document = tapered(0.0)
    rolls = document.rolls.model_copy(update=ROLLS)
    brief = document.brief.model_copy(update={"twist_at_least_N_m2": 4.4, "clamp_hold_N": 150.0})
    return document.model_copy(update={"rolls": rolls, "brief": brief, **changes})


def test_rules_of_a_wall_are_those_of_the_brief_in_si_units():
    rules = rules_of(asked())
    assert (rules.least_wall, rules.most_wall, rules.block) == pytest.approx((0.61e-3, 1.32e-3, 0.74e-3))
    assert rules.neighbours == pytest.approx(math.pi / 3.0)
    assert (rules.least_ring, rules.least_collapse, rules.least_twist) == pytest.approx((0.9, 53e3, 4.4))


def test_loads_of_a_wall_are_those_of_the_brief_each_in_its_place():
    document = asked()
    joint = document.joint.model_copy(update={"clamp_width_mm": 19.0})
    bears = bears_of(document.model_copy(update={"joint": joint}))
    # the tension of a wet band that holds: N = 2 pi T on the tube, times the friction
    band = 150.0 / (2.0 * math.pi * 0.12)
    assert (bears.moment, bears.plates, bears.fist, bears.pad) == (31.0, 21.0, 22.0, 23.0)
    assert bears.band == pytest.approx(band)
    assert bears.hold.need == 150.0
    assert (bears.hold.band.width, bears.hold.band.friction) == pytest.approx((0.019, 0.12))
    assert bears.spares_tip


def test_nothing_asked_of_a_wall_is_nothing():
    document = tapered(0.0)
    assert (
        bears_of(document.model_copy(update={"brief": document.brief.model_copy(update={"clamp_hold_N": None})}))
        is None
    )
    free = rules_of(document)
    assert (free.least_collapse, free.most_wall) == (0.0, math.inf)


@pytest.mark.parametrize(("length_mm", "is_refused"), [(200.0, True), (150.0, True), (200.5, False)])
def test_tubes_of_one_length_are_longer_than_their_joints(length_mm, is_refused):
    document = tapered(0.0).model_copy(update={"section_length_mm": length_mm, "sections": None})
    with pytest.raises(DocumentError) as refusal:
        search_values(document)
    fields = {field for field, *_ in refusal.value.faults}
    assert (fields == {"section_length_mm"}) is is_refused


def test_poles_of_the_trade_that_nobody_could_tell_apart_are_one(monkeypatch):
    def pole(size):
        return SimpleNamespace(figure=lambda name: size * {"droop": 0.1, "mass": 0.4, "cost": 60.0}[name])

    sizes = (1.0, 1.0015, 1.0025, 1.01)
    monkeypatch.setattr(finder, "pole_front", lambda *_, **__: ([pole(s) for s in sizes], [0.0] * len(sizes)))
    search = finder.Finder(tapered(0.0))
    search.search()
    search.trade()
    kept = [each.figure("droop") / 0.1 for each, _ in search._front]
    assert kept == pytest.approx([1.0, 1.0025, 1.01])
