"""From a checked design to its papers: each figure reaches the paper that it belongs on, in its unit."""

import csv
import io
from pathlib import Path

import numpy as np
import pytest

from polewright.answers.check import check_design
from polewright.answers.cutting import kits
from polewright.documents.design import Design
from polewright.documents.files import load
from polewright.documents.values import workpiece
from polewright.sheet import buyer_sheet_values, modest_figure, work_card_values
from polewright.units import from_
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


def test_a_sheet_holds_the_figures_of_the_check(design, work, checked, report):
    sheet = buyer_sheet(design, checked, work, READER)
    for row, reach in zip(sheet.reaches, report.reaches, strict=True):
        found = (row.out, row.reach, row.droop, row.flex, row.balance, row.carry, row.swing)
        flex = from_(reach.added_droop_mm_per_100g, "mm/100 g")
        lengths = (reach.length_mm / 1e3, reach.droop_own_mm / 1e3)
        wanted = (reach.out, *lengths, flex, reach.balance_mm / 1e3, reach.carry_kg_m, reach.swing_Hz)
        assert found == pytest.approx(wanted, rel=1e-12)
    totals = (sheet.extended, sheet.closed, sheet.mass, sheet.grip_diameter, sheet.swing_load, sheet.prop)
    p, setting = report.pole, design.setting
    mm_g = (p.extended_mm, p.closed_mm, p.mass_g, p.base_outside_mm, setting.swing_load_g, setting.prop_mm)
    assert totals == pytest.approx([value / 1e3 for value in mm_g], rel=1e-12)
    assert sheet.conducts == p.conducts


def test_each_column_of_the_sheet_is_rounded_to_its_modest_side(design, work, checked, report):
    rows = buyer_sheet_values(buyer_sheet(design, checked, work, READER), READER)["rows"]
    for row, reach in zip(rows, report.reaches, strict=True):
        assert row[1:] == [
            modest_figure(reach.length_mm / 1e3, "down", 0.2, READER, least=0.01),
            modest_figure(reach.droop_own_mm, "up", 3.0, READER, least=1.0),
            modest_figure(reach.added_droop_mm_per_100g, "up", 3.0, READER, least=1.0),
            modest_figure(reach.balance_mm / 1e3, "up", 2.0, READER, least=0.01),
            modest_figure(reach.carry_kg_m, "up", 2.0, READER, least=0.01),
            modest_figure(reach.swing_Hz, "down", 2.0, READER, least=0.01),
        ]


def test_an_inch_sheet_turns_each_column(design, work, checked, report):
    rows = buyer_sheet_values(buyer_sheet(design, checked, work, INCH), INCH)["rows"]
    for row, reach in zip(rows, report.reaches, strict=True):
        found = [float(cell) for cell in row[1:]]
        flex_in_oz = reach.added_droop_mm_per_100g / 25.4 * OUNCE / 0.1
        carry = reach.carry_kg_m / POUND / FOOT
        metres = (reach.length_mm / 1e3, reach.balance_mm / 1e3)
        wanted = [metres[0] / FOOT, reach.droop_own_mm / 25.4, flex_in_oz, metres[1] / FOOT, carry, reach.swing_Hz]
        for value, true, share in zip(found, wanted, (0.002, 0.05, 0.05, 0.02, 0.02, 0.02), strict=True):
            assert value == pytest.approx(true, rel=share, abs=0.05 if true < 1.0 else 0.01)


@pytest.mark.parametrize("reader", [READER, INCH], ids=["metric", "inch"])
def test_a_work_card_holds_the_sizes_of_its_kit(design, work, reader):
    length, mass = (1e-3, 1e-3) if reader.system == "metric" else (0.0254, OUNCE)
    cards = work_cards(design, work, reader, date="2026-11-24")
    for card, kit in zip(cards, kits(design, work), strict=True):
        values = work_card_values(card, reader)
        for step, flag in zip(values["steps"], kit.flags, strict=True):
            along, wide = step["size"].split(" \u00d7 ")
            assert float(along) == pytest.approx(flag.flag.length / length, abs=0.5)
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
        assert float(row["width_tip_mm"]) == pytest.approx(1e3 * flag.flag.width_tip, abs=0.051)
        assert float(row["piece_mass_g"]) == pytest.approx(1e3 * piece.area * flag.ply.area_mass, abs=0.0051)
