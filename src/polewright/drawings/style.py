"""The look of every drawing: inks, papers and hatches as CSS classes, and the few SVG marks that drawings are made of.

On a screen the classes take their colours from CSS variables, so that light, dark and print are one drawing. On
paper the same rules stand inside the drawing with their colours written out.
"""

import re
from collections.abc import Mapping
from html import escape

__all__ = [
    "DARK",
    "LIGHT",
    "PRINT",
    "RULES",
    "embedded_style",
    "escaped",
    "line",
    "number",
    "path",
    "rect",
    "screen_css",
    "svg",
    "text",
]

LIGHT: Mapping[str, str] = {
    "paper": "#f7f2e8",
    "sheet": "#fffdf8",
    "ink": "#23272c",
    "soft": "#6a655c",
    "rule": "#d3cabb",
    "faint": "#b9b2a4",
    "look": "#b8391a",
    "carbon": "#e6e2d8",
    "glass": "#eef3f0",
    "aramid": "#f3ead0",
    "other": "#f0edf2",
}
DARK: Mapping[str, str] = {
    "paper": "#1c1e20",
    "sheet": "#222528",
    "ink": "#ece7db",
    "soft": "#a8a295",
    "rule": "#3b3e41",
    "faint": "#6b6a66",
    "look": "#ff8a66",
    "carbon": "#2f3235",
    "glass": "#2b3331",
    "aramid": "#38331f",
    "other": "#332f36",
}
PRINT: Mapping[str, str] = {
    "paper": "#ffffff",
    "sheet": "#ffffff",
    "ink": "#16191c",
    "soft": "#55514a",
    "rule": "#c9c1b3",
    "faint": "#a39c8e",
    "look": "#b8391a",
    "carbon": "#e4e0d7",
    "glass": "#f1f5f3",
    "aramid": "#f6efda",
    "other": "#f3f0f5",
}

RULES = """
.dw text{fill:var(--ink);font-family:"Barlow Semi Condensed",Barlow,sans-serif;font-size:13px}
.dw text{font-stretch:semi-condensed}
.dw .cap{fill:var(--soft);font-size:12px}
.dw .small{font-size:10.5px}
.dw .dim{font-size:15px;font-weight:600}
.dw .strong{font-weight:600}
.dw .mid{text-anchor:middle}
.dw .end{text-anchor:end}
.dw .line{fill:none;stroke:var(--ink);stroke-width:1.2}
.dw .thin{fill:none;stroke:var(--ink);stroke-width:.7}
.dw .hair{fill:none;stroke:var(--soft);stroke-width:.5}
.dw .datum{fill:none;stroke:var(--soft);stroke-width:.8;stroke-dasharray:14 4 2 4}
.dw .ghost{fill:none;stroke:var(--faint);stroke-width:2.4;stroke-dasharray:2 3}
.dw .tube{fill:none;stroke:var(--ink)}
.dw .clamp{fill:none;stroke:var(--ink);stroke-width:3}
.dw .fix,.dw .prop{fill:none;stroke:var(--ink);stroke-width:1.2}
.dw .arrow{fill:var(--ink);stroke:none}
.dw .knock{fill:var(--sheet);stroke:none}
.dw .look{fill:var(--look)}
.dw .lookline{fill:none;stroke:var(--look);stroke-width:1.4}
.dw .fibre{fill:none;stroke:var(--soft);stroke-width:.6}
.dw .first{fill:none;stroke:var(--ink);stroke-width:2.4}
.dw .outline{fill:var(--sheet);stroke:var(--ink);stroke-width:1}
.dw .carbon{fill:var(--carbon)}
.dw .glass{fill:var(--glass)}
.dw .aramid{fill:var(--aramid)}
.dw .other{fill:var(--other)}
.dw .dot{fill:var(--ink);stroke:none}
.dw .share{fill:var(--rule);stroke:var(--ink);stroke-width:.8}
.dw .joint-share{fill:var(--ink)}
"""


def screen_css() -> str:
    """Style sheet for drawings on a page that sets the colour variables (light, dark and print)."""
    return RULES.strip()


def embedded_style(inks: Mapping[str, str] = PRINT) -> str:
    """The same rules with colours written out, as a style element for a drawing that stands alone."""
    return f"<style>{re.sub(r'var[(]--([a-z]+)[)]', lambda m: inks[m.group(1)], RULES).strip()}</style>"


def escaped(words: object) -> str:
    """Words safe inside SVG text and attributes; characters that XML forbids are dropped."""
    clean = "".join(
        c
        for c in str(words)
        if c in "\t\n" or (ord(c) >= 32 and not 0xD800 <= ord(c) <= 0xDFFF and ord(c) not in (0xFFFE, 0xFFFF))
    )
    return escape(clean, quote=True)


def number(value: float) -> str:
    """A coordinate with at most two decimals and no trailing zeros."""
    short = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if short == "-0" else short


def text(x: float, y: float, words: object, kind: str = "") -> str:
    """Words set at a point; `kind` holds the classes."""
    return f'<text x="{number(x)}" y="{number(y)}"{_class(kind)}>{escaped(words)}</text>'


def line(x1: float, y1: float, x2: float, y2: float, kind: str = "thin") -> str:
    """A straight line between two points."""
    ends = " ".join(f'{k}="{number(v)}"' for k, v in zip(("x1", "y1", "x2", "y2"), (x1, y1, x2, y2), strict=True))
    return f"<line {ends}{_class(kind)}/>"


def rect(x: float, y: float, width: float, height: float, kind: str = "thin") -> str:
    """A rectangle by its upper left corner."""
    return f'<rect x="{number(x)}" y="{number(y)}" width="{number(width)}" height="{number(height)}"{_class(kind)}/>'


def path(points: list[tuple[float, float]], kind: str = "line", *, closed: bool = False) -> str:
    """A polyline through points, or a closed outline."""
    moves = " L".join(f"{number(x)},{number(y)}" for x, y in points)
    return f'<path d="M{moves}{" Z" if closed else ""}"{_class(kind)}/>'


def svg(width: float, height: float, parts: list[str], *, title: str, paper: bool = False) -> str:
    """A whole drawing in its own units, described in words for those who cannot see it.

    With `paper` the colours are written into the drawing, so that it can stand in a PDF or a file of its own.
    """
    style = embedded_style() if paper else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {number(width)} {number(height)}" '
        f'width="{number(width)}" height="{number(height)}" class="dw" role="img" aria-label="{escaped(title)}">'
        f"<title>{escaped(title)}</title>{style}{''.join(parts)}</svg>"
    )


def _class(kind: str) -> str:
    return f' class="{kind}"' if kind else ""
