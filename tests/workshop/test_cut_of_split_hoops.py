"""To the cutter and the rolling table: one prepreg a plot, each half its own length, no joint under a clamp."""

import csv
import io
import json
import re
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from polewright.answers.cutting import clamp_zones, kits
from polewright.documents.design import Design
from polewright.documents.files import load
from polewright.documents.values import workpiece
from polewright.errors import DesignError
from polewright.sheet import work_card_pdf, work_card_values
from polewright.shop import cut_sheet, hpgl, hpgl_scaled
from polewright.words import Reader
from polewright.workshop.papers import kit_files, work_cards

EXAMPLES = Path(__file__).parents[2] / "examples"
READER = Reader()
POLES = ("reedlight-7", "tallreed-11", "crookbough-5", "peerglass-8")


def pole(name: str, **joint: float) -> Design:
    found = load(EXAMPLES / f"{name}.toml")
    assert isinstance(found, Design)
    plain = found.plain()
    for each in plain["joints"]:
        each.update(joint)
    return Design.model_validate(plain)


def reach_of(code: str) -> tuple[float, float]:
    """How far a plot goes along and across the roll [mm]."""
    points = np.array(re.findall(r"(\d+),(\d+)", code), dtype=float) / 40.0
    return float(points[:, 0].max()), float(points[:, 1].max())


@pytest.mark.parametrize("name", POLES)
def test_every_plot_holds_one_prepreg_and_fits_its_roll(name: str) -> None:
    design = pole(name)
    files = kit_files(design, workpiece(design), READER, date="2026-11-30")
    widths = {m.id.lower(): m.roll_width_mm for m in design.materials}
    for kit in kits(design, workpiece(design)):
        stem = f"{name}-{kit.section.lower()}-"
        used = {flag.ply.name.lower() for flag in kit.flags}
        plots = [n for n in files if n.startswith(stem) and n.endswith(".plt")]
        assert {re.sub(r"(-tile\d+)?\.plt$", "", n.removeprefix(stem)) for n in plots} == used
        for plot in plots:
            if "-tile" not in plot:
                of = plot.removeprefix(stem).removesuffix(".plt")
                assert reach_of(files[plot].decode("ascii"))[1] <= widths[of] + 0.1


def test_prepregs_whose_names_have_the_same_letters_get_plots_of_their_own() -> None:
    plain = pole("crookbough-5").plain()
    first, second = (m["id"] for m in plain["materials"][:2])
    text = json.dumps(plain).replace(json.dumps(first), '"A 1"').replace(json.dumps(second), '"A-1"')
    design = Design.model_validate(json.loads(text))
    files = kit_files(design, workpiece(design), READER, date="2026-11-30")
    one = {re.sub(r"-tile\d+", "", n) for n in files if n.startswith("crookbough-5-s2-a-1") and n.endswith(".plt")}
    assert one == {"crookbough-5-s2-a-1.plt", "crookbough-5-s2-a-1-2.plt"}


def test_two_prepregs_in_one_plot_are_refused() -> None:
    design = pole("reedlight-7")
    sheet = cut_sheet(kits(design, workpiece(design))[:1])
    for make in (hpgl, hpgl_scaled):
        with pytest.raises(DesignError, match=r"want\.one_prepreg_of_plot|want\.at_most_or_tiles"):
            make(sheet)
    with pytest.raises(DesignError, match=r"TH55, SM150.*want\.one_prepreg_of_plot"):
        hpgl(sheet)


@pytest.mark.parametrize("name", POLES)
def test_each_half_of_a_split_hoop_has_its_own_length_in_the_cut_list(name: str) -> None:
    design = pole(name)
    files = kit_files(design, workpiece(design), READER, date="2026-11-30")
    rows = list(csv.DictReader(io.StringIO(files[f"{name}-cut-list.csv"].decode("utf-8"))))
    by_flag: dict[tuple[str, str], list[dict[str, str]]] = {}
    for row in rows:
        by_flag.setdefault((row["section"], row["ply"]), []).append(row)
    split = [own for own in by_flag.values() if len(own) > 1]
    assert split
    for own in split:
        if abs(float(own[0]["angle_deg"])) < 89.9:
            continue
        assert sum(float(r["piece_length_mm"]) for r in own) == pytest.approx(float(own[0]["flag_length_mm"]), abs=0.2)
        for row in own:
            middle = (float(row["width_butt_mm"]) + float(row["width_tip_mm"])) / 2.0
            area = float(row["piece_length_mm"]) * middle * 1e-6
            assert area == pytest.approx(float(row["piece_area_m2"]), rel=2e-3)


@pytest.mark.parametrize("name", POLES)
@pytest.mark.parametrize("overlap", [200.0, 805.0, 860.0])
def test_no_joint_of_a_split_hoop_lies_under_a_clamp(name: str, overlap: float) -> None:
    design = pole(name, overlap_mm=overlap, clamp_width_mm=40.0)
    for i, kit in enumerate(kits(design, workpiece(design))):
        assert not [note for note in kit.notes if note.code == "cut.note.joint_under_clamp"]
        for flag in kit.flags:
            if abs(abs(flag.flag.angle) - np.pi / 2.0) > 1e-9:
                continue
            for joint in flag.joints.mean(axis=1) - kit.trim / 2.0:
                assert all(not low < joint < high for low, high in clamp_zones(design, i))


def test_a_clamp_presses_at_the_mouth_of_the_outer_tube() -> None:
    design = pole("reedlight-7", overlap_mm=200.0, clamp_width_mm=20.0)
    length = design.sections[1].length_mm / 1e3
    (inner,) = clamp_zones(design, 0)
    assert inner == pytest.approx((0.18, 0.22))
    outer, own = clamp_zones(design, 1)
    assert outer == pytest.approx((length - 0.02, length))
    assert own == pytest.approx((0.18, 0.22))
    assert len(clamp_zones(design, len(design.sections) - 1)) == 1


def test_a_card_has_a_line_for_the_lot_of_every_roll_and_the_length_of_every_piece() -> None:
    design = pole("peerglass-8")
    work = workpiece(design)
    for card, kit in zip(work_cards(design, work, READER, date="2026-11-30"), kits(design, work), strict=True):
        values = work_card_values(card, READER)
        assert values["lots"] == list(dict.fromkeys(flag.ply.name for flag in kit.flags))
        for step, flag in zip(values["steps"], kit.flags, strict=True):
            lengths = [READER.bare(p.length, "length", 0, 2) for p in flag.pieces]
            assert len(lengths) == 1 or all(f": {length}" in step["pieces"] for length in lengths)


@pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="pdftotext is not installed; apt-get install poppler-utils"
)
@pytest.mark.parametrize(("name", "section"), [("reedlight-7", 5), ("tallreed-11", 1), ("tallreed-11", 5)])
def test_cautions_begin_on_page_one_where_it_has_room(name: str, section: int, tmp_path: Path) -> None:
    design = pole(name)
    card = work_cards(design, workpiece(design), READER, date="2026-11-30")[section - 1]
    file = tmp_path / "card.pdf"
    file.write_bytes(work_card_pdf(card, READER))
    command = ["pdftotext", "-l", "1", "-layout", str(file), "-"]
    first = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    values = work_card_values(card, READER)
    assert values["labels"]["cautions"] in first
    assert values["cautions"][0]["title"] in first
    assert all(lot in first for lot in values["lots"])
    assert values["labels"]["lot_of"] in first
