"""One file holds the whole store, is proved before it counts, and comes back whole in either database."""

import json
import random
import sqlite3
import zipfile
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import select, text

from polewright.store import StoreFault, back_up, last_good_copy, open_store, read_archive, restore, store_faults
from polewright.store import backup as backup_of_the_store
from polewright.store.content import Content
from polewright.store.entries import add_bench_entry, add_shelf_entry
from polewright.store.poles import keep_draft, pole_row
from polewright.store.schema import HEAD
from polewright.store.tables import Kept, SettingRow

pytestmark = pytest.mark.slow


def fill(store, begin, save, when):
    begin(store, "häftling-9")
    begin(store)
    for parent in range(1, 4):
        save(store, parent, tall=parent, note="„9 m“\n\u2028")
    with store.writing() as session:
        pole = pole_row(session, "reedlight-7")
        keep_draft(session, pole.slug, Content.of({"tall": "9,"}), parent=4, who="Ann", at=when)
        entry = add_shelf_entry(
            session,
            Content.of({"id": "axial"}),
            kind="material",
            key="axial",
            gone=False,
            corrects=None,
            note="",
            who="",
            at=when,
        )
        add_shelf_entry(
            session,
            Content.of({"id": "axial"}),
            kind="material",
            key="axial",
            gone=True,
            corrects=entry.id,
            note="used up",
            who="",
            at=when,
        )
        add_bench_entry(
            session,
            Content.of({"serial": "R7-1"}),
            serial="R7-1",
            pole=pole,
            revision=4,
            corrects=None,
            note="",
            who="",
            at=when,
        )
        session.add(SettingRow(key="name", value='"Quillbeck"', who="", at=when))


def all_rows(store):
    with store.reading() as session:
        return {
            table.name: [tuple(row) for row in session.execute(select(table).order_by(*table.primary_key))]
            for table in Kept.metadata.sorted_tables
            if table.name != "copies"
        }


def test_a_restored_store_holds_row_for_row_what_was_copied(new_place, tmp_path, begin, save, when):
    place = new_place()
    with open_store(new_place()) as store:
        fill(store, begin, save, when)
        archive = back_up(store, tmp_path / "copy.zip", at=when)
        before = all_rows(store)
    restore(tmp_path / "copy.zip", place)
    with open_store(place) as again:
        assert all_rows(again) == before
        assert store_faults(again) == []
        assert save(again, 4, tall=9).number == 5, "a restored store goes on"
        begin(again, "tallreed-11")
    assert archive.n_rows["revisions"] == 5
    assert archive.store_version == HEAD


@pytest.mark.postgres
def test_a_copy_goes_from_the_file_to_the_server_and_back(file_store, new_address, tmp_path, begin, save, when):
    fill(file_store, begin, save, when)
    address = new_address()
    back_up(file_store, tmp_path / "file.zip", at=when)
    restore(tmp_path / "file.zip", address)
    with open_store(address) as served:
        back_up(served, tmp_path / "served.zip", at=when)
    restore(tmp_path / "served.zip", tmp_path / "again.db")
    with open_store(tmp_path / "again.db") as again:
        assert all_rows(again) == all_rows(file_store)


def test_a_copy_made_by_a_past_version_is_brought_forward(tmp_path, when):
    for dump in sorted((Path(__file__).parent / "past").glob("*.sql")):
        hand = sqlite3.connect(tmp_path / f"{dump.stem}.db")
        hand.executescript(dump.read_text(encoding="utf-8"))
        hand.close()
        with backup_of_the_store.unprepared_store(tmp_path / f"{dump.stem}.db") as old:
            with (tmp_path / f"{dump.stem}.zip").open("wb") as file:
                backup_of_the_store._write(old, file, when)
            before = len(all_rows(old)["revisions"]) if dump.stem == HEAD else 3
        archive = restore(tmp_path / f"{dump.stem}.zip", tmp_path / f"{dump.stem}-again.db")
        assert archive.store_version == dump.stem
        with open_store(tmp_path / f"{dump.stem}-again.db") as again:
            assert len(all_rows(again)["revisions"]) == before
            assert store_faults(again) == []


def test_the_date_of_the_last_good_copy_is_known(store, tmp_path, when):
    assert last_good_copy(store) is None
    back_up(store, tmp_path / "1.zip", at=when)
    back_up(store, tmp_path / "2.zip", at=when + timedelta(days=1))
    assert last_good_copy(store) == when + timedelta(days=1)


def test_a_copy_that_could_not_be_written_does_not_count(file_store, tmp_path, monkeypatch, when):
    with pytest.raises(StoreFault, match=r"want\.another_place_to_write"):
        back_up(file_store, tmp_path / "no such folder" / "copy.zip", at=when)

    def break_off(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(backup_of_the_store, "_write", break_off)
    with pytest.raises(StoreFault, match=r"want\.another_place_to_write"):
        back_up(file_store, tmp_path / "copy.zip", at=when)
    assert last_good_copy(file_store) is None
    assert list(tmp_path.glob("copy.zip*")) == []


def test_an_earlier_copy_is_never_overwritten(file_store, tmp_path, when):
    back_up(file_store, tmp_path / "copy.zip", at=when)
    before = (tmp_path / "copy.zip").read_bytes()
    with pytest.raises(StoreFault, match=r"want\.new_name_of_backup"):
        back_up(file_store, tmp_path / "copy.zip", at=when)
    assert (tmp_path / "copy.zip").read_bytes() == before


def test_a_copy_is_brought_into_an_empty_place_only(store, tmp_path, begin, save, when):
    begin(store)
    back_up(store, tmp_path / "copy.zip", at=when)
    with open_store(tmp_path / "other.db") as other:
        save_point = all_rows(other)
    with pytest.raises(StoreFault, match=r"want\.empty_place"):
        restore(tmp_path / "copy.zip", tmp_path / "other.db")
    with open_store(tmp_path / "other.db") as other:
        assert all_rows(other) == save_point


def test_a_copy_with_any_byte_changed_is_refused_or_reads_the_same(file_store, tmp_path, begin, save, when):
    fill(file_store, begin, save, when)
    back_up(file_store, tmp_path / "copy.zip", at=when)
    whole, rows = (tmp_path / "copy.zip").read_bytes(), read_archive(tmp_path / "copy.zip").n_rows
    chance, refused = random.Random(7), 0
    for _ in range(300):
        damaged = bytearray(whole)
        damaged[chance.randrange(len(whole))] ^= 1 << chance.randrange(8)
        (tmp_path / "damaged.zip").write_bytes(damaged)
        try:
            assert read_archive(tmp_path / "damaged.zip").n_rows == rows
        except StoreFault:
            refused += 1
    assert refused > 200


def test_a_copy_cut_short_anywhere_is_refused_and_leaves_no_store(file_store, tmp_path, begin, save, when):
    fill(file_store, begin, save, when)
    back_up(file_store, tmp_path / "copy.zip", at=when)
    whole = (tmp_path / "copy.zip").read_bytes()
    for share in (0.0, 0.1, 0.5, 0.9, 0.999):
        (tmp_path / "cut.zip").write_bytes(whole[: int(len(whole) * share)])
        with pytest.raises(StoreFault, match="cut"):
            restore(tmp_path / "cut.zip", tmp_path / "new.db")
    assert list(tmp_path.glob("new.db*")) == []


def rewritten(path, to, change):
    """The archive with its manifest changed."""
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(to, "w") as new:
        for name in old.namelist():
            text_ = old.read(name)
            if name == "manifest.json":
                manifest = json.loads(text_)
                change(manifest)
                text_ = json.dumps(manifest).encode()
            new.writestr(name, text_)
    return to


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda m: m.update(format="other"), r"want\.backup"),
        (lambda m: m.update(format_version=2), r"want\.newer_polewright_for_backup"),
        (lambda m: m.update(store_version="0099"), r"want\.newer_polewright_for_backup"),
        (lambda m: m.pop("tables"), r"want\.backup_with_contents"),
        (lambda m: m["tables"][0].update(rows=99), r"want\.table_of_all_rows \(expected 99, rows 0, table copies\)"),
        (lambda m: m["tables"][0].update(sha256="0" * 64), r"want\.table_of_its_hash"),
        (lambda m: m["tables"][0].update(name="birds"), r"want\.table_readable"),
        (lambda m: m.update(made_at="yesterday"), r"want\.backup_with_contents"),
    ],
)
def test_a_copy_that_says_other_than_it_holds_is_refused(file_store, tmp_path, when, change, words):
    back_up(file_store, tmp_path / "copy.zip", at=when)
    with pytest.raises(StoreFault, match=words):
        restore(rewritten(tmp_path / "copy.zip", tmp_path / "odd.zip", change), tmp_path / "new.db")
    assert list(tmp_path.glob("new.db*")) == []


def test_a_fault_while_restoring_keeps_nothing(new_place, file_store, tmp_path, begin, save, when, monkeypatch):
    fill(file_store, begin, save, when)
    back_up(file_store, tmp_path / "copy.zip", at=when)

    def stumble(*_):
        raise KeyboardInterrupt

    place = new_place()
    monkeypatch.setattr(backup_of_the_store, "_refuse_unlike", stumble)
    with pytest.raises(KeyboardInterrupt):
        restore(tmp_path / "copy.zip", place)
    monkeypatch.undo()
    restore(tmp_path / "copy.zip", place)
    with open_store(place) as again, again.reading() as session:
        assert session.execute(text("SELECT count(*) FROM revisions")).scalar() == 5
