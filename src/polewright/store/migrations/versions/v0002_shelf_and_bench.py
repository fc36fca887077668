"""The shelf, the bench's test records, the workshop's choices, and the list of good copies."""

import sqlalchemy as sa
from alembic import op

from polewright.store.migrations.keep import keep_for_ever

revision = "0002"
down_revision = "0001"


def _entry(table: str, *columns: "sa.Column[object]", more: tuple[sa.Constraint, ...] = ()) -> None:
    """An append-only table whose entries may correct an earlier one, once."""
    op.create_table(
        table,
        sa.Column("id", sa.Integer(), primary_key=True),
        *columns,
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("content_hash", sa.String(64), nullable=False),
        sa.Column("corrects", sa.Integer()),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("who", sa.String(80), nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
        sa.UniqueConstraint("corrects", name=f"uq_{table}_corrects"),
        sa.ForeignKeyConstraint(["corrects"], [f"{table}.id"], name=f"fk_{table}_corrects"),
        *more,
    )
    keep_for_ever(table, "corrects")


def upgrade() -> None:
    """Add the tables of the second version."""
    _entry(
        "shelf_entries",
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("key", sa.String(80), nullable=False),
        sa.Column("gone", sa.Boolean(), nullable=False),
    )
    op.create_index("ix_shelf_entries_kind", "shelf_entries", ["kind"])
    _entry(
        "test_entries",
        sa.Column("serial", sa.String(80), nullable=False),
        sa.Column("pole_id", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        more=(
            sa.ForeignKeyConstraint(["pole_id"], ["poles.id"], name="fk_test_entries_pole_id"),
            sa.ForeignKeyConstraint(
                ["pole_id", "revision"],
                ["revisions.pole_id", "revisions.number"],
                name="fk_test_entries_pole_id_revision",
            ),
        ),
    )
    op.create_index("ix_test_entries_serial", "test_entries", ["serial"])
    op.create_table(
        "settings",
        sa.Column("key", sa.String(80), primary_key=True),
        sa.Column("value", sa.Text(), nullable=False),
        sa.Column("who", sa.String(80), nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
    )
    op.create_table(
        "copies",
        sa.Column("id", sa.Integer(), primary_key=True),
        sa.Column("file", sa.Text(), nullable=False),
        sa.Column("file_hash", sa.String(64), nullable=False),
        sa.Column("n_rows", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
    )
    keep_for_ever("copies")
