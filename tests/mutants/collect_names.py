"""Names that the collecting plugin and the reader of its data share."""

FIXTURE = "fixture "
