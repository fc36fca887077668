"""The find place: how the search stands, the trade as a plot, the pole that is looked at beside the present one."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Annotated, Any, Literal

from pydantic import Field

from polewright.codes import Message
from polewright.drawings.front import FrontPoint, front_drawing
from polewright.drawings.pole import pole_drawing
from polewright.errors import PolewrightError
from polewright.web.job_lines import job_line
from polewright.web.page_state import PageState, PageStates
from polewright.web.place_kind import ActionRequest, PlaceKind, PlaceQuery, PlaceRequest
from polewright.words import Reader
from polewright.words.find import conflict_text, count_text, miss_texts, offer_text, plies_text, proof_text, way_text
from polewright.words.findings import FindingText, finding_text
from polewright.workshop import FindAnswer, FoundDesign, Job
from polewright.workshop.scene import pole_scene, with_ghost
from polewright.workshop.searches import found_pole

__all__ = ["PLACE", "AnswerView", "FindView", "ShownPole", "fault_text", "find_view"]


class FindQuery(PlaceQuery):
    """Which pole is looked at, 0 the best, and where the next search looks."""

    n: Annotated[int, Field(ge=0, le=1000)] = 0
    shelf: Literal["own", "workshop"] = "own"


@dataclass(frozen=True, slots=True)
class ShownPole:
    """One found pole for its reader: `place` is 0 for the best, else its number on the trade.

    figures : by the code of their names. looks : what its full check says to look at, beside the brief; told of the
    one that is looked at alone.
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
class MoneyRow:
    """What money does in one section, for the reader."""

    section: int
    saved: str
    cost: str
    rate: str
    plies: str


@dataclass(frozen=True, slots=True)
class AnswerView:
    """What the search found; `is_stale`: for an older state of the pole."""

    is_stale: bool
    title: str
    proof: str
    counts: tuple[str, ...]
    model: str
    conflict: tuple[str, ...]
    ways: tuple[str, ...]
    notes: tuple[str, ...]
    plot: str
    hand_plot: str
    chosen: ShownPole | None
    poles: tuple[ShownPole, ...]
    offers: tuple[str, ...]
    money: tuple[MoneyRow, ...]
    currency: str


@dataclass(frozen=True, slots=True)
class FindView:
    """All that the place shows. doing : nothing where no search is under way. shelf : where the next one looks."""

    doing: str
    faults: tuple[str, ...]
    can_resume: bool
    shelf: str
    answer: AnswerView | None


def find_view(
    states: PageStates,
    state: PageState,
    job: Job | None,
    answer: FindAnswer | None,
    chosen: int = 0,
    *,
    shelf: str = "own",
) -> FindView:
    """The place as the newest search stands."""
    is_running = job is not None and job.is_under_way
    return FindView(
        doing=job_line(job, state.reader) if job is not None and is_running else "",
        faults=() if job is None or is_running else tuple(fault_text(f, shelf, state.reader) for f in job.faults),
        can_resume=job is not None and job.can_go_on,
        shelf=shelf,
        answer=None if job is None or is_running or answer is None else _answer(states, state, job, answer, chosen),
    )


def fault_text(fault: tuple[str, object, Message | str], shelf: str, reader: Reader) -> str:
    """Why there was no search; one too long for a page says what can be done here about it."""
    field, value, want = fault
    if isinstance(want, Message) and want.code == "want.shorter_search":
        less = "place.find.shorter.workshop" if shelf == "workshop" else "place.find.shorter.own"
        return reader.say("place.find.too_long", size=value, less=Message(less))
    return reader.fault("" if field == "search" else field, value, want)


def _answer(states: PageStates, state: PageState, job: Job, answer: FindAnswer, chosen: int) -> AnswerView:
    reader, currency = state.reader, answer.currency
    kept = _kept(answer)
    poles = tuple(_shown(pole, place, currency, reader) for place, pole in kept)
    looked = next((p for p in poles if p.place == chosen), None)
    title = "place.find.no_pole" if answer.best is None else f"place.find.best.{answer.aim}"
    return AnswerView(
        is_stale=job.about != state.design.content_hash(),
        title=reader.say(title),
        proof=proof_text(answer, reader),
        counts=tuple(count_text(count, reader) for count in answer.counts),
        model=reader.text(answer.model),
        conflict=tuple(conflict_text(wish, currency, reader) for wish in answer.conflict),
        ways=tuple(way_text(way, currency, reader) for way in answer.ways),
        notes=tuple(map(reader.text, answer.notes)),
        plot=_plot(state, kept, currency, chosen),
        hand_plot=_plot(state, kept, currency, chosen, phone=True),
        chosen=None if looked is None else _drawn(states, state, answer, looked),
        poles=poles,
        offers=tuple(offer_text(offer, currency, reader) for offer in answer.offers),
        money=_money(answer, reader),
        currency=currency,
    )


def _kept(answer: FindAnswer) -> list[tuple[int, FoundDesign]]:
    """The best pole, and those of the trade that are not the same pole, by their places."""
    best = answer.best
    front = [
        (place, pole)
        for place, pole in enumerate(answer.front, 1)
        if best is None or pole.stacks != best.stacks or pole.mandrels != best.mandrels
    ]
    return front if best is None else [(0, best), *front]


def _name(place: int) -> Message:
    return Message("place.find.pole.best") if place == 0 else Message("place.find.pole.other", number=place)


def _shown(pole: FoundDesign, place: int, currency: str, reader: Reader) -> ShownPole:
    figures = (
        ("droop", reader.quantity(pole.droop, "length", 0, 2)),
        ("mass", reader.quantity(pole.mass, "mass", 0, 2)),
        ("cost", reader.say("find.money", amount=pole.material_cost, currency=currency)),
        ("base", reader.quantity(pole.base_outside, "length", 1, 3)),
        ("closed", reader.quantity(pole.closed, "length", 0, 2)),
        ("gap", "" if pole.gap is None else reader.say("place.find.gap", gap=pole.gap)),
    )
    return ShownPole(
        place=place,
        name=reader.text(_name(place)),
        figures=figures,
        sections=tuple(zip(pole.mandrels, (plies_text(stack, reader) for stack in pole.stacks), strict=True)),
        misses=miss_texts(pole, reader),
    )


def _money(answer: FindAnswer, reader: Reader) -> tuple[MoneyRow, ...]:
    return tuple(
        MoneyRow(
            section=row.section,
            saved=reader.bare(row.droop_saved, "length", 0, 2),
            cost=reader.number(row.cost, 0),
            rate=reader.bare(row.rate, "length", 2, 3),
            plies=plies_text(row.stack, reader),
        )
        for row in answer.money
    )


def _drawn(states: PageStates, state: PageState, answer: FindAnswer, looked: ShownPole) -> ShownPole:
    """The pole that is looked at, drawn as it hangs, with the present one dotted behind it."""
    pole = found_pole(answer, looked.place)
    if pole is None:
        return looked
    try:
        found = states.checked(pole.design)
        now = pole_scene(state.design, state.now.work)
        scene = with_ghost(pole_scene(pole.design, found.work), now, Message("scene.present"))
        missed = {(f.code, f.subjects) for f in pole.misses}
        looks = (f for f in found.check.findings if not f.holds and (f.code, f.subjects) not in missed)
        return replace(
            looked,
            looks=tuple(finding_text(f, state.reader) for f in looks),
            drawing=pole_drawing(scene, state.reader),
            hand_drawing=pole_drawing(scene, state.reader, phone=True),
        )
    except PolewrightError:
        return looked


def _plot(
    state: PageState, kept: list[tuple[int, FoundDesign]], currency: str, chosen: int, *, phone: bool = False
) -> str:
    if not kept:
        return ""
    reader, present = state.reader, state.check.pole

    def words(name: Message, droop: float, mass: float, cost: float) -> Message:
        return Message("place.find.point", name=name, droop=droop, mass=mass, cost=cost, currency=currency)

    points = [
        FrontPoint(
            across=pole.material_cost,
            up=reader.in_unit(pole.droop, "length"),
            weight=pole.mass,
            label=_name(0) if place == 0 else str(place),
            words=words(_name(place), pole.droop, pole.mass, pole.material_cost),
            href=f"/poles/{state.table.slug}/find?n={place}#looked",
            is_met=not pole.misses,
            is_chosen=place == chosen,
        )
        for place, pole in kept
    ]
    name = Message("place.find.pole.present")
    points.append(
        FrontPoint(
            across=present.material_cost,
            up=reader.in_unit(present.droop, "length"),
            weight=present.mass,
            label=name,
            words=words(name, present.droop, present.mass, present.material_cost),
            is_present=True,
        )
    )
    return front_drawing(
        points,
        reader,
        across=reader.say("place.find.plot.across", currency=currency),
        up=reader.say("place.find.plot.up", unit=reader.unit("length")),
        weight=reader.say("place.find.figure.mass"),
        title=reader.say("place.find.plot.title"),
        phone=phone,
    )


def _values(request: PlaceRequest) -> dict[str, Any]:
    searches, query = request.workshop.searches, request.query
    job = searches.latest(request.slug)
    answer = None if job is None or job.is_under_way else searches.answer(request.slug)
    return {"find": find_view(request.states, request.state, job, answer, query.n, shelf=query.shelf)}


def _start(request: ActionRequest) -> str:
    """Search for the best pole within the brief of the one at hand."""
    design, is_whole = request.drafts.look(request.slug).design, request.form.get("shelf") == "workshop"
    request.workshop.searches.start(request.slug, design, is_whole_shop=is_whole)
    return _address(request.slug, request.form)


def _stop(request: ActionRequest) -> str:
    """Keep the best so far and end."""
    request.workshop.searches.stop(request.slug)
    return _address(request.slug, request.form)


def _resume(request: ActionRequest) -> str:
    """Resume the search where it was stopped."""
    request.workshop.searches.resume(request.slug)
    return _address(request.slug, request.form)


def _take(request: ActionRequest) -> str:
    """The pole that is looked at as a further revision of this one; what was at hand stays in the undo."""
    slug, place, searches = request.slug, request.form.get("n", ""), request.workshop.searches
    table = request.drafts.edit(slug, request.form.get("seen", ""), lambda now: searches.taken(slug, place, now))
    say = request.reader.say
    note = say("note.taken_best") if place == "0" else say("note.taken", number=place)
    request.drafts.save(slug, table.seen, note=note)
    return f"/poles/{slug}/revisions"


def _address(slug: str, form: Mapping[str, str]) -> str:
    """The place, which goes on saying what was searched."""
    return f"/poles/{slug}/find" + ("?shelf=workshop" if form.get("shelf") == "workshop" else "")


PLACE = PlaceKind(
    "design", 4, _values, query=FindQuery, actions={"": _start, "stop": _stop, "on": _resume, "take": _take}, job="find"
)
