"""`polewright check`: every figure of a pole as tables that a workshop would pin up, or as JSON."""

import gc
from collections.abc import Sequence
from pathlib import Path

from polewright.cli.check_tables import show_check
from polewright.cli.files import design_from, naming_file
from polewright.cli.output import console_of, without_markup, write_json
from polewright.words import default_reader
from polewright.words.reports.check import check_report
from polewright.workshop import Check, check_design

__all__ = ["checked_from", "run"]


def run(file: Path, *, supposed: list[str], as_json: bool) -> None:
    """Check one design; as tables or as JSON."""
    check, reader = checked_from(file, supposed), default_reader()
    if as_json:
        report = check_report(check, reader)
        write_json(report)
        return
    show_check(console_of(132), without_markup(check), reader)


def checked_from(file: Path, supposed: Sequence[str]) -> Check:
    """The checked design of a file; the collector rests, as the first check loads the compiled loops, and they stay."""
    design = design_from(file, supposed)
    gc.disable()
    try:
        with naming_file(file):
            return check_design(design)
    finally:
        gc.enable()
