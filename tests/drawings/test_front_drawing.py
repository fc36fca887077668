"""The plot of the trade: marks where their figures are, clicks that lead somewhere, words for those who cannot see."""

import re
from xml.etree import ElementTree as ET

import pytest

from polewright.drawings.front import FrontPoint, front_drawing
from polewright.words import default_reader


def plot(points):
    return front_drawing(points, default_reader(), across="cost €", up="droop mm", weight="mass", title="The <trade>")


POINTS = [
    FrontPoint(100.0, 900.0, 1200.0, "1", "no. 1", "/a?n=1&m=2"),
    FrontPoint(200.0, 700.0, 1100.0, "2", 'no. "2"', "/a?n=2", is_met=False, is_chosen=True),
    FrontPoint(300.0, 500.0, 1000.0, "3", "no. 3"),
    FrontPoint(150.0, 800.0, 1150.0, "now", "now", is_present=True),
]


def test_the_plot_is_sound_svg_with_its_words_escaped():
    root = ET.fromstring(plot(POINTS))
    assert root.get("aria-label") == "The <trade>"
    links = root.findall("{http://www.w3.org/2000/svg}a")
    assert sorted(a.get("href") for a in links) == ["/a?n=1&m=2", "/a?n=2"]
    assert {a.get("aria-label") for a in links} == {"no. 1", 'no. "2"'}


def test_equal_steps_of_cost_and_droop_are_equal_steps_on_the_plot():
    # the three poles lie on a straight line and equally far apart: so must their marks
    marks = re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)" r="[\d.]+" class="(?:dot|outline)"', plot(POINTS))
    (x1, y1), (x2, y2), (x3, y3) = sorted((float(x), float(y)) for x, y in marks)
    assert x2 - x1 == pytest.approx(x3 - x2, abs=0.02)
    assert y2 - y1 == pytest.approx(y3 - y2, abs=0.02)
    assert y1 < y2 < y3  # dearer is stiffer: less droop lies lower on the plot


def test_a_pole_that_misses_the_brief_is_hollow_and_the_heavier_one_larger():
    drawn = plot(POINTS)
    assert drawn.count('class="outline"') == 1
    sizes = [float(r) for r in re.findall(r'r="([\d.]+)" class="dot"', drawn)]
    assert sizes[0] > sizes[1]


@pytest.mark.parametrize("points", [[], POINTS[:1], [POINTS[0], POINTS[0]]])
def test_no_pole_one_pole_and_equal_poles_are_drawn(points):
    drawn = plot(points)
    ET.fromstring(drawn)
    assert "nan" not in drawn
