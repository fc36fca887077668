"""Cut files read again by a reader that shares nothing with the writer."""

import csv
import io
import re
import xml.etree.ElementTree as ET

import ezdxf
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from polewright.errors import DesignError
from polewright.materials.ply import Elastic, Ply
from polewright.shop import (
    CutRules,
    CutSheet,
    Kit,
    cut_list,
    cut_sheet,
    dxf,
    hpgl,
    hpgl_scaled,
    layer_name,
    section_clock,
    section_kit,
    svg_true_size,
    with_split,
)
from polewright.wall.stack import Stack, StackPly
from polewright.words import default_reader

TEXT = default_reader().text
OWN_LAYERS = {"TEXT", "FIBRE", "MARK", "CHECK"}


def group_codes(content: bytes) -> list[tuple[int, str]]:
    """A DXF file as its pairs of group code and value."""
    lines = content.decode("utf-8", errors="replace").replace("\r", "").split("\n")
    return [(int(lines[i]), lines[i + 1].strip()) for i in range(0, len(lines) - 1, 2)]


def outlines_in(content: bytes) -> list[tuple[str, bool, np.ndarray]]:
    """Layer, closed or not, and corners of every polyline among the entities, from the group codes alone."""
    pairs = group_codes(content)
    out: list[list] = []
    kind = ""
    for code, value in pairs[pairs.index((2, "ENTITIES")) :]:
        if code == 0:
            kind = value
            if value in ("LWPOLYLINE", "POLYLINE"):
                out.append(["", False, [], []])
            if value == "ENDSEC":
                break
        elif kind in ("LWPOLYLINE", "POLYLINE") and code == 8:
            out[-1][0] = value
        elif kind in ("LWPOLYLINE", "POLYLINE") and code == 70:
            out[-1][1] = bool(int(value) & 1)
        elif kind in ("LWPOLYLINE", "VERTEX") and code in (10, 20):
            out[-1][1 + code // 10].append(float(value))
    return [(layer, closed, np.column_stack([x, y])) for layer, closed, x, y in out]


def lines_in(content: bytes, layer: str) -> np.ndarray:
    """Ends of every straight line on a layer, (n, 2, 2), from the group codes alone."""
    pairs = group_codes(content)
    found, on = [], False
    for code, value in pairs[pairs.index((2, "ENTITIES")) :]:
        if code == 0:
            on = value == "LINE"
            if on:
                found.append({})
        elif on:
            found[-1].setdefault(code, value)
    kept = [f for f in found if f[8] == layer]
    return np.array([[[float(f[10]), float(f[20])], [float(f[11]), float(f[21])]] for f in kept])


def test_the_first_edge_is_marked_just_inside_it_and_along_it(kit):
    sheet = cut_sheet([kit])
    edges = [cut.first_edge * 1e3 for cut in sheet.cuts if len(cut.first_edge)]
    marks = lines_in(dxf(sheet, TEXT), "MARK")
    assert len(marks) == len(edges) > 0
    for mark, edge in zip(marks, edges, strict=True):
        along = (edge[-1] - edge[0]) / np.linalg.norm(edge[-1] - edge[0])
        off = mark - edge[0]
        away = np.abs(off[:, 0] * along[1] - off[:, 1] * along[0])
        assert away == pytest.approx([min(3.0, away[0])] * 2, abs=1e-6)
        assert 0.5 < away[0] <= 3.0
        assert np.all(off @ along > 0.0)
        assert np.all(off @ along < np.linalg.norm(edge[-1] - edge[0]))


@pytest.fixture(scope="module")
def kit(shop):
    return shop.kits()[2]


@pytest.mark.parametrize("release", ["R2010", "R12"])
def test_the_drawing_has_closed_outlines_in_millimetres_and_one_layer_a_ply(release, kit):
    content = dxf(cut_sheet([kit]), TEXT, release=release)
    plies = outlines_in(content)
    assert len({layer for layer, _, _ in plies}) == len(kit.flags) == 3
    assert len(plies) == kit.films == 5
    assert all(closed for _, closed, _ in plies)
    axial = next(p for layer, _, p in plies if "SM150" in layer)
    assert np.ptp(axial, axis=0) == pytest.approx([1720.0, kit.flags[1].flag.width_butt * 1e3], abs=1e-6)
    square = lines_in(content, "CHECK")
    assert np.hypot(*(square[:, 1] - square[:, 0]).T) == pytest.approx([100.0] * 4)
    assert np.ptp(square.reshape(-1, 2), axis=0) == pytest.approx([100.0, 100.0])
    if release == "R2010":
        pairs = group_codes(content)
        assert pairs[pairs.index((9, "$INSUNITS")) + 1] == (70, "4")  # 4 is millimetres in the format's own table
        assert pairs[pairs.index((9, "$MEASUREMENT")) + 1] == (70, "1")  # 1 is metric


@pytest.mark.parametrize("release", ["R2010", "R12"])
def test_every_piece_has_its_line_of_fibre_within_it(release, kit):
    content = dxf(cut_sheet([kit]), TEXT, release=release)
    pieces = [Polygon(corners).buffer(1e-6) for _, _, corners in outlines_in(content)]
    lines = lines_in(content, "FIBRE")
    assert len(lines) == len(pieces)
    for piece, line in zip(pieces, lines, strict=True):
        assert piece.contains(Point(line[0])), "each line stands with its piece"
        assert piece.contains(Point(line[1]))
        assert np.hypot(*(line[1] - line[0])) > 10.0


@pytest.mark.parametrize("release", ["R2010", "R12"])
def test_the_library_of_the_format_finds_no_fault(release, shop, tmp_path):
    path = tmp_path / "kit.dxf"
    path.write_bytes(dxf(cut_sheet(shop.kits()), TEXT, release=release))
    doc = ezdxf.readfile(path)
    assert not doc.audit().errors
    layers = {e.dxf.layer for e in doc.modelspace() if e.dxftype() in ("LWPOLYLINE", "POLYLINE")} - OWN_LAYERS
    assert len(layers) == 15


def test_the_same_kit_gives_the_same_bytes(kit):
    assert dxf(cut_sheet([kit]), TEXT) == dxf(cut_sheet([kit]), TEXT)


def test_fibre_lies_along_the_roll_in_every_piece():
    ply = Ply("p", 0.00015, Elastic.isotropic(E=70e9, nu=0.3), 0.25)
    stack_plies = tuple(StackPly(ply, np.radians(d)) for d in (0, 90, 45, -45, 30, -7))
    sheet = cut_sheet([section_kit(Stack(stack_plies), 0.03, 0.028, 1.5, rules=CutRules(roll_width=1.6))])
    for cut, degrees in zip(sheet.cuts[:2], (0, 90), strict=False):
        long_way = cut.size[0] > cut.size[1]
        assert long_way == (degrees == 0)
    for cut in sheet.cuts:
        assert cut.fibre[0, 1] == cut.fibre[1, 1]
        assert cut.fibre[0, 0] < cut.fibre[1, 0]
    # the first edge of each flag stands at minus its angle to the fibre
    for cut, degrees in zip(sheet.cuts, (0, 90, 45, -45, 30, -7), strict=True):
        edge = cut.first_edge[-1] - cut.first_edge[0]
        assert np.degrees(np.arctan2(edge[1], edge[0])) == pytest.approx(-degrees, abs=1e-6)


def slanted_kit() -> Kit:
    ply = Ply("p", 0.00015, Elastic.isotropic(E=70e9, nu=0.3), 0.25)
    stack_plies = tuple(StackPly(ply, np.radians(d)) for d in (45, -45, 20, -20, 60, 0, 90))
    return section_kit(Stack(stack_plies), 0.035, 0.028, 1.5)


@pytest.mark.parametrize("slanted", [False, True])
def test_pieces_stay_on_their_roll_and_off_each_other(shop, slanted):
    sheet = cut_sheet([slanted_kit()] if slanted else shop.kits())
    shapes = [Polygon(c.outline) for c in sheet.cuts]
    for band in sheet.bands:
        for cut in sheet.cuts:
            if cut.material == band.material:
                assert cut.outline[:, 1].min() >= band.y - 1e-9
                assert cut.outline[:, 1].max() <= band.y + band.width + 1e-9
    for i, a in enumerate(shapes):
        assert all(a.distance(b) >= 0.002 - 1e-9 for b in shapes[i + 1 :])


def test_four_poles_fill_ten_strips_and_nine_with_the_first_section_split(shop, verified):
    def strips(split: bool) -> float:
        kits = []
        for pole in range(4):
            for i, bore in enumerate(shop.bores()):
                stack = shop.hooped(4 if i == 0 else 5)
                stack = with_split(stack, 1, 2.0) if split and i == 0 else stack
                kits.append(section_kit(stack, bore, bore, 1.65, section=f"{pole}S{i + 1}"))
        sheet = cut_sheet(kits, material="SM150", gap=0.0)
        return sheet.bands[0].length / 1.72

    source = "workshop notes, four reference poles on a 990 mm roll"
    verified("shop", "strips for the axial flags of four poles", source, 10, strips(False), 1e-9, kind="notes")
    verified("shop", "the same with section 1 split in two", source, 9, strips(True), 1e-9, kind="notes")


def test_svg_is_true_to_size_with_one_group_a_ply(kit):
    root = ET.fromstring(svg_true_size(cut_sheet([kit]), TEXT))
    width, height = (float(root.get(k).removesuffix("mm")) for k in ("width", "height"))
    box = [float(v) for v in root.get("viewBox").split()]
    assert (width, height) == pytest.approx(box[2:])
    ns = "{http://www.w3.org/2000/svg}"
    groups = {g.get("id"): g for g in root.findall(f"{ns}g")}
    assert len(set(groups) - OWN_LAYERS) == 3
    numbers = [
        [float(v) for v in pair.split(",")]
        for pair in re.findall(r"[-\d.]+,[-\d.]+", groups[layer_name("S3", kit.flags[1])].find(f"{ns}path").get("d"))
    ]
    assert np.ptp(numbers, axis=0) == pytest.approx([1720.0, kit.flags[1].flag.width_butt * 1e3], abs=2e-3)
    for path in root.iter(f"{ns}path"):
        for pair in re.findall(r"([-\d.]+),([-\d.]+)", path.get("d")):
            assert box[0] <= float(pair[0]) <= box[0] + box[2]
            assert box[1] <= float(pair[1]) <= box[1] + box[3]


def test_fibres_marks_and_labels_of_the_svg_lie_where_their_pieces_do(shop):
    sheet = cut_sheet(shop.kits())
    root = ET.fromstring(svg_true_size(sheet, TEXT))
    ns = "{http://www.w3.org/2000/svg}"
    groups = {g.get("id"): g for g in root.findall(f"{ns}g")}
    fibres = groups["FIBRE"].findall(f"{ns}path")
    for path, cut in zip(fibres, sheet.cuts, strict=True):
        numbers = [[float(v) for v in pair.split(",")] for pair in re.findall(r"[-\d.]+,[-\d.]+", path.get("d"))]
        assert np.array(numbers) == pytest.approx(cut.fibre * [1e3, -1e3], abs=1e-3)
    pieces = [Polygon(cut.outline * [1e3, -1e3]) for cut in sheet.cuts]
    words = groups["TEXT"].findall(f"{ns}text")
    assert len(words) == sum(len(cut.words) for cut in sheet.cuts)
    for text in words:
        at = Point(float(text.get("x")), float(text.get("y")))
        assert min(piece.distance(at) for piece in pieces) < 2.0 * float(text.get("font-size"))


def pens(code: str) -> list[np.ndarray]:
    return [
        np.array(re.findall(r"(-?\d+),(-?\d+)", a + "," + b), dtype=float)
        for a, b in re.findall(r"PU(-?\d+,-?\d+);PD([-\d,]+);", code)
    ]


def test_a_long_flag_overflows_an_old_plotter_and_is_tiled_whole(kit, verified):
    sheet = cut_sheet([kit], material="SM150")
    plain = hpgl(sheet, largest=10**6)
    assert len(plain.tiles) == 1
    longest = max(p[:, 0].max() for p in pens(plain.tiles[0].code))
    verified(
        "shop",
        "plotter units along a 1720 mm flag",
        "workshop notes, 40 units a millimetre",
        68800,
        longest,
        0.0,
        kind="notes",
    )
    job = hpgl(sheet)
    assert len(job.tiles) > 1
    assert job.note.code == "cut.hpgl.tiles"
    assert job.note.values["count"] == len(job.tiles)
    total = 0.0
    for tile in job.tiles:
        for run in pens(tile.code):
            assert run.min() >= 0
            assert run.max() <= 32767
            total += np.hypot(*np.diff(run, axis=0).T).sum()
    whole = sum(np.hypot(*np.diff(run, axis=0).T).sum() for run in pens(plain.tiles[0].code))
    assert total == pytest.approx(whole, rel=1e-4)


def test_scaled_units_keep_one_file_and_its_size(kit):
    code = hpgl_scaled(cut_sheet([kit], material="SM150")).tiles[0].code
    # 4000 plotter units stand for 1000 user units: 0.1 mm each
    assert "IP0,0,4000,4000;SC0,1000,0,1000;" in code
    assert pens(code)[0][:, 0].max() == 17200


def test_a_sheet_too_long_for_scaled_units_is_refused(shop):
    with pytest.raises(DesignError, match="tiles"):
        hpgl_scaled(cut_sheet(shop.kits(), material="SM150"))


def test_the_cut_list_says_every_piece_once_with_units(shop):
    kits = shop.kits()
    rows = list(csv.DictReader(io.StringIO(cut_list(kits))))
    assert [r["label"] for r in rows] == [p.label for k in kits for f in k.flags for p in f.pieces]
    third = next(r for r in rows if r["label"] == "S3-2")
    assert (third["width_butt_mm"], third["flag_length_mm"], third["angle_deg"]) == ("442.4", "1720.0", "0.0")
    mass = sum(float(r["piece_mass_g"]) for r in rows if r["section"] == "S3")
    assert mass == pytest.approx(kits[2].mass * 1e3, abs=0.02)
    clock = [float(r["start_clock_deg"]) for r in rows if r["section"] == "S3" and r["label"].startswith("S3-2")]
    assert clock == pytest.approx([np.degrees(section_clock(kits[2]).start[1])], abs=0.06)


@pytest.mark.slow
@settings(derandomize=True, deadline=None, max_examples=25)
@given(st.text(min_size=1, max_size=30), st.text(min_size=1, max_size=20))
def test_no_name_can_break_a_file(material, section):
    ply = Ply(material, 0.00015, Elastic.isotropic(E=70e9, nu=0.3), 0.25)
    kit = section_kit(Stack((StackPly(ply, 0.0, 2), StackPly(ply, np.pi / 2))), 0.03, 0.03, 0.5, section=section)
    sheet = cut_sheet([kit], title=material)
    ET.fromstring(svg_true_size(sheet, TEXT))
    content = dxf(sheet, TEXT)
    assert len({s[0] for s in outlines_in(content)} - OWN_LAYERS) == 2
    rows = list(csv.reader(io.StringIO(cut_list([kit]))))
    assert {len(r) for r in rows} == {len(rows[0])}
    assert not any(cell[:1] in ("=", "@") for row in rows for cell in row)


def test_kits_of_one_name_are_refused(kit):
    with pytest.raises(DesignError, match=r"want\.own_name_of_kit"):
        cut_sheet([kit, kit])


@pytest.mark.parametrize("largest", [2000, 3999, 4000, 32767])
def test_no_tile_asks_for_more_than_the_cutter_takes(kit, largest):
    sheet = cut_sheet([kit], material="TH55")
    job = hpgl(sheet, largest=largest)
    for tile in job.tiles:
        points = [int(n) for stroke in re.findall(r"P[UD]([\d,-]+);", tile.code) for n in stroke.split(",")]
        assert min(points) >= 0
        assert max(points) <= largest
    if len(job.tiles) > 1:
        assert job.note.values["count"] == len(job.tiles)
        assert job.note.values["span"] * 40e3 <= largest
        assert {round(t.x / job.note.values["span"], 9) % 1.0 for t in job.tiles} == {0.0}


def test_a_sheet_without_a_roll_takes_no_room():
    assert CutSheet("nothing to cut", (), ()).extent == (0.0, 0.0)


@pytest.mark.parametrize(("degrees", "ending"), [(0.0, "P0"), (90.0, "P90"), (-12.5, "M12D5"), (44.96, "P45")])
def test_a_layer_names_the_angle_to_a_tenth_of_a_degree(degrees, ending):
    ply = Ply("SM150", 0.00015, Elastic.isotropic(E=70e9, nu=0.3), 0.25)
    (flag,) = section_kit(Stack((StackPly(ply, np.radians(degrees), 1.0),)), 0.03, 0.03, 1.0).flags
    assert layer_name("S3", flag) == f"S3_01_SM150_{ending}"
