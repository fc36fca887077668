"""`polewright kit`: cut files and work cards of a design."""

import datetime as dt
import sys
from pathlib import Path

from polewright.cli.files import design_from, naming_file, refuse_as_folder, write_whole_folder
from polewright.cli.papers import papers_of
from polewright.codes import Message
from polewright.sheet.cautions import cautions, closing_line
from polewright.words import default_reader

__all__ = ["run"]


def run(file: Path, *, out: Path, reason: str = "", store: Path | None = None) -> None:
    """Write every file of the kit, all or none."""
    refuse_as_folder(out, option="--out")
    design, reader = design_from(file), default_reader()
    with naming_file(file), papers_of(design, reason=reason, store=store) as papers:
        today = dt.datetime.now(tz=dt.UTC).date().isoformat()
        files = papers.kit(design, reader, date=today)
    write_whole_folder(out, dict(files))
    for name in files:
        sys.stdout.write(f"{out / name}\n")
    for caution in cautions("cut"):
        sys.stdout.write(f"{reader.text(Message('cli.kit.caution', title=caution.title, says=caution.says))}\n")
    sys.stdout.write(f"{reader.text(closing_line())}\n")
