"""Put the pages of docs/api.d and docs/limits.d together: `python docs/assemble.py` writes docs/api.md and limits.md."""

import sys
from pathlib import Path

DOCS = Path(__file__).parent
HEADS = {
    "api": "# Calling the core\n\nEach room's functions with plain values: SI and radians in, SI and radians out. Every "
           "block runs in the test suite\nand prints what is shown. Put together from `docs/api.d` by "
           "`docs/assemble.py`.\n",
    "limits": "# Limits\n\nWhat the model leaves out, room by room; where it matters it also stands beside the number. "
              "Put together from\n`docs/limits.d` by `docs/assemble.py`.\n\nPredicted strength and stiffness are no "
              "certification. Prove every pole on the bench; follow local codes and a licensed\nor competent person.\n",
}
ORDER = ("units", "materials", "wall", "wall-around", "exact-tube", "pole", "scatter", "find", "shop", "bench", "sheet",
         "store", "workshop", "web")


def page(name: str) -> str:
    """The whole page from its parts, in the order of the rooms."""
    def place(part: Path) -> tuple[int, str]:
        return (ORDER.index(part.stem) if part.stem in ORDER else len(ORDER), part.stem)

    parts = sorted((DOCS / f"{name}.d").glob("*.md"), key=place)
    lowered = [_lowered(part.read_text(encoding="utf-8")) for part in parts]
    return HEADS[name] + "".join("\n" + text.rstrip() + "\n" for text in lowered)


def _lowered(text: str) -> str:
    """Headings one level down, code left alone."""
    lines, inside = [], False
    for line in text.splitlines():
        inside ^= line.startswith("```")
        lines.append("#" + line if line.startswith("#") and not inside else line)
    return "\n".join(lines)


def main() -> int:
    """Write both pages."""
    for name in HEADS:
        (DOCS / f"{name}.md").write_text(page(name), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
