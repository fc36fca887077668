"""Whoever opens closes: no file, connection or thread is left behind."""

import threading
import time
from pathlib import Path

import pytest
from sqlalchemy import text

from polewright.store import StoreFault, back_up, open_store, restore


def open_files(folder: Path) -> list[str]:
    """Files under the folder that this process holds open."""
    held = []
    for handle in Path("/proc/self/fd").iterdir():
        try:
            target = str(handle.readlink())
        except OSError:
            continue
        if target.startswith(str(folder)):
            held.append(target)
    return held


needs_proc = pytest.mark.skipif(not Path("/proc/self/fd").exists(), reason="counts open files by /proc")


@pytest.mark.slow
@needs_proc
def test_a_closed_store_holds_no_file(tmp_path, begin, save, when):
    before = set(threading.enumerate())
    with open_store(tmp_path / "workshop.db") as store:
        begin(store)
        people = [threading.Thread(target=lambda: store.reading().__enter__().close()) for _ in range(3)]
        for each in people:
            each.start()
        for each in people:
            each.join()
        assert open_files(tmp_path) != []
        back_up(store, tmp_path / "copy.zip", at=when)
        restore(tmp_path / "copy.zip", tmp_path / "again.db")
    assert open_files(tmp_path) == []
    assert not set(threading.enumerate()) - before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["again.db", "copy.zip", "workshop.db"]


@needs_proc
def test_a_store_that_could_not_be_opened_holds_no_file(tmp_path):
    (tmp_path / "note.txt").write_text("ring the resin people\n" * 100, encoding="utf-8")
    with pytest.raises(StoreFault):
        open_store(tmp_path / "note.txt")
    assert open_files(tmp_path) == []


@pytest.mark.postgres
def test_a_closed_store_leaves_no_connection_at_the_server(new_address, begin, save):
    address = new_address()
    with open_store(address) as store:
        begin(store)
        save(store, 1, tall=7)
    count = text(
        "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() "
        "AND pid <> pg_backend_pid() AND backend_type = 'client backend'"
    )
    with open_store(address) as watcher:
        for _ in range(3000):  # the server takes its time to end what a closed connection leaves behind
            with watcher.reading() as session:
                left = session.execute(count).scalar()
            if not left:
                break
            time.sleep(0.02)
        assert left == 0
