"""The use cases on papers: give a sheet or a kit of a pole whose checks hold, or for a reason that is kept."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from polewright.answers.check import Check, check_draft
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.test_record import TestRecord
from polewright.documents.values import draft_workpiece
from polewright.errors import DesignError
from polewright.store import Store
from polewright.store.content import Content
from polewright.store.papers import add_paper, paper_rows, reason_row, revision_of_content
from polewright.store.poles import pole_row
from polewright.store.tables import PaperRow
from polewright.words import Reader
from polewright.workshop.designs import Clock
from polewright.workshop.papers import buyer_sheet, buyer_sheet_file, kit_files, sheet_figures
from polewright.workshop.records import tests_of_content
from polewright.workshop.release import Release, release_of
from polewright.workshop.words import words

__all__ = ["GivenPaper", "Papers"]


@dataclass(frozen=True, slots=True)
class GivenPaper:
    """An entry of the register: a sheet that was given (what it said), or why papers are given (what failed)."""

    kind: str
    name: str
    revision: int | None
    serial: str
    reason: str
    says: Mapping[str, Any]
    who: str
    at: datetime


class Papers:
    """Sheets and kits of designs; what is given is kept. Without a store every design is a draft and nothing is."""

    def __init__(self, store: Store | None, clock: Clock, check: Callable[[Design], Check] = check_draft) -> None:
        self._store, self._clock, self._check = store, clock, check

    def release(self, design: Design, slug: str | None = None) -> Release:
        """How a design stands with its papers, as a revision of one pole or of any that says the same."""
        check, hashed = self._check(design), design.content_hash()
        if self._store is None:
            return release_of(check)
        with self._store.reading() as session:
            pole = None if slug is None else pole_row(session, slug).id
            saved, reason = revision_of_content(session, hashed, pole), reason_row(session, hashed)
            return release_of(
                check, revision=None if saved is None else saved.number, reason="" if reason is None else reason.reason
            )

    def give_reason(self, design: Design, reason: str, *, who: str = "") -> Release:
        """Keep why papers of a design are given although a check does not hold; they say "test pole" from now on.

        Raises
        ------
        DesignError : the reason is empty or too long, or every check holds. StockError : there is no store.
        """
        reason, who, release = words(reason, "reason"), words(who, "who"), self.release(design)
        if not reason:
            raise DesignError("reason", None, Message("want.reason_in_writing"))
        if not release.failing:
            raise DesignError("reason", repr(reason), Message("want.no_reason_all_hold"))
        if self._store is None:
            raise DesignError("reason", repr(reason), Message("want.store_for_reason"))
        failed = {"checks": [[f.code, f.value, f.limit] for f in release.failing]}
        self._keep("reason", design, failed, reason=reason, who=who)
        return self.release(design)

    def sheet(
        self, design: Design, reader: Reader, *, date: str, revision: str = "", serial: str = "", who: str = ""
    ) -> bytes:
        """The buyer's sheet as a PDF; that it was given is kept with what it says.

        Raises
        ------
        DocumentError : a check of brief, strength or clamp does not hold and no reason was given; each is named.
        DesignError : the design cannot be built, or its sheet would give the recipe away.
        """
        check, work = self._check(design), draft_workpiece(design).finished()
        release = self.release(design)
        release.refuse_unless_given()
        facts = {"date": date, "revision": revision, "serial": words(serial, "serial")}
        sheet = buyer_sheet(design, check, work, reader, marks=release.marks, records=self.records(design), **facts)
        content = buyer_sheet_file(sheet, design, reader)
        if self._store is not None:
            told = sheet_figures(sheet, reader)
            self._keep("sheet", design, told, reason=release.reason, serial=facts["serial"], who=words(who, "who"))
        return content

    def records(self, design: Design) -> tuple[tuple[TestRecord, str], ...]:
        """Tests of poles that were built to what this design says, newest first, with the day each was kept on."""
        if self._store is None:
            return ()
        with self._store.reading() as session:
            return tuple(tests_of_content(session, design.content_hash()))

    def kit(self, design: Design, reader: Reader, *, date: str, revision: str = "") -> Mapping[str, bytes]:
        """Every file of a kit by name.

        Raises
        ------
        DocumentError : as `sheet`; or a section does not slide into its neighbour.
        """
        work, release = draft_workpiece(design).finished(), self.release(design)
        release.refuse_unless_given()
        return kit_files(design, work, reader, date=date, revision=revision, marks=release.marks)

    def given(self, slug: str, *, kind: str = "sheet") -> tuple[GivenPaper, ...]:
        """The entries of one kind ("sheet" or "reason") of every revision of a pole, newest first."""
        if self._store is None:
            return ()
        with self._store.reading() as session:
            return tuple(_given(row) for row in paper_rows(session, kind=kind, pole_id=pole_row(session, slug).id))

    def _keep(
        self, kind: str, design: Design, says: Mapping[str, Any], *, reason: str, serial: str = "", who: str = ""
    ) -> None:
        assert self._store is not None
        hashed = design.content_hash()
        with self._store.writing() as session:
            add_paper(
                session,
                Content.of(says),
                kind=kind,
                name=words(design.name, "name"),
                design_hash=hashed,
                revision=revision_of_content(session, hashed),
                serial=serial,
                reason=reason,
                who=who,
                at=self._clock(),
            )


def _given(row: PaperRow) -> GivenPaper:
    says = Content(row.content, row.content_hash).plain(f"papers@{row.id}")
    return GivenPaper(row.kind, row.name, row.revision, row.serial, row.reason, says, row.who, row.at)
