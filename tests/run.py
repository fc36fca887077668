"""The whole suite: gates first, then every test on two workers, then the verification report against what is kept."""

import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]


def main() -> int:
    """Run everything; the exit code is pytest's."""
    with tempfile.TemporaryDirectory() as rows:
        environment = dict(os.environ, POLEWRIGHT_VERIFICATION=rows)
        command = [sys.executable, "-m", "pytest", "-q", "-n", "2", "--dist", "loadfile", "tests", *sys.argv[1:]]
        return subprocess.run(command, cwd=ROOT, env=environment, check=False).returncode


if __name__ == "__main__":
    sys.exit(main())
