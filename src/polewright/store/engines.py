"""Engines for the two databases: one that writes under a lock from its first statement, one that can only read."""

from pathlib import Path
from typing import Any
from urllib.parse import quote

from sqlalchemy import URL, Connection, Engine, create_engine, event, text

__all__ = ["draft_engine", "file_engines", "server_engines"]

BUSY_MS = 5000
# Any fixed number, the same for every writer: the lock that makes PostgreSQL writers queue as SQLite's do.
_WRITER_LOCK = 0x504F4C45


def file_engines(path: Path) -> tuple[Engine, Engine]:
    """(writer, reader) of an SQLite file, made if it is not there."""
    writer = create_engine(URL.create("sqlite", database=str(path)))
    _prepare(
        writer,
        f"PRAGMA busy_timeout={BUSY_MS}",
        "PRAGMA journal_mode=WAL",
        "PRAGMA foreign_keys=ON",
        "PRAGMA synchronous=FULL",
        begin="BEGIN IMMEDIATE",
    )
    reader = create_engine(
        URL.create("sqlite", database=f"file:{quote(str(path))}", query={"mode": "ro", "uri": "true"})
    )
    _prepare(reader, f"PRAGMA busy_timeout={BUSY_MS}", "PRAGMA foreign_keys=ON", begin="BEGIN")
    return writer, reader


def draft_engine(path: Path) -> Engine:
    """A writer of an SQLite file that does not wait for the disk: for drafts, which change with every key.

    What it commits outlives the program, killed or not; a power cut may lose the last of it, never what the other
    writer has committed.
    """
    writer = create_engine(URL.create("sqlite", database=str(path)))
    _prepare(
        writer,
        f"PRAGMA busy_timeout={BUSY_MS}",
        "PRAGMA foreign_keys=ON",
        "PRAGMA synchronous=NORMAL",
        begin="BEGIN IMMEDIATE",
    )
    return writer


def server_engines(url: URL) -> tuple[Engine, Engine]:
    """(writer, reader) of a PostgreSQL database."""
    writer = create_engine(url, pool_pre_ping=True)
    event.listen(writer, "begin", _queue_behind_other_writers)
    reader = create_engine(
        url, pool_pre_ping=True, isolation_level="REPEATABLE READ", execution_options={"postgresql_readonly": True}
    )
    return writer, reader


def _prepare(engine: Engine, *pragmas: str, begin: str) -> None:
    """Set the pragmas of each new connection; begin each transaction ourselves, as the driver would begin it late."""

    def connected(connection: Any, _record: object) -> None:
        connection.isolation_level = None
        for pragma in pragmas:
            connection.execute(pragma)

    def began(connection: Connection) -> None:
        connection.exec_driver_sql(begin)

    event.listen(engine, "connect", connected)
    event.listen(engine, "begin", began)


def _queue_behind_other_writers(connection: Connection) -> None:
    connection.execute(text(f"SELECT pg_advisory_xact_lock({_WRITER_LOCK})"))
