"""Cut sheets as files: DXF, SVG at true size, and the cut list as CSV.

Writers return the content of a file and write nothing. Everything is in millimetres, fibre along x; what is written on
the pieces is made text by the caller, who knows the reader.
"""

import csv
import io
import logging
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from html import escape
from typing import Any, Literal

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.shop.cut_sheet import Cut, CutSheet
from polewright.shop.kit import Kit, KitFlag
from polewright.shop.seam_clock import section_clock
from polewright.units import from_, to

__all__ = ["Release", "cut_list", "dxf", "svg_true_size"]

Release = Literal["R12", "R2010"]

MM = from_(1.0, "mm")  # [m]
CHECK = 0.100  # [m] side of the check square
MARGIN = 0.020  # [m]
UNITS_NOTE = Message("cut.units_note", side=CHECK)
_PLAIN = str.maketrans({"\u2212": "-", "\u00a0": " ", "\u202f": " ", "^": "\u02c6"})  # signs that old readers lack
Told = Callable[[Message | str], str]  # what makes text of a message


def dxf(sheet: CutSheet, text: Told, *, release: Release = "R2010") -> bytes:
    """The cut sheet as DXF in millimetres: closed outlines, one layer a ply.

    Labels stand on layer TEXT, fibre lines on FIBRE, first edges on MARK, the 100 mm check square on CHECK. R12 has
    no field for the unit; the check square and its note stand in for it. The same sheet gives the same bytes.
    """
    import ezdxf  # a third of a second to load, so only when a file is written

    with _fixed_metadata():
        doc = ezdxf.new(release)
        if release != "R12":
            doc.units = ezdxf.units.MM
        doc.header["$MEASUREMENT"] = 1
        page = doc.modelspace()
        for name, color in (("TEXT", 8), ("FIBRE", 8), ("MARK", 5), ("CHECK", 1)):
            doc.layers.add(name, color=color)
        for layer in dict.fromkeys(cut.layer for cut in sheet.cuts):
            doc.layers.add(layer, color=7)
        for cut in sheet.cuts:
            _draw_dxf(page, cut, text, release)
        square = _check_square(sheet).tolist()
        for a, b in zip(square, square[1:] + square[:1], strict=True):  # four lines: no outline to be cut
            page.add_line(a, b, dxfattribs={"layer": "CHECK"})
        _text_dxf(page, text(UNITS_NOTE), (0.0, _check_square(sheet)[0, 1] - 12.0), 6.0, "CHECK")
        out = io.StringIO()
        doc.write(out)
        return out.getvalue().encode(doc.output_encoding, errors="dxfreplace")


@contextmanager
def _fixed_metadata() -> Iterator[None]:
    """Leave clock and random identities out of the file, so that it can be compared byte by byte.

    The library's own warning, that R12 has no field for the unit, is kept from the person's screen: the check square
    says it in the drawing.
    """
    import ezdxf

    log, before = logging.getLogger("ezdxf"), ezdxf.options.write_fixed_meta_data_for_testing
    was_off = log.disabled
    ezdxf.options.write_fixed_meta_data_for_testing = log.disabled = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing, log.disabled = before, was_off


def _draw_dxf(page: Any, cut: Cut, text: Told, release: Release) -> None:
    _outline_dxf(page, cut.outline / MM, cut.layer, release)
    page.add_line(*(cut.fibre / MM).tolist(), dxfattribs={"layer": "FIBRE"})
    if len(cut.first_edge):
        a, b = _inside(cut)
        page.add_line(a, b, dxfattribs={"layer": "MARK"})
    x, y = (cut.fibre / MM).mean(axis=0)
    height = _text_height(cut)
    for k, words in enumerate(cut.words):
        _text_dxf(page, text(words), (float(x), float(y) + (0.5 - 1.7 * k) * height), height, "TEXT", centred=True)


def _outline_dxf(page: Any, outline: FloatArray, layer: str, release: Release) -> None:
    draw = page.add_polyline2d if release == "R12" else page.add_lwpolyline
    draw(outline.tolist(), close=True, dxfattribs={"layer": layer})


def _text_dxf(
    page: Any, words: str, at: tuple[float, float], height: float, layer: str, *, centred: bool = False
) -> None:
    from ezdxf.enums import TextEntityAlignment

    align = TextEntityAlignment.BOTTOM_CENTER if centred else TextEntityAlignment.LEFT
    clean = _clean(words).translate(_PLAIN).replace("%%", "% %")
    page.add_text(clean, height=height, dxfattribs={"layer": layer}).set_placement(at, align=align)


def svg_true_size(sheet: CutSheet, text: Told) -> str:
    """The cut sheet as SVG whose millimetres are millimetres on paper: one group a ply, named as its layer."""
    long, wide = sheet.extent
    low = _check_square(sheet)[0, 1] - 20.0
    width, height = max(long / MM, 400.0) + 2 * MARGIN / MM, wide / MM - low + MARGIN / MM
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.3f}mm" height="{height:.3f}mm" '
        f'viewBox="{-MARGIN / MM:.3f} {-wide / MM - MARGIN / MM:.3f} {width:.3f} {height:.3f}" '
        'fill="none" stroke="#000" stroke-width="0.25" font-family="sans-serif">'
    )
    parts = [head, f"<title>{escape(_clean(text(Message('cut.svg_title', title=sheet.title))))}</title>"]
    for layer in dict.fromkeys(cut.layer for cut in sheet.cuts):
        own = [cut for cut in sheet.cuts if cut.layer == layer]
        parts.append(f'<g id="{layer}">{"".join(_path_svg(cut.outline / MM) for cut in own)}</g>')
    fibres = "".join(_path_svg(cut.fibre / MM, closed=False) for cut in sheet.cuts)
    parts.append(f'<g id="FIBRE" stroke="#888">{fibres}</g>')
    marks = "".join(_path_svg(np.array(_inside(c)), closed=False) for c in sheet.cuts if len(c.first_edge))
    parts.append(f'<g id="MARK" stroke="#00c">{marks}</g>')
    words = "".join(_text_svg(cut, text) for cut in sheet.cuts)
    parts.append(f'<g id="TEXT" fill="#555" stroke="none" text-anchor="middle">{words}</g>')
    parts.append(
        f'<g id="CHECK" stroke="#c00">{_path_svg(_check_square(sheet))}<text x="0" y="{-low - 8:.3f}" '
        f'font-size="8" fill="#c00" stroke="none">{escape(text(UNITS_NOTE))}</text></g></svg>'
    )
    return "".join(parts)


def _path_svg(points: FloatArray, *, closed: bool = True) -> str:
    moves = " L".join(f"{x:.3f},{-y:.3f}" for x, y in points.tolist())
    return f'<path d="M{moves}{" Z" if closed else ""}"/>'


def _text_svg(cut: Cut, text: Told) -> str:
    x, y = (cut.fibre / MM).mean(axis=0)
    height = _text_height(cut)
    return "".join(
        f'<text x="{x:.3f}" y="{-(y + (0.5 - 1.7 * k) * height):.3f}" font-size="{height * 1.3:.2f}">'
        f"{escape(_clean(text(words)))}</text>"
        for k, words in enumerate(cut.words)
    )


CUT_LIST_HEAD = (
    "section",
    "ply",
    "label",
    "material",
    "angle_deg",
    "turns",
    "flag_length_mm",
    "piece_length_mm",
    "width_butt_mm",
    "width_tip_mm",
    "piece_area_m2",
    "piece_mass_g",
    "start_clock_deg",
    "rolled_with",
    "drift_deg",
)


def cut_list(kits: Sequence[Kit]) -> str:
    """Every piece of some kits as CSV with a heading line, units in the names; one line a piece, in rolling order.

    Length and widths are those of the piece, so that each half of a split hoop has its own; the whole flag's length
    stands before them.
    """
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow(CUT_LIST_HEAD)
    for kit in kits:
        clock = np.degrees(section_clock(kit).start)
        for flag, start in zip(kit.flags, clock.tolist(), strict=True):
            table.writerows(_cut_lines(kit, flag, start))
    return out.getvalue()


def _cut_lines(kit: Kit, flag: KitFlag, start: float) -> Iterator[list[object]]:
    shape = flag.flag
    for piece in flag.pieces:
        butt, tip = piece.end_widths
        yield [
            _cell(kit.section),
            flag.number,
            _cell(piece.label),
            _cell(flag.ply.name),
            round(float(np.degrees(shape.angle)), 3),
            round(shape.turns, 4),
            f"{shape.length / MM:.1f}",
            f"{piece.length / MM:.1f}",
            f"{butt / MM:.1f}",
            f"{tip / MM:.1f}",
            f"{piece.area:.5f}",
            f"{to(piece.area * flag.ply.area_mass, 'g'):.2f}",
            f"{start:.0f}",
            flag.partner or "",
            f"{np.degrees(shape.drift):.2f}",
        ]


def _cell(words: str) -> str:
    """Words for a table cell; a leading sign that a spreadsheet would take for a formula is kept from it."""
    clean = _clean(words)
    return f"'{clean}" if clean[:1] in ("=", "+", "-", "@") else clean


def _clean(words: str) -> str:
    """One line of words without control characters."""
    return "".join(c if c.isprintable() else " " for c in words)


def _check_square(sheet: CutSheet) -> FloatArray:
    """(4, 2) [mm] corners, below the lowest roll."""
    low = min((b.y for b in sheet.bands), default=0.0) - MARGIN - CHECK
    side = CHECK / MM
    return np.array([[0.0, 0.0], [side, 0.0], [side, side], [0.0, side]]) + [0.0, low / MM]


def _text_height(cut: Cut) -> float:
    """[mm] so that two lines fit in the piece."""
    return float(np.clip(min(cut.size) / MM / 6.0, 2.5, 14.0))


def _inside(cut: Cut) -> tuple[list[float], list[float]]:
    """A line [mm] just inside the first edge, shorter than it, that marks the edge."""
    a, b = cut.first_edge[0] / MM, cut.first_edge[-1] / MM
    along = (b - a) / np.linalg.norm(b - a)
    inward = (cut.fibre / MM).mean(axis=0) - (a + b) / 2.0
    inward = inward - along * (inward @ along)
    inward = inward / np.linalg.norm(inward) * min(3.0, min(cut.size) / MM / 6.0)
    pull = 0.05 * (b - a)
    return (a + pull + inward).tolist(), (b - pull + inward).tolist()
