"""Searches for the best pole, one a pole at a time, each a job: started, looked at, stopped, resumed, answered."""

from polewright.answers.find import FindAnswer, FoundDesign
from polewright.answers.options import brief_of
from polewright.codes import Message
from polewright.documents.brief_file import BriefDocument
from polewright.documents.design import Design
from polewright.errors import Absent, DocumentError
from polewright.workshop.designs import Designs
from polewright.workshop.jobs import Job, Jobs
from polewright.workshop.jobs.find_values import find_answer
from polewright.workshop.shelf import Shelf

__all__ = ["Searches", "found_pole"]

FIND = "find"
_STAY = ("name", "maker", "note", "brief")


class Searches:
    """The searches of a workshop by the address of the pole."""

    def __init__(self, jobs: Jobs, designs: Designs, shelf: Shelf) -> None:
        self._jobs, self._designs, self._shelf = jobs, designs, shelf

    def start(self, slug: str, design: Design, *, is_whole_shop: bool = False, who: str = "") -> Job:
        """Search from the pole's own shelf and rack, or from those of all the workshop's poles together.

        Raises
        ------
        StockError : this pole's search is under way.
        """
        document = self._whole_shop(design) if is_whole_shop else design
        return self._jobs.start(FIND, document, subject=slug, about=design.content_hash(), who=who)

    def latest(self, slug: str) -> Job | None:
        """The pole's newest search; None if there was none."""
        return self._jobs.latest(FIND, slug)

    def answer(self, slug: str) -> FindAnswer | None:
        """What the pole's newest search found; None where it found nothing, or an earlier version kept it."""
        job = self.latest(slug)
        plain = None if job is None else self._jobs.answer(job.number)
        return None if plain is None else find_answer(plain)

    def taken(self, slug: str, place: str, now: Design) -> Design:
        """A pole of the newest search as a state of this one: the best ("0"), or one of the trade by its number.

        A search asks for what the pole gives; name, maker, note and wishes stay as they are now.

        Raises
        ------
        DocumentError : the newest search has no such pole.
        """
        answer = self.answer(slug)
        found = None if answer is None or not place.isdecimal() else found_pole(answer, int(place))
        if found is None:
            raise DocumentError.at("n", repr(place), Message("want.found_pole"))
        return found.design.model_copy(update={name: getattr(now, name) for name in _STAY})

    def stop(self, slug: str) -> None:
        """Ask the pole's search to end with the best so far."""
        job = self.latest(slug)
        if job is not None:
            self._jobs.stop(job.number)

    def resume(self, slug: str) -> Job:
        """Resume the pole's search where it was stopped.

        Raises
        ------
        Absent : there was none. StockError : it came to its end, or is under way.
        """
        job = self.latest(slug)
        if job is None:
            raise Absent("job", None, Message("job.absent"))
        return self._jobs.go_on(job.number)

    def _whole_shop(self, design: Design) -> BriefDocument:
        materials, mandrels = {m.id: m for m in design.materials}, {m.id: m for m in design.mandrels}
        longest = max(s.place_mm + s.length_mm for s in design.sections)
        others = [self._designs.revision(card.slug).design for card in self._designs.all()]
        for material in (*(m for other in others for m in other.materials), *self._shelf.kept_materials()):
            materials.setdefault(material.id, material)
        for mandrel in (*(m for other in others for m in other.mandrels), *self._shelf.kept_mandrels()):
            if mandrel.profile[-1].at_mm - mandrel.profile[0].at_mm >= longest:
                mandrels.setdefault(mandrel.id, mandrel)
        return brief_of(
            design.model_copy(update={"materials": tuple(materials.values()), "mandrels": tuple(mandrels.values())})
        )


def found_pole(answer: FindAnswer, place: int) -> FoundDesign | None:
    """The best pole (0), or one of the trade by its number; None where there is none."""
    if place == 0:
        return answer.best
    return answer.front[place - 1] if 1 <= place <= len(answer.front) else None
