"""What pages and the API answer to requests, one after the other: statuses, fields refused, what the draft becomes."""

import asyncio
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Any

import httpx

from polewright.api import create_api
from polewright.store import open_store
from polewright.units import from_si, parse, quantity_of_field
from polewright.web import combined_app, create_pages
from polewright.web.changes import kept
from polewright.words import Reader
from polewright.workshop import EDITS, Workshop, changes
from tests.kept.figures import Place, Row, in_page
from tests.kept.refused import numbers_of, refusal_of
from tests.kept.whole import design_of, places_in

POLE = "/poles/reedlight-7"
SET = "wall/edit?section=4"
Pressed = tuple[str, str, dict[str, str]]
TYPED: tuple[Pressed, ...] = tuple(
    (units, f"{POLE}/{SET}", {"edit": "set_field", "path": path, "text": text})
    for path, text in (
        ("sections[3].stack[1].turns", "5"), ("sections[3].stack[1].turns", "99"),
        ("joints[0].overlap_mm", "8 in"), ("joints[0].overlap_mm", "9"), ("tip_fitting_g", "3.5"),
        ("brief.mass_at_most_g", ""), ("setting.prop_mm", "40"), ("materials[0].id", "AB150"), ("nothing", "2"))
    for units in ("metric", "inch")
)  # fmt: skip
STEPS: tuple[Pressed, ...] = (
    *TYPED,
    ("metric", f"{POLE}/{SET}", {"edit": "add_ply", "section": "3", "place": "1"}),
    ("metric", f"{POLE}/{SET}", {"edit": "undo"}),
    ("metric", f"{POLE}/{SET}", {"edit": "undo"}),
    ("metric", f"{POLE}/{SET}", {"edit": "redo"}),
    ("metric", f"{POLE}/{SET}", {"edit": "no such edit"}),
    ("inch", f"{POLE}/rules/edit", {"edit": "set_field", "path": "setting.rules[0].limit", "text": "2"}),
    ("metric", f"{POLE}/revisions", {"note": "first", "who": "me"}),
    ("metric", f"{POLE}/revisions/1/return", {}),
    ("metric", f"{POLE}/revisions/9/return", {}),
    ("metric", f"{POLE}/forget", {}),
    ("metric", f"{POLE}/find/edit", {"edit": "undo"}),
    ("metric", f"{POLE}/spread", {"copies": "0", "order": "10"}),
    ("metric", f"{POLE}/spread", {"copies": "64", "order": "10001"}),
    ("metric", f"{POLE}/spread", {"copies": "64", "order": "x"}),
    ("metric", f"{POLE}/shelf/keep", {"kind": "material", "name": "TH55"}),
    ("metric", f"{POLE}/shelf/keep", {"kind": "mandrel", "name": "M23-A"}),
    ("metric", f"{POLE}/shelf/keep", {"kind": "mandrel", "name": "TH55"}),
    ("metric", f"{POLE}/shelf/off", {"entry": "1"}),
    ("metric", f"{POLE}/shelf/back", {"entry": "1"}),
    ("metric", f"{POLE}/shelf/back", {"entry": "-1"}),
    ("metric", f"{POLE}/shelf/off", {"entry": "x"}),
    *(
        (units, f"{POLE}/tests", {"kind": "two-load bend", "section": section, "span_mm": span, "serial": serial,
                                  **{f"load_g-{i}": f"{load}" for i, load in enumerate(loads)},
                                  **{f"reading_mm-{i}": f"{load * 0.0017}" for i, load in enumerate(loads)}})
        for units, section, span, serial, loads in (
            ("metric", "4", "1200", "R7-1", (500, 1500, 2500)), ("inch", "4", "47", "R7-2", (17, 52, 88)),
            ("metric", "9", "1200", "R7-1", (500, 1500)), ("metric", "4", "1200", "", (500, 1500)),
            ("metric", "4", "x", "R7-1", (500,)), ("metric", "4", "5000", "R7-1", (500, 1500)))
    ),
    ("metric", "/units", {"units": "inch", "back": "/poles/reedlight-7/wall"}),
    ("metric", "/units", {"units": "inch", "back": "//elsewhere"}),
    ("metric", "/units", {"units": "ells", "back": "/"}),
    ("metric", "/language", {"language": "de", "back": "/"}),
    ("metric", "/poles", {"name": "Reedlight 7 B", "from": "reedlight-7"}),
    ("metric", "/poles", {"name": ""}),
    ("metric", f"{POLE}/held/stop", {}),
    *(
        (units, f"{POLE}/shelf/edit", {"edit": "set_field", "path": path, "text": text})
        for units, path, text in (
            ("metric", "materials[0].id", "AB151"), ("metric", "mandrels[1].id", "Q1"),
            ("inch", "mandrels[9].id", "Q9"),
            ("inch", "materials[0].price_per_m2", "41"), ("inch", "mandrels[0].profile[0].diameter_mm", "0.87"),
            ("metric", "materials[1].lot", "L-7"), ("metric", "materials[0].given[0].value", "x"))
    ),
    *(
        ("metric", f"{POLE}/{place}/edit", {"edit": name, **{field: str(value) for field, value in flat.items()}})
        for name, kind in EDITS.items()
        if (flat := dict(kind.example)) and not any(isinstance(value, dict | list) for value in flat.values())
        for place in ("pole", "shelf")
    ),
    ("metric", f"{POLE}/forget", {}),
    *TYPED,
)  # fmt: skip
ASKED = (
    "/", f"{POLE}/wall?section=0", f"{POLE}/wall?section=5", f"{POLE}/wall?section=6", f"{POLE}/wall?section=13",
    f"{POLE}/pole?out=0", f"{POLE}/pole?out=2", f"{POLE}/pole?out=11", f"{POLE}/pole?out=12", f"{POLE}/nowhere",
    "/poles/nothing/wall", f"{POLE}/held?depth=3",
    f"{POLE}/held?depth=1&lean_deg=30&support=hands&head_g=500&wind_m_s=6",
    f"{POLE}/held?depth=1&reach_mm=4000&order=thick&temperature_C=45&support=clamped",
    f"{POLE}/held?depth=1&support=head%20on%20glass&slide=up&push_N=20", f"{POLE}/held?wind_m_s=41",
    f"{POLE}/kit/section/4/cut.svg", f"{POLE}/file/reedlight-7.toml?number=1", f"{POLE}/file/reedlight-7.json?number=2",
    f"{POLE}/drawing.svg", f"{POLE}/wall/detail?section=2", "/words", "/jobs",
    "/api/poles", "/api/poles/reedlight-7", "/api/poles/reedlight-7/revisions", "/api/poles/reedlight-7/revisions/2",
    "/api/poles/reedlight-7/differences?before=1&after=2", "/api/shelf", "/api/tests", "/api/tests/1",
    "/api/tests/1/result",
    "/api/tests/99", "/api/schemas",
)  # fmt: skip


class Visits:
    """A demo workshop that is pressed and asked, with a clock that stands."""

    def __init__(self, folder: Path) -> None:
        self.workshop = Workshop(open_store(folder / "w.sqlite"), lambda: datetime(2026, 3, 1, 9, 30, tzinfo=UTC))
        self.workshop.load_demo()
        self.pages = create_pages(self.workshop)
        self.app = combined_app(self.pages, create_api(self.workshop))

    def send(self, method: str, address: str, units: str, form: dict[str, str] | None = None) -> httpx.Response:
        """One request."""

        async def once() -> httpx.Response:
            where = {"transport": httpx.ASGITransport(app=self.app), "base_url": "http://127.0.0.1:8420"}
            heads = {"accept": "application/json, text/html"}
            async with httpx.AsyncClient(**where, cookies={"units": units}, headers=heads) as client:
                return await client.request(method, address, data=form)

        return asyncio.run(once())

    def press(self, step: Pressed) -> dict[str, Place]:
        """Status, where it leads, what is refused, and what the work at hand became."""
        units, address, form = step
        before = self._plain()
        seen = self.pages.state.drafts.look("reedlight-7").seen
        answer = self.send("POST", address, units, {"seen": seen, **form})
        found: dict[str, Place] = {"status": float(answer.status_code), "to": answer.headers.get("location", "")}
        if answer.headers.get("content-type", "").startswith("application/json"):
            found["faults"] = " ".join(fault["field"] for fault in answer.json().get("faults", ()))
        rows = changes(before, self._plain())
        return found | dict(places_in({c.field: [c.before, c.after] for c in rows}))

    def hashes(self) -> list[str]:
        """Those of the pole's revisions and of the work at hand."""
        saved = [
            self.workshop.designs.revision("reedlight-7", card.number)
            for card in self.workshop.designs.revisions("reedlight-7")
        ]
        designs = [*(each.design for each in saved), self.pages.state.drafts.look("reedlight-7").design]
        return [each.content_hash() for each in designs]

    def _plain(self) -> dict[str, Any]:
        opened = self.workshop.designs.open("reedlight-7")
        return dict(opened.draft.plain if opened.draft is not None else opened.saved.design.plain())


def pressed_in_turn(folder: Path) -> tuple[dict[str, Place], list[Row]]:
    """What every step does, and what is then answered to what is asked: numbers by place, and rows of figures."""
    visits, found, rows = Visits(folder), dict[str, Place](), list[Row]()
    try:
        for i, step in enumerate(STEPS):
            found |= {f"{i} {step[0]} {step[1]}: {place}": each for place, each in visits.press(step).items()}
        for address in ASKED:
            answer = visits.send("GET", address, "inch" if "held" in address else "metric")
            found[f"{address}: status"] = float(answer.status_code)
            if answer.status_code == 200 and answer.headers["content-type"].startswith("text/html"):
                rows += in_page(answer.text, *visits.hashes())
            elif answer.headers.get("content-type", "").startswith("application/json"):
                found |= {f"{address}: {place}": each for place, each in places_in({"is": answer.json()})}
    finally:
        visits.workshop.close()
    return found, rows


def typed_in_inches() -> dict[str, Place]:
    """What is kept where 2 is typed into each number of a pole on a page in inches, and where nothing is."""
    found, inches = dict[str, Place](), Reader(system="inch")
    for way in numbers_of(dict(design_of("reedlight-7").plain())):
        path = "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in way).removeprefix(".")
        for text in ("2", ""):
            told = refusal_of(f"{path} {text!r}", partial(kept, path, text, inches))
            found |= told
            if "passes" in told.values():
                found[f"{path}: {text!r}"] = _number(str(way[-1]), kept(path, text, inches))
    return found


def _number(field: str, text: str | None) -> Place:
    """What a document reads in a field for the text of a page; a bare number is the text itself."""
    quantity = quantity_of_field(field)
    is_bare = text is None or quantity is None or text.replace(".", "").isdigit()
    return (text or 0.0) if is_bare else from_si(field, parse(str(text), str(quantity)))
