"""Poles, their revisions, and one draft a pole."""

import sqlalchemy as sa
from alembic import op

from polewright.store.migrations.keep import keep_for_ever

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the tables of the first version."""
    op.create_table(
        "poles",
        sa.Column("id", sa.Integer(), primary_key=True),
        sa.Column("slug", sa.String(80), nullable=False),
        sa.Column("who", sa.String(80), nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
        sa.UniqueConstraint("slug", name="uq_poles_slug"),
    )
    op.create_table(
        "revisions",
        sa.Column("id", sa.Integer(), primary_key=True),
        sa.Column("pole_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("parent", sa.Integer()),
        sa.Column("name", sa.String(80), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("content_hash", sa.String(64), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("who", sa.String(80), nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
        sa.UniqueConstraint("pole_id", "number", name="uq_revisions_pole_id_number"),
        sa.ForeignKeyConstraint(["pole_id"], ["poles.id"], name="fk_revisions_pole_id"),
        sa.ForeignKeyConstraint(
            ["pole_id", "parent"], ["revisions.pole_id", "revisions.number"], name="fk_revisions_pole_id_parent"
        ),
        sa.CheckConstraint("number >= 1", name="ck_revisions_number_from_one"),
        sa.CheckConstraint("parent < number", name="ck_revisions_parent_is_older"),
    )
    op.create_table(
        "drafts",
        sa.Column("pole_id", sa.Integer(), primary_key=True, autoincrement=False),
        sa.Column("parent", sa.Integer(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("content_hash", sa.String(64), nullable=False),
        sa.Column("who", sa.String(80), nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
        sa.ForeignKeyConstraint(["pole_id"], ["poles.id"], name="fk_drafts_pole_id"),
        sa.ForeignKeyConstraint(
            ["pole_id", "parent"], ["revisions.pole_id", "revisions.number"], name="fk_drafts_pole_id_parent"
        ),
    )
    keep_for_ever("poles", "slug")
    keep_for_ever("revisions", "pole_id, number")
