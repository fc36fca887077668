"""Files in and out for the commands: a design or a refusal, and outputs that are whole or not there."""

import os
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from polewright.codes import Message
from polewright.errors import DesignError, DocumentError, NotConverged
from polewright.words import default_reader
from polewright.workshop import Design, design_in, with_fields

__all__ = ["design_from", "naming_file", "refuse_as_file", "refuse_as_folder", "write_whole", "write_whole_folder"]


@contextmanager
def naming_file(path: Path) -> Iterator[None]:
    """Refusals inside are opened by the file's name, but for those of an option."""
    try:
        yield
    except DocumentError as fault:
        if all(of[0].startswith("--") for of in fault.faults):
            raise
        raise fault.naming_file(str(path)) from fault
    except (DesignError, NotConverged) as fault:
        if fault.field.startswith("--"):
            raise
        fault.where = str(path)
        raise


def design_from(path: Path, supposed: Sequence[str] = ()) -> Design:
    """The pole design in a file, with other figures where some are supposed ("joints.overlap_mm=220"), and named so.

    Raises
    ------
    DocumentError : the file is not a pole design, or cannot be as supposed.
    """
    design = design_in(path)
    if not supposed:
        return design
    with naming_file(path):
        changed = with_fields(design, supposed)
    figures = tuple(_supposed(words) for words in supposed)
    name = default_reader().say("cli.supposed.name", name=design.name, figures=figures)
    return changed.model_copy(update={"name": name})


def _supposed(words: str) -> Message:
    """One figure that is supposed, as its field and value; none where the field is left out."""
    field, _, value = (part.strip() for part in words.partition("="))
    return (
        Message("cli.supposed.figure", field=field, value=value) if value else Message("cli.supposed.none", field=field)
    )


def refuse_as_file(path: Path | None, *, option: str, read: Path) -> None:
    """Before the work is done: refuse to write a file where a folder stands, below a file, or over what is `read`.

    Raises
    ------
    DesignError : it is none to write to.
    """
    if path is None:
        return
    if path.is_dir():
        raise DesignError(option, str(path), Message("want.file_not_folder"))
    if path.exists() and read.exists() and path.samefile(read):
        raise DesignError(option, str(path), Message("want.another_file"))
    _refuse_below_a_file(path, option)


def refuse_as_folder(path: Path, *, option: str) -> None:
    """Before the work is done: refuse a folder where a file stands, or below one.

    Raises
    ------
    DesignError : it is none.
    """
    if path.exists() and not path.is_dir():
        raise DesignError(option, str(path), Message("want.folder_not_file"))
    _refuse_below_a_file(path, option)


def _refuse_below_a_file(path: Path, option: str) -> None:
    standing = next((above for above in path.parents if above.exists()), None)
    if standing is not None and not standing.is_dir():
        raise DesignError(option, str(path), Message("want.in_a_folder", standing=str(standing)))


def write_whole(path: Path, data: bytes) -> None:
    """Write a file so that it is there whole or not at all; a device or pipe is written to and stays what it is."""
    try:
        if path.exists() and not path.is_file():
            with path.open("wb") as way_out:
                way_out.write(data)
        else:
            _write_whole(path.resolve() if path.is_symlink() else path, data)
    except OSError as fault:  # of a hidden file that nobody named
        raise OSError(fault.errno, fault.strerror, str(path)) from fault


def _write_whole(path: Path, data: bytes) -> None:
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
