"""The faults of a whole tree, and a random choice among them."""

import hashlib
import re
from collections import Counter, defaultdict
from collections.abc import Callable
from pathlib import Path

from tests.mutants.fault import KINDS, Fault, read
from tests.mutants.python_sites import python_faults
from tests.mutants.table_sites import table_faults

PACKAGE = "src/polewright"
ROOMS = ("documents", "answers", "words", "workshop", "web", "api", "cli", "sheet", "bench", "shop")
LEFT_OUT = {"demo"}  # folders of examples: a workshop's own numbers, not ours


def room_of(path: str) -> str:
    """The folder under the package that a file belongs to."""
    return path.removeprefix(f"{PACKAGE}/").split("/")[0]


def all_faults(root: Path, rooms: tuple[str, ...] = ROOMS, files: str = "") -> list[Fault]:
    """Every fault of the rooms that exist, file by file, in the order of their names.

    files : regular expression found in the paths of the files wanted.
    """
    found: list[Fault] = []
    for room in rooms:
        for file in sorted((root / PACKAGE / room).rglob("*")):
            path = file.relative_to(root).as_posix()
            if LEFT_OUT & set(file.parts) or not re.search(files, path):
                continue
            if file.suffix == ".py":
                found += python_faults(path, read(root, path))
            elif file.suffix in {".json", ".toml"}:
                found += table_faults(path, read(root, path))
    return found


def drawn(faults: list[Fault], count: int, seed: int, texts: Callable[[str], str]) -> list[Fault]:
    """So many faults in equal shares of each kind, no two of one kind at one place; the same for the same seed.

    The draw goes by a number that the seed and the faulty line give, so that a change of the tree changes the draw only
    where it changes lines. Where a kind has too few, the others fill its share.

    texts : gives the text of a file by its path.
    """
    by_place: dict[tuple[str, str, int, int], list[Fault]] = defaultdict(list)
    for fault in faults:
        by_place[fault.place].append(fault)
    seen: Counter[str] = Counter()
    by_kind: dict[str, list[tuple[str, Fault]]] = defaultdict(list)
    for (path, kind, _, _), place in by_place.items():
        _, scope, line, _ = place[0].key(texts(path))
        where = "|".join((kind, scope, line, place[0].before))
        seen[where] += 1
        fault = min(place, key=lambda f: _lot(seed, where, f.after))
        by_kind[kind].append((_lot(seed, where, str(seen[where])), fault))
    lines = [[fault for _, fault in sorted(by_kind[kind], key=lambda each: each[0])] for kind in KINDS]
    taken = [fault for row in zip(*(_filled(line, count) for line in lines), strict=True) for fault in row if fault]
    return taken[:count]


def _lot(seed: int, where: str, which: str) -> str:
    return hashlib.sha256(f"{seed}|{where}|{which}".encode()).hexdigest()


def _filled(line: list[Fault], count: int) -> list[Fault | None]:
    return [*line[:count], *([None] * (count - len(line)))]
