"""Standard gravity."""

__all__ = ["GRAVITY"]

GRAVITY = 9.80665
"""[m/s2] standard acceleration of free fall, exact by definition.

Source
------
The International System of Units, 3rd Conférence générale des poids et mesures, 1901.
"""
