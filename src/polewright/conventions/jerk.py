"""How many times a load counts that comes with a jerk; the trade's figure, not measured here."""

__all__ = ["JERK"]

JERK = 2.5
"""[-] by which a static load is multiplied."""
