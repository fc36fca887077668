"""Sections nested into a pole: droop, feel, modes and limits."""
