"""The drawing of the bent pole: to scale, inside its frame, and without the recipe where a buyer reads it."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from tests.said import said

from polewright.codes import Message
from polewright.drawings.centreline import Span
from polewright.drawings.dimension import bar_length
from polewright.drawings.pole import Ghost, PoleScene, pole_drawing
from polewright.words import default_reader

READER = default_reader()


def scene(length: float = 7.0, droop: float = 0.8, outside: float = 0.03) -> PoleScene:
    station = np.linspace(0.0, length, 57)
    out = np.clip((station - 1.0) / (length - 1.0), 0.0, 1.0)
    half = length / 2.0
    return PoleScene(
        station=station,
        along=station * 0.99,
        below=droop * out**2,
        spans=(Span(0.0, half, outside, "2  ⌀32.0", "2"), Span(half, length, outside * 0.9, "1  ⌀28.0", "1")),
        clamps=np.array([half]),
        hold=0.0,
        prop=1.0,
        droop=Message("scene.droop", droop=droop),
        state="all out, level, 600 g at the tip",
        title="A pole & its droop",
    )


def tubes(drawing: str) -> list[tuple[float, float]]:
    """Every point of the tubes as drawn."""
    runs = re.findall(r'<path d="M([^"]+)" class="tube"', drawing)
    return [tuple(map(float, point.strip().lstrip("L").split(","))) for run in runs for point in run.split(" ")]


@pytest.mark.parametrize("phone", [False, True])
def test_both_ways_have_one_scale(phone: bool) -> None:
    made = scene()
    points = tubes(pole_drawing(made, READER, phone=phone))
    (x0, y0), (x1, y1) = points[0], points[-1]
    level, down = (x1 - x0) / (made.along[-1] - made.along[0]), (y1 - y0) / (made.below[-1] - made.below[0])
    assert_allclose(level, down, rtol=2e-4)


def test_the_scale_bar_is_as_long_as_it_says() -> None:
    made = scene()
    drawing = pole_drawing(made, READER)
    points = tubes(drawing)
    per_metre = (points[-1][0] - points[0][0]) / (made.along[-1] - made.along[0])
    bars = [float(b) - float(a) for a, b in re.findall(r'<line x1="([\d.]+)" y1="[\d.]+" x2="([\d.]+)"', drawing)]
    assert min(abs(b - per_metre * bar_length(7.0, READER)[0]) for b in bars) < 0.02
    assert said("drawing.pole.scale", bar=bar_length(7.0, READER)[0], times=Message("drawing.to_scale")) in drawing


@given(st.floats(0.8, 20.0), st.floats(-0.2, 1.2), st.floats(0.004, 0.2), st.booleans())
def test_any_pole_stays_inside_its_frame(length: float, share: float, outside: float, phone: bool) -> None:
    drawing = pole_drawing(scene(max(length, 1.2), share * length, outside), READER, phone=phone)
    root = ET.fromstring(drawing)
    wide, high = map(float, root.attrib["viewBox"].split()[2:])
    for x, y in tubes(drawing):
        assert 0.0 <= x <= wide
        assert 0.0 <= y <= high


def test_a_ghost_is_drawn_where_it_lies_and_named() -> None:
    made = scene()
    ghost = Ghost(made.along, made.below * 1.2, "revision 13", "960 mm")
    assert said("drawing.pole.ghost", name="revision 13", droop="960 mm") in pole_drawing(
        replace(made, ghost=ghost), READER
    )
    assert 'class="ghost"' not in pole_drawing(made, READER)
    assert said("drawing.pole.ghost_short", name="revision 13") in pole_drawing(
        replace(made, ghost=ghost), READER, phone=True
    )


def test_a_thin_tube_says_how_much_thicker_it_is_drawn() -> None:
    assert said("drawing.to_scale") in pole_drawing(scene(), READER)
    assert said("drawing.times_thick", times=3) in pole_drawing(scene(outside=0.008), READER)


def test_a_droop_too_small_for_two_arrows_is_still_dimensioned() -> None:
    assert said("scene.droop", droop=0.003) in pole_drawing(scene(droop=0.003), READER)


def test_words_are_text_and_never_markup() -> None:
    drawing = pole_drawing(replace(scene(), state="<b>5 < 6 & 7</b>", title='"quoted"'), READER)
    ET.fromstring(drawing)
    assert "<b>" not in drawing
