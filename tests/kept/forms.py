"""The figures of each text by its code, in both systems of units."""

import json
import string
from pathlib import Path

from polewright.units import QUANTITIES, display_unit, from_
from polewright.words import Reader
from polewright.words.forms import value_text
from tests.kept.figures import Place

CATALOGUES = Path(__file__).parents[2] / "src" / "polewright" / "words" / "catalogues"
SAMPLE = 12.3456789


def forms_of_texts(language: str) -> dict[str, Place]:
    """A sample at each place of each text, as metric pages and pages in inches write it."""
    texts = json.loads((CATALOGUES / f"{language}.json").read_text(encoding="utf-8"))
    found: dict[str, Place] = {}
    for code, text in texts.items():
        for n, form in enumerate([text] if isinstance(text, str) else next(iter(text.values()))):
            for _, name, wanted, _ in string.Formatter().parse(form) if code else ():
                kind = (wanted or "").partition(".")[0].partition("@")[0]
                if wanted and (kind in QUANTITIES or kind in ("number", "percent")):
                    written = [value_text(_sample(kind), wanted, Reader("en", system)) for system in ("metric", "inch")]
                    found[f"{code}[{n}].{name}" if n else f"{code}.{name}"] = " | ".join(written)
    return found


def _sample(kind: str) -> float:
    """A figure of the size that its quantity has in a workshop."""
    return from_(SAMPLE, display_unit(kind, "metric")) if kind in QUANTITIES else SAMPLE / 100.0
