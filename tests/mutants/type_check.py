"""What the type checker sees: a fault that leaves code whose types do not hold is stopped by the suite's own gate."""

import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

from tests.mutants.fault import Fault
from tests.mutants.trees import Tree

GATE = "tests/house/test_gates.py::test_types_hold_over_the_whole_package"


@dataclass(slots=True)
class TypeCheck:
    """The gate on types, run over a copy of the tree with a fault in it.

    A gate that does not hold without a fault, or that the tree does not have, notices nothing.
    """

    original: Path
    is_sound: dict[Path, bool] = field(default_factory=dict)
    lock: threading.Lock = field(default_factory=threading.Lock)
    stamps: Iterator[int] = field(default_factory=lambda: count(1))

    def notices(self, tree: Tree, fault: Fault) -> bool:
        """Whether types hold without the fault, and do not with it."""
        if not fault.path.endswith(".py") or not self._holds_at_all(tree):
            return False
        tree.plant(fault)
        path = tree.root / fault.path
        later = path.stat().st_mtime + 2.0 * next(self.stamps)  # mypy tells files apart by length and whole seconds
        os.utime(path, (later, later))
        try:
            return not _holds(tree)
        finally:
            tree.heal(fault, self.original)

    def _holds_at_all(self, tree: Tree) -> bool:
        with self.lock:  # the first look takes long and leaves what the later ones are quick by
            if tree.root not in self.is_sound:
                self.is_sound[tree.root] = (tree.root / GATE.partition("::")[0]).exists() and _holds(tree)
            return self.is_sound[tree.root]


def _holds(tree: Tree) -> bool:
    command = [sys.executable, "-m", "mypy", "--no-error-summary"]
    done = subprocess.run(command, cwd=tree.root, env=tree.environment(), capture_output=True, check=False)
    return done.returncode == 0
