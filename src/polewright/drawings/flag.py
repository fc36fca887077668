"""A flag as it lies on the table: outline with its sizes, fibre, first edge, joints and labels."""

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.drawings.dimension import arrow, level, upright
from polewright.drawings.style import line, path, rect, svg, text
from polewright.shop.kit import KitFlag
from polewright.words.reader import Reader

__all__ = ["fibre_lines", "flag_drawing"]

SIDE, TOP = 74.0, 16.0
PHONE, HAND_SIDE = 362.0, 64.0  # width of a drawing in the hand, and what its dimensions take on either side
SPACING = 9.0  # between the fibre lines drawn


def flag_drawing(
    kit_flag: KitFlag, reader: Reader, *, paper: bool = False, width: float = 640.0, phone: bool = False
) -> str:
    """One flag to scale, butt end left, first edge down, seen from the outside of the tube, as SVG.

    Thin lines show the fibre; the thick line is the edge that goes on the mandrel first. In the hand the words under
    it stand in two lines.
    """
    flag = kit_flag.flag
    width, side = (PHONE, HAND_SIDE) if phone else (width, SIDE)
    scale = (width - 2.0 * side) / flag.length
    high = max(flag.width_butt, flag.width_tip) * scale
    base = TOP + high

    def at(points: FloatArray) -> list[tuple[float, float]]:
        return [(side + u * scale, base - w * scale) for u, w in np.asarray(points).tolist()]

    parts = [path(at(piece.outline), "outline", closed=True) for piece in kit_flag.pieces]
    for piece in kit_flag.pieces:
        parts += [path(at(run), "fibre") for run in fibre_lines(piece.outline, flag.angle, SPACING / scale)]
        parts.append(_label(at(piece.outline), piece.label))
    parts.append(line(side, base, width - side, base, "first"))
    parts += _sizes(kit_flag, (side, width - side), base, reader, phone=phone)
    return svg(width, base + (58.0 if phone else 42.0), parts, title=_in_words(kit_flag, reader), paper=paper)


def fibre_lines(outline: FloatArray, angle: float, spacing: float) -> list[FloatArray]:
    """Lines at the fibre's angle [rad] through a convex outline (n, 2) [m], `spacing` [m] apart; each (2, 2)."""
    along, normal = np.array([np.cos(angle), np.sin(angle)]), np.array([-np.sin(angle), np.cos(angle)])
    height, reach = outline @ normal, outline @ along
    count = int(np.clip(np.ptp(height) / spacing, 1, 400))
    out = []
    for k in range(count):
        level_ = height.min() + (k + 0.5) * np.ptp(height) / count
        cross = []
        for i in range(len(outline)):
            j = (i + 1) % len(outline)
            if (height[i] - level_) * (height[j] - level_) < 0.0:
                share = (level_ - height[i]) / (height[j] - height[i])
                cross.append(reach[i] + share * (reach[j] - reach[i]))
        if len(cross) == 2:
            out.append(np.array([c * along + level_ * normal for c in sorted(cross)]))
    return out


def _label(corners: list[tuple[float, float]], words: str) -> str:
    x = sum(c[0] for c in corners) / len(corners)
    y = sum(c[1] for c in corners) / len(corners)
    wide = 6.2 * len(words) + 8.0
    high = min(17.0, max(c[1] for c in corners) - min(c[1] for c in corners) - 3.0)
    return rect(x - wide / 2.0, y - high / 2.0, wide, max(high, 0.0), "knock") + text(x, y + 4.5, words, "mid strong")


def _sizes(kit_flag: KitFlag, ends: tuple[float, float], base: float, reader: Reader, *, phone: bool) -> list[str]:
    flag, (left, right) = kit_flag.flag, ends
    scale = (right - left) / flag.length
    sides = [
        upright(base - wide * scale, base, x, reader.bare(wide, "length", 1, 3), start=start, kind="dim small")
        for wide, x, start in ((flag.width_butt, left - 14.0, left), (flag.width_tip, right + 14.0, right))
    ]
    note = reader.say("drawing.flag.foot", unit=reader.unit("length"), note=_note(kit_flag))
    return [
        *sides,
        level(left, right, base + 24.0, reader.bare(flag.length, "length", 0, 2), start=base, kind="dim small"),
        text(left, base + 39.0, reader.say("drawing.flag.butt"), "cap small"),
        text(right, base + 39.0, reader.say("drawing.flag.tip"), "cap small end"),
        text((left + right) / 2.0, base + (54.0 if phone else 39.0), note, "cap small mid"),
        arrow((right, TOP - 6.0), (1.0, 0.0), 5.0),
        line(right - 26.0, TOP - 6.0, right - 4.0, TOP - 6.0, "hair"),
        text(right - 30.0, TOP - 2.5, reader.say("drawing.flag.along"), "cap small end"),
    ]


def _note(kit_flag: KitFlag) -> Message:
    """Where the joints are, or which edge is the first."""
    places = tuple(Message("drawing.flag.place", place=float(span.mean())) for span in kit_flag.joints)
    return Message("drawing.flag.joints", count=len(places), places=places) if places else Message("drawing.flag.first")


def _in_words(kit_flag: KitFlag, reader: Reader) -> str:
    flag = kit_flag.flag
    return reader.say(
        "drawing.flag.title",
        flag=kit_flag.number,
        material=kit_flag.ply.name,
        angle=flag.angle,
        length=flag.length,
        butt=flag.width_butt,
        tip=flag.width_tip,
        pieces=len(kit_flag.pieces),
    )
