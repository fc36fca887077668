"""When a ply breaks: criteria of failure, each as an exact load multiplier with the cure stress kept constant.

A reserve factor R answers f(cure + R load) = 1. Only the load is scaled: cure stress is there before the pole is
picked up. Every criterion used here is a quadratic in R on a stretch of R, so the root is exact.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.conventions.criteria import CRITERIA, NAMING_CRITERIA, Criterion, NamingCriterion
from polewright.errors import DesignError
from polewright.materials.numbers import above_zero, finite, fit_each_other
from polewright.materials.ply import Elastic, Strength
from polewright.wall.hashin_kernel import MODES, hashin_multipliers

__all__ = [
    "CRITERIA",
    "NAMING_CRITERIA",
    "Criterion",
    "Mode",
    "NamingCriterion",
    "Reserve",
    "hashin_reserve",
    "linear_mode",
    "maximum_strain_reserve",
    "maximum_stress_reserve",
    "modes_reserve",
    "reserve_of",
    "solid_stress",
    "stress_pair",
    "tsai_wu_reserve",
]

_IN_PLANE, _SOLID = 3, 6


@dataclass(frozen=True, slots=True, eq=False)
class Reserve:
    """Load multipliers, (*case,) [-], and the mode that comes first as an index into `modes`.

    0 where the cure stress alone breaks the ply; infinite where no multiple of the load ever does. `every` has each
    mode's own multiplier, (*case, n_mode).
    """

    factor: FloatArray
    mode: NDArray[np.intp]
    modes: tuple[str, ...]
    every: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("factor", "every"))

    @property
    def fails_in_cure(self) -> NDArray[np.bool_]:
        """(*case,) whether the constant stress breaks the ply before any load."""
        return np.asarray(self.factor <= 0.0)

    def named(self, index: tuple[int, ...] = ()) -> str:
        """The mode at one place, by its code."""
        return self.modes[int(self.mode[index])]


@dataclass(frozen=True, slots=True)
class Mode:
    """One way of breaking: square(s, s) + linear(s) = 1 with s (*case, 6) [Pa]; it applies where where(s) >= 0."""

    square: Callable[[FloatArray, FloatArray], FloatArray]
    linear: Callable[[FloatArray], FloatArray]
    where: Callable[[FloatArray], FloatArray] | None = None


def solid_stress(stress: ArrayLike, name: str = "stress") -> FloatArray:
    """(..., 6) [Pa] in ply axes, order 11, 22, 33, 23, 13, 12, from (..., 3) in-plane 11, 22, 12 or as given."""
    array = finite(name, stress, want=Message("want.finite_stresses"))
    if array.ndim == 0 or array.shape[-1] not in (_IN_PLANE, _SOLID):
        raise DesignError(name, array.shape, Message("want.last_axis_3_11_22_12"))
    if array.shape[-1] == _SOLID:
        return array
    full = np.zeros(array.shape[:-1] + (_SOLID,))
    full[..., 0], full[..., 1], full[..., 5] = array[..., 0], array[..., 1], array[..., 2]
    return full


def _both(load: ArrayLike, cure: ArrayLike, strength: Strength) -> tuple[FloatArray, FloatArray]:
    """Load and cure stresses (*case, 6) [Pa] of one shape, that the strengths fit."""
    if not isinstance(strength, Strength):
        raise DesignError("strength", f"{strength!r:.60}", Message("want.five_strengths_ply"))
    solid, still = solid_stress(load, "load"), solid_stress(cure, "cure")
    fit_each_other(load=solid, cure=still)
    fit_each_other(load=solid.shape[:-1], cure=still.shape[:-1], strength=strength.Xt)
    solid, still = (np.asarray(v) for v in np.broadcast_arrays(solid, still))
    return solid, still


def _multiplier(load: FloatArray, cure: FloatArray, mode: Mode) -> FloatArray:
    """Smallest R >= 0 with f(cure + R load) >= 1 where the mode applies; f is convex in R on that stretch."""
    second = mode.square(load, load)
    first = 2.0 * mode.square(load, cure) + mode.linear(load)
    last = mode.square(cure, cure) + mode.linear(cure) - 1.0
    low, high = np.zeros(last.shape), np.full(last.shape, np.inf)
    if mode.where is not None:
        low, high = _stretch(mode.where(load), mode.where(cure))
    with np.errstate(all="ignore"):
        at_low = (second * low + first) * low + last
        root = _upper_root(second, first, last)
    found = np.where(at_low >= 0.0, low, root)
    return np.where((low <= high) & (found <= high), found, np.inf)


def _stretch(slope: FloatArray, start: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The R >= 0 at which start + R slope >= 0, as lowest and highest (empty where lowest exceeds highest)."""
    with np.errstate(all="ignore"):
        cross = np.where(slope == 0.0, np.inf, -start / slope)
    low = np.where(start >= 0.0, 0.0, np.where(slope > 0.0, cross, np.inf))
    high = np.where(start >= 0.0, np.where(slope < 0.0, cross, np.inf), np.where(slope > 0.0, np.inf, -np.inf))
    return np.asarray(low), np.asarray(high)


def _upper_root(second: FloatArray, first: FloatArray, last: FloatArray) -> FloatArray:
    """Upper root of second R^2 + first R + last = 0 with second >= 0, without cancellation; inf where none."""
    under = first**2 - 4.0 * second * last
    root = np.sqrt(np.maximum(under, 0.0))
    upper = np.where(first > 0.0, -2.0 * last / (first + root), (root - first) / (2.0 * second))
    return np.asarray(np.where((under < 0.0) | ((second <= 0.0) & (first <= 0.0)) | np.isnan(upper), np.inf, upper))


def stress_pair(load: ArrayLike, cure: ArrayLike, strength: Strength) -> tuple[FloatArray, FloatArray, FloatArray]:
    """The load brought to size one, the cure stress, both (*case, 6) [Pa], and the size (*case,), so that none is lost.

    Raises
    ------
    DesignError : strengths that are none, or shapes that do not fit each other.
    """
    solid, still = _both(load, cure, strength)
    size = np.abs(solid).max(axis=-1)
    size = np.where(size > 0.0, size, 1.0)
    return solid / size[..., None], still, size


def reserve_of(multipliers: Iterable[FloatArray], modes: Iterable[str]) -> Reserve:
    """The mode that comes first, at every place, of the multipliers (*case,) [-] of each mode."""
    every = np.stack(np.broadcast_arrays(*multipliers), axis=-1)
    return Reserve(factor=every.min(axis=-1), mode=every.argmin(axis=-1), modes=tuple(modes), every=every)


def modes_reserve(
    load: ArrayLike, strength: Strength, modes: Iterable[tuple[str, Mode]], *, cure: ArrayLike = (0.0, 0.0, 0.0)
) -> Reserve:
    """Load multiplier of the mode that comes first, of a criterion that is given by its modes, each with its code.

    Parameters
    ----------
    load, cure : (*case, 3) [Pa] in ply axes 11, 22, 12, or (*case, 6) with 11, 22, 33, 23, 13, 12; cure is constant.
    strength : [Pa] fields that broadcast against (*case,).

    Returns
    -------
    Reserve, (*case,).
    """
    solid, still = _both(load, cure, strength)
    return _least(solid, still, modes)


def _least(load: FloatArray, cure: FloatArray, modes: Iterable[tuple[str, Mode]]) -> Reserve:
    """The mode that comes first, at every place; the load is brought to size one so that no square of it is lost."""
    names, forms = zip(*modes, strict=True)
    size = np.abs(load).max(axis=-1)
    size = np.where(size > 0.0, size, 1.0)
    unit = load / size[..., None]
    with np.errstate(over="ignore"):
        return reserve_of([_multiplier(unit, cure, form) / size for form in forms], names)


def linear_mode(parts: ArrayLike, row: int) -> Mode:
    """The mode of one stress over its limit; parts : (*case,) [1/Pa] one over the limit, signed; row : 0 to 5."""
    weight = np.asarray(parts, dtype=np.float64)

    def linear(s: FloatArray) -> FloatArray:
        return np.asarray(weight * s[..., row])

    return Mode(square=lambda a, _b: np.zeros(a.shape[:-1]), linear=linear)


_SIGNED = (
    ("fibre_tension", 0, 1.0),
    ("fibre_compression", 0, -1.0),
    ("matrix_tension", 1, 1.0),
    ("matrix_compression", 1, -1.0),
    ("shear", 5, 1.0),
    ("shear", 5, -1.0),
)
_THROUGH = (
    ("peel", 2, 1.0),
    ("through_compression", 2, -1.0),
    ("shear_across", 3, 1.0),
    ("shear_across", 3, -1.0),
    ("shear_along", 4, 1.0),
    ("shear_along", 4, -1.0),
)


def maximum_stress_reserve(load: ArrayLike, strength: Strength, *, cure: ArrayLike = (0.0, 0.0, 0.0)) -> Reserve:
    """Load multiplier by maximum stress: each stress against its own strength, no interaction.

    Parameters
    ----------
    load : (*case, 3) [Pa] in ply axes 11, 22, 12, or (*case, 6) with 11, 22, 33, 23, 13, 12; through the ply Yt, Yc
        and S stand in for the unknown strengths.
    strength : [Pa] fields that broadcast against (*case,); lab means or design values, as the caller chooses.
    cure : [Pa] as `load`, constant.

    Returns
    -------
    Reserve, (*case,).

    Source
    ------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, section 2.9.1.
    """
    solid, still = _both(load, cure, strength)
    limits = (
        strength.Xt,
        strength.Xc,
        strength.Yt,
        strength.Yc,
        strength.S,
        strength.S,
        strength.Yt,
        strength.Yc,
        strength.S,
        strength.S,
        strength.S,
        strength.S,
    )
    modes = [
        (name, linear_mode(sign / limit, row))
        for (name, row, sign), limit in zip(_SIGNED + _THROUGH, limits, strict=True)
    ]
    return _least(solid, still, modes)


def maximum_strain_reserve(
    load: ArrayLike, strength: Strength, *, elastic: Elastic, cure: ArrayLike = (0.0, 0.0, 0.0)
) -> Reserve:
    """Load multiplier by maximum strain: strain from stress in ply axes against Xt/E1, Xc/E1, Yt/E2, Yc/E2, S/G12.

    The strain that breaks a ply is the one from stress; free thermal expansion breaks nothing.

    Parameters
    ----------
    load, strength, cure : [Pa] as `maximum_stress_reserve`; only in-plane stresses and, in 3-D, their Poisson effect.
    elastic : [Pa] and [-], fields that broadcast against (*case,).

    Returns
    -------
    Reserve, (*case,).

    Source
    ------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, section 2.9.2.
    """
    solid, still = _both(load, cure, strength)
    fit_each_other(load=solid.shape[:-1], elastic=elastic.E1)

    def strain(s: FloatArray) -> FloatArray:
        along = (s[..., 0] - elastic.nu12 * s[..., 1] - elastic.nu13 * s[..., 2]) / elastic.E1
        across = (s[..., 1] - elastic.nu23 * s[..., 2]) / elastic.E2 - elastic.nu12 / elastic.E1 * s[..., 0]
        return np.stack(
            np.broadcast_arrays(
                along, across, s[..., 2] * 0.0, s[..., 3] * 0.0, s[..., 4] * 0.0, s[..., 5] / elastic.G12
            ),
            axis=-1,
        )

    limits = (
        strength.Xt / elastic.E1,
        strength.Xc / elastic.E1,
        strength.Yt / elastic.E2,
        strength.Yc / elastic.E2,
        strength.S / elastic.G12,
        strength.S / elastic.G12,
    )
    modes = [(name, linear_mode(sign / limit, row)) for (name, row, sign), limit in zip(_SIGNED, limits, strict=True)]
    return _least(strain(solid), strain(still), modes)


def tsai_wu_reserve(
    load: ArrayLike, strength: Strength, *, cure: ArrayLike = (0.0, 0.0, 0.0), interaction: float = -0.5
) -> Reserve:
    """Load multiplier by the tensor criterion of Tsai and Wu, plane stress.

    F1 s1 + F2 s2 + F11 s1^2 + F22 s2^2 + F66 s12^2 + 2 F12 s1 s2 = 1, with F12 = interaction sqrt(F11 F22).
    The interaction term needs a biaxial test; -1/2 is used unless told, and the answer depends on it.

    Parameters
    ----------
    load, strength, cure : as `maximum_stress_reserve`; only the in-plane stresses are used.
    interaction : [-] between -1 and 1, both excluded, so that the surface is closed.

    Returns
    -------
    Reserve, (*case,), of the one mode "interactive".

    Raises
    ------
    DesignError : the interaction opens the surface.

    Source
    ------
    S. W. Tsai, E. M. Wu, A general theory of strength for anisotropic materials, J. Composite Materials 5, 1971.
    """
    if not np.all(np.abs(finite("interaction", interaction, want=Message("want.between_1_1"))) < 1.0):
        raise DesignError("interaction", interaction, Message("want.between_1_1_or_criterion_allows"))
    solid, still = _both(load, cure, strength)
    F11, F22, F66 = (1.0 / (strength.Xt * strength.Xc), 1.0 / (strength.Yt * strength.Yc), 1.0 / strength.S**2)
    F1, F2 = 1.0 / strength.Xt - 1.0 / strength.Xc, 1.0 / strength.Yt - 1.0 / strength.Yc
    F12 = interaction * np.sqrt(F11 * F22)

    def square(a: FloatArray, b: FloatArray) -> FloatArray:
        return np.asarray(
            F11 * a[..., 0] * b[..., 0]
            + F22 * a[..., 1] * b[..., 1]
            + F66 * a[..., 5] * b[..., 5]
            + F12 * (a[..., 0] * b[..., 1] + a[..., 1] * b[..., 0])
        )

    mode = Mode(square=square, linear=lambda s: np.asarray(F1 * s[..., 0] + F2 * s[..., 1]))
    return _least(solid, still, [("interactive", mode)])


def hashin_reserve(
    load: ArrayLike, strength: Strength, *, cure: ArrayLike = (0.0, 0.0, 0.0), across: ArrayLike | None = None
) -> Reserve:
    """Load multiplier by Hashin's criterion, which names what breaks.

    fibre tension: (s1/Xt)^2 + (s12^2 + s13^2)/S^2;  fibre compression: (s1/Xc)^2;
    matrix, with s = s2 + s3 and T the shear strength across the fibre: tension, s >= 0: s^2/Yt^2 + q;
    compression, s < 0: (s/2T)^2 + [(Yc/2T)^2 - 1] s/Yc + q;  q = (s23^2 - s2 s3)/T^2 + (s12^2 + s13^2)/S^2.

    Parameters
    ----------
    load, strength, cure : as `maximum_stress_reserve`; in-plane stresses give the plane-stress forms.
    across : [Pa] T, broadcast against (*case,); Yc/2 when unknown, which puts the push plane at 45 degrees.

    Returns
    -------
    Reserve, (*case,).

    Source
    ------
    Z. Hashin, Failure criteria for unidirectional fiber composites, J. Applied Mechanics 47, 1980, 329-334.
    """
    solid, still = _both(load, cure, strength)
    T = (
        strength.Yc / 2.0
        if across is None
        else above_zero("across", across, want=Message("want.shear_strength_above_zero"))
    )
    case = solid.shape[:-1]
    fit_each_other(load=case, across=T)
    limits = np.empty((*case, 5))
    for row, limit in enumerate((strength.Xt, strength.Xc, strength.Yt, strength.Yc, strength.S)):
        limits[..., row] = limit
    every = hashin_multipliers(
        np.ascontiguousarray(solid).reshape(-1, 6),
        np.ascontiguousarray(still).reshape(-1, 6),
        limits.reshape(-1, 5),
        np.broadcast_to(T, case).ravel(),
    ).reshape(*case, 4)
    return Reserve(factor=every.min(axis=-1), mode=every.argmin(axis=-1), modes=MODES, every=every)
