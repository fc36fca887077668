"""The papers: buyer's sheet and work cards."""
