"""Wrinkling: the short waves in which a pushed or bent wall buckles, and how much real tubes fall short of theory.

Linear shell buckling of the layered wall with all of A, B and D, shear through the wall, and every number of waves
round the clock. The axisymmetric wave alone can read more than twice too high.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.wall.ring import wall_matrices
from polewright.wall.stack import Wall
from polewright.wall.wrinkle_kernel import joined_waves, softness

__all__ = [
    "KnockDown",
    "Shell",
    "Wrinkle",
    "axisymmetric_force",
    "bending_knock_down",
    "bending_wrinkle",
    "bending_wrinkle_moment",
    "even_push",
    "line_forces",
    "push_knock_down",
    "push_wrinkle",
    "shells_of",
    "through_shear",
]


@dataclass(frozen=True, slots=True, eq=False)
class Wrinkle:
    """Where a perfect wall wrinkles; every field (*case,).

    line: axial line force at the most pushed place [N/m]; load: force [N] under push or moment [N m] under bending;
    half_wave: along the tube [m]; waves: round the clock (under bending, where the ripple is largest) [-].
    """

    line: FloatArray
    load: FloatArray
    half_wave: FloatArray
    waves: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("line", "load", "half_wave", "waves"))


@dataclass(frozen=True, slots=True, eq=False)
class KnockDown:
    """Published share of the perfect load [-] and the wall it belongs to; every field (*case,).

    slenderness: radius over equivalent thickness [-], for which the published curve reads `factor`.
    """

    factor: FloatArray
    slenderness: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("factor", "slenderness"))

    @property
    def is_in_range(self) -> NDArray[np.bool_]:
        """(*case,) whether the wall is as slender as the tubes the curve was drawn through."""
        return np.asarray((self.slenderness >= LEAST_SLENDER) & (self.slenderness <= MOST_SLENDER))

    @property
    def range(self) -> Message:
        """For which walls the published curve holds."""
        return Message("limit.range.wrinkling", least=LEAST_SLENDER, most=MOST_SLENDER)


MOST_COUPLED = 34
LEAST_SLENDER, MOST_SLENDER = 50.0, 1500.0


def _slenderness(wall: Wall) -> FloatArray:
    """(*case,) [-] R over the equivalent thickness sqrt(12) (D11 D22/(A11 A22))^(1/4)."""
    A, _, D = wall_matrices(wall)
    ratio = D[..., 0, 0] * D[..., 1, 1] / (A[..., 0, 0] * A[..., 1, 1])
    return np.asarray((wall.bore + wall.total_thickness) / 2.0 / (np.sqrt(12.0) * ratio**0.25))


def push_knock_down(wall: Wall) -> KnockDown:
    """Share of the perfect wrinkling load under push: 1 - 0.901 (1 - exp(-sqrt(R/t)/16)), (*case,).

    For a layered wall t is the equivalent thickness sqrt(12) (Dx Dy/(Ex Ey))^(1/4).

    Source
    ------
    NASA, Buckling of Thin-Walled Circular Cylinders, SP-8007 rev., 1968, sections 4.1 and 4.2.
    """
    return _knock_down(wall, 0.901)


def bending_knock_down(wall: Wall) -> KnockDown:
    """Share of the perfect wrinkling load under bending: 1 - 0.731 (1 - exp(-sqrt(R/t)/16)), (*case,).

    Source
    ------
    NASA, Buckling of Thin-Walled Circular Cylinders, SP-8007 rev., 1968, sections 4.1 and 4.2.
    """
    return _knock_down(wall, 0.731)


def _knock_down(wall: Wall, depth: float) -> KnockDown:
    slender = _slenderness(wall)
    return KnockDown(factor=1.0 - depth * (1.0 - np.exp(-np.sqrt(slender) / 16.0)), slenderness=slender)


def axisymmetric_force(wall: Wall) -> FloatArray:
    """Push [N] at which a perfect wall would ring-wrinkle, (*case,), kept for comparison: it can be twice too high.

    F = 2 pi R . 2 sqrt(D11 E_hoop t)/R with the hoop membrane stiffness A22 - A12^2/A11, shear through the wall left
    out.

    Source
    ------
    S. P. Timoshenko, J. M. Gere, Theory of Elastic Stability, 2nd ed., 1961, section 11.1.
    """
    A, B, D = wall_matrices(wall)
    bending = D[..., 0, 0] - B[..., 0, 0] ** 2 / A[..., 0, 0]
    return np.asarray(4.0 * np.pi * np.sqrt(bending * (A[..., 1, 1] - A[..., 0, 1] ** 2 / A[..., 0, 0])))


@dataclass(frozen=True, slots=True, eq=False)
class Shell:
    """One wall as a shell: its 8 x 8 stiffness (membrane, bending, shear through it), mid-wall radius and thickness.

    is_balanced: whether nothing couples stretch with shear, bending with twist, or the two shears through the wall.
    """

    stiffness: FloatArray
    radius: float
    thickness: float
    is_balanced: bool

    @property
    def longest(self) -> float:
        """[1/m] axial wave number of the longest wave worth looking at, below that of the two-lobe long wave."""
        return float((self.stiffness[4, 4] / self.stiffness[0, 0]) ** 0.25 / self.radius**1.5)

    @property
    def shortest(self) -> float:
        """[1/m] above the axial wave number of the axisymmetric wave, half a wave no shorter than the wall is thick."""
        free = 2.0 * float((self.stiffness[1, 1] / (self.stiffness[3, 3] * self.radius**2)) ** 0.25)
        return min(free, np.pi / self.thickness)

    @property
    def most_waves(self) -> int:
        """Waves round the clock worth looking at, well above those of the shortest ripple."""
        free = 0.9 * float((self.stiffness[0, 0] * self.radius**2 / self.stiffness[4, 4]) ** 0.25)
        return int(min(max(8.0, np.ceil(free)), 200.0))


def shells_of(wall: Wall) -> list[Shell]:
    """Each wall of a batch as a shell.

    Raises
    ------
    DesignError : a wall without stiffness.
    """
    A, B, D = (m.reshape(-1, 3, 3) for m in wall_matrices(wall))
    if np.any(A[:, [0, 1, 2], [0, 1, 2]] <= 0.0) or np.any(D[:, [0, 1, 2], [0, 1, 2]] <= 0.0):
        raise DesignError(
            "wall", Message("given.no_stiffness"), Message("want.wall_thick_enough_compute_above_millionth")
        )
    through = through_shear(wall).reshape(-1, 2, 2)
    radius, thickness = np.ravel((wall.bore + wall.total_thickness) / 2.0), np.ravel(wall.total_thickness)
    out = []
    for i in range(len(radius)):
        stiffness = np.zeros((8, 8))
        stiffness[:3, :3], stiffness[3:6, 3:6] = A[i], D[i]
        stiffness[:3, 3:6] = stiffness[3:6, :3] = B[i]
        stiffness[6:, 6:] = through[i]
        out.append(
            Shell(
                stiffness=stiffness,
                radius=float(radius[i]),
                thickness=float(thickness[i]),
                is_balanced=_is_balanced(stiffness),
            )
        )
    return out


def _is_balanced(stiffness: FloatArray) -> bool:
    diagonal = np.sqrt(np.diag(stiffness))
    ratio = np.abs(stiffness) / np.outer(diagonal, diagonal)
    return float(max(ratio[[0, 1, 3, 4]][:, [2, 5]].max(), ratio[6, 7])) < 1e-9


def through_shear(wall: Wall) -> FloatArray:
    """(*case, 2, 2) [N/m] shear through the wall, along and around: layers in series, times 5/6."""
    e, c, s = wall.elastic, np.cos(wall.angle), np.sin(wall.angle)
    along, around = c * c / e.G13 + s * s / e.G23, s * s / e.G13 + c * c / e.G23
    cross = c * s * (1.0 / e.G13 - 1.0 / e.G23)
    t = wall.thickness
    rows = [(t * f).sum(axis=-1) for f in np.broadcast_arrays(along, cross, cross, around)]
    soft = np.stack(rows, axis=-1).reshape(wall.bore.shape + (2, 2))
    return np.asarray(5.0 / 6.0 * wall.total_thickness[..., None, None] ** 2 * np.linalg.inv(soft))


def _largest(soft: FloatArray) -> FloatArray:
    """Larger eigenvalue of symmetric 2 x 2 matrices."""
    half = (soft[..., 0, 0] + soft[..., 1, 1]) / 2.0
    lean = (soft[..., 0, 0] - soft[..., 1, 1]) / 2.0
    return np.asarray(half + np.sqrt(lean**2 + soft[..., 0, 1] ** 2))


def push_wrinkle(wall: Wall) -> Wrinkle:
    """Least push at which a perfect long wall wrinkles, over axial waves and waves round the clock.

    One wave round the clock is left out: that is the tube as a column, which the pole knows. Two waves of great length
    are in: a long tube's least load is theirs. A travelling wave covers walls whose plies do not balance.

    Parameters
    ----------
    wall : one wall or a batch, (*case,).

    Returns
    -------
    Wrinkle, fields (*case,); load [N] is 2 pi R times the line force at mid-wall radius R.

    Source
    ------
    Linear bifurcation of a shell by J. L. Sanders, Nonlinear theories for thin shells, Quarterly of Applied Mathematics
    21, 1963, rotations freed; limits: 0.605 E t^2/R per width for an isotropic thin wall and 3/5 of it for two long
    waves, S. P. Timoshenko, J. M. Gere, Theory of Elastic Stability, 2nd ed., 1961, ch. 11.
    """
    rows = [_push_of(shell) for shell in shells_of(wall)]
    return _wrinkle(wall, rows, 2.0 * np.pi)


def _push_of(shell: Shell, *, longest: float | None = None) -> tuple[float, float, float]:
    """Line force [N/m], axial wave number [1/m], waves round the clock; no axial wave number below `longest` [1/m]."""
    least = 0 if shell.is_balanced else -shell.most_waves  # a balanced wall takes waves n and -n alike
    waves = np.array([n for n in range(least, shell.most_waves + 1) if abs(n) != 1], dtype=np.float64)
    along = np.geomspace(longest or shell.longest, shell.shortest, 48)
    for _ in range(3):
        line = line_forces(shell, shell.radius, along, waves)
        i, j = (int(k) for k in np.unravel_index(int(np.argmin(line)), line.shape))
        best = float(line[i, j]), float(along[i]), float(waves[j])
        low, high = along[max(i - 1, 0)], along[min(i + 1, len(along) - 1)]
        along, waves = np.geomspace(low, high, 12), waves[max(j - 2, 0) : j + 3]
    return best


def even_push(shell: Shell) -> tuple[float, float, float]:
    """Least even push of a perfect wall in waves shorter than its radius: line force [N/m], wave number [1/m], waves.

    Long waves are left out: under bending they are the oval, which is known by itself.
    """
    return _push_of(shell, longest=np.pi / shell.radius)


def line_forces(shell: Shell, radius: float, along: FloatArray, waves: FloatArray) -> FloatArray:
    """(n_along, n_waves) [N/m] even push at which a wall of a radius [m] wrinkles in waves along [1/m] and round it."""
    return np.asarray(1.0 / (along[:, None] ** 2 * _largest(softness(shell.stiffness, radius, along, waves))))


def bending_wrinkle(wall: Wall) -> Wrinkle:
    """Least moment at which the pushed side of a perfect long wall wrinkles.

    The axial line force varies as the cosine round the clock, so waves n and n + 1 work together: one eigenvalue
    problem over all n for every axial wave, least over the axial waves. The tube is taken as round until then.

    Parameters
    ----------
    wall : one wall or a batch, (*case,).

    Returns
    -------
    Wrinkle, fields (*case,); load [N m] is pi R^2 times the line force at the most pushed place.

    Source
    ------
    P. Seide, V. I. Weingarten, On the buckling of circular cylindrical shells under pure bending, J. Applied Mechanics
    28, 1961: an isotropic thin wall wrinkles in bending at practically the stress of uniform push.
    """
    rows = [_bending_of(shell) for shell in shells_of(wall)]
    return _wrinkle(wall, rows, np.pi)


def bending_wrinkle_moment(wall: Wall) -> FloatArray:
    """The moment of `bending_wrinkle` alone, (*case,) [N m], without the shape of its ripple, which takes longer."""
    rows = [_bending_of(shell, has_shape=False) for shell in shells_of(wall)]
    return _wrinkle(wall, rows, np.pi).load


def _bending_of(shell: Shell, *, has_shape: bool = True) -> tuple[float, float, float]:
    """As `_push_of`, the line force at the most pushed place; waves are not a number where no shape is asked for.

    A ripple that is short beside the tube does not notice that the push varies round the clock: a slender wall takes
    the least even push in waves shorter than the radius, the limit that the coupled waves tend to from above.
    """
    if shell.most_waves > MOST_COUPLED:
        return even_push(shell)
    most, last = shell.most_waves, np.inf
    along = np.geomspace(shell.longest, shell.shortest, 17)
    while True:
        best, where = _least_line(shell, along, most)
        if best > 0.998 * last or most > 1.5 * MOST_COUPLED:
            return best, where, _largest_ripple(shell, where, most) if has_shape else float("nan")
        most, last = int(1.4 * most) + 1, best
        along = np.geomspace(max(where / 1.5, shell.longest), min(1.5 * where, shell.shortest), 5)


def _least_line(shell: Shell, along: FloatArray, most: int) -> tuple[float, float]:
    """Least line force [N/m] and its axial wave number [1/m], waves up to `most` round the clock.

    The valley found on the grid is closed in on by parabolas over the logarithm of the wave number.
    """
    line = _lines(shell, along, most)
    i = int(np.argmin(line))
    best, where = float(line[i]), float(along[i])
    if not 0 < i < len(along) - 1:
        near = np.geomspace(along[max(i - 1, 0)], along[min(i + 1, len(along) - 1)], 12)
        line = _lines(shell, near, most)
        j = int(np.argmin(line))
        return float(line[j]), float(near[j])
    for step in (0.06, 0.01):
        where = _vertex(along[i - 1 : i + 2], line[i - 1 : i + 2])
        along, i = where * np.exp(step * np.array([-1.0, 0.0, 1.0])), 1
        line = _lines(shell, along, most)
    j = int(np.argmin(line))
    return min(best, float(line[j])), float(along[j])


def _lines(shell: Shell, along: FloatArray, most: int) -> FloatArray:
    """(n_along,) [N/m] least line force of each axial wave number."""
    joined, _ = _coupled(shell, along, most)
    return np.asarray(1.0 / (along**2 * np.sqrt(np.linalg.eigvalsh(joined.swapaxes(-1, -2) @ joined)[:, -1])))


def _vertex(along: FloatArray, line: FloatArray) -> float:
    """[1/m] where the parabola through three points over log(along) is least, not beyond the outer two."""
    x = np.log(along / along[1])
    low, high = (line[1] - line[0]) / (x[1] - x[0]), (line[2] - line[1]) / (x[2] - x[1])
    bend = high - low
    place = 0.5 * (x[0] + x[1]) - low * 0.5 * (x[2] - x[0]) / bend if bend > 0.0 else 0.0
    return float(along[1] * np.exp(np.clip(place, x[0], x[2])))


def _coupled(shell: Shell, along: FloatArray, most: int) -> tuple[FloatArray, FloatArray]:
    """As `joined_waves`, waves from -most to most; from 0 in a balanced wall, where wave n and wave -n move alike."""
    waves = np.arange(0 if shell.is_balanced else -most, most + 1, dtype=np.float64)
    return joined_waves(shell.stiffness, shell.radius, along, waves, shell.is_balanced)


def _largest_ripple(shell: Shell, along: float, most: int) -> float:
    """Waves round the clock of the largest part of the ripple."""
    joined, root = _coupled(shell, np.array([along]), most)
    odd, _, even = np.linalg.svd(joined[0])
    vector = np.empty((root.shape[1], 2, 1))
    vector[::2, :, 0], vector[1::2, :, 0] = odd[:, 0].reshape(-1, 2), even[0].reshape(-1, 2)
    inward = np.abs((root[0] @ vector)[:, 1, 0])
    return float(abs(int(inward.argmax()) - (0 if shell.is_balanced else most)))


def _wrinkle(wall: Wall, rows: list[tuple[float, float, float]], turns: float) -> Wrinkle:
    """Line forces into loads: 2 pi R under push, pi R^2 under bending."""
    line, along, waves = (np.array(column).reshape(wall.bore.shape) for column in zip(*rows, strict=True))
    if not np.all(np.isfinite(line) & (line > 0.0)):
        raise DesignError(
            "wall", Message("given.no_wrinkling_load"), Message("want.wall_with_stiffness_along_around_shear")
        )
    radius = (wall.bore + wall.total_thickness) / 2.0
    load = line * turns * (radius if turns > 4.0 else radius**2)
    return Wrinkle(line=line, load=load, half_wave=np.pi / along, waves=np.abs(waves))
