"""The use cases on the bench: keep a test record against a serial, correct one, list them."""

from collections.abc import Iterator

from sqlalchemy import select
from sqlalchemy.orm import Session

from polewright.answers.bench import RECORD_KINDS, BenchAnswer, bench_answer
from polewright.answers.inspection import Standing, standing_of
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault, document_of
from polewright.documents.test_record import TestRecord
from polewright.errors import Absent, DesignError, PolewrightError
from polewright.store import Store
from polewright.store.content import Content
from polewright.store.entries import add_bench_entry, bench_row, bench_rows
from polewright.store.poles import pole_row, revision_row, revision_rows
from polewright.store.tables import BenchRow, PoleRow, RevisionRow
from polewright.workshop.designs import Clock
from polewright.workshop.views import BenchEntry
from polewright.workshop.words import words

__all__ = ["Records", "tests_of_content"]


class Records:
    """Raw test records as append-only entries, each tied to the revision that was built."""

    def __init__(self, store: Store, clock: Clock) -> None:
        self._store, self._clock = store, clock

    def keep(
        self,
        slug: str,
        record: TestRecord,
        *,
        revision: int | None = None,
        corrects: int | None = None,
        note: str = "",
        who: str = "",
    ) -> BenchEntry:
        """A further test record of a pole built to a revision: the one named, else that of the record's hash, else
        that of the entry it corrects, else the newest. The record is kept with the hash of that revision.

        Raises
        ------
        StockError : no such pole, revision or entry; the entry is of another pole, or was corrected already.
        DocumentError : the revision has no such section or reach, or the readings cannot be evaluated; nothing is kept.
        """
        with self._store.writing() as session:
            pole = pole_row(session, slug)
            corrected = None if corrects is None else _corrected(session, pole, corrects)
            if corrected is not None and revision is None and not record.design_hash:
                revision = corrected.revision
            built = _built(session, pole, record, revision)
            bench_answer(record, _design_of(built))
            kept = record.model_copy(update={"design_hash": built.content_hash})
            row = add_bench_entry(
                session,
                Content.of(kept.plain()),
                serial=words(record.serial, "serial"),
                pole=pole,
                revision=built.number,
                corrects=corrects,
                note=words(note, "note"),
                who=words(who, "who"),
                at=self._clock(),
            )
            return _entry(row, slug)

    def listed(
        self, *, serial: str | None = None, slug: str | None = None, history: bool = False
    ) -> tuple[BenchEntry, ...]:
        """Test records, newest first; with `history` also those that a later entry corrects."""
        with self._store.reading() as session:
            pole = None if slug is None else pole_row(session, slug)
            rows = bench_rows(session, serial=serial, pole=pole, history=history)
            slugs = {pole.id: pole.slug for pole in session.scalars(select(PoleRow))}
            return tuple(_entry(row, slugs[row.pole_id]) for row in rows)

    def entry(self, number: int) -> BenchEntry:
        """One test record by its entry number."""
        with self._store.reading() as session:
            row = bench_row(session, number)
            return _entry(row, session.scalars(select(PoleRow.slug).where(PoleRow.id == row.pole_id)).one())

    def standings(self, slug: str, serial: str | None = None) -> tuple[Standing, ...]:
        """What the tests that stand allow to be said of each pole by its serial, newest first; a serial of which no
        whole pole was tested is that of a tube.
        """
        entries: dict[str, list[BenchEntry]] = {}
        for entry in self.listed(slug=slug, serial=serial):
            entries.setdefault(entry.record.serial, []).append(entry)
        return tuple(
            standing_of(number, [(e.record.test.kind, self._answer_or_none(e)) for e in every])
            for number, every in entries.items()
            if any(RECORD_KINDS[e.record.test.kind].of_pole for e in every)
        )

    def _answer_or_none(self, entry: BenchEntry) -> BenchAnswer | None:
        try:
            return self.answer(entry)
        except PolewrightError:
            return None

    def answer(self, entry: BenchEntry) -> BenchAnswer:
        """What a kept test shows beside the revision that was tested.

        Raises
        ------
        DocumentError : its readings cannot be evaluated.
        """
        with self._store.reading() as session:
            built = revision_row(session, pole_row(session, entry.slug), entry.revision)
            return bench_answer(entry.record, _design_of(built))


def tests_of_content(session: Session, design_hash: str) -> Iterator[tuple[TestRecord, str]]:
    """Tests of poles built to a design by its hash, newest first, corrected ones left out; with the day of keeping."""
    for row in bench_rows(session):
        entry = _entry(row, "")
        if entry.record.design_hash == design_hash:
            yield entry.record, f"{row.at:%Y-%m-%d}"


def _corrected(session: Session, pole: PoleRow, number: int) -> BenchRow:
    """The entry to correct, which is of this pole."""
    row = session.get(BenchRow, number)
    if row is None:
        raise Absent("entry", number, Message("want.no_such_entry_correct"))
    if row.pole_id != pole.id:
        raise Absent("corrects", number, Message("want.entry_of_pole"))
    return row


def _built(session: Session, pole: PoleRow, record: TestRecord, number: int | None) -> RevisionRow:
    if number is not None:
        row = revision_row(session, pole, number)
        if record.design_hash not in ("", row.content_hash):
            raise DesignError(
                "design_hash",
                repr(record.design_hash[:12]),
                Message("want.revision_that_was_built", number=number, hash=row.content_hash[:12]),
            )
        return row
    if not record.design_hash:
        return revision_row(session, pole)
    same = [row for row in revision_rows(session, pole) if row.content_hash == record.design_hash]
    if not same:
        raise Absent("design_hash", repr(record.design_hash[:12]), Message("want.revision_of_hash", slug=pole.slug))
    return same[0]


def _design_of(built: RevisionRow) -> Design:
    where = f"revisions@{built.number}"
    design = document_of(Content(built.content, built.content_hash).plain(where), where=where)
    assert isinstance(design, Design)
    return design


def _entry(row: BenchRow, slug: str) -> BenchEntry:
    what = f"tests@{row.id}"
    record = document_of(Content(row.content, row.content_hash).plain(what), where=what)
    if not isinstance(record, TestRecord):
        raise DocumentError(
            [Fault(("document", repr(record.document), Message("want.document_kind", kinds="test-record")))], what
        )
    return BenchEntry(row.id, slug, row.revision, record, row.corrects, row.note, row.who, row.at)
