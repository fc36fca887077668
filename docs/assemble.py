"""Write the pages of docs that are made from something else: `python docs/assemble.py`.

docs/api.md and docs/limits.md are put together from docs/api.d and docs/limits.d, docs/glossary.md from the table of terms.
"""

import sys
from pathlib import Path

from polewright.words import Reader
from polewright.words.terms import terms_text

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


GLOSSARY = ("# Words\n\nThe terms that the app, the papers, the documents and the code use, each for one thing. Made from "
            "the table of terms\n(`words/terms.py`) and the English catalogue by `docs/assemble.py`; in the app it is the page Words.\n")


def page(name: str) -> str:
    """The whole page: the glossary, or one put together from its parts in the order of the rooms."""
    if name == "glossary":
        return GLOSSARY + "".join(
            f"\n## {group}\n\n| term | meaning |\n|---|---|\n" + "".join(f"| {t.name} | {t.meaning} |\n" for t in terms)
            for group, terms in terms_text(Reader("en", "metric"))
        )

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
    """Write the pages."""
    for name in (*HEADS, "glossary"):
        (DOCS / f"{name}.md").write_text(page(name), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
