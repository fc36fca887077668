"""`polewright sheet`: the buyer's sheet of a design."""

import datetime as dt
import sys
from pathlib import Path

from polewright.cli.files import design_from, refuse_as_file, told_of, write_whole
from polewright.documents.check import check
from polewright.documents.values import workpiece
from polewright.workshop.papers import buyer_sheet_file

__all__ = ["run"]


def run(file: Path, *, out: Path | None) -> None:
    """Write the sheet beside the design, or where it is wanted."""
    refuse_as_file(out, option="--out", read=file)
    design = design_from(file)
    with told_of(file):
        data = buyer_sheet_file(
            design, check(design), workpiece(design), date=dt.datetime.now(tz=dt.UTC).date().isoformat()
        )
    target = out or file.with_name(file.stem + "-sheet.pdf")
    write_whole(target, data)
    sys.stdout.write(f"{target}\n")
