"""Pages and commands about poles that have a workshop's own things, and about one of a single section, in codes."""

import tempfile
from functools import cache
from pathlib import Path

from polewright.documents.files import dump_toml
from tests.kept.coded import in_codes, rows_of_lines, rows_of_page
from tests.kept.figures import Place, Row
from tests.kept.pictures import each_once
from tests.kept.pressed import Visits
from tests.kept.whole import design_of

POLES = ("further-4", "further-9", "drawn-2")
PLACES = ("brief", "wall?section=1", "wall/detail?section=1", "pole", "rules", "shelf", "cut?section=1", "bench",
          "find", "sheet", "held?depth=1&support=hands&temperature_C=45&head_g=300", "spread", "compare",
          "compare?beside=tallreed-11")  # fmt: skip
COMMANDS = (("check",), ("wall", "1"), ("hold", "--temperature", "45", "--head", "300 g"),
            ("hold", "--support", "head on glass", "--lean", "65 deg", "--slide", "up"))  # fmt: skip


@cache
def _seen() -> list[tuple[str, str]]:
    """Pages by their address, in inches the first pole's, which nobody saved before."""
    pages = []
    with in_codes(), tempfile.TemporaryDirectory() as folder:
        visits = Visits(Path(folder))
        try:
            for pole in POLES:
                visits.workshop.designs.brought_in(design_of(pole))
                for place in PLACES:
                    units = "inch" if pole == POLES[0] else "metric"
                    answer = visits.send("GET", f"/poles/{pole}/{place}", units)
                    pages.append((f"{pole} {place} {answer.status_code}", answer.text))
        finally:
            visits.workshop.close()
    return pages


def pages_of_further_poles() -> list[Row]:
    """Rows of their pages, each where it comes first."""
    rows = [(address, *row) for address, page in _seen() for row in rows_of_page(page)]
    first = {row[1:]: row for row in reversed(rows)}
    return [row for row in rows if first.pop(row[1:], None) is row]


def pictures_of_further_poles() -> dict[str, Place]:
    """Where the shapes of their drawings stand."""
    return each_once(_seen())


def commands_about_further_poles() -> list[Row]:
    """Lines of commands about them, or what is refused."""
    from tests.kept.outputs import said_by

    rows: list[Row] = []
    with in_codes(), tempfile.TemporaryDirectory() as folder:
        for pole in POLES:
            file = Path(folder) / f"{pole}.toml"
            file.write_text(dump_toml(design_of(pole)), encoding="utf-8")
            for name, *words in COMMANDS:
                said = said_by(name, str(file), *words, columns=600).replace(folder, "FOLDER")
                rows += [(f"{pole} {name} {' '.join(words)}", *row) for row in rows_of_lines(said)]
    return rows
