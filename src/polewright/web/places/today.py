"""The first page: the workshop's poles, each drawn as it hangs."""

from dataclasses import dataclass

from polewright.drawings.pole import pole_drawing
from polewright.errors import PolewrightError
from polewright.web.page_state import PageStates
from polewright.words import Reader
from polewright.workshop import PoleCard, Workshop
from polewright.workshop.scene import pole_scene

__all__ = ["PoleLine", "TodayView", "today_view"]


@dataclass(frozen=True, slots=True)
class PoleLine:
    """One pole of the list, with its drawing and the lines a workshop would say of it; or why it cannot be shown."""

    slug: str
    name: str
    revision: int
    saved: str
    has_draft: bool
    drawing: str
    says: str
    to_look_at: int
    fault: str


@dataclass(frozen=True, slots=True)
class TodayView:
    """All that the first page shows."""

    workshop: str
    poles: tuple[PoleLine, ...]
    last_copy: str


def today_view(workshop: Workshop, states: PageStates, reader: Reader) -> TodayView:
    """The poles as saved."""
    cards = workshop.designs.all()
    lines = tuple(_line(workshop, states, card, reader) for card in cards)
    makers = [workshop.designs.revision(card.slug).design.maker for card in cards]
    named = max(set(makers), key=makers.count) if makers else ""
    copied = workshop.last_good_copy()
    return TodayView(
        named or reader.say("today.workshop"), lines, "" if copied is None else reader.say("today.day", day=copied)
    )


def _line(workshop: Workshop, states: PageStates, card: PoleCard, reader: Reader) -> PoleLine:
    saved = reader.say("today.day", day=card.latest.at)
    try:
        checked = states.checked(workshop.designs.revision(card.slug).design)
    except PolewrightError as fault:
        return PoleLine(
            card.slug, card.name, card.latest.number, saved, card.has_draft, "", "", 0, reader.refusal(fault)
        )
    pole, found = checked.check.pole, checked.check.findings
    scene = pole_scene(checked.design, checked.work)
    says = reader.say("today.pole", count=len(checked.check.sections), reach=pole.extended, mass=pole.mass)
    return PoleLine(
        card.slug,
        card.name,
        card.latest.number,
        saved,
        card.has_draft,
        pole_drawing(scene, reader, phone=True),
        says,
        sum(not f.holds for f in found),
        "",
    )
