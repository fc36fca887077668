"""The work card: every flag in rolling order, what to weigh and count, cautions, and blanks to fill in."""

import re
from dataclasses import replace

import numpy as np
import pytest
from tests.said import said

from polewright.materials.ply import Elastic, Ply
from polewright.sheet import TapeProgramme, work_card, work_card_pdf, work_card_values
from polewright.shop import CutRules, section_kit
from polewright.wall.stack import Stack, StackPly
from polewright.words import Reader, default_reader

AXIAL = Ply("SM150", 0.0001476, Elastic.unidirectional(E1=132.7e9, E2=7.6e9, G12=3.4e9, nu12=0.26), 0.2273)
HOOP = Ply("TH55", 0.0000585, Elastic.unidirectional(E1=122.9e9, E2=7.1e9, G12=3.1e9, nu12=0.27), 0.0887)
GLASS = replace(AXIAL, name="EG150", family="glass", is_conductive=False)
NAMES = {
    "workshop": "Quillbeck",
    "pole": "Reedlight 7",
    "job": "R7-0412",
    "revision": "14",
    "date": "2026-11-24",
    "mandrel": "M27-A",
}


READER, INCH = default_reader(), Reader(default_reader().language, "inch")
PLIES = (("TH55 90\u00b0", 1.0), ("SM150 0\u00b0", 5.0))


def plain(words: str) -> str:
    """With one kind of space, as a paper may break its lines anywhere."""
    return " ".join(words.split())


@pytest.fixture(scope="module")
def card():
    """Section 3 of the reference pole."""
    stack = Stack((StackPly(HOOP, np.pi / 2), StackPly(AXIAL, 0.0, 5), StackPly(HOOP, np.pi / 2)))
    return work_card(section_kit(stack, 0.02693, 0.02693, 1.65, section="S3"), READER, **NAMES)


def test_the_card_says_what_the_roller_must_know(card, words_of, pages_of):
    content = work_card_pdf(card, READER)
    words = words_of(content)
    assert pages_of(content) == 1
    for fact in (
        "1 720 \u00d7 442.4",
        said("card.kit_mass", mass=0.2014, band=0.002),
        said("card.films_on_table", count=5),
        "S3-1a: 935, S3-1b: 785",
        "M27-A",
        "28.64 mm",
        "26.93 mm",
        "26.93 \u2013 27.05",
        "Quillbeck",
        "R7-0412",
        "2026-11-24",
        f"SM150 0\u00b0 {said('card.turns', count=5.0)}",
        said("drawing.clock.mark"),
    ):
        assert plain(fact) in plain(words)
    for caution in ("epoxy_sensitisation", "carbon_dust", "oven_mandrel"):
        assert said(f"caution.{caution}.title") in words
    assert said("caution.closing") in words


def test_steps_come_in_rolling_order(card, words_of):
    words = words_of(work_card_pdf(card, READER))
    words = plain(words)
    places = [words.index(f"{material} {said('card.turns', count=turns)}") for material, turns in PLIES]
    assert places == sorted(places)
    assert [s["number"] for s in work_card_values(card, READER)["steps"]] == [1, 2, 3]


def test_diameters_climb_from_bore_to_skin(card):
    for before, after in zip(card.steps, card.steps[1:], strict=False):
        assert after.outside_before == pytest.approx(before.outside_after)
    assert card.steps[0].outside_before == pytest.approx(card.bore)
    assert card.steps[-1].outside_after == pytest.approx(card.outside_expected)


def test_a_pair_is_laid_up_before_it_is_rolled(words_of):
    stack = Stack((StackPly(AXIAL, np.radians(45)), StackPly(AXIAL, np.radians(-45)), StackPly(AXIAL, 0.0, 4)))
    words = words_of(work_card_pdf(work_card(section_kit(stack, 0.03, 0.03, 1.0), READER, **NAMES), READER))
    assert said("card.pair.lay_on", flag=2) in words
    assert said("card.pair.rolled_with", flag=1) in words
    assert "+45\u00b0" in words
    assert "\u221245\u00b0" in words


def test_blanks_are_left_for_what_is_not_yet_known_and_filled_where_it_is(card, words_of):
    assert "60 N" not in plain(words_of(work_card_pdf(card, READER)))
    words = words_of(
        work_card_pdf(replace(card, tape=TapeProgramme(width=0.020, tension=60.0, pitch=0.005, passes=2)), READER)
    )
    assert re.search(r"20 mm 60 N 5\.0 mm 2", plain(words))


def test_a_taper_and_a_crowded_joint_are_shown_on_the_card(words_of):
    stack = Stack((StackPly(HOOP, np.pi / 2), StackPly(AXIAL, 0.0, 5)))
    kit = section_kit(stack, 0.030, 0.022, 1.65, rules=CutRules(zones=((0.0, 1.65),)))
    words = words_of(work_card_pdf(work_card(kit, READER, **NAMES), READER))
    # 8 mm over 1.65 m: psi = 2.42e-3, five turns drift 4.4 degrees
    assert said("card.note.drift_of", flag=2, drift=np.radians(4.4)) in words
    assert said("cut.note.joint_under_clamp", flags=(1,)) in words


def test_a_glass_tube_has_glass_cautions(words_of):
    words = words_of(
        work_card_pdf(
            work_card(section_kit(Stack((StackPly(GLASS, 0.0, 3),)), 0.03, 0.03, 1.0), READER, **NAMES), READER
        )
    )
    assert said("caution.glass_dust.title") in words
    assert said("caution.carbon_dust.title") not in words


def test_inch_cards_turn_sizes_in_words_and_drawings(words_of):
    kit = section_kit(Stack((StackPly(AXIAL, 0.0, 4),)), 0.025, 0.025, 1.0)
    words = words_of(work_card_pdf(work_card(kit, INCH, **NAMES), INCH))
    width = f"{kit.flags[0].flag.width_butt / 0.0254:.3f}"
    assert words.count(width) == 2 * 3  # once in the step, twice in its drawing
    assert "42.13" in words


def test_a_thick_stack_runs_over_pages_without_losing_a_step(words_of, pages_of):
    stack = Stack(tuple(StackPly(AXIAL if i % 3 else HOOP, np.pi / 2 if i % 3 == 0 else 0.0) for i in range(14)))
    content = work_card_pdf(work_card(section_kit(stack, 0.03, 0.03, 1.0, section="S1"), READER, **NAMES), READER)
    words = words_of(content)
    assert pages_of(content) >= 2
    assert all(f"S1-{n}" in words for n in range(1, 15))


def test_the_same_card_is_the_same_file(card):
    content = work_card_pdf(card, READER)
    assert content.startswith(b"%PDF")
    assert work_card_pdf(card, READER) == content
