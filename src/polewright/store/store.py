"""The open store: whole-or-nothing writing, reading that cannot write."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Self

from sqlalchemy import Connection, Engine, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError
from sqlalchemy.orm import Session

from polewright.codes import Message
from polewright.errors import StoreFault, reason_of
from polewright.store.engines import draft_engine, file_engines, server_engines
from polewright.store.schema import HEAD, migrate, refuse_newer, version_of

__all__ = ["Store", "open_store"]


class Store:
    """A workshop's database; whoever opened it closes it (`with open_store(...) as store`)."""

    def __init__(self, writer: Engine, reader: Engine, where: str, drafter: Engine | None = None) -> None:
        self.where = where
        self._writer, self._reader, self._drafter = writer, reader, drafter or writer

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """One transaction that holds the writer's lock from its start; kept on a clean end, else undone whole.

        Raises
        ------
        StoreFault : the database is busy, full, unreachable or damaged.
        """
        with self._in_words(), Session(self._writer, expire_on_commit=False) as session, session.begin():
            session.connection()  # takes the lock now, so that what is read next cannot change before the write
            yield session

    @contextmanager
    def drafting(self) -> Iterator[Session]:
        """As `writing`, for what may be lost with the power: it does not wait for the disk."""
        with self._in_words(), Session(self._drafter, expire_on_commit=False) as session, session.begin():
            session.connection()
            yield session

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """One unchanging view of the database; writing through it is refused by the database."""
        with self._in_words(), Session(self._reader) as session, session.begin():
            yield session

    @contextmanager
    def connected(self) -> Iterator[Connection]:
        """A bare writing transaction, for migration and restore."""
        with self._in_words(), self._writer.begin() as connection:
            yield connection

    @property
    def dialect(self) -> str:
        """Which database: "sqlite" or "postgresql"."""
        return self._writer.dialect.name

    def close(self) -> None:
        """Close every connection of this store."""
        for engine in (self._reader, self._writer, self._drafter):
            engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    @contextmanager
    def _in_words(self) -> Iterator[None]:
        try:
            yield
        except DBAPIError as fault:
            raise StoreFault("store", self.where, _remedy(str(fault.orig))) from fault


def open_store(where: str | Path) -> Store:
    """Open the workshop's store, bringing an older one forward, making a new one where there is none.

    Parameters
    ----------
    where : path of an SQLite file, or the address of a PostgreSQL database ("postgresql://...").

    Raises
    ------
    StoreFault : cannot be opened, belongs to another program, or was written by a newer Polewright.
    """
    store = unprepared_store(where)
    try:
        with store.reading() if _exists(where) else store.writing() as session:
            version = version_of(session.connection())
        refuse_newer(version)
        if version != HEAD:
            with store.connected() as connection:
                refuse_newer(version_of(connection))
                migrate(connection)
    except BaseException:
        store.close()
        raise
    return store


def unprepared_store(where: str | Path) -> Store:
    """The store before any look at its schema."""
    if isinstance(where, str) and "://" in where:
        return _served(where)
    path = Path(where)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise StoreFault("store", path, Message("want.another_folder", reason=reason_of(fault))) from fault
    if path.is_dir():
        raise StoreFault("store", path, Message("want.file_in_folder"))
    writer, reader = file_engines(path)
    return Store(writer, reader, str(path), draft_engine(path))


def _served(address: str) -> Store:
    try:
        url = make_url(address)
        if url.get_backend_name() != "postgresql":
            raise StoreFault("store", url.get_backend_name(), Message("want.store_address"))
        writer, reader = server_engines(url)
    except (ArgumentError, NoSuchModuleError) as fault:
        raise StoreFault("store", None, Message("want.postgresql_address")) from fault
    except ModuleNotFoundError as fault:
        raise StoreFault("store", "postgresql", Message("want.postgresql_driver")) from fault
    return Store(writer, reader, url.render_as_string(hide_password=True))


def _exists(where: str | Path) -> bool:
    return (isinstance(where, str) and "://" in where) or Path(where).exists()


_REMEDIES = {
    "database is locked": "want.store_not_busy",
    "file is not a database": "want.store_file",
    "malformed": "want.undamaged_store",
    "readonly database": "want.writable_store",
    "unable to open": "want.store_that_opens",
    "disk is full": "want.room_on_disk",
}


def _remedy(driver_words: str) -> Message:
    """What to do about a fault of the database, by what its driver says."""
    first = driver_words.strip().splitlines()[0] if driver_words.strip() else ""
    code = next((code for sign, code in _REMEDIES.items() if sign in first), None)
    return Message("want.database_answer", answer=first) if code is None else Message(code)
