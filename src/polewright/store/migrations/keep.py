"""Rules in the database itself that refuse to change or remove what was kept; the same words in both dialects."""

from alembic import op

__all__ = ["keep_for_ever"]

_FUNCTION = """
CREATE OR REPLACE FUNCTION polewright_refuse() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION '%: kept for ever; add a further entry instead', TG_TABLE_NAME; END $$
"""


def keep_for_ever(table: str, *keys: str) -> None:
    """Refuse UPDATE, DELETE and TRUNCATE on `table`; `keys` are its unique column lists, as "a, b".

    SQLite's INSERT OR REPLACE removes a row without asking its delete triggers, so an insert onto a taken key
    is refused there as well.
    """
    if op.get_bind().dialect.name == "postgresql":
        op.execute(_FUNCTION)
        op.execute(
            f"CREATE TRIGGER {table}_kept BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION polewright_refuse()"
        )
        return
    refuse = f"BEGIN SELECT RAISE(ABORT, '{table}: kept for ever; add a further entry instead'); END"
    op.execute(f"CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table} {refuse}")
    op.execute(f"CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table} {refuse}")
    for number, key in enumerate(("id", *keys)):
        same = " AND ".join(f"{name.strip()} = NEW.{name.strip()}" for name in key.split(","))
        taken = f"EXISTS (SELECT 1 FROM {table} WHERE {same})"  # noqa: S608 - names of our own, never typed in
        op.execute(f"CREATE TRIGGER {table}_no_replace_{number} BEFORE INSERT ON {table} WHEN {taken} {refuse}")
