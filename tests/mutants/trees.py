"""Copies of the tree in which faults are planted; the tree itself is never touched."""

import os
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

from tests.mutants.fault import Fault, read

TOOL = Path(__file__).parents[2]


def files_of(root: Path) -> list[str]:
    """Every file of the tree that is the project's: known to git or new, not ignored."""
    if (root / ".git").exists():
        command = ["git", "ls-files", "--cached", "--others", "--exclude-standard"]
        listed = subprocess.run(command, cwd=root, capture_output=True, text=True, check=True).stdout.splitlines()
        return sorted(path for path in listed if (root / path).is_file())
    skipped = {".venv", ".stamps", "__pycache__", ".hypothesis", ".pytest_cache", ".ruff_cache", ".mypy_cache"}
    return sorted(
        path.relative_to(root).as_posix()
        for path in root.rglob("*")
        if path.is_file() and not skipped & set(path.relative_to(root).parts)
    )


@dataclass(frozen=True, slots=True)
class Tree:
    """One copy of the tree that tests can run in."""

    root: Path

    @classmethod
    def copied(cls, root: Path, to: Path) -> "Tree":
        """A fresh copy with the time stamps of the files, so that compiled code beside them stays valid."""
        shutil.rmtree(to, ignore_errors=True)
        for path in files_of(root):
            (to / path).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(root / path, to / path)
        for part in ("src", "tests"):
            for compiled in (root / part).rglob("__pycache__"):
                shutil.copytree(compiled, to / compiled.relative_to(root), dirs_exist_ok=True)
        return cls(to)

    def environment(self) -> dict[str, str]:
        """The environment in which this copy is what gets imported, and nothing it leaves is found by another."""
        own = {name: value for name, value in os.environ.items() if not name.startswith(("PYTEST_", "POLEWRIGHT_"))}
        return own | {
            # the tool comes from where it runs, after all that the copy has
            "PYTHONPATH": os.pathsep.join([str(self.root / "src"), str(self.root), str(TOOL)]),
            "PYTHONDONTWRITEBYTECODE": "1",
            "XDG_CACHE_HOME": str(self.root / ".cache"),
            "OPENBLAS_NUM_THREADS": "1",
            "OMP_NUM_THREADS": "1",
        }

    def plant(self, fault: Fault) -> None:
        """Put the fault into this copy's file."""
        text = fault.planted(read(self.root, fault.path))
        (self.root / fault.path).write_bytes(text.encode("utf-8"))

    def heal(self, fault: Fault, original: Path) -> None:
        """Put the file back as it is in the original tree, time stamp and all."""
        shutil.copy2(original / fault.path, self.root / fault.path)
