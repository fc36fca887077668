"""One fault tried: planted in a copy of the tree, with the tests that can notice it run until one of them fails.

Where none does, the gate on types is asked.
"""

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
from functools import partial
from itertools import accumulate
from pathlib import Path

from tests.mutants.collect_names import NO_END
from tests.mutants.cover_map import CoverMap, Test
from tests.mutants.drawing import room_of
from tests.mutants.fault import Fault
from tests.mutants.trees import Tree
from tests.mutants.type_check import GATE, TypeCheck
from tests.mutants.warm_process import LONGEST, Warm

FIRST_FILES, FIRST_TESTS, FIRST_SECONDS = 6, 40, 8.0  # what is tried first, for most faults are noticed at once
NEAR_SECONDS = 15.0  # then so much of the fault's own room, before kept figures
START = 40.0  # [s] of processor time allowed for a process of tests to start before its own time counts
PATIENCE = 5.0

Found = tuple[str | None, int, bool]  # what failed, how many tests ran, whether the time was too short for all
NONE: Found = (None, 0, False)
Running = Callable[[list[Test], float], Found | None]


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
    trees: "queue.Queue[Warm]"
    seconds: float = 120.0
    unsound: dict[str, bool] = field(default_factory=dict)
    lock: threading.Lock = field(default_factory=threading.Lock)
    types: TypeCheck = field(init=False)

    def __post_init__(self) -> None:
        self.types = TypeCheck(self.original)

    @classmethod
    def set_up(cls, root: Path, cache: Path, cover: CoverMap, workers: int, seconds: float) -> "Bench":
        """A fresh copy of the tree for every worker."""
        trees: queue.Queue[Warm] = queue.Queue()
        for i in range(workers):
            trees.put(Warm.started(Tree.copied(root, cache / f"tree-{i}"), cover.tests))
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
        warm = self.trees.get()
        try:
            by, ran, cut = self._by_tests(warm, fault, groups) if groups else NONE
            if by is None and self.types.notices(warm.tree, fault):
                by = GATE
        finally:
            self.trees.put(warm)
        return Outcome(fault, by, ran, time.monotonic() - begun, cut, is_uncovered=not groups)

    def _by_tests(self, warm: Warm, fault: Fault, groups: list[list[Test]]) -> Found:
        """In a fork where the fault can be put into functions that are loaded already, else in processes afresh."""
        found = None
        if fault.path.endswith(".py"):
            found = self._until_noticed(warm, in_order(fault, groups), partial(_warm_run, warm, fault))
        return found or self._afresh(warm, fault, groups)

    def _afresh(self, warm: Warm, fault: Fault, groups: list[list[Test]]) -> Found:
        """In processes of their own: first the fastest tests of a few files, then all."""
        first = first_tests(groups[0])
        done = {test.name for test in first}
        rest = [test for test in in_order(fault, groups) if test.name not in done]
        total = 0
        for batch in (first, rest):
            by, ran, cut = (
                self._until_noticed(warm, batch, partial(_planted_run, warm.tree, fault, self.original)) or NONE
            )
            total += ran
            if by is not None:
                return by, total, False
        return None, total, cut

    def _until_noticed(self, warm: Warm, tests: list[Test], run_them: Running) -> Found | None:
        """Tests run until one fails that does not fail without the fault; None where they cannot be run that way."""
        waiting = [t for t in tests if not self.unsound.get(t.name)]
        while waiting:
            found = run_them(waiting, self.seconds)
            if found is None or found[0] is None or self._is_sound(warm, found[0], waiting):
                return found
            waiting = [t for t in waiting if not self.unsound.get(t.name)]
        return NONE

    def _is_sound(self, warm: Warm, name: str, tests: list[Test]) -> bool:
        """Whether the test that failed passes when nothing is planted; each is asked once."""
        test = next((t for t in tests if t.name == name), None)
        if test is None:
            return True  # the fault keeps files from being loaded, or tests from ending
        if name not in self.unsound:
            self.unsound[name] = (warm.run(None, [test], self.seconds) or NONE)[0] is not None
        return not self.unsound[name]

    def end(self) -> None:
        """Let the processes end."""
        while not self.trees.empty():
            self.trees.get().end()


def _warm_run(warm: Warm, fault: Fault, tests: list[Test], seconds: float) -> Found | None:
    """Tests in a fork; one that does not end is given longer once, for its first run may load much."""
    found = warm.run(fault, tests, seconds)
    return warm.run(fault, tests, seconds, PATIENCE) if found is not None and found[0] == NO_END else found


def _planted_run(tree: Tree, fault: Fault, original: Path, tests: list[Test], seconds: float) -> Found:
    tree.plant(fault)
    try:
        return run(tree, tests, seconds)
    finally:
        tree.heal(fault, original)


def in_order(fault: Fault, groups: list[list[Test]]) -> list[Test]:
    """First the fastest tests of a few files; then quick ones of the fault's own room, kept figures, and the others.

    Of a fault outside of functions the tests that keep whole tables come first.
    """
    chosen = {test.name: test for test in first_tests(groups[0])}
    own, every = f"tests/{room_of(fault.path)}/", [test for group in groups for test in group]
    near = [test for test in groups[0] if test.file.startswith(own)]
    soon = by_file(_quickest(near, NEAR_SECONDS)) if fault.path.endswith(".py") else []
    kept = sorted((t for t in every if t.file.startswith("tests/kept/")), key=lambda t: t.seconds)
    tables = [] if fault.is_in_body else [test for test in every if test.keeps_a_table]
    for part in (tables, soon, kept, by_file(near), *map(by_file, groups)):
        chosen |= {test.name: test for test in part if test.name not in chosen}
    return list(chosen.values())


def _quickest(tests: list[Test], seconds: float) -> list[Test]:
    """The fastest tests that take so long in all."""
    ordered = sorted(tests, key=lambda t: t.seconds)
    return [
        test for test, spent in zip(ordered, accumulate(t.seconds for t in ordered), strict=True) if spent < seconds
    ]


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


def run(tree: Tree, tests: list[Test], seconds: float) -> Found:
    """Run tests in a process of their own until one fails or the time is used up.

    The process may take `START`, and six times what its tests took without a fault, of processor time: how busy the
    machine is makes no difference.

    Returns
    -------
    What failed (a test, or how the process ended), how many tests ran, and whether the time was too short for all.
    """
    asked = tree.root / ".asked.json"
    ended = asked.with_suffix(".ended")
    ended.unlink(missing_ok=True)
    longest = int(START + min(seconds, 6.0 * sum(t.seconds for t in tests)) + 10.0 * max(t.seconds for t in tests))
    wanted = {"tests": [t.name for t in tests], "seconds": seconds, "longest": longest}
    asked.write_text(json.dumps(wanted), encoding="utf-8")
    command = [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", "-p", "no:xdist"]
    command += ["-p", "tests.mutants.chosen", *dict.fromkeys(t.file for t in tests)]
    process = subprocess.Popen(
        command,
        cwd=tree.root,
        env=tree.environment() | {"POLEWRIGHT_MUTANT_TESTS": str(asked)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        process_group=0,
    )
    try:
        code = process.wait(4.0 * LONGEST)
    except subprocess.TimeoutExpired:
        return NO_END, 0, False
    finally:
        _end_group(process)
    if code == -signal.SIGXCPU:
        return NO_END, 0, False
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
