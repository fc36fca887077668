"""The numbered steps of the schema, forward only; a released step is never edited."""
