"""What stands around every place: header, drawing, four figures, title block."""

from collections.abc import Mapping
from dataclasses import dataclass

from polewright.codes import Message
from polewright.web.figures import Headline, headlines
from polewright.web.job_lines import job_lines
from polewright.web.page_state import PageState
from polewright.web.place_kind import PlaceRequest
from polewright.web.place_table import GROUPS, JOB_PLACES, PLACES
from polewright.web.render import page
from polewright.web.why import Why, resting_on, whys
from polewright.words import Reader
from polewright.workshop import Check
from polewright.workshop.drafts import WorkingPole
from polewright.workshop.scene import state_message

__all__ = ["Shell", "place_page"]


@dataclass(frozen=True, slots=True)
class Shell:
    """The values of the frame."""

    slug: str
    place: str
    workshop: str
    pole: str
    revision: int
    is_saved: bool
    notice: str
    misfit: str
    seen: str
    can_undo: bool
    can_redo: bool
    query: str
    system: str
    drawing: str
    hand_drawing: str
    figures: tuple[Headline, ...]
    whys: tuple[tuple[str, str, Why], ...]
    state: str
    resting: str
    mark: str
    conducts: bool
    section: int
    out: int
    cautions: tuple[str, ...]


def place_page(place: str, request: PlaceRequest) -> str:
    """A whole page: the values of the place inside the frame."""
    state, values = request.state, PLACES[place].values(request)
    jobs = job_lines(request.workshop, JOB_PLACES, state.reader)
    return page(f"{place}.html", state.reader, shell=_shell(place, state), places=GROUPS, jobs=jobs, **values)


def _shell(place: str, state: PageState) -> Shell:
    table, check, reader = state.table, state.check, state.reader
    out = state.out if state.out < len(state.design.joints) else 0  # all out stays all out when a section comes
    query: Mapping[str, int] = {"section": state.section, "out": out}
    return Shell(
        slug=table.slug,
        place=place,
        workshop=check.maker or reader.say("today.workshop"),
        pole=check.name,
        revision=table.saved.card.number,
        is_saved=table.is_saved,
        notice=_notice(table, reader),
        misfit=_misfit(check, reader),
        seen=table.seen,
        can_undo=bool(table.edits.past),
        can_redo=bool(table.edits.future),
        query="&".join(f"{name}={value}" for name, value in query.items()),
        system=state.reader.system,
        drawing=state.drawing(),
        hand_drawing=state.drawing(phone=True),
        figures=headlines(state),
        whys=whys(state.now, reader),
        state=reader.text(state_message(state.design, state.out)),
        resting=resting_on(state.now, reader),
        mark=check.design_hash[:4],
        conducts=check.pole.conducts,
        section=state.section,
        out=out,
        cautions=tuple(reader.text(c) for c in check.cautions),
    )


def _notice(table: WorkingPole, reader: Reader) -> str:
    """What a person should know of the unsaved work, with its first fault where it is not shown."""
    if table.notice is None:
        return ""
    text = reader.text(table.notice)
    return text if table.fault is None else f"{text} {reader.fault(*table.fault)}"


def _misfit(check: Check, reader: Reader) -> str:
    """Which sections do not go into their neighbours, what of the figures is known all the same, and what waits."""
    faults = " ".join(reader.text(Message("frame.misfit.fault", fault=reader.fault(*each))) for each in check.misfits)
    return reader.say("frame.misfit", faults=faults) if faults else ""
