"""From a checked design to its papers: each figure reaches the paper that it belongs on, in its unit."""

import csv
import io
from pathlib import Path

import numpy as np
import pytest

from polewright.answers.check import check_design
from polewright.answers.cutting import kits
from polewright.answers.guaranteed import guarantee, home_sample, home_test
from polewright.conventions.gravity import GRAVITY
from polewright.documents.design import Design
from polewright.documents.files import load
from polewright.documents.values import workpiece
from polewright.scatter import HomeFigure
from polewright.sheet import buyer_sheet_values, modest_figure, work_card_values
from polewright.sheet.home_rounding import home_rounding
from polewright.words import Reader
from polewright.words.reports.check import check_report
from polewright.workshop.papers import buyer_sheet, kit_files, work_cards

READER, INCH = Reader(), Reader(system="inch")
FOOT, POUND, OUNCE = 0.3048, 0.45359237, 0.45359237 / 16.0


@pytest.fixture(scope="module")
def design() -> Design:
    found = load(Path(__file__).parents[2] / "examples" / "reedlight-7.toml")
    assert isinstance(found, Design)
    return found


@pytest.fixture(scope="module")
def work(design):
    return workpiece(design)


@pytest.fixture(scope="module")
def checked(design):
    return check_design(design)


@pytest.fixture(scope="module")
def report(checked):
    return check_report(checked, READER)


@pytest.fixture(scope="module", params=[READER, INCH], ids=["metric", "inch"])
def promised(request, design):
    """A reader with the bounds that the sheet promises them, SI by figure."""
    loads = (0.25, 0.75) if request.param.system == "metric" else (8.0 * OUNCE, 24.0 * OUNCE)
    sample = home_sample(design, home_test(design, loads))
    return request.param, guarantee(sample, home_rounding(request.param)).bound


def test_a_sheet_holds_what_nearly_every_pole_keeps(design, work, checked, promised):
    reader, bound = promised
    sheet = buyer_sheet(design, checked, work, reader)
    assert [row.out for row in sheet.reaches] == [1, 2, 3, 4]
    for row in sheet.reaches:
        found = (row.reach, row.droop, row.flex, row.balance, row.carry, row.swing)
        kinds = ("reach", "droop", "flex", "balance", "carry", "swing")
        assert found == pytest.approx([bound[HomeFigure(kind, row.out)] for kind in kinds], rel=1e-12)
    whole = (sheet.extended, sheet.closed, sheet.mass, sheet.grip_diameter, sheet.play)
    kinds = ("extended", "closed", "mass", "grip", "play")
    assert whole == pytest.approx([bound[HomeFigure(kind)] for kind in kinds], rel=1e-12)
    setting = design.setting
    assert (sheet.swing_load, sheet.prop) == pytest.approx((setting.swing_load_g / 1e3, setting.prop_mm / 1e3))
    assert sheet.conducts == checked.pole.conducts


def test_no_promise_is_better_than_the_design_and_none_is_far_from_it(design, work, checked, report):
    """By a few hundredths in mass and length, by a quarter at most in what bends."""
    sheet = buyer_sheet(design, checked, work, READER)
    for row, reach in zip(sheet.reaches, report.reaches, strict=True):
        assert 0.995 * reach.length_mm / 1e3 < row.reach < reach.length_mm / 1e3
        assert reach.droop_own_mm / 1e3 < row.droop < 1.25 * reach.droop_own_mm / 1e3
        assert reach.carry_kg_m < row.carry < 1.06 * reach.carry_kg_m
        assert 0.85 * reach.swing_Hz < row.swing < reach.swing_Hz
    assert report.pole.mass_g / 1e3 < sheet.mass < 1.06 * report.pole.mass_g / 1e3


def test_each_column_of_the_sheet_is_rounded_to_its_modest_side(design, work, checked, promised):
    """By hand from the bounds: metres to 0.2 % downward, droops to 3 % upward, and so on, in the reader's units."""
    reader, bound = promised
    metric = reader.system == "metric"
    long, small, carry, least = (1.0, 1e-3, 1.0, 1.0) if metric else (FOOT, 0.0254, POUND * FOOT, 0.05)
    flex, finest = (1e-3 / (0.1 * GRAVITY), 1.0) if metric else (0.0254 / (OUNCE * GRAVITY), 0.002)
    rows = buyer_sheet_values(buyer_sheet(design, checked, work, reader), reader)["rows"]
    for out, row in enumerate(rows, 1):
        own = {kind: bound[HomeFigure(kind, out)] for kind in ("reach", "droop", "flex", "balance", "carry", "swing")}
        assert row[1:] == [
            modest_figure(own["reach"] / long, "down", 0.2, reader, least=0.01),
            modest_figure(own["droop"] / small, "up", 3.0, reader, least=least),
            modest_figure(own["flex"] / flex, "up", 3.0, reader, least=finest),
            modest_figure(own["balance"] / long, "up", 2.0, reader, least=0.01),
            modest_figure(own["carry"] / carry, "up", 2.0, reader, least=0.01),
            modest_figure(own["swing"], "down", 2.0, reader, least=0.01),
        ]


@pytest.mark.parametrize("reader", [READER, INCH], ids=["metric", "inch"])
def test_a_work_card_holds_the_sizes_of_its_kit(design, work, reader):
    length, mass = (1e-3, 1e-3) if reader.system == "metric" else (0.0254, OUNCE)
    cards = work_cards(design, work, reader, date="2026-11-24")
    for card, kit in zip(cards, kits(design, work), strict=True):
        values = work_card_values(card, reader)
        for step, flag in zip(values["steps"], kit.flags, strict=True):
            along, wide = step["size"].split(" \u00d7 ")
            assert float(along.replace("\u202f", "")) == pytest.approx(flag.flag.length / length, abs=0.5)
            assert float(wide.split(" / ")[0]) == pytest.approx(flag.flag.width_butt / length, abs=0.051)
            assert float(step["mass"].split("\u00a0")[0]) == pytest.approx(flag.mass / mass, abs=0.051)
            digits = [len(step[place].partition(".")[2]) for place in ("before", "after")]
            assert digits == ([2, 2] if reader.system == "metric" else [4, 4]), (
                "diameters to a hundredth of a millimetre"
            )
            assert float(step["after"]) == pytest.approx(
                (flag.flag.wound_butt + flag.flag.wound_tip) / 2.0 / length, abs=0.0051
            )
        assert float(values["kit_mass"].split(" ")[0]) == pytest.approx(kit.mass / mass, abs=0.051)


def test_the_cut_list_holds_every_piece_in_the_units_of_its_heads(design, work):
    files = kit_files(design, work, READER, date="2026-11-24")
    rows = list(csv.DictReader(io.StringIO(files["reedlight-7-cut-list.csv"].decode("utf-8"))))
    pieces = [(flag, piece) for kit in kits(design, work) for flag in kit.flags for piece in flag.pieces]
    assert len(rows) == len(pieces)
    for row, (flag, piece) in zip(rows, pieces, strict=True):
        assert row["label"] == piece.label
        assert float(row["angle_deg"]) == pytest.approx(np.degrees(flag.flag.angle), abs=1e-3)
        assert float(row["flag_length_mm"]) == pytest.approx(1e3 * flag.flag.length, abs=0.051)
        assert float(row["width_tip_mm"]) == pytest.approx(1e3 * piece.end_widths[1], abs=0.051)
        assert float(row["piece_mass_g"]) == pytest.approx(1e3 * piece.area * flag.ply.area_mass, abs=0.0051)
