"""A process that has loaded all and collected every test, and tries faults in functions by forks of itself."""

import json
import os
import subprocess
import sys
from dataclasses import dataclass

from tests.mutants.collect_names import NOT_HERE
from tests.mutants.cover_map import Test
from tests.mutants.fault import Fault, read
from tests.mutants.trees import Tree

LONGEST = 150.0
"""[s] without an answer after which a fork is ended: it waits for something that does not come."""


@dataclass(slots=True)
class Warm:
    """One such process in one copy of the tree."""

    tree: Tree
    process: "subprocess.Popen[bytes]"
    asks: int
    answers: int

    @classmethod
    def started(cls, tree: Tree, tests: list[Test]) -> "Warm":
        """Collect the files of the tests; returns when they are."""
        (child_asks, asks), (answers, child_answers) = os.pipe(), os.pipe()
        command = [sys.executable, "-m", "pytest", "-q", "-s", "-p", "no:cacheprovider", "-p", "no:xdist"]
        command += ["--basetemp", str(tree.root / ".tests"), "-p", "tests.mutants.warm"]
        with (tree.root / ".warm.txt").open("wb") as shown:
            process = subprocess.Popen(
                [*command, *dict.fromkeys(t.file for t in tests)],
                cwd=tree.root,
                env=tree.environment() | {"POLEWRIGHT_MUTANT_WARM": f"{child_asks},{child_answers}"},
                stdin=subprocess.DEVNULL,
                stdout=shown,
                stderr=subprocess.STDOUT,
                pass_fds=(child_asks, child_answers),
            )
        os.close(child_asks)
        os.close(child_answers)
        warm = cls(tree, process, asks, answers)
        if warm._line() != "ready":
            raise RuntimeError(f"tests could not be collected, see {tree.root / '.warm.txt'}")
        return warm

    def run(
        self, fault: Fault | None, tests: list[Test], seconds: float, patience: float = 1.0
    ) -> tuple[str | None, int, bool] | None:
        """As `trial.run`, for a fault inside a function, or for none; None where this is not the way to try it.

        seconds : of processor time; patience : what the usual time of each test is multiplied by.
        """
        path, before = (self.tree.root / fault.path, read(self.tree.root, fault.path)) if fault else ("", "")
        asked = {
            "path": str(path),
            "before": before,
            "after": fault.planted(before) if fault else "",
            "tests": [t.name for t in tests],
            "times": {t.name: t.seconds for t in tests},
            "seconds": seconds,
            "longest": LONGEST,
            "patience": patience,
        }
        if fault:
            self.tree.plant(fault)  # for the processes that tests start
        try:
            os.write(self.asks, f"{json.dumps(asked)}\n".encode())
            answer = json.loads(self._line())
        finally:
            if fault:
                (self.tree.root / fault.path).write_bytes(before.encode("utf-8"))
        if answer["failed"] == NOT_HERE:
            return None
        return answer["failed"], int(answer["ran"]), bool(answer["is_cut_short"])

    def end(self) -> None:
        """Let the process end."""
        os.close(self.asks)
        self.process.wait()
        os.close(self.answers)

    def _line(self) -> str:
        found = b""
        while not found.endswith(b"\n"):
            part = os.read(self.answers, 65536)
            if not part:
                raise RuntimeError(f"the process of the tests has ended, see {self.tree.root / '.warm.txt'}")
            found += part
        return found.decode().strip()
