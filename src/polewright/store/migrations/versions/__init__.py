"""One module a step, read by Alembic in the order of `down_revision`."""
