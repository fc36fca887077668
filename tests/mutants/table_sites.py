"""Where a table or a catalogue of texts can be given a fault: its units, quantities and numbers of decimals."""

import re

from tests.mutants.fault import Fault
from tests.mutants.unit_swaps import other_formats, other_units

PLACE = re.compile(r"\{\w+:([^{}]+)\}")
TEXT = re.compile(r'"([^"\\\n]+)"')
COUNT = re.compile(r'\b(?:digits|decimals|places|\w+_digits)"?\s*[:=]\s*(\d)\b')
KEY = re.compile(r'^\s*(?:"([^"]+)"\s*:|\["?([\w.]+)"?\]|\[\[?([\w.]+)\]\]?|([\w.]+)\s*=)')


def other_forms(form: str) -> list[str]:
    """Other ways to write a value at a place in a text: another quantity, unit or number of decimals."""
    head, _, own = form.partition("@")
    kind, _, rest = head.partition(".")
    found = [f"{other}{'.' + rest if rest else ''}{'@' + own if own else ''}" for other in other_units(kind)]
    found += [f"{head}@{other}" for other in (other_units(own) if own else [])]
    changed = other_formats(head) or other_formats(head.removesuffix(".bare"))
    tail = ".bare" if head.endswith(".bare") and not other_formats(head) else ""
    return found + [f"{each}{tail}{'@' + own if own else ''}" for each in changed]


def table_faults(path: str, text: str) -> list[Fault]:
    """Every wrong unit that one JSON or TOML table can be given; `names` are the keys that stand before it."""
    found: list[Fault] = []
    section: tuple[str, ...] = ()
    at = 0
    for number, line in enumerate(text.splitlines(keepends=True), 1):
        key = KEY.match(line)
        named = next((g for g in key.groups() if g), "") if key else ""
        if line.lstrip().startswith("["):
            section = (named,)
        for start, end, others in _places(line, has_words="/catalogues/" in path):
            found += [
                Fault(
                    path=path,
                    kind="wrong unit",
                    start=at + start,
                    end=at + end,
                    before=line[start:end],
                    after=other,
                    line=number,
                    first=number,
                    last=number,
                    names=tuple(n for n in (named, *section) if n),
                )
                for other in others
            ]
        at += len(line)
    return found


def _places(line: str, *, has_words: bool) -> list[tuple[int, int, list[str]]]:
    """Places of a line and what may stand there; a whole text of a catalogue is words for people, never a unit."""
    found = [(m.start(1), m.end(1), other_forms(m[1])) for m in PLACE.finditer(line)]
    texts = () if has_words else TEXT.finditer(line)
    found += [(m.start(1), m.end(1), other_units(m[1])) for m in texts if not line[m.end() :].startswith(":")]
    found += [
        (m.start(1), m.end(1), [str(n) for n in (int(m[1]) + 1, int(m[1]) - 1) if n >= 0]) for m in COUNT.finditer(line)
    ]
    return [each for each in found if each[2]]
