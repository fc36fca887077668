"""The places that papers come from: figures of the kit and the bench in the page's units, the paper's own language."""

import io
import re
import zipfile
from typing import Any

import pytest
from tests.said import said, said_in

from polewright.answers.cutting import kits
from polewright.documents.values import workpiece
from polewright.words import Reader, default_reader
from polewright.workshop import Workshop

REED = "/poles/reedlight-7"
INCH = Reader(default_reader().language, "inch")


@pytest.mark.parametrize("reader", [default_reader(), INCH], ids=["metric", "inch"])
def test_the_cut_place_holds_the_kit_in_the_units_of_the_page(client: Any, workshop: Workshop, reader: Reader) -> None:
    client.cookies["units"] = reader.system
    design = workshop.designs.open("reedlight-7").saved.design
    kit = kits(design, workpiece(design))[3]
    page = client.get(f"{REED}/cut?section=4").text
    for flag in kit.flags:
        shape = flag.flag
        sizes = {"length": shape.length, "butt": shape.width_butt, "tip": shape.width_tip, "mass": flag.mass}
        assert flag.partner is None
        assert f"<p>{said_in(reader, 'place.cut.sizes', pieces=len(flag.pieces), **sizes)}</p>" in page
        what = {"material": flag.ply.name, "angle": shape.angle, "count": shape.turns}
        assert said_in(reader, "place.cut.flag_of", **what) in page
    trim, mass = reader.quantity(kit.trim, "length", 0, 2), reader.quantity(kit.mass, "mass", 0, 1)
    overlap = reader.quantity(kit.flags[0].flag.overlap, "length", 0, 2)
    assert said_in(reader, "place.cut.note", trim=trim, overlap=overlap, mass=mass, count=kit.films) in page


@pytest.mark.parametrize(("units", "mass", "length"), [("metric", 1.0, 1.0), ("inch", 28.349523125, 25.4)])
def test_a_test_typed_in_the_units_of_the_page_is_kept_in_those_of_the_record(
    client: Any, workshop: Workshop, units: str, mass: float, length: float
) -> None:
    client.cookies["units"] = units
    rows = {"load_g-0": "16", "reading_mm-0": "0.25", "load_g-1": "80", "reading_mm-1": "0.3"}
    rows |= {"load_g-2": "16", "reading_mm-2": "0.25", "clock_deg-2": "90"}
    rows |= {"load_g-3": "80", "reading_mm-3": "0.3", "clock_deg-3": "90"}
    span = "50" if units == "inch" else "1270"
    form = {"kind": "two-load bend", "serial": "R7-1", "section": "4", "span_mm": span, "tester": "Ada", **rows}
    answer = client.post(f"{REED}/tests", data=form)
    assert answer.status_code == 303, answer.text
    (entry,) = workshop.records.listed(slug="reedlight-7")
    test = entry.record.test
    assert test.span_mm == pytest.approx(1270.0)
    assert [r.load_g for r in test.readings] == pytest.approx(2 * [16.0 * mass, 80.0 * mass])
    assert [r.reading_mm for r in test.readings] == pytest.approx(2 * [0.25 * length, 0.3 * length])
    assert [r.clock_deg for r in test.readings] == [0.0, 0.0, 90.0, 90.0]
    form = client.get(f"{REED}/bench?correct={entry.number}").text
    for name, value in {**rows, "span_mm": span}.items():
        assert re.search(rf'name="{name}"[^>]* value="{re.escape(value)}"', form), name


def test_the_form_offers_a_span_within_the_tube_and_round_loads(client: Any, workshop: Workshop) -> None:
    """The tube on two supports; then the tip of the pole, with a sleeve on a joint, and at two overlaps."""
    length = workshop.designs.open("reedlight-7").saved.design.sections[3].length_mm
    page = client.get(f"{REED}/bench?section=4").text
    assert f'name="span_mm" value="{length - 150.0:g}"' in page
    bend, tip = ("500", "2500"), ("250", "750")
    assert _offered(page)[:2] == [bend, tip]
    assert set(_offered(page)) == {bend, tip, ("500", "2000")}  # the last on an arm in torsion, or on a ring
    assert _offered(page).count(tip) == 3  # the tip, a sleeve on a joint, and two overlaps
    client.cookies["units"] = "inch"
    page = client.get(f"{REED}/bench?section=4").text
    bend, tip = ("16", "80"), ("8", "24")
    assert _offered(page)[:2] == [bend, tip]
    assert _offered(page).count(tip) == 3


def _offered(page: str) -> list[tuple[str, str]]:
    """The first two loads that each form with loads comes with, in the order of the page."""
    found = re.findall(r'name="load_g-[01]"[^>]* value="(\d+)"', page)
    return list(zip(found[::2], found[1::2], strict=True))


def test_the_sheet_may_be_had_in_another_language_than_the_page(client: Any) -> None:
    own, german = client.get(f"{REED}/sheet").text, client.get(f"{REED}/sheet?language=de").text
    assert said("sheet.head.test") in own
    assert Reader("de").say("sheet.head.test") in german
    assert said("place.sheet.title") in german, "the page stays in its own language"
    assert f"{REED}/sheet/reedlight-7-sheet.pdf?language=de" in german
    for language in ("en", "de"):
        paper = client.get(f"{REED}/sheet/reedlight-7-sheet.pdf?language={language}")
        assert paper.headers["content-type"] == "application/pdf"
        assert f"/Lang({language})".encode() in paper.content


@pytest.mark.slow
def test_the_files_of_a_kit_are_all_in_its_archive(client: Any) -> None:
    packed = zipfile.ZipFile(io.BytesIO(client.get(f"{REED}/kit/kit.zip").content)).namelist()
    assert {f"reedlight-7-s{n}.{kind}" for n in range(1, 6) for kind in ("dxf", "svg")} <= set(packed)
    assert {f"reedlight-7-s{n}-card.pdf" for n in range(1, 6)} <= set(packed)
    assert client.get(f"{REED}/kit/nothing.dxf").status_code == 404
    assert client.get(f"{REED}/kit/section/9/dxf").status_code == 404


def test_an_archive_of_plotter_tiles_holds_those_of_its_section_and_how_they_lie(client: Any) -> None:
    answer = client.get(f"{REED}/kit/section/4/hpgl")
    packed = zipfile.ZipFile(io.BytesIO(answer.content)).namelist()
    plots = [name for name in packed if re.fullmatch(r"reedlight-7-s4-(th55|sm150)(-tile\d\d)?\.plt", name)]
    assert {name.split("-")[3].removesuffix(".plt") for name in plots} == {"th55", "sm150"}
    notes = {name for name in packed if name.endswith("-tiles.txt")}
    assert notes == {
        f"reedlight-7-s4-{m}-tiles.txt" for m in ("th55", "sm150") if f"reedlight-7-s4-{m}-tile01.plt" in plots
    }
    assert set(packed) == {*plots, *notes}


@pytest.mark.parametrize(
    ("name", "kept"),
    [("reedlight-7", "reedlight-7"), ('my "pole", of\'7_a', "my--pole---of-7_a"), ("Stange für 7", "Stange-f-r-7")],
)
def test_the_name_of_a_file_holds_no_sign_that_means_something_to_a_browser(client: Any, name: str, kept: str) -> None:
    answer = client.get(f"{REED}/sheet/{name}.pdf")
    assert answer.headers["content-disposition"] == f'attachment; filename="{kept}.pdf"'
