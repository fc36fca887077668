"""The workshop: one store, one clock, and the use cases that the command line, the pages and the JSON share."""

from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from polewright.answers.bench import BenchAnswer, bench_answer
from polewright.answers.check import Check, check_draft
from polewright.documents.design import Design
from polewright.documents.test_record import TestRecord
from polewright.store import Archive, Store, back_up, last_good_copy, open_store
from polewright.workshop.demo import load_demo
from polewright.workshop.designs import Clock, Designs
from polewright.workshop.edit_table import EDITS, edited
from polewright.workshop.figures import Figures
from polewright.workshop.jobs import KINDS, Jobs, Kind
from polewright.workshop.kinds import design_of
from polewright.workshop.notes import program_note
from polewright.workshop.paper_register import Papers
from polewright.workshop.records import Records
from polewright.workshop.scatter import Samplings
from polewright.workshop.searches import Searches
from polewright.workshop.shelf import Shelf
from polewright.workshop.views import BenchEntry, Draft

__all__ = ["Workshop", "open_workshop", "utc_now"]


def utc_now() -> datetime:
    """The clock on the wall, in UTC."""
    return datetime.now(UTC)


class Workshop:
    """Use cases by subject: designs, shelf, records, papers, searches, samplings, jobs; figures by `check`."""

    def __init__(
        self,
        store: Store,
        clock: Clock = utc_now,
        check: Callable[[Design], Check] = check_draft,
        *,
        kinds: Mapping[str, Kind] = KINDS,
    ) -> None:
        self.store, self._clock = store, clock
        self._figures = Figures(check)
        self.designs = Designs(store, clock, self._figures.of)
        self.shelf = Shelf(store, clock)
        self.records = Records(store, clock)
        self.papers = Papers(store, clock, self._figures.of_draft)
        self.jobs = Jobs(store, clock, kinds=kinds)
        self.searches = Searches(self.jobs, self.designs, self.shelf)
        self.samplings = Samplings(self.jobs)

    def check(self, design: Design) -> Check:
        """All figures and findings of a finished design, computed once for what it says.

        Raises
        ------
        DesignError : it cannot be built or computed.
        """
        return self._figures.of(design)

    def check_draft(self, design: Design) -> Check:
        """The same of a design under way, whose sections may not fit each other yet: the answer says which.

        Raises
        ------
        DesignError : it cannot be even so, or not computed.
        """
        return self._figures.of_draft(design)

    def edited(self, design: Design, edit: str, **fields: Any) -> Design:
        """The design after one edit by its name; what the edit takes from the workshop is supplied here.

        Raises
        ------
        DocumentError : no such edit, an argument missing or too many, or the design cannot be so.
        """
        kind = EDITS.get(edit)
        for argument in () if kind is None else kind.arguments:
            if argument.kind == "supplied":
                fields[argument.name] = self._supplied(argument.name, design, fields)
        return edited(design, edit, **fields)

    def edited_in_turn(self, design: Design, edits: Iterable[tuple[str, Mapping[str, Any]]]) -> Design:
        """The design after edits one after the other, each a name with its arguments; what comes of them is computed.

        Raises
        ------
        PolewrightError : an edit is refused, or the design cannot be built after them.
        """
        design = self._after(design, edits)
        self.check(design)
        return design

    def edit_pole(self, slug: str, edits: Iterable[tuple[str, Mapping[str, Any]]], *, who: str = "") -> Draft:
        """Edits of the pole at hand, all or none, kept as unsaved work; its sections may not fit each other yet.

        Raises
        ------
        PolewrightError : an edit is refused, or the design cannot be even a draft after them; nothing is kept.
        """
        pole = self.designs.open(slug)
        design = self._after(self.designs.at_hand(slug), edits)
        self.check_draft(design)
        parent = pole.saved.card.number if pole.draft is None else pole.draft.parent
        return self.designs.keep_draft(slug, design.plain(), parent=parent, who=who)

    def _after(self, design: Design, edits: Iterable[tuple[str, Mapping[str, Any]]]) -> Design:
        for edit, fields in edits:
            design = self.edited(design, edit, **fields)
        return design_of(design.plain())  # as it will be read again

    def _supplied(self, name: str, design: Design, fields: Mapping[str, Any]) -> object:
        """What an edit takes from the workshop: the rack, the thing of an entry, the flex of the pole as it is."""
        if name == "rack":
            return self.shelf.kept_mandrels()
        if name == "stocked":
            return self.shelf.on_shelf(fields.get("entry", -1))
        return self.check_draft(design).reaches[-1].added_droop

    def keep_test(self, design: Design, record: TestRecord) -> tuple[BenchEntry, BenchAnswer]:
        """A test of a design that may not be kept yet: evaluated first, then design and test are kept.

        Raises
        ------
        PolewrightError : the design cannot be built, or the test cannot be evaluated; nothing is kept.
        """
        self.check(design)
        answer = bench_answer(record, design)
        built = self.designs.brought_in(design, note=program_note("note.by_test"))
        known = record.model_copy(update={"design_hash": design.content_hash()})
        return self.records.keep(built.slug, known, who=record.tester), answer

    def load_demo(self) -> tuple[str, ...]:
        """Put the demo workshop in; the addresses of the poles that were not there yet."""
        return load_demo(self.store, self._clock)

    def back_up(self, path: str | Path) -> Archive:
        """The whole workshop in one new file, read back whole."""
        return back_up(self.store, path, at=self._clock())

    def last_good_copy(self) -> datetime | None:
        """When the workshop was last copied whole; None if never."""
        return last_good_copy(self.store)

    def close(self) -> None:
        """End what is under way, each job with the best so far, and close the store."""
        self.jobs.close()
        self.store.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


def open_workshop(where: str | Path, clock: Clock = utc_now) -> Workshop:
    """Open the workshop kept at a path (SQLite) or an address (PostgreSQL); made new where there is none."""
    return Workshop(open_store(where), clock)
