"""Long work: what was asked, what came of it, and how each job stands."""

import sqlalchemy as sa
from alembic import op

from polewright.store.migrations.keep import keep_for_ever

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Add the tables of the third version."""
    op.create_table(
        "jobs",
        sa.Column("id", sa.Integer(), primary_key=True),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("subject", sa.String(80), nullable=False),
        sa.Column("about", sa.String(64), nullable=False),
        sa.Column("options", sa.Text(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("content_hash", sa.String(64), nullable=False),
        sa.Column("who", sa.String(80), nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
    )
    op.create_index("ix_jobs_subject", "jobs", ["subject"])
    op.create_table(
        "job_results",
        sa.Column("id", sa.Integer(), primary_key=True),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("is_complete", sa.Boolean(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("content_hash", sa.String(64), nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_job_results_job_id"),
    )
    op.create_index("ix_job_results_job_id", "job_results", ["job_id"])
    op.create_table(
        "job_states",
        sa.Column("job_id", sa.Integer(), primary_key=True, autoincrement=False),
        sa.Column("state", sa.String(20), nullable=False),
        sa.Column("owner", sa.String(200), nullable=False),
        sa.Column("step", sa.String(40), nullable=False),
        sa.Column("done", sa.Integer(), nullable=False),
        sa.Column("of", sa.Integer(), nullable=False),
        sa.Column("gap", sa.Double()),
        sa.Column("faults", sa.Text(), nullable=False),
        sa.Column("is_stop_asked", sa.Boolean(), nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_job_states_job_id"),
    )
    op.create_index("ix_job_states_state", "job_states", ["state"])
    op.create_table(
        "job_checkpoints",
        sa.Column("job_id", sa.Integer(), primary_key=True, autoincrement=False),
        sa.Column("part", sa.Integer(), primary_key=True, autoincrement=False),
        sa.Column("data", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_job_checkpoints_job_id"),
    )
    keep_for_ever("jobs")
    keep_for_ever("job_results")
