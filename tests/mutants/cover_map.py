"""Which tests run which lines, and which of them can notice a fault."""

import ast
import re
from collections import defaultdict
from dataclasses import dataclass, field
from pathlib import Path
from typing import ClassVar

from tests.mutants.fault import Fault, read

IMPORTED = re.compile(r"^from (polewright[\w.]*) import", re.MULTILINE)
QUOTED = re.compile(r'"(\w+)"')
TABLES = ("limits of documents", "choices of documents", "options of commands", "forms of texts")
"""Kept tables of what schemas, the API's own description, commands and catalogues say."""
WORD = re.compile(r"[a-z]\w*(?:\.\w+)+|\w+")


@dataclass(frozen=True, slots=True)
class Test:
    """One test as it ran while the map was made."""

    __test__: ClassVar = False  # for pytest
    name: str
    seconds: float
    is_browser: bool

    @property
    def file(self) -> str:
        """The file that holds it."""
        return self.name.partition("::")[0]

    @property
    def keeps_a_table(self) -> bool:
        """Whether it keeps a whole table, such as the limits of every field: of what stands outside functions."""
        return self.file.startswith("tests/kept/") and any(table in self.name for table in TABLES)


@dataclass(slots=True)
class CoverMap:
    """Tests by the lines of each file, and by the words that stand in the statements they run."""

    tests: list[Test]
    lines: dict[str, dict[int, set[int]]]
    words: dict[str, set[int]] = field(default_factory=dict)
    readers: dict[str, set[int]] = field(default_factory=dict)
    importers: dict[str, set[int]] = field(default_factory=dict)

    def choice(self, fault: Fault) -> list[list[Test]]:
        """Tests that can notice a fault, in groups: those most likely to, and then those that may.

        A line of a function is seen by the tests that run it. A line outside runs when its file is loaded: it is
        seen by the tests that run a statement with one of its names, those whose file imports it, and those that use
        its file. A table is seen by the tests that use the code which names its folder. What stands in the head of a
        function, or outside of any, is seen by the tests that keep whole tables.
        """
        lines = self.lines.get(fault.path, {})
        if fault.names or not fault.scope:
            groups = [self.words.get(name, set()) for name in fault.names]
            groups.append(self.importers.get(fault.path, set()))
        else:
            groups = [set[int]().union(*(lines.get(n, set()) for n in range(fault.first, fault.last + 1)))]
        if not fault.path.endswith(".py"):
            groups.append(self.readers.get(fault.path.split("/")[-2], set()))
        groups.append(set[int]().union(*lines.values()) if lines and (fault.names or not fault.scope) else set())
        if not any(groups):  # run in a process that ended before it could save what it ran
            folder = fault.path.rpartition("/")[0]
            beside = [by for path, by in self.lines.items() if path.rpartition("/")[0] == folder]
            groups.append(set[int]().union(*(tests for by in beside for tests in by.values())))
        if not fault.is_in_body:
            groups.append({i for i, test in enumerate(self.tests) if test.keeps_a_table})
        seen: set[int] = set()
        chosen = []
        for group in groups:
            fresh = self._without_browser(group, seen)
            seen |= group
            if fresh:
                chosen.append(sorted((self.tests[i] for i in fresh), key=lambda t: (t.seconds, t.name)))
        return chosen

    def _without_browser(self, group: set[int], seen: set[int]) -> set[int]:
        fresh = group - seen
        in_process = {i for i in fresh if not self.tests[i].is_browser}
        return in_process or (fresh if not seen else set())


def read_map(root: Path, kept: dict[str, object]) -> CoverMap:
    """The map from its JSON, with the words of every statement beside it."""
    tests = [Test(str(n), float(s), bool(b)) for n, s, b in kept["tests"]]  # type: ignore[attr-defined]
    lines = {
        path: {int(n): set(t) for n, t in by.items()}
        for path, by in kept["lines"].items()  # type: ignore[attr-defined]
    }
    return CoverMap(tests, lines, _words(root, lines), _readers(root, lines), _importers(root, tests))


def _importers(root: Path, tests: list[Test]) -> dict[str, set[int]]:
    """Tests by the files of the package that their own file imports."""
    found: dict[str, set[int]] = defaultdict(set)
    by_file: dict[str, set[int]] = defaultdict(set)
    for i, test in enumerate(tests):
        by_file[test.file].add(i)
    for file, own in by_file.items():
        for module in IMPORTED.findall(read(root, file) if (root / file).exists() else ""):
            found[f"src/{module.replace('.', '/')}.py"] |= own
    return found


def _readers(root: Path, lines: dict[str, dict[int, set[int]]]) -> dict[str, set[int]]:
    """Tests of the files that name a folder in quotes, by the folder."""
    found: dict[str, set[int]] = defaultdict(set)
    for path, by_line in lines.items():
        for folder in set(QUOTED.findall(read(root, path))):
            found[folder] |= set().union(*by_line.values())
    return found


def _words(root: Path, lines: dict[str, dict[int, set[int]]]) -> dict[str, set[int]]:
    """Tests by the words of the statements in functions that they run, and through names given outside functions."""
    found: dict[str, set[int]] = defaultdict(set)
    outside: list[tuple[set[str], set[str]]] = []
    for path, by_line in lines.items():
        text = read(root, path)
        rows = text.splitlines()
        for first, last, is_inside, names in _statements(ast.parse(text)):
            words = {w for row in rows[first - 1 : last] for w in WORD.findall(row)}
            if is_inside:
                tests = set[int]().union(*(by_line.get(n, set()) for n in range(first, last + 1)))
                for word in words:
                    found[word] |= tests
            elif names:
                outside.append((words, names))
    for _ in range(3):
        for words, names in outside:
            tests = set[int]().union(*(found.get(name, set()) for name in names))
            for word in words - names if tests else ():
                if word in found or "_" in word or "." in word or len(word) > 4:
                    found[word] |= tests
    return found


def _statements(tree: ast.Module) -> list[tuple[int, int, bool, set[str]]]:
    """First line, last line, whether in a function, and the names it gives outside one, of every statement."""
    found: list[tuple[int, int, bool, set[str]]] = []

    def walk(body: list[ast.stmt], is_inside: bool) -> None:
        for node in body:
            inner = [getattr(node, name, []) for name in ("body", "orelse", "finalbody")]
            inner += [h.body for h in getattr(node, "handlers", [])] + [c.body for c in getattr(node, "cases", [])]
            is_function = isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
            if not is_function and not isinstance(node, ast.ClassDef):
                first_inner = min((b[0].lineno for b in inner if b), default=None)
                last = (node.end_lineno or node.lineno) if first_inner is None else max(node.lineno, first_inner - 1)
                targets = getattr(node, "targets", None) or ([node.target] if hasattr(node, "target") else [])
                names = {n.id for t in targets for n in ast.walk(t) if isinstance(n, ast.Name)}
                found.append((node.lineno, last, is_inside, names))
            for each in inner:
                walk(each, is_inside or is_function)

    walk(tree.body, False)
    return found
