"""The wall as a cut from bore to skin: one stripe a turn, hatched with its fibre, its family told by tone and label."""

from collections.abc import Iterator

import numpy as np

from polewright.codes import Message
from polewright.conventions.rounding import whole_turns
from polewright.drawings.style import escaped, line, number, rect, svg, text
from polewright.units import to
from polewright.wall.stack import Stack, StackPly
from polewright.words.reader import Reader

__all__ = ["family_class", "hatch", "hatch_pattern", "wall_drawing"]

LEAST, TALLEST = 9.0, 210.0  # of a stripe, of the whole wall
PER_MM = 150.0  # drawing units a millimetre of wall, while the wall fits
TOP = 18.0
FAMILIES = ("carbon", "glass", "aramid")


def wall_drawing(
    stack: Stack, reader: Reader, *, paper: bool = False, width: float = 340.0, stripe: float = 190.0, key: str = "wall"
) -> str:
    """The cut through the wall of one tube, bore at the top, skin at the bottom, as SVG.

    Dots are fibres seen end on, round the tube; lines run along it; slanted lines are bias plies at their angle; a
    weave has both ways. Thin plies are drawn thicker than to scale. `stripe` of the `width` is wall, the rest labels;
    `key` keeps the hatches of several drawings on one page apart.
    """
    heights = _heights(stack)
    bottom = TOP + sum(sum(own) for own in heights)
    names = dict.fromkeys(hatch(stack_ply) for stack_ply in stack.plies)
    parts = [
        f"<defs>{''.join(hatch_pattern(name, f'{key}-{name}') for name in names)}</defs>",
        text(0.0, 11.0, reader.say("drawing.wall.bore"), "cap"),
        text(0.0, bottom + 14.0, reader.say("drawing.wall.skin"), "cap"),
    ]
    y = TOP
    for place, (stack_ply, own) in enumerate(zip(stack.plies, heights, strict=True)):
        stripes = "".join(_stripe(stack_ply, top, high, stripe, key) for top, high in _tops(y, own))
        parts.append(f'<g class="ply" data-ply="{place}">{stripes}</g>')
        y += sum(own)
    parts += _labels(stack, heights, stripe, reader)
    return svg(width, bottom + 18.0, parts, title=_in_words(stack, reader), paper=paper)


def hatch(stack_ply: StackPly) -> str:
    """Name of the hatch of a ply: hoop, axial, weave, or its angle as p45 and m45 for plus and minus."""
    degrees = round(float(np.degrees(stack_ply.angle)))
    if stack_ply.ply.is_woven:
        return "weave" if abs(degrees) < 23 or abs(degrees) > 67 else "weave45"
    if stack_ply.angle_class == "hoop":
        return "hoop"
    return "axial" if abs(degrees) <= 8 else f"{'p' if degrees > 0 else 'm'}{abs(degrees)}"


def hatch_pattern(name: str, identity: str) -> str:
    """SVG pattern of a hatch by its name."""
    dot, along = '<circle cx="3.5" cy="3" r="1.05" class="dot"/>', '<path d="M0,2.5 h9" class="fibre"/>'
    if name == "hoop":
        return _pattern(identity, 7.0, 6.0, dot)
    if name == "axial":
        return _pattern(identity, 9.0, 5.0, along)
    if name == "weave":
        return _pattern(identity, 7.0, 6.0, f'<path d="M0,0.5 h7" class="fibre"/>{dot}')
    if name == "weave45":
        return _pattern(identity, 6.0, 6.0, '<path d="M0,3 h6 M3,0 v6" class="fibre"/>', turn=45.0)
    turn = float(name[1:]) * (-1.0 if name[0] == "p" else 1.0)
    return _pattern(identity, 9.0, 5.0, along, turn=turn)


def family_class(family: str) -> str:
    """Class of the ground tone of a fibre family."""
    return family if family in FAMILIES else "other"


def _pattern(identity: str, width: float, height: float, marks: str, turn: float = 0.0) -> str:
    turned = f' patternTransform="rotate({number(turn)})"' if turn else ""
    return (
        f'<pattern id="{escaped(identity)}" width="{number(width)}" height="{number(height)}" '
        f'patternUnits="userSpaceOnUse"{turned}>{marks}</pattern>'
    )


def _heights(stack: Stack) -> list[list[float]]:
    """Height of every turn of every ply; a wall of very many turns shows each ply as one stripe."""
    turns = [_turns(stack_ply) for stack_ply in stack.plies]
    if sum(map(len, turns)) > 40:
        turns = [[stack_ply.thickness] for stack_ply in stack.plies]
    scale = min(PER_MM, TALLEST / to(stack.thickness, "mm"))
    least = min(LEAST, TALLEST / sum(map(len, turns)))
    return [[max(least, to(t, "mm") * scale) for t in own] for own in turns]


def _turns(stack_ply: StackPly) -> list[float]:
    whole = whole_turns(stack_ply.turns)
    rest = stack_ply.turns - whole
    return [stack_ply.ply.thickness] * whole + ([stack_ply.ply.thickness * rest] if rest > 1e-9 else [])


def _tops(y: float, heights: list[float]) -> Iterator[tuple[float, float]]:
    for high in heights:
        yield y, high
        y += high


def _stripe(stack_ply: StackPly, y: float, high: float, wide: float, key: str) -> str:
    box = f'x="0.5" y="{number(y)}" width="{number(wide)}" height="{number(high)}"'
    return (
        f'<rect {box} class="{family_class(stack_ply.ply.family)}"/>'
        f'<rect {box} fill="url(#{escaped(key)}-{hatch(stack_ply)})"/>{rect(0.5, y, wide, high, "thin")}'
    )


def _labels(stack: Stack, heights: list[list[float]], stripe: float, reader: Reader) -> list[str]:
    """One label a ply, pushed apart where stripes are thin, each tied to its stripe by a hair line."""
    out, y, free = [], TOP, 0.0
    for place, (stack_ply, own) in enumerate(zip(stack.plies, heights, strict=True), start=1):
        middle = y + sum(own) / 2.0
        at = max(middle, free)
        out += [
            line(stripe + 1.5, middle, stripe + 12.0, at, "hair"),
            text(stripe + 16.0, at + 4.0, reader.text(_label(stack_ply, place))),
        ]
        free, y = at + 15.0, y + sum(own)
    return out


def _label(stack_ply: StackPly, place: int) -> Message:
    code = "drawing.wall.ply" if stack_ply.turns == 1 else "drawing.wall.ply_of_turns"
    return Message(code, place=place, material=stack_ply.ply.name, angle=stack_ply.angle, turns=stack_ply.turns)


def _in_words(stack: Stack, reader: Reader) -> str:
    plies = tuple(
        Message("drawing.wall.ply_in_words", material=w.ply.name, angle=w.angle, turns=w.turns) for w in stack.plies
    )
    return reader.say("drawing.wall.title", plies=plies)
