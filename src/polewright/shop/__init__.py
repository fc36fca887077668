"""Flags, cut layouts, work cards and cost."""
