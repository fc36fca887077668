"""What is printed of the example poles: the answers of commands, pages in both systems of units, papers, cut files."""

import asyncio
import contextlib
import io
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict
from datetime import UTC, datetime
from functools import cache, partial
from pathlib import Path
from typing import Any

import httpx
import tomli_w

from polewright.api import create_api
from polewright.cli.app import main
from polewright.documents.files import dump_toml, load
from polewright.store import open_store
from polewright.web import combined_app, create_pages
from polewright.words import languages
from polewright.workshop import EDITS, GIVEN, Workshop, changes, open_workshop, schema_kinds, schema_of
from tests.kept.coded import texts_of
from tests.kept.drawn import DRAWN
from tests.kept.drawn_figures import figures_of_drawn_pole
from tests.kept.drawn_further import FURTHER
from tests.kept.edited import edits_tried
from tests.kept.figures import Place, Row, by_place, in_page, in_text
from tests.kept.forms import forms_of_texts
from tests.kept.measured import measured_in_full
from tests.kept.measured_drawn import drawn_tests
from tests.kept.odd import ODD, odd_pole
from tests.kept.options import options_of_commands
from tests.kept.pressed import pressed_in_turn, typed_in_inches
from tests.kept.refused import PLAINS, refused_fields, refused_tests
from tests.kept.searched import SEARCHES, searched
from tests.kept.tested import tests_of_the_odd_pole
from tests.kept.whole import holds_in_full, pole_in_full, walls_in_full

ROOT = Path(__file__).parents[2]
POLES = ("reedlight-7", "tallreed-11", "crookbough-5", "peerglass-8")
PLACES = ("brief", "wall?section=4", "pole", "find", "spread", "shelf", "rules", "cut", "bench", "sheet", "held",
          "wall/detail?section=4", "revisions")  # fmt: skip
OF_OTHERS = ("brief", "wall?section=2", "pole", "cut", "held")
REED = "examples/reedlight-7.toml"
READINGS = [f"--reading={each}" for each in ("500 g=1.02 mm", "1500 g=3.0 mm", "2500 g=5.03 mm")]
TIP_READINGS = [f"--reading={each}" for each in ("250 g=300 mm", "750 g=800 mm")]

COMMANDS: dict[str, tuple[str, ...]] = {
    **{f"check {pole}": ("check", f"examples/{pole}.toml", "--json") for pole in POLES},
    "wall reedlight-7": ("wall", REED, "4", "--json"),
    "wall peerglass-8": ("wall", "examples/peerglass-8.toml", "2", "--json"),
    "hold by hands": ("hold", REED, "--reach", "3", "--support", "hands", "--head", "450 g", "--json"),
    "hold whole": ("hold", REED, "--lean", "60 deg", "--wind", "9", "--head", "350 g", "--hose", "40", "--json"),
    "scatter": ("scatter", REED, "--poles", "64", "--order", "1", "--seed", "3", "--json"),
    "rank": ("rank", *(f"examples/options/reedlight-7-{c}.toml" for c in "abc"), "--json"),
    "bench tube": (
        "bench",
        "tube",
        REED,
        "--serial",
        "R7-1",
        "--section",
        "4",
        "--span",
        "1200 mm",
        *READINGS,
        "--json",
    ),
    "bench pole": (
        "bench",
        "pole",
        REED,
        "--serial",
        "R7-1",
        "--out",
        "4",
        "--prop",
        "1000 mm",
        *TIP_READINGS,
        "--json",
    ),
}
HASHES = tuple(load(ROOT / f"examples/{pole}.toml").content_hash() for pole in POLES)
PRINTED: dict[str, tuple[str, ...]] = {
    name: tuple(word for word in words if word != "--json") for name, words in COMMANDS.items()
}


def said_by(*words: str, columns: int = 132) -> str:
    """What a command prints; run from the top of the tree, with a store of its own."""
    out, before, arguments = io.StringIO(), Path.cwd(), sys.argv
    with tempfile.TemporaryDirectory() as folder, contextlib.redirect_stdout(out):
        own = {"POLEWRIGHT_STORE": f"{folder}/w.sqlite", "COLUMNS": f"{columns}", "NO_COLOR": "1"}
        kept = {name: os.environ.get(name) for name in own}
        os.environ.update(own)
        os.chdir(ROOT)
        sys.argv = ["polewright", *words]
        try:
            main()
        except SystemExit as left:
            if left.code not in (None, 0):
                raise AssertionError(f"{' '.join(words)}: exit code {left.code}") from left
        finally:
            sys.argv = arguments
            os.chdir(before)
            for name, value in kept.items():
                os.environ.pop(name) if value is None else os.environ.__setitem__(name, value)
    return out.getvalue()


def answer_of(name: str) -> dict[str, float]:
    """The numbers of one command's JSON answer."""
    return dict(by_place(json.loads(said_by(*COMMANDS[name]))))


@cache
def _taken() -> dict[str, Any]:
    """What documents and the JSON API take, as their schemas say it."""
    with workshop_with("reedlight-7") as app:
        opened = fetched(app, "/openapi.json").json()
    kinds = {kind: schema_of(kind) for kind in schema_kinds()}
    asked = {name: part for name, part in opened["components"]["schemas"].items() if name not in _parts(kinds)}
    return {**kinds, "api": opened["paths"], "asked": asked}


def limits_of_documents() -> dict[str, float]:
    """Limits and defaults of every field of every kind of document, of what the JSON API takes, of given figures."""
    given = {f"{name} {each.quantity} {each.unit}": asdict(each) for name, each in GIVEN.items()}
    return dict(by_place({**_taken(), "given": given}))


def choices_of_documents() -> dict[str, Place]:
    """What may be chosen, what is chosen unless something is said, and which fields must be there."""
    kept = re.compile(r"\.(default|const|pattern|format|type|enum\[\d+\]|required\[\d+\])$")
    return {place: text for place, text in texts_of(_taken()) if kept.search(place) and ".example" not in place}


def _parts(kinds: dict[str, Any]) -> set[str]:
    """Names of what the schemas of documents hold themselves."""
    return {name for schema in kinds.values() for name in schema.get("$defs", {})}


def changes_of_edits() -> dict[str, float]:
    """What the example of every edit changes in Reedlight 7."""
    found: dict[str, Any] = {}
    start = load(ROOT / REED)
    with tempfile.TemporaryDirectory() as folder, open_workshop(Path(folder) / "w.sqlite") as workshop:
        workshop.load_demo()
        for kind in EDITS.values():
            design = start
            for name in (*(first for each in kind.after for first in (*EDITS[each].after, each)), kind.name):
                before, design = design, workshop.edited(design, name, **EDITS[name].example)
            found[kind.name] = {
                c.field: {"was": c.before, "is": c.after} for c in changes(*map(_plain, (before, design)))
            }
    return dict(by_place(found))


def _plain(design: Any) -> dict[str, Any]:
    return dict(design.plain())


def small_search() -> dict[str, float]:
    """What Find offers for a short pole of two sections; not how long it took."""
    brief = tomllib.loads((ROOT / "examples/briefs/reedlight-7.toml").read_text(encoding="utf-8"))
    brief["brief"] = {"reach_at_least_mm": 3000, "material_cost_at_most": 60}
    brief["mandrels"] = brief["mandrels"][:3]
    brief["rolls"]["most_plies"] = 6
    brief["rolls"]["plies"] = [p for p in brief["rolls"]["plies"] if p["prepreg"] != "HM125"]
    brief.pop("sections", None)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "brief.toml"
        file.write_text(tomli_w.dumps(brief), encoding="utf-8")
        answer = json.loads(said_by("find", str(file), "--json"))
    left_out = ("second", "excluded")  # how long it took; counts under texts for people
    return {p: n for p, n in by_place(answer) if not p.startswith("search") and not any(w in p for w in left_out)}


@cache
def _pressed() -> tuple[dict[str, Place], list[Row]]:
    with tempfile.TemporaryDirectory() as folder:
        return pressed_in_turn(Path(folder))


ANSWERS: dict[str, Callable[[], Mapping[str, Place]]] = {
    **{name: partial(answer_of, name) for name in COMMANDS},
    "limits of documents": limits_of_documents,
    "choices of documents": choices_of_documents,
    "options of commands": options_of_commands,
    "changes of edits": changes_of_edits,
    "small search": small_search,
    **{f"search {name}": partial(searched, name) for name in SEARCHES},
    **{f"whole {pole}": partial(pole_in_full, pole) for pole in (*POLES, ODD)},
    **{f"walls {pole}": partial(walls_in_full, pole) for pole in ("reedlight-7", "peerglass-8", ODD)},
    **{f"holds {pole}": partial(holds_in_full, pole) for pole in (*POLES, ODD)},
    **{f"figures of {pole}": partial(figures_of_drawn_pole, pole) for pole in (*DRAWN, *FURTHER)},
    "tests of tubes and poles": measured_in_full,
    "tests drawn": drawn_tests,
    "tests of the odd pole": tests_of_the_odd_pole,
    "refused tests and holds": refused_tests,
    "requests in turn": lambda: _pressed()[0],
    "typed in inches": typed_in_inches,
    "edits tried": partial(edits_tried, 0),
    "further edits tried": partial(edits_tried, 1),
    **{f"forms of texts {language}": partial(forms_of_texts, language) for language in languages()},
    **{f"refused {kind}": partial(refused_fields, kind) for kind in PLAINS},
}
"""The numbers of answers to programs, by name."""


def printed_by(name: str) -> list[Row]:
    """The figures of what one command prints for people."""
    return in_text(said_by(*PRINTED[name]), *HASHES)


@contextlib.contextmanager
def workshop_with(pole: str) -> Iterator[Any]:
    """Pages and API over a store that holds one example pole, or over the demo workshop."""
    with tempfile.TemporaryDirectory() as folder:
        opened = Workshop(open_store(Path(folder) / "w.sqlite"), lambda: datetime(2026, 3, 1, 9, 30, tzinfo=UTC))
        with opened as workshop:
            if pole == "demo":
                workshop.load_demo()
            else:
                workshop.designs.bring_in(ROOT / f"examples/{pole}.toml")
            yield combined_app(create_pages(workshop), create_api(workshop))


def fetched(app: Any, address: str, units: str = "metric") -> httpx.Response:
    """One request in process."""

    async def once() -> httpx.Response:
        where = {"transport": httpx.ASGITransport(app=app), "base_url": "http://127.0.0.1:8420"}
        async with httpx.AsyncClient(**where, cookies={"units": units}) as client:
            return await client.get(address, follow_redirects=True)

    return _well(address, asyncio.run(once()))


def sent(app: Any, address: str, what: dict[str, Any]) -> httpx.Response:
    """One thing posted in process."""

    async def once() -> httpx.Response:
        where = {"transport": httpx.ASGITransport(app=app), "base_url": "http://127.0.0.1:8420"}
        async with httpx.AsyncClient(**where) as client:
            return await client.post(address, json=what)

    return _well(address, asyncio.run(once()))


def _well(address: str, answer: httpx.Response) -> httpx.Response:
    if answer.status_code not in (200, 201):
        raise AssertionError(f"{address}: {answer.status_code} {answer.text[:400]}")
    return answer


def page_figures(pole: str, *places: str) -> list[Row]:
    """The figures of some pages of a pole, in metric and in inches."""
    found = []
    with workshop_with("demo" if pole == "demo" else pole) as app:
        for place in places:
            for units in ("metric", "inch"):
                address = f"/poles/{'reedlight-7' if pole == 'demo' else pole}/{place}"
                found += in_page(fetched(app, address, units).text, *HASHES)
    return found


BEND = {
    "kind": "two-load bend",
    "section": 4,
    "span_mm": 1200,
    "readings": [
        {"load_g": 500, "reading_mm": 1.0},
        {"load_g": 1500, "reading_mm": 2.55},
        {"load_g": 2500, "reading_mm": 4.1},
    ],
}
TIP = {
    "kind": "tip load",
    "out": 4,
    "readings": [
        {"load_g": 250, "reading_mm": 300},
        {"load_g": 500, "reading_mm": 540},
        {"load_g": 750, "reading_mm": 800},
    ],
}


def tested_figures() -> list[Row]:
    """The figures of the bench with two tests kept, one of which reads low."""
    found = []
    with workshop_with("reedlight-7") as app:
        for test in (BEND, TIP):
            record = {"document": "test-record", "schema_version": 1, "serial": "R7-1", "test": test}
            sent(app, "/api/poles/reedlight-7/tests", {"record": record})
        for units in ("metric", "inch"):
            found += in_page(fetched(app, "/poles/reedlight-7/bench", units).text, *HASHES)
    return found


def paper_figures(pole: str) -> list[Row]:
    """The figures of the buyer's sheet in metric and in inches, read out of its PDF."""
    found = []
    with tempfile.TemporaryDirectory() as folder:
        for units in ("metric", "inch"):
            said_by("sheet", f"examples/{pole}.toml", "--out", f"{folder}/{units}.pdf", "--units", units)
            found += in_text(_text_of(Path(folder) / f"{units}.pdf"), *HASHES)
    return found


def kit_figures(pole: str) -> list[Row]:
    """The figures of every file of the kit: cards read out of their PDF, plots and lists as they are."""
    found = []
    with tempfile.TemporaryDirectory() as folder:
        for_odd = ("--reason", "kept figures", "--store", f"{folder}/workshop.sqlite") if pole == ODD else ()
        said_by("kit", file_of(pole, Path(folder)), "--out", f"{folder}/kit", *for_odd)
        for file in sorted(Path(folder, "kit").rglob("*")):
            if file.suffix == ".pdf":
                found += in_text(_text_of(file), *HASHES)
            elif file.suffix in {".csv", ".plt", ".svg"}:
                found += in_text(re.sub('[,;A-Za-z<>/="]', " ", file.read_text(encoding="utf-8")))
    return found


def file_of(pole: str, folder: Path) -> str:
    """The file of an example pole; that of the odd one is written to the folder."""
    if pole != ODD:
        return f"examples/{pole}.toml"
    (folder / f"{ODD}.toml").write_text(dump_toml(odd_pole()), encoding="utf-8")
    return f"{folder}/{ODD}.toml"


def _text_of(file: Path) -> str:
    command = ["pdftotext", "-layout", str(file), "-"]
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout


def can_read_papers() -> bool:
    """Whether the tool that reads PDFs is here."""
    return shutil.which("pdftotext") is not None


TEXTS: dict[str, Callable[[], list[Row]]] = {
    **{f"{name} printed": partial(printed_by, name) for name in PRINTED},
    **{f"page {place} of reedlight-7": partial(page_figures, "reedlight-7", place) for place in PLACES},
    **{f"pages of {pole}": partial(page_figures, pole, *OF_OTHERS) for pole in POLES[1:]},
    "page bench with tests": tested_figures,
    "pages asked for": lambda: _pressed()[1],
    "pages of the demo": partial(page_figures, "demo", "shelf", "bench", "rules"),
    **{f"sheet of {pole}": partial(paper_figures, pole) for pole in POLES},
    **{f"kit of {pole}": partial(kit_figures, pole) for pole in ("reedlight-7", "peerglass-8", ODD)},
}
"""What is printed for people, by name."""
