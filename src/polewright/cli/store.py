"""`polewright store`: copies of the workshop's records, and its file brought forward."""

import sys
from pathlib import Path

from polewright.codes import Message
from polewright.errors import StockError
from polewright.words import default_reader
from polewright.workshop import default_store_path, open_workshop
from polewright.workshop import restore as bring_back

__all__ = ["backup", "migrate", "place_of", "restore"]

say = default_reader().say


def place_of(store: Path | None) -> Path:
    """Where the workshop's file is.

    Raises
    ------
    StockError : there is none.
    """
    place = store or default_store_path()
    if not place.exists():
        raise StockError("store", str(place), Message("want.workshop_file", command="polewright open"))
    return place


def backup(to: Path, *, store: Path | None) -> None:
    """One new file with the whole workshop, read back whole."""
    with open_workshop(place_of(store)) as workshop:
        archive = workshop.back_up(to)
    sys.stdout.write(f"{say('cli.store.backed_up', path=str(archive.path), count=archive.n_rows_in_all)}\n")


def restore(file: Path, *, store: Path | None) -> None:
    """A backup into an empty place."""
    place = store or default_store_path()
    place.parent.mkdir(parents=True, exist_ok=True)
    archive = bring_back(file, place)
    made = f"{archive.made_at:%Y-%m-%d %H:%M}"
    text = say("cli.store.restored", path=str(place), count=archive.n_rows_in_all, made=made)
    sys.stdout.write(f"{text}\n")


def migrate(*, store: Path | None) -> None:
    """Opening brings a file forward; a newer one is refused in words."""
    place = place_of(store)
    open_workshop(place).close()
    sys.stdout.write(f"{say('cli.store.up_to_date', path=str(place))}\n")
