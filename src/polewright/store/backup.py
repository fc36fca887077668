"""The whole store in one file, proved by reading it back; the way back into an empty place, in either database."""

import hashlib
import json
import os
import struct
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, BinaryIO

from sqlalchemy import Connection, MetaData, Table, func, insert, select, text

from polewright.codes import Message
from polewright.errors import StoreFault, reason_of
from polewright.store.schema import HEAD, migrate, version_of
from polewright.store.store import Store, unprepared_store
from polewright.store.tables import CopyRow

__all__ = ["Archive", "back_up", "last_good_copy", "read_archive", "restore"]

FORMAT, FORMAT_VERSION = "polewright-archive", 1
MOST_LINE = 16_000_000
_CHUNK = 500


@dataclass(frozen=True, slots=True)
class Archive:
    """A backup that was read whole: its file, when it was made, the store's version, rows by table."""

    path: Path
    made_at: datetime
    store_version: str
    n_rows: dict[str, int]

    @property
    def n_rows_in_all(self) -> int:
        """Rows of all tables together."""
        return sum(self.n_rows.values())


def back_up(store: Store, path: str | Path, *, at: datetime) -> Archive:
    """Write the whole store to one new file, read it back, and note the date of this good copy in the store.

    The file appears under its name only once it is whole; an earlier file of that name is left in peace.

    Raises
    ------
    StoreFault : the file is there already, cannot be written, or does not read back as it was written.
    """
    path = Path(path)
    if path.exists():
        raise StoreFault("backup", path, Message("want.new_name_of_backup"))
    unfinished = path.with_name(path.name + ".unfinished")
    try:
        with unfinished.open("wb") as file:
            _write(store, file, at)
            file.flush()
            os.fsync(file.fileno())
        read_archive(unfinished)
        unfinished.rename(path)
        _settle(path.parent)
    except OSError as fault:
        raise StoreFault("backup", path, Message("want.another_place_to_write", reason=reason_of(fault))) from fault
    finally:
        unfinished.unlink(missing_ok=True)
    archive = read_archive(path)
    with store.writing() as session:
        session.add(CopyRow(file=path.name, file_hash=_file_hash(path), n_rows=archive.n_rows_in_all, at=at))
    return archive


def last_good_copy(store: Store) -> datetime | None:
    """When the store was last copied and the copy read back whole; None if never."""
    with store.reading() as session:
        return session.scalar(select(CopyRow.at).order_by(CopyRow.id.desc()).limit(1))


def read_archive(path: str | Path) -> Archive:
    """Read a backup from end to end, every table against its hash and count.

    Raises
    ------
    StoreFault : not a backup of ours, of a newer Polewright, or damaged.
    """
    path = Path(path)
    with _opened(path) as archive:
        manifest = _manifest(path, archive)
        for entry in manifest["tables"]:
            n_rows = sum(1 for _ in _rows(path, archive, entry))
            if n_rows != entry["rows"]:
                raise StoreFault(
                    "backup",
                    path,
                    Message("want.table_of_all_rows", table=entry["name"], rows=n_rows, expected=entry["rows"]),
                )
    return Archive(
        path,
        datetime.fromisoformat(manifest["made_at"]),
        manifest["store_version"],
        {entry["name"]: entry["rows"] for entry in manifest["tables"]},
    )


def restore(path: str | Path, where: str | Path) -> Archive:
    """Bring a backup into an empty place, whole or not at all; an older one is brought forward on the way.

    Raises
    ------
    StoreFault : the backup is damaged, or the place is not empty.
    """
    archive = read_archive(path)
    new_file = None if "://" in str(where) or Path(where).exists() else Path(where)
    try:
        with unprepared_store(where) as store, store.connected() as connection:
            if version_of(connection) is not None:
                raise StoreFault("restore", where, Message("want.empty_place"))
            migrate(connection, archive.store_version)
            _fill(archive.path, connection)
            _refuse_unlike(archive, connection)
            if archive.store_version != HEAD:
                migrate(connection)
    except BaseException:
        if new_file is not None:
            for ending in ("", "-wal", "-shm"):
                Path(f"{new_file}{ending}").unlink(missing_ok=True)
        raise
    return archive


# What the zip reader raises on a damaged file, by where the damage lies.
_DAMAGE = (zipfile.BadZipFile, zlib.error, struct.error, EOFError, KeyError, ValueError, RuntimeError, OSError)


def _write(store: Store, file: BinaryIO, at: datetime) -> None:
    tables = []
    with store.reading() as session, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        connection = session.connection()
        version = version_of(connection)
        for table in _tables(connection):
            digest, n_rows = hashlib.sha256(), 0
            with archive.open(f"tables/{table.name}.jsonl", "w") as out:
                for row in connection.execute(select(table).order_by(*table.primary_key)).mappings():
                    line = json.dumps(dict(row), sort_keys=True, ensure_ascii=False).encode("utf-8") + b"\n"
                    digest.update(line)
                    out.write(line)
                    n_rows += 1
            tables.append({"name": table.name, "rows": n_rows, "sha256": digest.hexdigest()})
        manifest = {
            "format": FORMAT,
            "format_version": FORMAT_VERSION,
            "store_version": version,
            "made_at": at.isoformat(),
            "tables": tables,
        }
        archive.writestr("manifest.json", json.dumps(manifest, indent=1))


def _tables(connection: Connection) -> list[Table]:
    """All tables of the database as it stands, those that are named by others first."""
    found = MetaData()
    found.reflect(connection)
    return [table for table in found.sorted_tables if table.name != "alembic_version"]


def _opened(path: Path) -> zipfile.ZipFile:
    try:
        return zipfile.ZipFile(path)
    except OSError as fault:
        raise StoreFault(
            "backup", path, Message("want.cannot_be_opened", reason=reason_of(fault) or "damaged")
        ) from fault
    except _DAMAGE as fault:
        raise StoreFault("backup", path, Message("want.whole_backup")) from fault


def _manifest(path: Path, archive: zipfile.ZipFile) -> dict[str, Any]:
    try:
        manifest: dict[str, Any] = json.loads(archive.read("manifest.json"))
        known = manifest["format"] == FORMAT
        version, store_version = int(manifest["format_version"]), str(manifest["store_version"])
        whole = all({"name", "rows", "sha256"} <= entry.keys() for entry in manifest["tables"])
        datetime.fromisoformat(manifest["made_at"])
    except (*_DAMAGE, TypeError, AttributeError) as fault:
        raise StoreFault("backup", path, Message("want.backup_with_contents")) from fault
    if not (known and whole):
        raise StoreFault("backup", path, Message("want.backup"))
    if version > FORMAT_VERSION or store_version > HEAD:
        raise StoreFault(
            "backup", path, Message("want.newer_polewright_for_backup", store_version=store_version, head=HEAD)
        )
    return manifest


def _rows(path: Path, archive: zipfile.ZipFile, entry: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """The rows of one table; the hash is judged after the last."""
    digest = hashlib.sha256()
    try:
        with archive.open(f"tables/{entry['name']}.jsonl") as lines:
            while line := lines.readline(MOST_LINE):
                digest.update(line)
                yield json.loads(line)
    except _DAMAGE as fault:
        raise StoreFault("backup", path, Message("want.table_readable", table=entry["name"])) from fault
    if digest.hexdigest() != entry["sha256"]:
        raise StoreFault("backup", path, Message("want.table_of_its_hash", table=entry["name"]))


def _fill(path: Path, connection: Connection) -> None:
    tables = {table.name: table for table in _tables(connection)}
    with _opened(path) as archive:
        for entry in _manifest(path, archive)["tables"]:
            if entry["name"] not in tables:
                raise StoreFault("backup", path, Message("want.table_of_its_version", table=entry["name"]))
            table, rows = tables[entry["name"]], list(_rows(path, archive, entry))
            for start in range(0, len(rows), _CHUNK):
                connection.execute(insert(table), rows[start : start + _CHUNK])
            if connection.dialect.name == "postgresql" and rows and "id" in table.c:
                _count_on(connection, table)


def _count_on(connection: Connection, table: Table) -> None:
    """Let PostgreSQL's counter go on after the highest number restored."""
    connection.execute(
        text("SELECT setval(pg_get_serial_sequence(:table, 'id'), :last)"),
        {"table": table.name, "last": connection.scalar(select(func.max(table.c.id)))},
    )


def _refuse_unlike(archive: Archive, connection: Connection) -> None:
    """Hold what now lies in the database against the archive, row by row."""
    with _opened(archive.path) as file:
        for entry in _manifest(archive.path, file)["tables"]:
            table = next(table for table in _tables(connection) if table.name == entry["name"])
            kept = connection.execute(select(table).order_by(*table.primary_key)).mappings()
            for saved, found in zip(_rows(archive.path, file, entry), kept, strict=True):
                if saved != dict(found):
                    raise StoreFault("restore", entry["name"], Message("want.reads_back_as_saved"))


def _file_hash(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _settle(folder: Path) -> None:
    """Make the new name itself survive a power cut, where the system lets a folder be opened."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
