"""What pages and the API say in the language made of codes: rows of every place, states of the work, refusals."""

import tempfile
from functools import cache
from pathlib import Path

import httpx

from tests.kept.coded import in_codes, plain_text, rows_of_page, texts_of
from tests.kept.drawn import drawn_pole
from tests.kept.figures import Place, Row
from tests.kept.odd import ODD, odd_pole
from tests.kept.pictures import each_once
from tests.kept.pressed import ASKED, POLE, STEPS, Visits
from tests.web.waiting import PATIENCE

PLACES = ("brief", "wall?section=4", "wall?section=1", "pole", "find", "spread", "shelf", "rules", "cut?section=2",
          "bench", "sheet", "held", "wall/detail?section=4", "revisions")  # fmt: skip
JOBS_OF = "crookbough-5"
JOBS_SEEN = ("find", "find?n=0", "find?n=1", "find?n=2", "spread")
OF_ODD = ("brief", "wall?section=2", "wall?section=4", "pole", "pole?out=2", "rules", "held", "cut?section=3", "bench",
          "held?depth=1&out=2&lean_deg=20&head_g=300&support=hands", "wall/detail?section=2",
          "sheet", "shelf", "held?depth=1&support=head%20on%20glass&lean_deg=60&head_g=400&slide=down",
          "held?depth=1&support=head%20on%20glass&lean_deg=60&head_g=400&slide=up&push_N=30",
          "compare?beside=tallreed-11", "compare?beside=peerglass-8")  # fmt: skip
OF_DRAWN = ("brief", "wall?section=1", "pole", "rules", "bench", "cut?section=2", "wall/detail?section=2",
            "held?depth=1&wind_m_s=0.5&hose_g_m=0.4&across_N=0.4&lean_deg=85", "sheet",
            "compare?beside=peerglass-8")  # fmt: skip
DRAWN_SEEN = ("drawn-0", "drawn-2", "drawn-6", "drawn-10")
OF_OTHERS = ("brief", "wall?section=2", "pole", "rules", "held", "shelf")
OTHERS = ("tallreed-11", "crookbough-5", "peerglass-8")


def _page(address: str, answer: httpx.Response) -> list[tuple[str, str]]:
    is_page = answer.status_code == 200 and answer.headers["content-type"].startswith("text/html")
    return [(address, answer.text)] if is_page else []


@cache
def _seen() -> tuple[list[tuple[str, str]], dict[str, Place]]:
    """Pages by their address, and texts of answers to programs and of refusals, in turn."""
    pages, texts = list[tuple[str, str]](), dict[str, Place]()
    with in_codes(), tempfile.TemporaryDirectory() as folder:
        visits = Visits(Path(folder))
        try:
            for place in PLACES:
                for units in ("metric", "inch"):
                    address = f"{POLE}/{place}"
                    pages += _page(f"{units} {place}", visits.send("GET", address, units))
            for pole in OTHERS:
                for place in OF_OTHERS:
                    pages += _page(f"{pole} {place}", visits.send("GET", f"/poles/{pole}/{place}", "metric"))
            for i, (units, address, form) in enumerate(STEPS):
                seen = visits.pages.state.drafts.look("reedlight-7").seen
                answer = visits.send("POST", address, units, {"seen": seen, **form})
                texts |= _texts(f"{i} {units} {address}", answer)
            for address in (*ASKED, *(f"{POLE}/{place}" for place in PLACES)):
                answer = visits.send("GET", address, "inch" if "held" in address else "metric")
                pages += _page(f"then {address.removeprefix(POLE)}", answer)
                texts |= _texts(address, answer)
            _run_jobs(visits)
            for place in JOBS_SEEN:
                for units in ("metric", "inch"):
                    pages += _page(f"{units} {place}", visits.send("GET", f"/poles/{JOBS_OF}/{place}", units))
            visits.workshop.designs.brought_in(odd_pole())
            visits.send("POST", f"/poles/{ODD}/shelf/keep", "metric", {"kind": "mandrel", "name": "T0"})
            for place in OF_ODD:
                for units in ("metric", "inch"):
                    pages += _page(f"{units} odd {place}", visits.send("GET", f"/poles/{ODD}/{place}", units))
            pages += _drawn_pages(visits)
        finally:
            visits.workshop.close()
    return pages, texts


def _drawn_pages(visits: Visits) -> list[tuple[str, str]]:
    """Pages of poles that were drawn by a seed."""
    pages = list[tuple[str, str]]()
    for pole in DRAWN_SEEN:
        visits.workshop.designs.brought_in(drawn_pole(pole))
        for place in OF_DRAWN:
            pages += _page(f"{pole} {place}", visits.send("GET", f"/poles/{pole}/{place}", "metric"))
    return pages


def _run_jobs(visits: Visits) -> None:
    """A search and a sampling of a pole, to their ends."""
    workshop = visits.workshop
    design = workshop.designs.open(JOBS_OF).saved.design
    visits.send("POST", f"/poles/{JOBS_OF}/find", "metric", {})
    search = workshop.searches.latest(JOBS_OF)
    sampling = workshop.samplings.start(JOBS_OF, design, poles=64, order=12)
    for job in (search, sampling):
        done = workshop.jobs.wait(job.number if job else 0, PATIENCE)
        if done.state != "done":
            raise AssertionError(f"{done.kind}: {done.state} {done.faults}")


def _texts(name: str, answer: httpx.Response) -> dict[str, Place]:
    kind = answer.headers.get("content-type", "")
    if kind.startswith("application/json"):
        return {f"{name}: {place}": text for place, text in texts_of(answer.json())}
    if answer.status_code >= 400:
        return {f"{name}: row {i}": " | ".join(row) for i, row in enumerate(rows_of_page(answer.text))}
    return {f"{name}: to": plain_text(answer.headers["location"])} if "location" in answer.headers else {}


def pages_in_codes() -> list[Row]:
    """Rows of pages, each where it comes first: what stands beside what, what fields of forms are called and hold."""
    rows = [(address, *row) for address, page in _seen()[0] for row in rows_of_page(page)]
    first = {row[1:]: row for row in reversed(rows)}
    return [row for row in rows if first.pop(row[1:], None) is row]


def pictures_in_codes() -> dict[str, Place]:
    """Where the shapes of drawings stand, and what pages tell their own script."""
    return each_once(_seen()[0])


def answers_in_codes() -> dict[str, Place]:
    """Texts of the API's answers and of refusals."""
    return _seen()[1]
