"""Papers read again: pages and words of a PDF through poppler."""

import os
import shutil
import subprocess
from collections.abc import Callable

import pytest


def _run(tool: str, *arguments: str, content: bytes) -> str:
    if shutil.which(tool) is None:
        words = f"{tool} is not installed; apt-get install poppler-utils"
        if os.environ.get("CI"):
            pytest.fail(words)
        pytest.skip(words)
    return subprocess.run([tool, *arguments], input=content, capture_output=True, check=True).stdout.decode("utf-8")


@pytest.fixture(scope="session")
def words_of() -> Callable[[bytes], str]:
    """The words of a PDF parted by single spaces: column by column, then once more line by line across the page."""

    def read(content: bytes) -> str:
        columns, lines = (_run("pdftotext", *how, "-", "-", content=content) for how in ((), ("-layout",)))
        return " ".join(f"{columns} {lines}".split())

    return read


@pytest.fixture(scope="session")
def pages_of(tmp_path_factory) -> Callable[[bytes], int]:
    """How many pages a PDF has."""

    def count(content: bytes) -> int:
        path = tmp_path_factory.mktemp("pdf") / "paper.pdf"
        path.write_bytes(content)
        lines = _run("pdfinfo", str(path), content=b"").splitlines()
        return int(next(line.split()[1] for line in lines if line.startswith("Pages:")))

    return count
