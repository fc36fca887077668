"""From a checked design to its papers: cut sheets, work cards, the buyer's sheet."""

import io
import zipfile
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import Any

from polewright.answers.check import Check
from polewright.answers.cutting import cut_rules, kits
from polewright.answers.findings.lift import FULL_HOSE
from polewright.answers.guaranteed import guarantee, home_sample, home_test
from polewright.answers.measured_poles import MeasuredFigure, measured_figures, pole_readings
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.test_record import TestRecord
from polewright.documents.values import Workpiece
from polewright.drawings.pole import pole_drawing
from polewright.scatter import HomeFigure
from polewright.sheet.buyer import (
    TEST_LOADS,
    BuyerSheet,
    MeasuredFlex,
    OwnFlex,
    Reach,
    buyer_sheet_pdf,
    buyer_sheet_values,
)
from polewright.sheet.card import WorkCard, work_card, work_card_pdf
from polewright.sheet.home_rounding import home_rounding
from polewright.shop.cut_files import cut_list, dxf, svg_true_size
from polewright.shop.cut_sheet import CutSheet, cut_sheet
from polewright.shop.hpgl import hpgl
from polewright.shop.kit import CutRules, Kit
from polewright.units import from_, si
from polewright.words import Reader
from polewright.workshop.scene import pole_scene

__all__ = [
    "archive_of",
    "buyer_sheet",
    "buyer_sheet_file",
    "kit_files",
    "kit_of_section",
    "secrets",
    "sheet_figures",
    "work_cards",
]


def kit_of_section(design: Design, work: Workpiece, section: int) -> Kit:
    """The flags of one section, counted from 1 at the tip."""
    return kits(design, work)[section - 1]


def work_cards(
    design: Design, work: Workpiece, reader: Reader, *, date: str, revision: str = "", marks: tuple[Message, ...] = ()
) -> tuple[WorkCard, ...]:
    """One card a section, tip first; `revision` and `date` as they stand on the card, `marks` across every page."""
    stem = _stem(design.name)
    insisted = {m.id for m in design.materials if m.is_insisted}
    cards = tuple(
        work_card(
            kit,
            reader,
            workshop=design.maker,
            pole=design.name,
            job=f"{stem}-{kit.section}",
            revision=revision or design.content_hash()[:8],
            date=date,
            mandrel=section.mandrel.name,
            marks=marks,
        )
        for kit, section in zip(kits(design, work), work.sections, strict=True)
    )
    return tuple(_with_insisted(card, insisted) for card in cards)


def _with_insisted(card: WorkCard, insisted: Collection[str]) -> WorkCard:
    """The card, with a note of its materials whose figures are outside what is known."""
    own = tuple(dict.fromkeys(step.material for step in card.steps if step.material in insisted))
    return replace(card, notes=(*card.notes, Message("card.note.insisted", materials=own))) if own else card


def kit_files(
    design: Design, work: Workpiece, reader: Reader, *, date: str, revision: str = "", marks: tuple[Message, ...] = ()
) -> Mapping[str, bytes]:
    """Every file of a kit by name: a cut sheet as DXF, SVG and HPGL for each section, the cut list, the work cards.

    `marks` stand across every card, and in a note beside the cut files, which have no room for them.

    Raises
    ------
    DocumentError : a section does not slide into its neighbour.
    """
    stem, made = _stem(design.name), kits(design, work.finished())
    rules, files = cut_rules(design), {}
    for kit in made:
        files.update(_cut_files(kit, f"{stem}-{kit.section.lower()}", reader, rules=rules))
    files[f"{stem}-cut-list.csv"] = cut_list(made).encode("utf-8")
    if marks:
        files[f"{stem}-note.txt"] = "".join(f"{reader.text(mark)}\n" for mark in marks).encode("utf-8")
    cards = work_cards(design, work, reader, date=date, revision=revision, marks=marks)
    for kit, card in zip(made, cards, strict=True):
        files[f"{stem}-{kit.section.lower()}-card.pdf"] = work_card_pdf(card, reader)
    return files


def _cut_files(kit: Kit, stem: str, reader: Reader, *, rules: CutRules) -> dict[str, bytes]:
    sheet = cut_sheet([kit], rules=rules)
    files = {f"{stem}.dxf": dxf(sheet, reader.text), f"{stem}.svg": svg_true_size(sheet, reader.text).encode("utf-8")}
    for material in dict.fromkeys(cut.material for cut in sheet.cuts):
        named = _unused(f"{stem}-{_stem(material)}", files)
        files.update(_plot_files(cut_sheet([kit], rules=rules, material=material), named, reader))
    return files


def _plot_files(sheet: CutSheet, stem: str, reader: Reader) -> dict[str, bytes]:
    """The plot of one prepreg, in tiles where it is too long for an old cutter, with a page of where each lies."""
    job, files = hpgl(sheet), {}
    for n, tile in enumerate(job.tiles, 1):
        name = f"{stem}.plt" if len(job.tiles) == 1 else f"{stem}-tile{n:02d}.plt"
        files[name] = tile.code.encode("ascii")
    if len(job.tiles) > 1:
        lines = [
            reader.text(job.note),
            *(
                reader.say("cut.hpgl.origin", tile=f"tile{n:02d}", along=t.x, across=t.y)
                for n, t in enumerate(job.tiles, 1)
            ),
        ]
        files[f"{stem}-tiles.txt"] = ("\n".join(lines) + "\n").encode("utf-8")
    return files


def _unused(stem: str, files: Mapping[str, bytes]) -> str:
    """A name that no plot has yet: prepregs whose names have the same letters are counted."""
    name, count = stem, 1
    while f"{name}.plt" in files or f"{name}-tile01.plt" in files:
        count += 1
        name = f"{stem}-{count}"
    return name


def archive_of(files: Mapping[str, bytes]) -> bytes:
    """Several files as one ZIP archive."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return held.getvalue()


def secrets(design: Design) -> tuple[str, ...]:
    """Names that may not stand on a buyer's sheet: materials, their fibres, mandrels."""
    names = [m.id for m in design.materials] + [m.prepreg for m in design.materials if m.prepreg]
    return tuple(dict.fromkeys([*names, *(m.id for m in design.mandrels)]))


def buyer_sheet(
    design: Design,
    check: Check,
    work: Workpiece,
    reader: Reader,
    *,
    date: str = "",
    revision: str = "",
    serial: str = "",
    marks: tuple[Message, ...] = (),
    records: Sequence[tuple[TestRecord, str]] = (),
) -> BuyerSheet:
    """What a buyer may know of a design: what nearly every pole of it keeps on the home test, drawn for its reader.

    records : tests of poles built to it, newest first, with the day of each.
    """
    unit, light, heavy, _ = TEST_LOADS[reader.system]
    sample = home_sample(design, home_test(design, (from_(light, unit), from_(heavy, unit))))
    given = dict(guarantee(sample, home_rounding(reader)).bound)
    readings = pole_readings(records, design, sample)
    measured = measured_figures(readings, sample)
    given |= {each.figure: each.tolerance.bound for each in measured if each.is_enough}
    p, prop = check.pole, si("prop_mm", design.setting.prop_mm)
    loaded = given[HomeFigure("loaded")]
    return BuyerSheet(
        pole=check.name,
        maker=check.maker,
        sections=len(check.sections),
        closed=given[HomeFigure("closed")],
        extended=given[HomeFigure("extended")],
        mass=given[HomeFigure("mass")],
        reaches=tuple(_promised(r.out, given) for r in check.reaches),
        revision=revision or check.design_hash[:8],
        date=date,
        method=Message("sheet.method", prop=prop),
        copies=len(sample.bad),
        measured=tuple(_measured(each) for each in measured),
        own=tuple(OwnFlex(r.figure.out, r.value, r.when) for r in readings if serial and r.serial == serial),
        play=given[HomeFigure("play")] if design.joints else None,
        hose=FULL_HOSE,
        head=sample.test.head,
        swing_load=si("swing_g", design.setting.swing_load_g),
        grip_diameter=given[HomeFigure("grip")],
        conducts=p.conducts,
        serial=serial,
        drawing=pole_drawing(pole_scene(design, work, buyer=reader, promised=loaded), reader, paper=True),
        drawing_caption=Message("sheet.drawing.caption"),
        prop=prop,
        marks=marks,
    )


def _promised(out: int, given: Mapping[HomeFigure, float]) -> Reach:
    """The row of one reach."""
    return Reach(
        out=out,
        reach=given[HomeFigure("reach", out)],
        droop=given[HomeFigure("droop", out)],
        flex=given[HomeFigure("flex", out)],
        balance=given[HomeFigure("balance", out)],
        carry=given[HomeFigure("carry", out)],
        swing=given[HomeFigure("swing", out)],
    )


def _measured(each: MeasuredFigure) -> MeasuredFlex:
    """What the sheet says of measured poles."""
    tolerance = each.tolerance
    spread = tolerance.deviation / tolerance.mean
    return MeasuredFlex(each.figure.out, tolerance.count, each.lots, each.when, spread, each.is_enough)


def buyer_sheet_file(sheet: BuyerSheet, design: Design, reader: Reader) -> bytes:
    """The buyer's sheet as a PDF, in the language and units of its reader.

    Raises
    ------
    DesignError : something on it would give the recipe away.
    """
    return buyer_sheet_pdf(sheet, reader, secrets=secrets(design))


def sheet_figures(sheet: BuyerSheet, reader: Reader) -> dict[str, Any]:
    """The figures of a sheet as they were printed, for the register of papers given."""
    values = buyer_sheet_values(sheet, reader)
    return {name: values[name] for name in ("lang", "figures", "columns", "rows", "behind", "further", "marks")}


def _stem(name: str) -> str:
    """A name fit for files: letters, digits and dashes."""
    kept = "".join(c.lower() if c.isascii() and c.isalnum() else "-" for c in name)
    return "-".join(part for part in kept.split("-") if part) or "pole"
