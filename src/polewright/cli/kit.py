"""`polewright kit`: cut files and work cards of a design."""

import datetime as dt
import sys
from pathlib import Path

from polewright.cli.files import design_from, refuse_as_folder, told_of, write_whole_folder
from polewright.documents.values import workpiece
from polewright.sheet.cautions import cautions, closing_line
from polewright.workshop.papers import kit_files

__all__ = ["run"]


def run(file: Path, *, out: Path) -> None:
    """Write every file of the kit, all or none."""
    refuse_as_folder(out, option="--out")
    design = design_from(file)
    with told_of(file):
        files = kit_files(design, workpiece(design), date=dt.datetime.now(tz=dt.UTC).date().isoformat())
    write_whole_folder(out, dict(files))
    for name in files:
        sys.stdout.write(f"{out / name}\n")
    for caution in cautions("cut"):
        sys.stdout.write(f"caution: {caution.title}: {caution.words}\n")
    sys.stdout.write(f"{closing_line()}\n")
