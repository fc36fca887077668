"""The drawn wall: one stripe a turn from bore to skin, hatched by angle, toned by family; and the seam clock."""

import itertools
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest
from tests.said import said

from polewright.drawings import clock_drawing, wall_drawing
from polewright.drawings.style import DARK, LIGHT, PRINT, RULES, escaped
from polewright.drawings.wall import hatch
from polewright.materials.ply import Elastic, Ply
from polewright.wall.stack import Stack, StackPly
from polewright.words import default_reader

READER = default_reader()
NS = "{http://www.w3.org/2000/svg}"
CARBON = Ply("C", 0.00015, Elastic.isotropic(E=70e9, nu=0.3), 0.25)
GLASS = replace(CARBON, name="G", family="glass")
WEAVE = replace(GLASS, name="W", is_woven=True)
HOOP = np.pi / 2


def stripes(root: ET.Element) -> list[tuple[str, float, float]]:
    """Ground tone, top and height of every stripe, as drawn."""
    grounds = ("carbon", "glass", "aramid", "other")
    return [
        (r.get("class"), float(r.get("y")), float(r.get("height")))
        for r in root.iter(f"{NS}rect")
        if r.get("class") in grounds
    ]


def test_one_stripe_a_turn_from_bore_to_skin():
    root = ET.fromstring(
        wall_drawing(Stack((StackPly(CARBON, HOOP), StackPly(CARBON, 0.0, 4.5), StackPly(GLASS, HOOP))), READER)
    )
    found = stripes(root)
    assert [f[0] for f in found] == ["carbon"] * 6 + ["glass"]
    for (_, top, high), (_, below, _) in itertools.pairwise(found):
        assert below == pytest.approx(top + high, abs=0.02)
    words = [t.text for t in root.iter(f"{NS}text")]
    assert words.index(said("drawing.wall.bore")) < words.index(said("drawing.wall.skin"))
    assert said("drawing.wall.ply_of_turns", place=2, material="C", angle=0.0, turns=4.5) in words


def test_whole_turns_of_one_ply_are_drawn_alike_and_to_scale_with_the_next():
    thick = replace(CARBON, name="D", thickness=0.0003)
    found = stripes(ET.fromstring(wall_drawing(Stack((StackPly(CARBON, 0.0, 3), StackPly(thick, 0.0))), READER)))
    assert found[0][2] == found[1][2]
    assert found[3][2] == pytest.approx(2 * found[0][2], abs=0.02)


def test_hatch_tells_hoop_axial_bias_and_weave():
    found = [hatch(StackPly(CARBON, np.radians(d))) for d in (90, -90, 0, 45, -30)]
    assert found == ["hoop", "hoop", "axial", "p45", "m30"]
    assert [hatch(StackPly(WEAVE, np.radians(d))) for d in (0, 45)] == ["weave", "weave45"]


def test_opposite_bias_plies_slant_opposite_ways():
    svg = wall_drawing(Stack((StackPly(CARBON, np.radians(45)), StackPly(CARBON, np.radians(-45)))), READER)
    assert "rotate(-45)" in svg
    assert "rotate(45)" in svg


def test_every_hatch_that_is_used_is_defined_under_the_key():
    root = ET.fromstring(wall_drawing(Stack((StackPly(CARBON, HOOP), StackPly(WEAVE, 0.0))), READER, key="a"))
    defined = {p.get("id") for p in root.iter(f"{NS}pattern")}
    used = {r.get("fill")[5:-1] for r in root.iter(f"{NS}rect") if (r.get("fill") or "").startswith("url")}
    assert used == defined == {"a-hoop", "a-weave"}


def test_a_wall_of_very_many_turns_still_fits_the_page():
    root = ET.fromstring(wall_drawing(Stack((StackPly(CARBON, 0.0, 200), StackPly(CARBON, HOOP, 150))), READER))
    assert float(root.get("height")) < 300.0


def test_light_dark_and_print_know_every_ink_in_the_rules():
    import re

    wanted = set(re.findall(r"var\(--([a-z]+)\)", RULES))
    assert wanted
    for inks in (LIGHT, DARK, PRINT):
        assert wanted <= set(inks)


def luminance(colour: str) -> float:
    """Relative luminance by the web accessibility guidelines, 2.x."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


@pytest.mark.parametrize("inks", [LIGHT, DARK, PRINT])
@pytest.mark.parametrize("word", ["ink", "soft", "look"])
def test_words_stand_out_from_the_paper_by_four_and_a_half_to_one(inks, word):
    for ground in ("paper", "sheet"):
        light, dark = sorted((luminance(inks[word]), luminance(inks[ground])), reverse=True)
        assert (light + 0.05) / (dark + 0.05) >= 4.5


def test_the_clock_puts_each_start_where_it_belongs():
    root = ET.fromstring(clock_drawing([0.0, np.pi / 2, np.pi / 2], READER))
    at = {t.text: (float(t.get("x")), float(t.get("y"))) for t in root.iter(f"{NS}text")}
    centre = float(root.get("width")) / 2
    assert at["1"][0] == pytest.approx(centre)
    assert at["1"][1] < centre
    assert at["2 3"][0] > centre
    assert said("drawing.clock.start", flags=("2", "3"), clock=np.pi / 2) in root.get("aria-label")


def test_escaping_drops_what_no_document_may_hold():
    assert escaped('a<b>&"\x07\ud800\uffff') == "a&lt;b&gt;&amp;&quot;"
