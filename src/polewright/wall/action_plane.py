"""When a ply breaks between its fibres: the plane on which it breaks, and the load multiplier, by Puck's criterion.

Three ways of breaking across the fibre, by the plane that the stress acts on: A, pulled open along the fibre; B,
sheared along the fibre under pressure, on the same plane; C, pushed off on a slanted plane that wedges a wall apart.
Stresses in the plane of the ply only; what acts through its thickness is left out.
"""

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.numbers import finite
from polewright.materials.ply import Strength
from polewright.wall.criteria import Reserve, reserve_of, stress_pair

__all__ = ["OPENING_SLOPE", "PUSHING_SLOPE", "action_plane_reserve"]

OPENING_SLOPE = 0.35
"""[-] slope of the envelope at pure shear, pulled side; carbon in epoxy (0.30 for glass)."""

PUSHING_SLOPE = 0.30
"""[-] the same on the pushed side; carbon in epoxy (0.25 for glass)."""

MODES = ("fibre_tension", "fibre_compression", "opening", "shear_under_pressure", "slanted_push")
_MOST_SLOPE = 0.5


def action_plane_reserve(
    load: ArrayLike,
    strength: Strength,
    *,
    cure: ArrayLike = (0.0, 0.0, 0.0),
    opening_slope: float = OPENING_SLOPE,
    pushing_slope: float = PUSHING_SLOPE,
) -> Reserve:
    """Load multiplier by the action plane on which the ply breaks, plane stress.

    With p the slope of each side, RA = S/(2p) [sqrt(1 + 2p Yc/S) - 1] and q = p RA/S, a ply breaks where

    A, s2 >= 0: sqrt[(s12/S)^2 + (1 - p Yt/S)^2 (s2/Yt)^2] + p s2/S = 1;
    B, -RA <= s2 < 0: [sqrt(s12^2 + (p s2)^2) + p s2]/S = 1;
    C, s2 < -RA: [(s12/(2 (1 + q) S))^2 + (s2/Yc)^2] Yc/(-s2) = 1;

    and along the fibre at Xt and Xc. The weakening of the resin by high stress along the fibre is left out.

    Parameters
    ----------
    load : (*case, 3) [Pa] in ply axes 11, 22, 12, or (*case, 6), of which those three are used.
    strength : [Pa] fields that broadcast against (*case,); lab means or design values, as the caller chooses.
    cure : [Pa] as `load`, constant.
    opening_slope, pushing_slope : [-] above 0, at most a half; the opening one is cut to S/(2 Yt) where that is less,
        beyond which its curve would bend outward.

    Returns
    -------
    Reserve, (*case,).

    Raises
    ------
    DesignError : a slope out of bounds, or shapes that do not fit.

    Source
    ------
    A. Puck, J. Kopp, M. Knops, Guidelines for the determination of the parameters in Puck's action plane strength
    criterion, Composites Science and Technology 62, 2002, 371-378; A. Puck, H. Schürmann, Failure analysis of FRP
    laminates by means of physically based phenomenological models, Composites Science and Technology 58, 1998,
    1045-1067. A test turns the plane through every angle instead.
    """
    for field, slope in (("opening_slope", opening_slope), ("pushing_slope", pushing_slope)):
        if not 0.0 < float(finite(field, slope)) <= _MOST_SLOPE:
            raise DesignError(field, slope, Message("want.slope_above_zero_at_most_half"))
    unit, still, size = stress_pair(load, cure, strength)
    with np.errstate(over="ignore"):
        return reserve_of(
            [found / size for found in _multipliers(unit, still, strength, opening_slope, pushing_slope)], MODES
        )


def _multipliers(
    unit: FloatArray, still: FloatArray, strength: Strength, opening_slope: float, pushing_slope: float
) -> list[FloatArray]:
    """Of each mode, (*case,) times the load brought to size one."""
    zero, one = np.zeros(np.shape(strength.S)), np.ones(np.shape(strength.S))
    along = [
        _first(unit[..., 0], still[..., 0], still[..., 5] * 0.0, unit[..., 5] * 0.0, (zero, zero, sign / limit, -one))
        for limit, sign in ((strength.Xt, 1.0), (strength.Xc, -1.0))
    ]
    between = [
        _first(unit[..., 1], still[..., 1], still[..., 5], unit[..., 5], terms, bounds)
        for terms, bounds in _envelope(strength, opening_slope, pushing_slope)
    ]
    return [*along, *between]


def _envelope(
    strength: Strength, opening_slope: float, p: float
) -> tuple[tuple[tuple[FloatArray, FloatArray, FloatArray, FloatArray], tuple[FloatArray, FloatArray]], ...]:
    """Of A, B and C: factors of s12^2, s2^2, s2 and 1 whose sum is zero on the envelope, and the s2 where it holds."""
    S, Yt, Yc = strength.S, strength.Yt, strength.Yc
    RA = S / (2.0 * p) * (np.sqrt(1.0 + 2.0 * p * Yc / S) - 1.0)
    slanted = 2.0 * (1.0 + p * RA / S) * S
    pull = np.minimum(opening_slope, S / (2.0 * Yt))
    zero, one = np.zeros(np.shape(S)), np.ones(np.shape(S))
    return (
        ((1.0 / S**2, (1.0 - 2.0 * pull * Yt / S) / Yt**2, 2.0 * pull / S, -one), (zero, np.inf * one)),
        ((1.0 / S**2, zero, 2.0 * p / S, -one), (-RA, zero)),
        ((1.0 / slanted**2, 1.0 / Yc**2, 1.0 / Yc, zero), (-np.inf * one, -RA)),
    )


def _first(
    rate: FloatArray,
    start: FloatArray,
    shear: FloatArray,
    shear_rate: FloatArray,
    terms: tuple[FloatArray, FloatArray, FloatArray, FloatArray],
    bounds: tuple[FloatArray, FloatArray] | None = None,
) -> FloatArray:
    """Least R >= 0 at which t s12^2 + a s2^2 + b s2 + c reaches zero, with s = start + R rate, s2 within its bounds."""
    square, own, linear, constant = terms
    second = square * shear_rate**2 + own * rate**2
    first = 2.0 * (square * shear * shear_rate + own * start * rate) + linear * rate
    last = square * shear**2 + own * start**2 + linear * start + constant
    low, high = np.zeros(np.shape(last)), np.full(np.shape(last), np.inf)
    if bounds is not None:
        low, high = _within(rate, start, *bounds)
    with np.errstate(all="ignore"):
        at_low = np.where(np.isfinite(low), (second * low + first) * low + last, -np.inf)
        root = _upper_root(second, first, last)
    # the form is below zero inside the envelope and convex along R: it is left at the upper root
    found = np.where(at_low >= -1e-12, low, root)
    return np.asarray(np.where((low <= high) & (found <= high * (1.0 + 1e-12)), found, np.inf))


def _within(rate: FloatArray, start: FloatArray, least: FloatArray, most: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The R >= 0 at which least <= start + R rate <= most, as lowest and highest; empty where lowest exceeds."""
    with np.errstate(all="ignore"):
        one, other = (least - start) / rate, (most - start) / rate
    inside = (start >= least) & (start <= most)
    low = np.where(rate == 0.0, np.where(inside, 0.0, np.inf), np.maximum(np.minimum(one, other), 0.0))
    high = np.where(rate == 0.0, np.where(inside, np.inf, -np.inf), np.maximum(one, other))
    return np.asarray(low), np.asarray(high)


def _upper_root(second: FloatArray, first: FloatArray, last: FloatArray) -> FloatArray:
    """Upper root of second R^2 + first R + last = 0, second >= 0, without cancellation; inf where there is none."""
    under = first**2 - 4.0 * second * last
    root = np.sqrt(np.maximum(under, 0.0))
    upper = np.where(first > 0.0, -2.0 * last / (first + root), (root - first) / (2.0 * second))
    return np.asarray(np.where((under < 0.0) | ((second <= 0.0) & (first <= 0.0)) | np.isnan(upper), np.inf, upper))
