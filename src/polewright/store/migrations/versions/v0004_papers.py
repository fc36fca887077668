"""Papers: buyer's sheets that were given, and why a pole whose checks fail has papers all the same."""

import sqlalchemy as sa
from alembic import op

from polewright.store.migrations.keep import keep_for_ever

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Add the table of the fourth version."""
    op.create_table(
        "paper_entries",
        sa.Column("id", sa.Integer(), primary_key=True),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("name", sa.String(80), nullable=False),
        sa.Column("design_hash", sa.String(64), nullable=False),
        sa.Column("pole_id", sa.Integer()),
        sa.Column("revision", sa.Integer()),
        sa.Column("serial", sa.String(80), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("content_hash", sa.String(64), nullable=False),
        sa.Column("who", sa.String(80), nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
        sa.ForeignKeyConstraint(["pole_id"], ["poles.id"], name="fk_paper_entries_pole_id"),
        sa.ForeignKeyConstraint(
            ["pole_id", "revision"], ["revisions.pole_id", "revisions.number"], name="fk_paper_entries_pole_id_revision"
        ),
    )
    op.create_index("ix_paper_entries_design_hash", "paper_entries", ["design_hash"])
    op.create_index("ix_paper_entries_pole_id", "paper_entries", ["pole_id"])
    keep_for_ever("paper_entries")
