"""Which version of the schema a database holds, and the way forward from there."""

from pathlib import Path
from threading import Lock

from sqlalchemy import Connection, inspect, text

from polewright.codes import Message
from polewright.errors import StoreFault

__all__ = ["HEAD", "migrate", "version_of"]

HEAD = "0004"
_STEPS = Path(__file__).parent / "migrations"
_ONE_AT_A_TIME = Lock()  # Alembic keeps the migration under way in a module of its own


def version_of(connection: Connection) -> str | None:
    """The schema's version as four digits; None for an empty database.

    Raises
    ------
    StoreFault : the database belongs to another program.
    """
    tables = inspect(connection).get_table_names()
    if "alembic_version" in tables and "poles" in tables:
        return str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar_one())
    if tables:
        raise StoreFault("store", None, Message("want.store_of_polewright", choices=tuple(sorted(tables)[:3])))
    return None


def refuse_newer(version: str | None) -> None:
    """Refuse a store that a later Polewright has written."""
    if version is not None and version > HEAD:
        raise StoreFault(
            "store", Message("given.version", version=version), Message("want.newer_polewright", head=HEAD)
        )


def migrate(connection: Connection, to: str = HEAD) -> None:
    """Take the database forward to version `to` inside the caller's transaction."""
    # Alembic takes a third of a second to import; a store that is up to date never needs it.
    from alembic.config import Config
    from alembic.runtime.environment import EnvironmentContext
    from alembic.script import ScriptDirectory

    steps = ScriptDirectory(str(_STEPS))
    with (
        _ONE_AT_A_TIME,
        EnvironmentContext(Config(), steps, fn=lambda version, _: steps._upgrade_revs(to, version)) as environment,
    ):
        environment.configure(connection=connection, render_as_batch=True, transactional_ddl=True)
        environment.run_migrations()
