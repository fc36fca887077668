"""The published answers: what `--json`, the JSON API and the library give out, field by field."""
