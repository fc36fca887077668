"""Angle classes of a ply: axial, bias and hoop, with the same two limits in every rule, search and diagnosis.

The angle is that of the fibre from the tube axis, its sign left out. Axial fibre lies nearer the axis than 30 degrees
and carries the bending; hoop fibre lies at 75 degrees or more and holds the tube round; bias fibre lies between. A
weave has the class of its warp; whether it also goes round is for the caller to ask of the ply.
"""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["AXIAL_BELOW", "HOOP_FROM", "AngleClass", "angle_class", "is_axial", "is_hoop"]

AngleClass = Literal["axial", "bias", "hoop"]

AXIAL_BELOW = float(np.deg2rad(30.0))
"""[rad] fibre nearer the tube axis than this is axial."""

HOOP_FROM = float(np.deg2rad(75.0))
"""[rad] fibre at this angle from the tube axis or farther is hoop."""

_TOLERANCE = 1e-9  # [rad] an angle typed in degrees may miss the limit by the last digit of its conversion


def is_axial(angle: ArrayLike) -> NDArray[np.bool_]:
    """Whether fibre is axial, element by element.

    Parameters
    ----------
    angle : (...) [rad] from the tube axis, either sign.

    Returns
    -------
    (...) true where the angle is below `AXIAL_BELOW`.
    """
    return np.asarray(np.abs(np.asarray(angle, dtype=np.float64)) < AXIAL_BELOW - _TOLERANCE)


def is_hoop(angle: ArrayLike) -> NDArray[np.bool_]:
    """Whether fibre is hoop, element by element.

    Parameters
    ----------
    angle : (...) [rad] from the tube axis, either sign.

    Returns
    -------
    (...) true where the angle is `HOOP_FROM` or more.
    """
    return np.asarray(np.abs(np.asarray(angle, dtype=np.float64)) >= HOOP_FROM - _TOLERANCE)


def angle_class(angle: float) -> AngleClass:
    """The class of one ply.

    Parameters
    ----------
    angle : [rad] from the tube axis, either sign.
    """
    if is_axial(angle):
        return "axial"
    return "hoop" if is_hoop(angle) else "bias"
