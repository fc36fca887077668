"""Kill a process that saves revisions, again and again, and count what it had been told is safe.

A child saves revision after revision of one pole and says the number and hash of each once the store has answered.
The parent kills it (SIGKILL) at a random moment, opens the store again and looks for every revision that was said to
be safe. The second table sets the rate of saving beside a bare sqlite3 connection that puts the same text into one
row a transaction with the same settings.

    python benchmarks/kill_nine.py [--quick]
"""

import argparse
import os
import random
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from polewright.store import Absent, Store, open_store, store_faults
from polewright.store.content import Content
from polewright.store.poles import add_pole, add_revision, drop_draft, keep_draft, pole_row, revision_rows
from polewright.store.tables import RevisionRow

SLUG, WHEN = "reedlight-7", datetime(2026, 1, 1, tzinfo=UTC)
FILLING = "woven guard, hoop, axial, axial, hoop, woven guard; " * 800  # 40 kB: eleven pages a revision


@dataclass(frozen=True, slots=True)
class Trial:
    """What one kill left: revisions said to be safe, revisions found, and every fault."""

    said: int
    found: int
    faults: tuple[str, ...]


def content(number: int) -> Content:
    return Content.of({"name": "Reedlight 7", "round": number, "note": FILLING})


def save_for_ever(path: Path) -> None:
    """The child: save, say so, save the next."""
    with open_store(path) as store:
        with store.writing() as session:
            row = add_pole(session, SLUG, content(1), name="Reedlight 7", note="", who="child", at=WHEN)
        number = row.number
        while True:
            print(number, row.content_hash, flush=True)
            with store.writing() as session:
                keep_draft(session, SLUG, content(-number), parent=number, who="child", at=WHEN)
            row, number = save_next(store, number), number + 1


def save_next(store: Store, number: int) -> RevisionRow:
    with store.writing() as session:
        pole = pole_row(session, SLUG)
        row = add_revision(
            session, pole, content(number + 1), parent=number, name="Reedlight 7", note="", who="child", at=WHEN
        )
        drop_draft(session, pole)
        return row


def trial(folder: Path, wait: float, *, once_saving: bool) -> Trial:
    path = folder / "workshop.db"
    child = subprocess.Popen([sys.executable, __file__, "--child", str(path)], stdout=subprocess.PIPE, text=True)
    assert child.stdout is not None
    try:
        out = child.stdout.readline() if once_saving else ""
        time.sleep(wait)
    finally:
        os.kill(child.pid, signal.SIGKILL)
    out += child.communicate()[0]
    said = dict(line.split() for line in out.splitlines() if len(line.split()) == 2 and len(line.split()[1]) == 64)
    with open_store(path) as store:
        faults = store_faults(store)
        found = kept_in(store)
    faults += [
        f"revision {number} was said to be safe and is not there"
        for number, hash_ in said.items()
        if found.get(int(number)) != hash_
    ]
    if sorted(found) != list(range(1, len(found) + 1)):
        faults.append(f"the numbers have a gap: {sorted(found)}")
    return Trial(len(said), len(found), tuple(faults))


def kept_in(store: Store) -> dict[int, str]:
    with store.reading() as session:
        try:
            pole = pole_row(session, SLUG)
        except Absent:
            return {}
        return {row.number: row.content_hash for row in revision_rows(session, pole)}


def trials(n: int, seed: int) -> list[Trial]:
    """`n` kills: one in four while the child makes its store, the others while it saves."""
    chance = random.Random(seed)
    done = []
    for number in range(n):
        once_saving = number % 4 != 3
        with tempfile.TemporaryDirectory() as folder:
            wait = chance.uniform(0.0, 0.5) if once_saving else chance.uniform(0.2, 0.8)
            done.append(trial(Path(folder), wait, once_saving=once_saving))
    return done


def rates(n: int) -> tuple[float, float]:
    """Revisions saved a second by the store, and rows by a bare connection."""
    with tempfile.TemporaryDirectory() as folder:
        with open_store(Path(folder) / "workshop.db") as store:
            with store.writing() as session:
                add_pole(session, SLUG, content(1), name="Reedlight 7", note="", who="", at=WHEN)
            start = time.perf_counter()
            for number in range(1, n + 1):
                save_next(store, number)
            ours = n / (time.perf_counter() - start)
        bare = sqlite3.connect(Path(folder) / "bare.db", isolation_level=None)
        bare.execute("PRAGMA journal_mode=WAL")
        bare.execute("PRAGMA synchronous=FULL")
        bare.execute("CREATE TABLE kept (number INTEGER PRIMARY KEY, text TEXT)")
        start = time.perf_counter()
        for number in range(n):
            bare.execute("INSERT INTO kept VALUES (?, ?)", (number, content(number).text))
        theirs = n / (time.perf_counter() - start)
        bare.close()
    return ours, theirs


def main(quick: bool = False, seed: int = 20260101) -> int:
    """Print both tables; the number of faults found."""
    done = trials(4 if quick else 50, seed)
    faults = [fault for each in done for fault in each.faults]
    print(f"{'kills':>8} {'said safe':>10} {'found':>8} {'found / said':>13} {'faults':>7}")
    said, found = sum(each.said for each in done), sum(each.found for each in done)
    print(f"{len(done):8d} {said:10d} {found:8d} {found / said if said else 1.0:13.4f} {len(faults):7d}")
    for fault in faults:
        print("   ", fault)
    ours, theirs = rates(20 if quick else 300)
    print(f"\n{'':14}{'saved a second':>16}{'ratio':>8}")
    print(f"{'bare sqlite3':14}{theirs:16.0f}{1.0:8.2f}")
    print(f"{'the store':14}{ours:16.0f}{ours / theirs:8.2f}")
    return len(faults)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--child", type=Path)
    asked = parser.parse_args()
    if asked.child:
        save_for_ever(asked.child)
    sys.exit(1 if main(asked.quick) else 0)
