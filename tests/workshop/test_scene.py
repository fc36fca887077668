"""The scene of a design: the droop of the check, and nothing of the recipe where a buyer reads it."""

import re
from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

from polewright.documents.design import Design
from polewright.documents.files import load
from polewright.documents.values import workpiece
from polewright.drawings.pole import pole_drawing
from polewright.words import Reader, default_reader
from polewright.words.reports.check import evaluate as check
from polewright.workshop import edited
from polewright.workshop.scene import pole_scene

EXAMPLES = Path(__file__).parents[2] / "examples"


def reedlight() -> Design:
    found = load(EXAMPLES / "reedlight-7.toml")
    assert isinstance(found, Design)
    return found


def test_the_scene_droops_as_the_check_says() -> None:
    design = reedlight()
    report = check(design)
    scene = pole_scene(design, workpiece(design))
    assert_allclose(scene.below[-1] * 1e3, report.pole.droop_mm, rtol=1e-9)
    assert scene.droop.code == "scene.droop"
    assert_allclose(scene.droop.values["droop"] * 1e3, report.pole.droop_mm, rtol=1e-9)
    assert_allclose(scene.spans[-1].end, report.pole.extended_mm / 1e3, rtol=1e-12)


@pytest.mark.parametrize("out", [1, 2, 3, 4])
def test_every_reach_has_its_length(out: int) -> None:
    design = reedlight()
    report = check(design)
    scene = pole_scene(design, workpiece(design), out=out)
    assert_allclose(scene.station[-1] * 1e3, report.reaches[out - 1].length_mm, rtol=1e-12)
    assert_allclose([s.start for s in scene.spans[1:]], [s.end for s in scene.spans[:-1]], rtol=1e-12)


def test_a_buyers_drawing_is_the_same_whatever_section_gives_the_droop() -> None:
    """Two recipes that droop alike to the rounding are drawn alike to the last digit: stiffness cannot be read off."""
    design = reedlight()
    scenes = []
    for change in (design, edited(design, "rotate_ply", section=1, ply=1, angle_deg=3.0)):
        scenes.append(pole_scene(change, workpiece(change), buyer=default_reader()))
    one, other = scenes
    assert_allclose(one.below, other.below, rtol=1e-12, atol=0.0)
    assert_allclose(one.along, other.along, rtol=1e-12, atol=0.0)
    assert [s.label for s in one.spans] == ["5", "4", "3", "2", "1"]
    assert len({s.outside for s in one.spans}) == 1


def test_inches_are_shown_in_inches() -> None:
    design = reedlight()
    scene = pole_scene(design, workpiece(design))
    inch = Reader(default_reader().language, "inch")
    assert "\u00a0in" in inch.text(scene.droop)
    assert "\u00a0oz" in inch.text(scene.state)
    drawing = pole_drawing(scene, inch)
    assert "3.28\u00a0ft" in drawing
    assert not re.search(r"\d\u00a0(mm|m|g)\b", drawing)


def test_a_scene_is_frozen() -> None:
    design = reedlight()
    scene = pole_scene(design, workpiece(design))
    with pytest.raises(ValueError, match="read-only"):
        scene.below[0] = 1.0
    assert replace(scene, droop="x").droop == "x"
    assert all(
        not isinstance(getattr(scene, f.name), np.ndarray) or not getattr(scene, f.name).flags.writeable
        for f in fields(scene)
    )
