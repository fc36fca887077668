"""`polewright sheet`: the buyer's sheet of a design."""

import datetime as dt
import sys
from pathlib import Path

from polewright.cli.files import design_from, naming_file, refuse_as_file, write_whole
from polewright.cli.papers import papers_of
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.words import Reader, default_reader, languages

__all__ = ["run"]


def run(
    file: Path,
    *,
    out: Path | None,
    language: str = "",
    units: str = "",
    reason: str = "",
    serial: str = "",
    store: Path | None = None,
) -> None:
    """Write the sheet beside the design, or where it is wanted, in a language and units of its own."""
    refuse_as_file(out, option="--out", read=file)
    reader = _reader(language, units)
    design = design_from(file)
    with naming_file(file), papers_of(design, reason=reason, store=store) as papers:
        today = dt.datetime.now(tz=dt.UTC).date().isoformat()
        data = papers.sheet(design, reader, date=today, serial=serial)
    target = out or file.with_name(file.stem + "-sheet.pdf")
    write_whole(target, data)
    sys.stdout.write(f"{target}\n")


def _reader(language: str, units: str) -> Reader:
    """Who reads the paper.

    Raises
    ------
    DesignError : no such language or units.
    """
    if language and language not in languages():
        raise DesignError("--language", repr(language), Message("want.one", choices=languages()))
    if units not in ("", "metric", "inch"):
        raise DesignError("--units", repr(units), Message("want.one", choices=("metric", "inch")))
    return Reader(language or default_reader().language, "inch" if units == "inch" else "metric")
