"""Wrinkling of a tube that bending has made oval: the two help each other, and neither limit alone is safe.

On its pushed side an oval tube is flatter than a round one, so that its wall wrinkles at less push; and the further it
goes oval, the more push a moment takes. The ripple is short beside the tube: it sees the push and the curvature of the
place where it lies, and how fast both change round the clock, which holds it together.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.polynomial import Chebyshev

from polewright.arrays import FloatArray, freeze
from polewright.wall.flattening import OvalTop, oval_scales, oval_top
from polewright.wall.stack import Wall
from polewright.wall.wrinkling import Shell, even_push, line_forces, shells_of

__all__ = ["OvalWrinkle", "oval_wrinkle"]

_ALONG = np.geomspace(0.5, 1.7, 9)  # axial wave numbers looked at, beside that of a round tube
_WAVES = np.linspace(0.0, 1.0, 21)
_MOST_WAVES, _FEWEST = 1.7, 6.0  # waves looked at: beside those of a round tube, and at least
_CLOSER = 0.02  # share by which the radius is changed to see what it does
_NODES = 5  # curvatures at which a wall is asked what it bears
_LEAST_WELL = 1e-3  # [-] where push and curvature hardly hold a ripple
_LAST = 1e-6  # of the curvature at the limit moment, to which a crossing is found


@dataclass(frozen=True, slots=True, eq=False)
class OvalWrinkle:
    """Where a bent tube ends by going oval and wrinkling at once; every field (*case,).

    perfect: moment [N m] at which a perfect wall wrinkles, or its oval runs away where that comes first; moment: the
    same with the published share of the even push [N m]; half_wave: along the tube [m], not a number where the oval
    runs away first.
    """

    perfect: FloatArray
    moment: FloatArray
    half_wave: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("perfect", "moment", "half_wave"))


def oval_wrinkle(wall: Wall, share: FloatArray) -> OvalWrinkle:
    """Moment at which the pushed side of a long tube wrinkles, its section as oval as that moment makes it.

    The section is the inextensible oval of `flattening`; axial line force C k y at its top, k the curvature of the
    tube. A perfect wall wrinkles where that is the least push that the wall takes there: the even push l of a tube
    of the curvature of the top, plus what holding the ripple in its place costs, sqrt(l2 V2)/2 + l2 V4/(32 V2), with l2
    the second derivative of l over the wave number round the clock, V2 and V4 the second and the fourth of V over the
    place round the clock, push and curvature as they change there. A real wall bears `share` of the even push, the load
    that share was published for.

    Parameters
    ----------
    wall : one wall or a batch, (*case,).
    share : (*case,) [-] published share of the perfect load under even push.

    Source
    ------
    E. L. Axelrad, Theory of Flexible Shells, 1987, local buckling of bent tubes by the curvature of the place; V. P.
    Maslov, M. V. Fedoriuk, Semi-Classical Approximation in Quantum Mechanics, 1981, the lowest state in a well, here
    over the place round the clock; load and section: `flattening.flattening_curve`.
    """
    unit, scale = oval_scales(wall)
    rows = [
        _ends(shell, float(k), float(m), float(s))
        for shell, k, m, s in zip(
            shells_of(wall),
            np.ravel(unit),
            np.ravel(scale),
            np.ravel(np.broadcast_to(share, wall.bore.shape)),
            strict=True,
        )
    ]
    perfect, moment, half_wave = (np.array(column).reshape(wall.bore.shape) for column in zip(*rows, strict=True))
    return OvalWrinkle(perfect=perfect, moment=moment, half_wave=half_wave)


def _ends(shell: Shell, unit: float, scale: float, share: float) -> tuple[float, float, float]:
    """Moments [N m] of a perfect wall and of a real one, half a wave [m].

    What the wall bears changes smoothly with the oval: it is worked out at a few curvatures and read between them.
    """
    # M = pi R sqrt(C D) m(k), C k y = push: C from the two scales
    axial = scale / (np.pi * shell.radius**3 * unit)
    _, along, waves = even_push(shell)
    start = along, max(_MOST_WAVES * abs(waves), _FEWEST)
    last = oval_top().last
    square = last**2 * (1.0 - np.cos(np.pi * (np.arange(_NODES) + 0.5) / _NODES)) / 2.0
    rows = np.array([_least(shell, oval_top(float(np.sqrt(s))), start)[:2] for s in square])
    even, held = (Chebyshev.fit(square, row, _NODES - 1, domain=[0.0, last**2]) for row in rows.T)

    def spare(scaled: float, borne: Callable[[float], float]) -> float:
        return float(borne(scaled**2)) - axial * scaled * unit * shell.radius * oval_top(scaled).height

    at_perfect = _crossing(lambda k: spare(k, held), last)
    at_real = _crossing(lambda k: spare(k, lambda s: share * even(s)), last)
    half_wave = np.pi / _least(shell, oval_top(at_perfect), start)[2] if at_perfect < last else float("nan")
    return scale * oval_top(at_perfect).moment, scale * oval_top(at_real).moment, half_wave


def _least(shell: Shell, top: OvalTop, start: tuple[float, float]) -> tuple[float, float, float]:
    """At the top of an oval: least even push [N/m], least push with a ripple held there, its wave number [1/m]."""
    radius = shell.radius / top.bend
    along = np.maximum(start[0] * np.sqrt(top.bend), np.pi / radius / _ALONG[0]) * _ALONG  # none longer than the radius
    waves = start[1] / np.sqrt(top.bend) * _WAVES
    if not shell.is_balanced:
        waves = np.concatenate([-waves[:0:-1], waves])
    line = line_forces(shell, radius, along, waves)
    rows, step = np.arange(len(along)), waves[1] - waves[0]
    at = line.argmin(axis=1)
    left = line[rows, np.abs(at - 1)]  # a balanced wall takes waves n and -n alike
    right = line[rows, np.minimum(at + 1, len(waves) - 1)]
    even = line[rows, at]
    steep = np.maximum(left - 2.0 * even + right, 0.0) / (step * top.bend) ** 2
    closer = line_forces(shell, radius * (1.0 - _CLOSER), along, waves[at] * (1.0 - _CLOSER))[rows, rows]
    power = np.log(closer / even) / -np.log(1.0 - _CLOSER)
    change = top.turn / top.bend
    well = top.bend / top.height + power * change
    levelling = (top.bend**3 - top.turn) / top.height - power * (
        top.turn_on / top.bend + 3.0 * (power - 1.0) * change**2
    )
    well = np.maximum(well, _LEAST_WELL)
    first = 0.5 * np.sqrt(steep * even * well)
    second = steep * levelling / (32.0 * well)  # a correction: where it is no small one, the series says no more
    held = even + first - np.clip(second, -0.25 * first, 0.25 * first)
    return _lowest(along, even)[0], *_lowest(along, held)


def _lowest(along: FloatArray, line: FloatArray) -> tuple[float, float]:
    """Least of a row over the logarithm of the wave number, by the parabola through its least three; and its place."""
    i = int(np.clip(line.argmin(), 1, len(line) - 2))
    low, mid, high = (float(n) for n in line[i - 1 : i + 2])
    bend = low - 2.0 * mid + high
    shift = float(np.clip((low - high) / (2.0 * bend), -1.0, 1.0)) if bend > 0.0 else 0.0
    value = mid + shift * (high - low) / 2.0 + shift**2 * bend / 2.0
    return value, float(along[i] * (along[i] / along[i - 1]) ** shift)


def _crossing(function: Callable[[float], float], last: float) -> float:
    """Where a function that starts above zero first comes to zero; `last` where it does not, by the Illinois method."""
    low, high, above, below = 0.0, last, function(0.0), function(last)
    if below >= 0.0:
        return last
    place, side = last, 0
    while high - low > _LAST * last:
        before, place = place, (low * below - high * above) / (below - above)
        value = function(place)
        if value > 0.0:
            low, above = place, value
            below = below / 2.0 if side > 0 else below
            side = 1
        else:
            high, below = place, value
            above = above / 2.0 if side < 0 else above
            side = -1
        if abs(place - before) < _LAST * last:
            break
    return place
