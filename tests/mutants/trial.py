"""One fault tried: planted in a copy of the tree, with the tests that can notice it run until one of them fails."""

import json
import os
import queue
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

from tests.mutants.cover_map import CoverMap, Test
from tests.mutants.fault import Fault
from tests.mutants.trees import Tree

FIRST_FILES, FIRST_TESTS, FIRST_SECONDS = 6, 40, 8.0  # what is tried first, for most faults are noticed at once
START = 25.0  # [s] allowed for a process of tests to start before its own time counts


@dataclass(frozen=True, slots=True)
class Outcome:
    """How one fault fared. `by` names the test that failed, or what else went wrong; None where nothing did."""

    fault: Fault
    by: str | None
    tests: int
    seconds: float
    is_cut_short: bool = False
    is_uncovered: bool = False

    @property
    def is_noticed(self) -> bool:
        """Whether anything failed."""
        return self.by is not None


@dataclass(slots=True)
class Bench:
    """Copies of the tree, one a worker, and what is known of tests that fail without any fault."""

    original: Path
    cover: CoverMap
    trees: "queue.Queue[Tree]"
    seconds: float = 120.0
    unsound: dict[str, bool] = field(default_factory=dict)
    lock: threading.Lock = field(default_factory=threading.Lock)

    @classmethod
    def set_up(cls, root: Path, cache: Path, cover: CoverMap, workers: int, seconds: float) -> "Bench":
        """A fresh copy of the tree for every worker."""
        trees: queue.Queue[Tree] = queue.Queue()
        for i in range(workers):
            trees.put(Tree.copied(root, cache / f"tree-{i}"))
        return cls(root, cover, trees, seconds)

    def try_all(self, faults: Iterable[Fault], told: Callable[[Outcome], None]) -> list[Outcome]:
        """Every fault tried, as many at once as there are copies; `told` hears of each as it ends."""

        def one(fault: Fault) -> Outcome:
            outcome = self.try_one(fault)
            with self.lock:
                told(outcome)
            return outcome

        with ThreadPoolExecutor(self.trees.qsize()) as pool:
            return list(pool.map(one, faults))

    def try_one(self, fault: Fault) -> Outcome:
        """One fault tried in a free copy of the tree."""
        begun, groups = time.monotonic(), self.cover.choice(fault)
        if not groups:
            return Outcome(fault, None, 0, 0.0, is_uncovered=True)
        tree = self.trees.get()
        try:
            by, ran, cut = self._until_noticed(tree, fault, groups)
        finally:
            self.trees.put(tree)
        return Outcome(fault, by, ran, time.monotonic() - begun, cut)

    def _until_noticed(self, tree: Tree, fault: Fault, groups: list[list[Test]]) -> tuple[str | None, int, bool]:
        first = first_tests(groups[0])
        begun, ran, is_cut_short, done = time.monotonic(), 0, False, set(first)
        rest = [test for group in groups for test in by_file(group) if test not in done]
        for batch in (first, rest):
            waiting = [t for t in batch if not self.unsound.get(t.name)]
            while waiting:
                left = self.seconds - (time.monotonic() - begun)
                if left <= 0.0:
                    return None, ran, True
                tree.plant(fault)
                try:
                    by, count, cut = run(tree, waiting, left)
                finally:
                    tree.heal(fault, self.original)
                ran, is_cut_short = ran + count, is_cut_short or cut
                if by is None:
                    break
                if self._is_sound(tree, by, waiting):
                    return by, ran, False
                waiting = [t for t in waiting if not self.unsound.get(t.name)]
        return None, ran, is_cut_short

    def _is_sound(self, tree: Tree, name: str, tests: list[Test]) -> bool:
        """Whether the test that failed passes when nothing is planted; each is asked once."""
        test = next((t for t in tests if t.name == name), None)
        if test is None:
            return True  # the fault keeps files from being loaded, or tests from ending
        if name not in self.unsound:
            self.unsound[name] = run(tree, [test], 120.0)[0] is not None
        return not self.unsound[name]


def first_tests(tests: list[Test]) -> list[Test]:
    """The fastest tests out of a few files."""
    files: list[str] = []
    chosen: list[Test] = []
    spent = 0.0
    for test in tests:
        if test.file not in files and len(files) == FIRST_FILES:
            continue
        if chosen and (len(chosen) == FIRST_TESTS or spent + test.seconds > FIRST_SECONDS):
            break
        if test.file not in files:
            files.append(test.file)
        chosen.append(test)
        spent += test.seconds
    return by_file(chosen)


def by_file(tests: list[Test]) -> list[Test]:
    """File by file, so that what a file sets up is set up once; the file with the quickest test first."""
    quickest: dict[str, float] = {}
    for test in tests:
        quickest[test.file] = min(test.seconds, quickest.get(test.file, test.seconds))
    return sorted(tests, key=lambda t: (quickest[t.file], t.file, t.seconds))


def run(tree: Tree, tests: list[Test], seconds: float) -> tuple[str | None, int, bool]:
    """Run tests in a tree until one fails or the time is used up.

    Returns
    -------
    What failed (a test, or how the process ended), how many tests ran, and whether the time was too short for all.
    """
    asked = tree.root / ".asked.json"
    ended = asked.with_suffix(".ended")
    ended.unlink(missing_ok=True)
    asked.write_text(json.dumps({"tests": [t.name for t in tests], "seconds": seconds}), encoding="utf-8")
    command = [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", "-p", "no:xdist"]
    command += ["-p", "tests.mutants.chosen", *dict.fromkeys(t.file for t in tests)]
    process = subprocess.Popen(
        command,
        cwd=tree.root,
        env=tree.environment() | {"POLEWRIGHT_MUTANT_TESTS": str(asked)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    slowest = max(t.seconds for t in tests)
    try:
        code = process.wait(START + min(seconds, 4.0 * sum(t.seconds for t in tests)) + 10.0 * slowest)
    except subprocess.TimeoutExpired:
        return "no end: tests that ended without it did not", 0, False
    finally:
        _end_group(process)
    if not ended.exists():
        return f"tests could not be loaded (exit code {code})", 0, False
    told = json.loads(ended.read_text(encoding="utf-8"))
    failed = told["failed"] or (f"tests could not be loaded (exit code {code})" if code not in (0, 2, 5) else None)
    if code == 2 and not told["is_cut_short"] and failed is None:
        failed = "tests could not be loaded (exit code 2)"
    return failed, int(told["ran"]), bool(told["is_cut_short"])


def _end_group(process: "subprocess.Popen[bytes]") -> None:
    """End the process and all it started."""
    try:
        os.killpg(process.pid, signal.SIGKILL)
    except ProcessLookupError:
        return
    finally:
        process.wait()
