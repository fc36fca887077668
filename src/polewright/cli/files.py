"""Files in and out for the commands: a design or a refusal, and outputs that are whole or not there."""

import os
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault, load
from polewright.documents.paths import supposing
from polewright.errors import DesignError, NotConverged

__all__ = ["design_from", "told_of", "write_whole", "write_whole_folder"]


@contextmanager
def told_of(path: Path) -> Iterator[None]:
    """Refusals inside are opened by the file's name, but for those of an option."""
    try:
        yield
    except DocumentError as fault:
        raise fault.told_of(str(path)) from fault
    except (DesignError, NotConverged) as fault:
        if fault.field.startswith("--"):
            raise
        raise type(fault)(f"{path}: {fault.field}", fault.value, fault.want) from fault


def design_from(path: Path, supposed: Sequence[str] = ()) -> Design:
    """The pole design in a file, with other figures where some are supposed ("joints.overlap_mm=220").

    Raises
    ------
    DocumentError : the file is not a pole design, or cannot be as supposed.
    """
    document = load(path)
    if not isinstance(document, Design):
        raise DocumentError([Fault(("document", repr(document.document), "a pole-design for this command"))], str(path))
    with told_of(path):
        return supposing(document, supposed)


def write_whole(path: Path, data: bytes) -> None:
    """Write a file so that it is there whole or not at all."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=".polewright-")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(0o644)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def write_whole_folder(folder: Path, files: dict[str, bytes]) -> None:
    """Write several files; all are made before the first one takes its place."""
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=folder, prefix=".polewright-") as hidden:
        for name, data in files.items():
            path = Path(hidden) / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        for name in files:
            target = folder / name
            target.parent.mkdir(parents=True, exist_ok=True)
            (Path(hidden) / name).replace(target)
