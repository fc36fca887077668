"""Draw docs/img/house.svg, the rooms of the package and who imports whom: `python docs/house_picture.py`.

The rooms and their order come from the layers in pyproject.toml, what each is for from its docstring, the arrows from
the import statements of its files.
"""

import ast
import sys
import tomllib
from pathlib import Path
from xml.sax.saxutils import escape

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "src" / "polewright"
PICTURE = ROOT / "docs" / "img" / "house.svg"
STEP, TOP, NAME, PURPOSE = 26, 100, 110, 630  # [px] row, above the first row, columns of names and of purposes
MOST = 100  # characters of a purpose


def levels() -> list[list[str]]:
    """The rooms of each layer, the topmost first, as import-linter holds them."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    (layers,) = [c["layers"] for c in project["tool"]["importlinter"]["contracts"] if c["type"] == "layers"]
    return [layer.split(" | ") for layer in layers]


def files(room: str) -> list[Path]:
    """The files of a room: those of a package, or one module."""
    return sorted((PACKAGE / room).rglob("*.py")) or [PACKAGE / f"{room}.py"]


def imported(room: str, rooms: set[str]) -> set[str]:
    """The other rooms that the files of a room import."""
    names: set[str] = set()
    for file in files(room):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                names |= {name.name for name in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module:
                names |= {node.module, *(f"{node.module}.{name.name}" for name in node.names)}
    found = {parts[1] for parts in (name.split(".") for name in names) if parts[0] == "polewright" and len(parts) > 1}
    return (found & rooms) - {room}


def purpose(room: str) -> str:
    """First sentence of a room's docstring, without marks of code."""
    text = ast.get_docstring(ast.parse(files(room)[0].read_text(encoding="utf-8"))) or ""
    first = " ".join(text.split("\n\n")[0].split()).replace("`", "")
    return first if len(first) <= MOST else f"{first[: first.rindex(' ', 0, MOST)]} ..."


def picture() -> str:
    """The whole SVG: one row and one column a room; a dot where the room of the row imports that of the column."""
    rooms = [room for level in levels() for room in level]
    right, down = NAME + PURPOSE + STEP * len(rooms), TOP + STEP * len(rooms)
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {right + 40} {down + 12}" role="img" '
        'font-family="sans-serif" font-size="13">',
        "<title>The rooms of Polewright; a dot: the room of the row imports the room of the column</title>",
        f'<rect width="{right + 40}" height="{down + 12}" fill="#fff"/>',
    ]
    row = 0
    for level in levels():
        y = TOP + STEP * row
        out.append(f'<path d="M8 {y}H{right}" stroke="#bbb"/>')
        for room in level:
            y = TOP + STEP * row
            out.append(f'<text x="12" y="{y + 18}" font-weight="600">{escape(room)}</text>')
            out.append(f'<text x="{NAME}" y="{y + 18}" fill="#444">{escape(purpose(room))}</text>')
            x = NAME + PURPOSE + STEP * row + STEP / 2
            out.append(f'<text transform="translate({x + 4:g} {TOP - 8}) rotate(-60)">{escape(room)}</text>')
            out.append(f'<rect x="{x - 5:g}" y="{y + 8}" width="10" height="10" fill="#ccc"/>')
            for other in sorted(imported(room, set(rooms)), key=rooms.index):
                across = NAME + PURPOSE + STEP * rooms.index(other) + STEP / 2
                out.append(f'<circle cx="{across:g}" cy="{y + 13}" r="5" fill="#1b4f72"/>')
            row += 1
    out.append(f'<path d="M8 {down}H{right}" stroke="#bbb"/>')
    return "\n".join([*out, "</svg>", ""])


if __name__ == "__main__":
    sys.stdout.write(f"{PICTURE.relative_to(ROOT)}\n")
    PICTURE.write_text(picture(), encoding="utf-8")
