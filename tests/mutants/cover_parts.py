"""The map of tests and lines, made file by file of the tests and kept: only what changed is run anew.

A part holds what the tests of one file ran, with the texts of the source files as they then were. Where a source file
changed since, its lines are found again by comparing the texts; a new line belongs to the tests of its neighbours,
and a file under another name is known by its lines.
A part is made anew when its tests change, or when source files that it cannot know are imported by files that it ran.
Tests of the physics are left out: they do not run the rooms that are given faults.
"""

import difflib
import hashlib
import json
import os
import re
import subprocess
import sys
from collections import Counter, defaultdict
from functools import cache
from itertools import groupby
from pathlib import Path
from typing import Any

from tests.mutants.cover_map import CoverMap, read_map
from tests.mutants.drawing import PACKAGE, ROOMS
from tests.mutants.fault import read
from tests.mutants.trees import Tree, files_of

LEFT_OUT = ("tests/house/test_gates.py", "tests/house/test_benchmarks.py", "tests/house/test_wheel.py")
PHYSICS = ("materials", "wall", "pole", "scatter", "search", "mutants")
QUICK = "not slow and not browser and not postgres"
ALIKE = 0.6  # share of the lines that a renamed file has kept
ALL = "not browser and not postgres"

Part = dict[str, Any]


def cover_map(root: Path, cache_folder: Path, workers: int = 2, *, with_slow: bool = False, only: str = "") -> CoverMap:
    """The map of this tree: kept parts, and new ones for the tests that changed.

    only : regular expression found in the paths of the tests to ask.
    """
    folder = cache_folder / ("map-all" if with_slow else "map")
    folder.mkdir(parents=True, exist_ok=True)
    sources = _sources(root)
    stamps = {path: _stamp(root, path) for path in _test_files(root) if re.search(only, path)}
    kept = {path: part for path in stamps if (part := _kept(folder, path)) is not None}
    for part in kept.values():
        follow_renames(root, folder, part, sources)
    stale = [path for path, stamp in stamps.items() if _is_stale(root, kept.get(path), stamp, sources)]
    if stale:
        tree = Tree.copied(root, cache_folder / "tree-map")
        for path, digest in sources.items():
            (folder / f"{digest}.text").write_bytes((root / path).read_bytes())
        for _, batch in groupby(stale, key=lambda path: path.split("/")[1]):  # what is done is kept if this ends early
            paths = tuple(batch)
            run_tests(tree, folder, paths, workers, ALL if with_slow else QUICK)
            fresh = gathered(tree.root, folder)
            for path in paths:
                part = fresh.get(path, {"tests": [], "lines": {}}) | {"stamp": stamps[path], "sources": sources}
                _file_of(folder, path).write_text(json.dumps(part), encoding="utf-8")
                kept[path] = part
    return read_map(root, _joined(root, folder, kept, sources))


def _test_files(root: Path) -> list[str]:
    found = [p for p in files_of(root) if p.startswith("tests/") and Path(p).name.startswith("test_")]
    return [p for p in found if p.endswith(".py") and p not in LEFT_OUT and p.split("/")[1] not in PHYSICS]


def _sources(root: Path) -> dict[str, str]:
    paths = [p for p in files_of(root) if p.startswith(f"{PACKAGE}/") and p.endswith(".py")]
    return {p: _digest((root / p).read_bytes()) for p in paths if p.split("/")[2] in ROOMS}


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()[:16]


def _stamp(root: Path, path: str) -> str:
    """What a part depends on besides the package: its file and the files that help the tests of its folder."""
    folder = (root / path).parent
    helpers = [p for p in sorted(folder.glob("*.py")) if not p.name.startswith("test_")]
    texts = [p.read_bytes() for p in (root / path, *helpers, root / "tests" / "conftest.py") if p.exists()]
    return _digest(b"\0".join(texts))


def _file_of(folder: Path, path: str) -> Path:
    return folder / f"{path.replace('/', '~')}.json"


def _kept(folder: Path, path: str) -> Part | None:
    file = _file_of(folder, path)
    return json.loads(file.read_text(encoding="utf-8")) if file.exists() else None


def _is_stale(root: Path, part: Part | None, stamp: str, sources: dict[str, str]) -> bool:
    if part is None or part["stamp"] != stamp:
        return True
    fresh = [path for path in sources if path not in part["sources"]]
    return bool(set().union(*(_importers(root, path) for path in fresh)) & set(part["lines"])) if fresh else False


def follow_renames(root: Path, folder: Path, part: Part, sources: dict[str, str]) -> None:
    """Give the lines of a file that has another name now to that name."""
    gone = {path: digest for path, digest in part["sources"].items() if path not in sources}
    fresh = [path for path in sources if path not in part["sources"]]
    for path, digest in gone.items():
        old = (folder / f"{digest}.text").read_text(encoding="utf-8")
        likeness = {new: _likeness(old, read(root, new)) for new in fresh}
        new = max(likeness, key=lambda each: likeness[each], default="")
        if new and likeness[new] > ALIKE:
            fresh.remove(new)
            part["sources"][new] = part["sources"].pop(path)
            if path in part["lines"]:
                part["lines"][new] = part["lines"].pop(path)


@cache
def _likeness(old: str, new: str) -> float:
    """Share of the lines of two texts that stand in both."""
    before, after = Counter(old.splitlines()), Counter(new.splitlines())
    return 2.0 * (before & after).total() / max((before + after).total(), 1)


@cache
def _importers(root: Path, path: str) -> frozenset[str]:
    """Files of the package that import one of its files."""
    package, _, name = path.removeprefix("src/").removesuffix(".py").replace("/", ".").rpartition(".")
    pattern = re.compile(rf"{re.escape(package)}(\.{name}\b| import [^\n]*\b{name}\b| import \([^)]*\b{name}\b)")
    return frozenset(p for p in _sources(root) if p != path and pattern.search(read(root, p)))


def run_tests(tree: Tree, folder: Path, tests: tuple[str, ...], workers: int, marks: str) -> None:
    """Run tests in a tree with every line of the rooms noted down under the name of its test."""
    rooms = [tree.root / PACKAGE / room for room in ROOMS]
    source = os.pathsep.join(str(room) for room in rooms if room.exists())
    environment = tree.environment() | {"POLEWRIGHT_MUTANT_MAP": str(folder), "POLEWRIGHT_MUTANT_SOURCE": source}
    child = Path(__file__).parent / "child"
    environment["PYTHONPATH"] = os.pathsep.join([str(child), environment["PYTHONPATH"]])
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "tests.mutants.collect"]
    command += ["-n", str(workers), "--dist", "loadfile"] if workers > 1 else []
    subprocess.run([*command, "-m", marks, *tests], cwd=tree.root, env=environment, check=False)


def gathered(root: Path, folder: Path) -> dict[str, Part]:
    """For each file of tests, those that passed and the lines that each ran, from what the processes saved."""
    import coverage

    notes: dict[str, dict[str, Any]] = {}
    saved = list(folder.glob("tests-*.json"))
    for file in [f for f in saved if "-gw" in f.name] or saved:
        found = json.loads(file.read_text(encoding="utf-8"))
        notes |= {name: note for name, note in found.items() if note.get("ended") == "passed"}
    parts: dict[str, Part] = {}
    by_context: dict[str, list[tuple[Part, int]]] = defaultdict(list)
    for name, note in notes.items():
        part = parts.setdefault(name.partition("::")[0], {"tests": [], "lines": defaultdict(lambda: defaultdict(set))})
        for context in (name, *note["fixtures"]):
            by_context[context].append((part, len(part["tests"])))
        part["tests"].append([name, round(float(note["seconds"]), 4), "browser" in note["marks"]])
    for file in sorted(folder.glob("lines.*")):
        data = coverage.CoverageData(str(file))
        data.read()
        for measured in data.measured_files():
            if not measured.endswith(".py"):
                continue  # page templates run as code of their own, whose lines are not the file's
            path = Path(measured).relative_to(root).as_posix()
            for line, contexts in data.contexts_by_lineno(measured).items():
                for context in contexts:
                    for part, test in by_context.get(context, ()):
                        part["lines"][path][line].add(test)
        file.unlink()
    for file in saved:
        file.unlink()
    for part in parts.values():
        part["lines"] = {path: {n: sorted(t) for n, t in by.items()} for path, by in sorted(part["lines"].items())}
    return parts


def _joined(root: Path, folder: Path, parts: dict[str, Part], sources: dict[str, str]) -> dict[str, Any]:
    """All parts as one map of the tree as it is now."""
    tests: list[list[Any]] = []
    lines: dict[str, dict[int, set[int]]] = defaultdict(lambda: defaultdict(set))
    for part in parts.values():
        first = len(tests)
        tests += part["tests"]
        for path, by in part["lines"].items():
            if path not in sources:
                continue
            places = _places(root, folder, path, part["sources"][path], sources[path])
            for number, seen in by.items():
                for now in places.get(int(number), ()):
                    lines[path][now].update(first + i for i in seen)
    return {"tests": tests, "lines": lines}


@cache
def _places(root: Path, folder: Path, path: str, before: str, now: str) -> dict[int, tuple[int, ...]]:
    """Where each line of an older text stands in the text of now; lines in place of others stand for them all."""
    new = read(root, path).splitlines()
    if before == now:
        return {n: (n,) for n in range(1, len(new) + 1)}
    old = (folder / f"{before}.text").read_text(encoding="utf-8").splitlines()
    found: dict[int, tuple[int, ...]] = {}
    for kind, i, i_end, j, j_end in difflib.SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if kind == "equal":
            found |= {i + k + 1: (*found.get(i + k + 1, ()), j + k + 1) for k in range(i_end - i)}
        else:  # what is new belongs to the lines it replaces and to those beside it
            for k in range(max(i - 1, 0), min(i_end + 1, len(old))):
                found[k + 1] = (*found.get(k + 1, ()), *range(j + 1, j_end + 1))
    return found
