"""The files of the kept figures: numbers of answers by their place, rows of figures of texts."""

import json
from pathlib import Path

from tests.kept.figures import Place, Row

FOLDER = Path(__file__).parent / "data"


def _file(name: str, ending: str) -> Path:
    return FOLDER / f"{name.replace(' ', '-').replace('/', '-').replace('?', '-').replace('=', '-')}.{ending}"


def kept_answer(name: str) -> dict[str, Place]:
    """Numbers by their place."""
    found: dict[str, dict[str, Place]] = json.loads(_file(name, "json").read_text(encoding="utf-8"))
    return {f"{place}{own}": value for place, values in found.items() for own, value in values.items()}


def keep_answer(name: str, numbers: dict[str, Place]) -> None:
    """Write the numbers, those of one value in one line."""
    by_value: dict[str, dict[str, Place]] = {}
    for place, value in numbers.items():
        cut = place.find(": ") if ": " in place else place.rfind("]", 0, place.rfind(".")) + 1 or place.rfind(".")
        cut = max(cut, 0)
        by_value.setdefault(place[:cut], {})[place[cut:]] = value
    lines = ",\n".join(f"{json.dumps(value)}: {json.dumps(own)}" for value, own in by_value.items())
    FOLDER.mkdir(exist_ok=True)
    _file(name, "json").write_text(f"{{\n{lines}\n}}\n", encoding="utf-8")


def kept_text(name: str) -> list[Row]:
    """Rows of figures."""
    return [tuple(line.split(" ; ")) for line in _file(name, "txt").read_text(encoding="utf-8").splitlines()]


def keep_text(name: str, rows: list[Row]) -> None:
    """Write the figures, a row a line."""
    FOLDER.mkdir(exist_ok=True)
    _file(name, "txt").write_text("".join(f"{' ; '.join(row)}\n" for row in rows), encoding="utf-8")
