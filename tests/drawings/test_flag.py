"""The drawn flag is to scale, shows its fibre at its angle, and takes any name."""

import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from tests.said import said

from polewright.codes import Message
from polewright.drawings import flag_drawing
from polewright.drawings.flag import fibre_lines
from polewright.materials.ply import Elastic, Ply
from polewright.shop import CutRules, section_kit
from polewright.wall.stack import Stack, StackPly
from polewright.words import default_reader

NS = "{http://www.w3.org/2000/svg}"
READER = default_reader()
PLY = Ply("plain", 0.00015, Elastic.isotropic(E=70e9, nu=0.3), 0.25)


def drawn(stack_ply: StackPly, *, tip: float = 0.03, roll: float = 0.99) -> tuple[ET.Element, object]:
    kit = section_kit(Stack((stack_ply,)), 0.03, tip, 1.65, rules=CutRules(roll_width=roll))
    return ET.fromstring(flag_drawing(kit.flags[0], READER)), kit.flags[0]


def points(path: ET.Element) -> np.ndarray:
    return np.array([[float(v) for v in p] for p in re.findall(r"(-?[\d.]+),(-?[\d.]+)", path.get("d"))])


def test_the_outline_is_to_scale():
    root, kit_flag = drawn(StackPly(PLY, 0.0, 5), tip=0.022)
    outline = points(next(p for p in root.iter(f"{NS}path") if p.get("class") == "outline"))
    scale = np.ptp(outline[:, 0]) / kit_flag.flag.length
    assert np.ptp(outline[:, 1]) == pytest.approx(kit_flag.flag.width_butt * scale, abs=0.02)
    assert outline[1, 1] - outline[2, 1] == pytest.approx(kit_flag.flag.width_tip * scale, abs=0.02)


@pytest.mark.parametrize("degrees", [0, 12, 45, -45, 90])
def test_fibre_is_drawn_at_its_angle_inside_the_outline(degrees):
    outline = np.array([[0.0, 0.0], [1.7, 0.0], [1.7, 0.4], [0.0, 0.5]])
    runs = fibre_lines(outline, np.radians(degrees), 0.02)
    assert len(runs) > 5
    for a, b in runs:
        assert np.degrees(np.arctan2(*(b - a)[::-1])) == pytest.approx(degrees, abs=1e-6)
        assert min(a[0], b[0]) >= -1e-9
        assert max(a[1] + 0.1 / 1.7 * a[0], b[1] + 0.1 / 1.7 * b[0]) <= 0.5 + 1e-9


def test_sizes_are_written_in_millimetres():
    root, kit_flag = drawn(StackPly(PLY, 0.0, 5), tip=0.022)
    words = [t.text for t in root.iter(f"{NS}text")]
    assert f"{kit_flag.flag.width_butt * 1e3:.1f}" in words
    assert f"{kit_flag.flag.width_tip * 1e3:.1f}" in words
    assert "1\u202f720" in words
    assert "S1-1" in words


def test_a_split_flag_shows_each_piece_and_its_joint():
    root, kit_flag = drawn(StackPly(PLY, np.pi / 2))
    assert sum(p.get("class") == "outline" for p in root.iter(f"{NS}path")) == 2
    note = said(
        "drawing.flag.joints", count=1, places=Message("drawing.flag.place", place=float(kit_flag.joints.mean()))
    )
    assert any(note in (t.text or "") for t in root.iter(f"{NS}text"))
    flag = kit_flag.flag
    sizes = {"length": flag.length, "butt": flag.width_butt, "tip": flag.width_tip}
    assert root.get("aria-label") == said(
        "drawing.flag.title", flag=1, material="plain", angle=np.pi / 2, pieces=2, **sizes
    )


def test_a_drawing_for_paper_carries_its_colours_and_one_for_the_screen_does_not():
    kit = section_kit(Stack((StackPly(PLY, 0.0),)), 0.03, 0.03, 1.0)
    assert "var(" not in flag_drawing(kit.flags[0], READER, paper=True)
    assert "<style>" not in flag_drawing(kit.flags[0], READER)


def test_any_name_can_stand_in_a_drawing():
    ply = Ply('<script>"&\x00\ud800', 0.00015, Elastic.isotropic(E=70e9, nu=0.3), 0.25)
    kit = section_kit(Stack((StackPly(ply, 0.0),)), 0.03, 0.03, 1.0, section="<b>&'")
    root = ET.fromstring(flag_drawing(kit.flags[0], READER))
    assert "<b>&'-1" in [t.text for t in root.iter(f"{NS}text")]


def test_in_the_hand_all_words_stand_inside_and_the_note_has_a_line_of_its_own():
    kit = section_kit(Stack((StackPly(PLY, np.pi / 2.0),)), 0.03, 0.03, 1.65, rules=CutRules(roll_width=0.99))
    root = ET.fromstring(flag_drawing(kit.flags[0], READER, phone=True))
    high = {text.text: float(text.get("y")) for text in root.iter(f"{NS}text")}
    place = Message("drawing.flag.place", place=float(kit.flags[0].joints.mean()))
    note = said("drawing.flag.foot", unit="mm", note=said("drawing.flag.joints", count=1, places=place))
    assert high[said("drawing.flag.butt")] == high[said("drawing.flag.tip")] < high[note] < float(root.get("height"))
    assert float(root.get("width")) < 366.0
