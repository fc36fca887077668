"""Stock and tests are entries: added, corrected by a further one, never changed."""

import pytest

from polewright.documents.files import DocumentError
from polewright.documents.stock import MandrelDocument, MaterialDocument
from polewright.errors import DesignError, StockError
from polewright.store import Absent
from polewright.workshop import record_of, set_turns, stocked_of


def record(serial="R2-001", section=1, **more):
    return record_of(
        {
            "document": "test-record",
            "schema_version": 1,
            "serial": serial,
            "test": {
                "kind": "two-load bend",
                "section": section,
                "span_mm": 1000.0,
                "readings": [{"load_g": 0.0, "reading_mm": 0.0}, {"load_g": 2000.0, "reading_mm": 3.1}],
            },
            **more,
        }
    )


def tip_record(out):
    return record_of(
        {
            "document": "test-record",
            "schema_version": 1,
            "serial": "R2-001",
            "test": {
                "kind": "tip load",
                "out": out,
                "readings": [{"load_g": 0.0, "reading_mm": 0.0}, {"load_g": 500.0, "reading_mm": 41.0}],
            },
        }
    )


@pytest.fixture
def axial(design):
    return MaterialDocument(material=design.materials[0])


def test_the_shelf_lists_what_was_put_there(workshop, design, axial):
    entry = workshop.shelf.put(axial, note="two rolls", who="Ann")
    bar = workshop.shelf.put(MandrelDocument(mandrel=design.mandrels[0]))
    assert workshop.shelf.materials() == (entry,)
    assert workshop.shelf.mandrels() == (bar,)
    assert entry.document == axial


def test_a_corrected_entry_gives_way_and_stays_in_the_history(workshop, axial):
    first = workshop.shelf.put(axial)
    lot = MaterialDocument(material=axial.material.model_copy(update={"lot": "B-17"}))
    second = workshop.shelf.put(lot, corrects=first.number, note="lot was misread")
    assert workshop.shelf.materials() == (second,)
    assert [entry.number for entry in workshop.shelf.history()] == [first.number, second.number]
    workshop.shelf.take_off(second.number, note="used up")
    assert workshop.shelf.materials() == ()
    assert [entry.gone for entry in workshop.shelf.history()] == [False, False, True]
    with pytest.raises(StockError, match=r"want\.latest_entry"):
        workshop.shelf.take_off(second.number)
    with pytest.raises(Absent, match=r"want\.no_such_entry_on_shelf"):
        workshop.shelf.take_off(99)


def test_a_test_is_kept_with_the_revision_that_was_built(workshop, design):
    workshop.designs.start(design)
    workshop.designs.save("reedlight-2", set_turns(design, 0, 1, 7), parent=1)
    newest = workshop.records.keep("reedlight-2", record())
    named = workshop.records.keep("reedlight-2", record("R2-002"), revision=1, who="Bea")
    by_hash = workshop.records.keep("reedlight-2", record("R2-003", design_hash=design.content_hash()))
    assert [entry.revision for entry in (newest, named, by_hash)] == [2, 1, 1]
    assert named.record.design_hash == design.content_hash(), "the record says itself what it was made on"
    assert workshop.records.listed() == (by_hash, named, newest)
    assert workshop.records.listed(serial="R2-002", slug="reedlight-2") == (named,)
    assert workshop.records.entry(named.number) == named


def test_raw_readings_come_back_as_they_were_read(workshop, design):
    workshop.designs.start(design)
    entry = workshop.records.keep("reedlight-2", record())
    assert [reading.reading_mm for reading in entry.record.test.readings] == [0.0, 3.1]


def test_a_test_is_corrected_by_a_further_one(workshop, design):
    workshop.designs.start(design)
    first = workshop.records.keep("reedlight-2", record())
    second = workshop.records.keep("reedlight-2", record(note="gauge was upside down"), corrects=first.number)
    assert workshop.records.listed(serial="R2-001") == (second,)
    assert workshop.records.listed(serial="R2-001", history=True) == (second, first)


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (lambda: record(section=3), r"test\.section is 3: want\.section_number \(most 2\)"),
        (lambda: tip_record(2), r"test\.out is 2: want\.sections_out \(most 1\)"),
    ],
)
def test_a_test_of_what_the_pole_does_not_have_is_refused(workshop, design, made, words):
    workshop.designs.start(design)
    with pytest.raises(DocumentError, match=words):
        workshop.records.keep("reedlight-2", made())
    assert workshop.records.listed() == ()


def test_a_test_of_a_revision_that_is_not_there_is_refused(workshop, design):
    workshop.designs.start(design)
    with pytest.raises(Absent, match=r"want\.revision_of_hash \(slug reedlight\-2\)"):
        workshop.records.keep("reedlight-2", record(design_hash="0" * 64))
    with pytest.raises(DesignError, match=r"want\.revision_that_was_built"):
        workshop.records.keep("reedlight-2", record(design_hash="0" * 64), revision=1)
    with pytest.raises(Absent):
        workshop.records.keep("reedlight-2", record(), revision=2)
    with pytest.raises(Absent, match=r"want\.no_such_entry_list_tests_serial"):
        workshop.records.entry(7)


def test_a_document_of_the_wrong_kind_is_refused(design):
    with pytest.raises(DocumentError, match=r"want\.document_kind"):
        record_of(design.plain())
    with pytest.raises(DocumentError, match=r"want\.document_kind"):
        stocked_of(design.plain())


def test_a_correction_is_of_the_revision_that_was_tested_by_every_face(workshop, design):
    workshop.designs.start(design)
    first = workshop.records.keep("reedlight-2", record())
    workshop.designs.save("reedlight-2", set_turns(design, 0, 1, 7), parent=1)
    assert workshop.records.keep("reedlight-2", record(), corrects=first.number).revision == 1
    assert workshop.records.keep("reedlight-2", record()).revision == 2, "a further test is of the newest"


@pytest.mark.parametrize("revision", [None, 1])
def test_an_entry_of_another_pole_cannot_be_corrected(workshop, design, revision):
    workshop.designs.start(design)
    other = workshop.designs.start(design.model_copy(update={"name": "Tallreed 2"}))
    first = workshop.records.keep("reedlight-2", record())
    with pytest.raises(Absent, match=r"want\.entry_of_pole"):
        workshop.records.keep(other.slug, record(), corrects=first.number, revision=revision)
    assert workshop.records.listed(history=True) == (first,)


FALLING = [{"load_g": 500.0, "reading_mm": 2.05}, {"load_g": 2500.0, "reading_mm": 0.42}]
RISING = [{"load_g": 500.0, "reading_mm": 0.42}, {"load_g": 2500.0, "reading_mm": 2.05}]
TURNED = [{**row, "clock_deg": clock} for clock in (0.0, 72.0, 144.0, 216.0, 288.0) for row in FALLING]


@pytest.mark.parametrize(
    "test",
    [
        {"kind": "two-load bend", "section": 1, "span_mm": 1000.0, "readings": FALLING},
        {"kind": "two-load bend", "section": 1, "span_mm": 1000.0, "readings": TURNED},
        {"kind": "two-load bend", "section": 1, "span_mm": 1000.0, "readings": TURNED[:4]},
        {"kind": "tip load", "readings": FALLING},
        {"kind": "joint overlaps", "joint": 1, "overlap_mm": 180, "second_overlap_mm": 300, "readings": FALLING,
         "second": RISING},
        {"kind": "joint overlaps", "joint": 1, "overlap_mm": 180, "second_overlap_mm": 300, "readings": RISING,
         "second": FALLING},
        {"kind": "joint sleeve", "joint": 1, "sleeve_mm": 300, "sleeve_EI_N_m2": 900, "readings": FALLING,
         "sleeved": RISING},
    ],
    ids=["bend", "round the clock", "two positions", "tip", "overlaps", "second overlap", "sleeve"],
)  # fmt: skip
def test_readings_that_fall_with_the_load_are_never_kept(workshop, design, test):
    workshop.designs.start(design)
    plain = {"document": "test-record", "schema_version": 1, "serial": "R2-001", "test": test}
    with pytest.raises(DocumentError, match=r"^test\.readings|\btest\.readings"):
        workshop.records.keep("reedlight-2", record_of(plain))
    assert workshop.records.listed(history=True) == ()
