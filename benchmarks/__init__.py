"""How fast, as ratios to a named baseline of the same run."""
