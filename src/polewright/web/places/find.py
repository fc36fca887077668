"""The find place: how the search stands, the trade as a plot, the pole that is looked at beside the present one."""

import re
from dataclasses import dataclass, replace

from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.find_of import Answer
from polewright.documents.found import Count, FoundFigures, Money, OfferFigures, Way
from polewright.drawings.front import FrontPoint, front_drawing
from polewright.drawings.pole import pole_drawing
from polewright.errors import PolewrightError
from polewright.units import display_unit, from_, to
from polewright.web.job_lines import job_line
from polewright.web.say import pretty, stacked
from polewright.web.sight import Sight, Sights
from polewright.words import Reader, default_reader
from polewright.words.findings import FindingText, finding_text
from polewright.workshop import Job
from polewright.workshop.scene import pole_scene, with_ghost

__all__ = ["FindView", "ShownPole", "chosen_design", "find_view", "refusal"]


@dataclass(frozen=True, slots=True)
class ShownPole:
    """One found pole in the units asked for: `place` is 0 for the best, else its number on the trade.

    looks : what its full check says to look at, beside the brief; told of the one that is looked at alone.
    """

    place: int
    name: str
    figures: tuple[tuple[str, str], ...]
    sections: tuple[tuple[str, str], ...]
    misses: tuple[str, ...]
    looks: tuple[FindingText, ...] = ()
    drawing: str = ""
    hand_drawing: str = ""


@dataclass(frozen=True, slots=True)
class FindView:
    """All that the place shows. doing : nothing where no search is under way. is_stale : the answer is for an older
    state of the pole.
    """

    doing: str
    fault: str
    is_stale: bool
    says: str
    plot: str
    hand_plot: str
    chosen: ShownPole | None
    poles: tuple[ShownPole, ...]
    counts: tuple[Count, ...]
    proof: str
    model: str
    money: tuple[Money, ...]
    offers: tuple[OfferFigures, ...]
    conflict: tuple[str, ...]
    ways: tuple[Way, ...]
    notes: tuple[str, ...]
    currency: str
    can_go_on: bool = False
    shelf: str = "own"


def chosen_design(answer: Answer, place: int) -> Design | None:
    """The best pole (0), or one of the trade by its number."""
    if place == 0:
        return answer.best
    return answer.front[place - 1] if 1 <= place <= len(answer.front) else None


def find_view(
    sights: Sights, sight: Sight, job: Job | None, answer: Answer | None, chosen: int = 0, *, shelf: str = "own"
) -> FindView:
    """The place as the newest search stands; `shelf` is where it was asked to look, for the next one to begin from."""
    doing = "" if job is None or not job.is_under_way else job_line(job, sight.reader)
    fault = "" if job is None or job.is_under_way else refusal(_faults(job, sight.reader), shelf)
    can_go_on = job is not None and job.can_go_on
    if job is None or job.is_under_way or answer is None:
        return FindView(
            doing,
            fault,
            False,
            "",
            "",
            "",
            None,
            (),
            (),
            "",
            "",
            (),
            (),
            (),
            (),
            (),
            sight.design.setting.currency,
            can_go_on,
            shelf,
        )
    report = answer.report
    kept = [(0, report.best)] if report.best is not None else []
    kept += [
        (i, row)
        for i, row in enumerate(report.front, 1)
        if report.best is None or row.stacks != report.best.stacks or row.mandrels != report.best.mandrels
    ]
    places, rows = [place for place, _ in kept], [row for _, row in kept]
    poles = tuple(_shown(sight, row, place) for row, place in zip(rows, places, strict=True))
    looked = next((p for p in poles if p.place == chosen), None)
    return FindView(
        doing,
        fault,
        job.about != sight.design.content_hash(),
        f"least {report.aim} within the brief" if report.best is not None else "no pole meets this brief",
        _plot(sight, rows, places, chosen),
        _plot(sight, rows, places, chosen, phone=True),
        _drawn(sights, sight, answer, looked),
        poles,
        report.counts,
        _proof(answer),
        report.bound_model,
        report.money,
        report.offers,
        report.conflict,
        report.ways,
        report.notes,
        report.currency,
        can_go_on,
        shelf,
    )


def _faults(job: Job, reader: Reader) -> str:
    return "\n".join(reader.fault(*fault) for fault in job.faults)


def refusal(fault: str, shelf: str) -> str:
    """Why there was no search; one too long for a page says what can be done here about it."""
    if ": fewer rolls.plies" not in fault:
        return fault.removeprefix("search: ")
    size, _, _ = fault.removeprefix("search is ").partition(": fewer rolls.plies")
    less = (
        "search this pole's own prepregs and mandrels, or take onto its shelf only those worth a try"
        if shelf == "workshop"
        else "take prepregs and mandrels that are not worth a try off this pole's shelf"
    )
    return f"{_grouped(size)}: longer than a search from this page may take. What helps: {less}."


def _grouped(words: str) -> str:
    """Counts with thousands parted as on every page."""
    return re.sub(r"(?<=\d),(?=\d{3})", "\u202f", words)


def _proof(answer: Answer) -> str:
    report = answer.report
    if report.best is None:
        return "complete: it is proved that there is none" if report.is_complete else "stopped before a pole was found"
    if report.best.gap_pct is None:
        return ""
    lead = "nothing can be better by more than" if report.is_complete else "stopped; better by at most, as proved,"
    return f"{lead} {report.best.gap_pct:.2f} %"


def _shown(sight: Sight, row: FoundFigures, place: int) -> ShownPole:
    system, money = sight.system, sight.design.setting.currency
    length, mass = display_unit("length", system), display_unit("mass", system)
    digits = 0 if system == "metric" else 2

    def long(value: float, few: int = digits) -> str:
        return f"{to(from_(value, 'mm'), length):.{few}f} {length}"

    figures = (
        ("droop", long(row.droop_mm)),
        ("mass", f"{to(from_(row.mass_g, 'g'), mass):.{digits}f} {mass}"),
        ("cost", f"{row.material_cost:.0f} {money}"),
        ("grip outside", long(row.base_outside_mm, 1 + digits)),
        ("closed", long(row.closed_mm)),
        ("gap", "" if row.gap_pct is None else f"{row.gap_pct:.2f} %"),
    )
    return ShownPole(
        place,
        "best" if place == 0 else f"no. {place}",
        figures,
        tuple(zip(row.mandrels, map(stacked, row.stacks), strict=True)),
        row.misses,
    )


def _drawn(sights: Sights, sight: Sight, answer: Answer, looked: ShownPole | None) -> ShownPole | None:
    """The pole that is looked at, drawn as it hangs, with the present one dotted behind it."""
    design = None if looked is None else chosen_design(answer, looked.place)
    if looked is None or design is None:
        return looked
    try:
        found = sights.checked(design)
        now = pole_scene(sight.design, sight.now.work)
        scene = with_ghost(pole_scene(design, found.work), now, Message("scene.present"))
        looks = tuple(
            finding_text(f, sight.reader)
            for f in found.check.findings
            if not f.holds and finding_text(f, default_reader(), is_short=True).says not in looked.misses
        )
        drawings = (pole_drawing(scene, sight.reader), pole_drawing(scene, sight.reader, phone=True))
        return replace(looked, looks=looks, drawing=drawings[0], hand_drawing=drawings[1])
    except PolewrightError:
        return looked


def _plot(sight: Sight, rows: list[FoundFigures], places: list[int], chosen: int, *, phone: bool = False) -> str:
    if not rows:
        return ""
    slug, system, money = sight.table.slug, sight.system, sight.design.setting.currency
    length, p = display_unit("length", system), sight.check.pole
    points = [
        FrontPoint(
            row.material_cost,
            to(from_(row.droop_mm, "mm"), length),
            row.mass_g,
            "best" if place == 0 else str(place),
            f"{'best' if place == 0 else f'no. {place}'}: droop {row.droop_mm:.0f} mm, "
            f"{row.mass_g:.0f} g, {row.material_cost:.0f} {money}",
            f"/poles/{slug}/find?n={place}#looked",
            not row.misses,
            place == chosen,
        )
        for row, place in zip(rows, places, strict=True)
    ]
    points.append(
        FrontPoint(
            p.material_cost,
            to(p.droop, length),
            to(p.mass, "g"),
            "present pole",
            f"present pole: droop {to(p.droop, 'mm'):.0f} mm, {to(p.mass, 'g'):.0f} g, {p.material_cost:.0f} {money}",
            is_present=True,
        )
    )
    return front_drawing(
        points,
        sight.reader,
        across=f"material cost {money}",
        up=f"droop {pretty(length)}",
        weight="mass",
        title="The trade between cost, droop and mass",
        phone=phone,
    )
