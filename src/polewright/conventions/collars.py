"""The makes of a clamp's collar, by how they press on a tube; `wall.collar` says what each does."""

from typing import Literal, get_args

__all__ = ["COLLARS", "CollarKind"]

CollarKind = Literal["split_band", "two_shells", "one_pad"]
"""A flexible strap drawn together at its lugs; two lined half shells; one lined pad against a lined half shell."""

COLLARS: tuple[CollarKind, ...] = get_args(CollarKind)
