"""What a person reads with the code of each text in place of its words: which figure stands beside which name.

Pages, lines of commands, answers of commands and the API, and papers, all in the language made of codes. So the words
may change, while a name that moves to another figure, a row that goes, or a field that does not keep its name is seen.
"""

import contextlib
import json
import os
import re
from collections.abc import Iterator, Mapping
from functools import cache
from html.parser import HTMLParser
from typing import Any

from polewright.answers.check import check_design
from polewright.documents.values import workpiece
from polewright.words import Reader, default_reader
from polewright.workshop.papers import buyer_sheet, buyer_sheet_file, kit_files
from tests.kept.figures import DATE, GROUPS, Place, Row, by_place
from tests.kept.whole import design_of

CODED = "x-coded"
BLOCKS = {"tr", "li", "p", "h1", "h2", "h3", "h4", "dl", "dt", "dd", "ul", "ol", "table", "section", "article", "form",
          "fieldset", "figure", "label", "summary", "div", "details", "nav", "header", "footer"}  # fmt: skip
SILENT = {"script", "style", "path", "template"}
SHOWN = ("title", "aria-label", "placeholder", "alt", "content")
CONTROLS = {"input", "button", "textarea", "select", "option", "a", "form"}
SET = ("name", "value", "type", "min", "max", "step", "action", "href", "formaction", "hx-get", "hx-post", "hx-target",
       "checked", "selected", "disabled", "required", "aria-pressed", "aria-current", "maxlength")  # fmt: skip
WHEN = re.compile(rf"(?:{DATE.pattern})(?: \d\d:\d\d)?")
HASH = re.compile(r"\b(?=[0-9a-f]*\d)[0-9a-f]{7,64}\b|\bv=[\w.-]+")
"""Letters of a hash, whose number is kept, and the version of a file."""
FRAMES = set("─━╭╮╰╯├┤┼╇╈┏┓┗┛┡┩┳┻╶╴ ")
GAP = re.compile(r"\s{2,}|[│┃]")


@contextlib.contextmanager
def in_codes() -> Iterator[None]:
    """Everybody reads codes."""
    before = os.environ.get("POLEWRIGHT_LANGUAGE")
    os.environ["POLEWRIGHT_LANGUAGE"] = CODED
    default_reader.cache_clear()
    try:
        yield
    finally:
        os.environ.pop("POLEWRIGHT_LANGUAGE")
        if before is not None:
            os.environ["POLEWRIGHT_LANGUAGE"] = before
        default_reader.cache_clear()


class _Page(HTMLParser):
    """Rows of a page: texts, and what controls are called and hold."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[list[str]] = [[]]
        self.silent = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in SILENT and tag != "path":
            self.silent += 1
        if tag in BLOCKS:
            self.rows.append([])
        own = dict(attrs)
        if tag == "option" and "selected" not in own and self.rows[-1]:
            self._add(f"option {own.get('value')}")
        elif tag in CONTROLS:
            self._add(" ".join([tag, *(f"{name}={own[name] or ''}" for name in SET if name in own)]))
        for name in SHOWN:
            if "⟨" in (own.get(name) or ""):
                self._add(own[name] or "")

    def handle_endtag(self, tag: str) -> None:
        if tag in SILENT and tag != "path":
            self.silent -= 1

    def handle_data(self, data: str) -> None:
        if not self.silent:
            self._add(data)

    def _add(self, text: str) -> None:
        if found := plain_text(text):
            self.rows[-1].append(found)


def plain_text(text: str) -> str:
    """Text in one line, without what differs from run to run: days, hashes, versions of files."""
    return " ".join(without_hashes(WHEN.sub("day", GROUPS.sub("", text))).replace(";", ",").split())


def rows_of_page(page: str) -> list[Row]:
    """What a page shows, block by block."""
    parser = _Page()
    parser.feed(page)
    return [tuple(row) for row in parser.rows if row]


def rows_of_lines(text: str) -> list[Row]:
    """What a command prints, line by line, column by column."""
    found = (
        tuple(part for each in GAP.split(plain_gaps(line)) if (part := each.strip())) for line in text.splitlines()
    )
    return [row for row in found if row and not set("".join(row)) <= set("─━╭╮╰╯├┤┼╇╈┏┓┗┛┡┩┳┻╶╴ ")]


def without_hashes(text: str) -> str:
    """Text with the number of letters of each hash in its place, and without versions of files."""
    return HASH.sub(lambda found: "#" if found[0].startswith("v=") else f"#{len(found[0])}", text)


def plain_gaps(line: str) -> str:
    """A line without what differs from run to run, its gaps kept."""
    return without_hashes(WHEN.sub("day", GROUPS.sub("", line))).replace(";", ",")


def texts_of(answer: Any, place: str = "") -> Iterator[tuple[str, Place]]:
    """Every text and every nothing of a JSON answer under its place."""
    if isinstance(answer, dict):
        for key, value in answer.items():
            yield from texts_of(value, f"{place}.{key}" if place else key)
    elif isinstance(answer, list):
        for i, value in enumerate(answer):
            yield from texts_of(value, f"{place}[{i}]")
    elif isinstance(answer, str):
        yield place, plain_text(answer)
    elif answer is None:
        yield place, "nothing"


Given = tuple[str, Any, dict[str, Any]]
"""What the typesetter is given for a paper: its template, its data, settings of the document."""


@cache
def papers_given(pole: str, system: Any) -> tuple[tuple[Given, ...], Mapping[str, bytes]]:
    """What the typesetter is given for each paper of a pole, and the files of its kit."""
    import typst

    seen: list[Given] = []

    class Compiler:
        def __init__(self, template: str, **_: object) -> None:
            self.template = template.rpartition("/")[2]

        def compile(self, sys_inputs: dict[str, str], **settings: Any) -> bytes:
            seen.append((self.template, json.loads(sys_inputs["data"]), settings))
            return b"/Type /Pages /Count 1"

    design, real = design_of(pole), typst.Compiler
    typst.Compiler = Compiler  # type: ignore[assignment,misc]
    try:
        reader, work = Reader(CODED, system), workpiece(design)
        facts = {"date": "2026-03-01", "revision": "3"}
        buyer_sheet_file(buyer_sheet(design, check_design(design), work, reader, **facts, serial="A-7"), design, reader)
        files = kit_files(design, work, reader, **facts)
    finally:
        typst.Compiler = real  # type: ignore[misc]
    return tuple(seen), files


def papers_in_codes(pole: str) -> dict[str, Place]:
    """Texts of the buyer's sheet and the work cards of a pole, as they are given to the typesetter, in both systems."""
    found: dict[str, Place] = {}
    for system in ("metric", "inch"):
        for i, (template, data, settings) in enumerate(papers_given(pole, system)[0]):
            kept = {k: v for k, v in data.items() if not str(v).startswith("<svg")}
            found |= {f"{system} {i} {template}: {place}": text for place, text in texts_of(kept)}
            found |= {f"{system} {i} {template}: {place}": number for place, number in by_place(kept)}
            found |= {f"{system} {i} {template} is {name}": str(value) for name, value in settings.items()}
    return {place: text for place, text in found.items() if "<svg" not in str(text)}
