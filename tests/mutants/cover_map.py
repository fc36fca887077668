"""Which tests run which lines: made once for a tree, kept in a cache folder outside it."""

import ast
import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
from collections import defaultdict
from dataclasses import dataclass, field
from pathlib import Path

from tests.mutants.fault import Fault, read
from tests.mutants.trees import Tree, files_of

WORD = re.compile(r"[a-z]\w*(?:\.\w+)+|\w+")
LEFT_OUT = ("tests/house/test_gates.py", "tests/house/test_benchmarks.py", "tests/mutants")


@dataclass(frozen=True, slots=True)
class Test:
    """One test as it ran while the map was made."""

    name: str
    seconds: float
    is_browser: bool

    @property
    def file(self) -> str:
        """The file that holds it."""
        return self.name.partition("::")[0]


@dataclass(slots=True)
class CoverMap:
    """Tests by the lines of each file, and by the words that stand in the statements they run."""

    tests: list[Test]
    lines: dict[str, dict[int, set[int]]]
    words: dict[str, set[int]] = field(default_factory=dict)

    def choice(self, fault: Fault) -> list[list[Test]]:
        """Tests that can notice a fault, in groups: those most likely to, and then those that may.

        A line of a function is seen by the tests that run it. A line outside runs when its file is loaded: it is
        seen by the tests that run a statement with one of its names, and failing that by those that use its file.
        """
        lines = self.lines.get(fault.path, {})
        if fault.names or not fault.scope:
            groups = [self.words.get(name, set()) for name in fault.names]
        else:
            groups = [set[int]().union(*(lines.get(n, set()) for n in range(fault.first, fault.last + 1)))]
        groups.append(set[int]().union(*lines.values()) if lines and (fault.names or not fault.scope) else set())
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


def tree_hash(root: Path) -> str:
    """What the map depends on: every file of the tree that tests or code can read."""
    digest = hashlib.sha256()
    for path in files_of(root):
        if not path.startswith("tests/mutants/"):
            digest.update(path.encode() + b"\0" + (root / path).read_bytes() + b"\0")
    return digest.hexdigest()[:16]


def cover_map(root: Path, cache: Path) -> CoverMap:
    """The map of this tree, read from the cache or made by one run of the tests under coverage."""
    folder = cache / f"map-{tree_hash(root)}"
    kept = folder / "map.json"
    if not kept.exists():
        for old in cache.glob("map-*"):
            shutil.rmtree(old)
        folder.mkdir(parents=True)
        tree = Tree.copied(root, cache / "tree-map")
        run_tests(tree, folder)
        kept.write_text(json.dumps(gathered(tree.root, folder)), encoding="utf-8")
    return read_map(root, json.loads(kept.read_text(encoding="utf-8")))


def run_tests(tree: Tree, folder: Path, tests: tuple[str, ...] = ("tests",), workers: int = 2) -> None:
    """Run tests in a tree with every line noted down under the name of its test."""
    source = tree.root / "src" / "polewright"
    environment = tree.environment() | {"POLEWRIGHT_MUTANT_MAP": str(folder), "POLEWRIGHT_MUTANT_SOURCE": str(source)}
    child = Path(__file__).parent / "child"
    environment["PYTHONPATH"] = os.pathsep.join([str(child), environment["PYTHONPATH"]])
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "tests.mutants.collect"]
    command += ["-n", str(workers), "--dist", "loadfile"] if workers > 1 else []
    command += [*tests, *(f"--ignore={path}" for path in LEFT_OUT if path not in tests)]
    subprocess.run(command, cwd=tree.root, env=environment, check=False)


def gathered(root: Path, folder: Path) -> dict[str, object]:
    """Tests that passed, and for each file of the package the tests of each line, from what the processes saved."""
    import coverage

    notes: dict[str, dict[str, object]] = {}
    workers = sorted(folder.glob("tests-gw*.json")) or sorted(folder.glob("tests-*.json"))
    for file in workers:
        for name, note in json.loads(file.read_text(encoding="utf-8")).items():
            if note.get("ended") == "passed":
                notes[name] = note
    by_context: dict[str, list[int]] = defaultdict(list)
    for i, (name, note) in enumerate(notes.items()):
        for context in (name, *note["fixtures"]):  # type: ignore[misc]
            by_context[context].append(i)
    lines: dict[str, dict[int, set[int]]] = defaultdict(lambda: defaultdict(set))
    for file in sorted(folder.glob("lines.*")):
        data = coverage.CoverageData(str(file))
        data.read()
        for measured in data.measured_files():
            if not measured.endswith(".py"):
                continue  # page templates run as code of their own, whose lines are not the file's
            path = Path(measured).relative_to(root).as_posix()
            for line, contexts in data.contexts_by_lineno(measured).items():
                for context in contexts:
                    lines[path][line].update(by_context.get(context, ()))
        file.unlink()
    return {
        "tests": [
            [name, round(float(str(note["seconds"])), 4), "browser" in note["marks"]]  # type: ignore[operator]
            for name, note in notes.items()
        ],
        "lines": {path: {n: sorted(t) for n, t in by.items() if t} for path, by in sorted(lines.items())},
    }


def read_map(root: Path, kept: dict[str, object]) -> CoverMap:
    """The map from its JSON, with the words of every statement beside it."""
    tests = [Test(str(n), float(s), bool(b)) for n, s, b in kept["tests"]]  # type: ignore[attr-defined]
    lines = {
        path: {int(n): set(t) for n, t in by.items()}
        for path, by in kept["lines"].items()  # type: ignore[attr-defined]
    }
    return CoverMap(tests, lines, _words(root, lines))


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
