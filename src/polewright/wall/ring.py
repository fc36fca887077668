"""A ring of the wall, thin tier: how hard it is to squeeze flat, and the pressure at which it buckles inward.

A ring bends about its own hoop neutral axis. Taking D22 at mid-wall misses that an unsymmetric wall moves the axis
toward the stiff side: it can lose two thirds of its bending stiffness there.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.numbers import above_zero, one_of
from polewright.wall.membrane import rotated_stiffness
from polewright.wall.stack import Wall

__all__ = ["CLOSURE", "SPREAD", "Along", "RingStiffness", "collapse_pressure", "ring_stiffness", "wall_matrices"]

Along = Literal["held", "free"]

CLOSURE = np.pi / 4.0 - 2.0 / np.pi
"""[-] closure of a thin ring under the load, in units of P R^3/D: 0.1488."""

_TOO_THIN = Message("want.wall_thick_enough_compute_above_millionth")

SPREAD = 2.0 / np.pi - 0.5
"""[-] growth of the diameter across the load, in units of P R^3/D: 0.1366."""


@dataclass(frozen=True, slots=True, eq=False)
class RingStiffness:
    """A thin ring of the wall per unit of its width; every field (*case,).

    bending: hoop bending stiffness about the neutral axis [N m]; stretch: hoop stretch stiffness [N/m];
    shear: through the wall, tangential, with the factor 5/6 [N/m]; neutral: radius of the hoop neutral axis [m];
    middle: mid-wall radius [m].
    """

    bending: FloatArray
    stretch: FloatArray
    shear: FloatArray
    neutral: FloatArray
    middle: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("bending", "stretch", "shear", "neutral", "middle"))

    @property
    def between_plates(self) -> FloatArray:
        """(*case,) [N/m per m of width] line load over closure, P/delta = D / ((pi/4 - 2/pi) R^3), bending alone.

        Source
        ------
        W. C. Young, R. G. Budynas, Roark's Formulas for Stress and Strain, 7th ed., 2002, table 9.2 case 1 (thin ring).
        """
        return np.asarray(self.bending / (CLOSURE * self.neutral**3))

    @property
    def between_plates_soft(self) -> FloatArray:
        """(*case,) [N/m per m of width] as `between_plates`, with hoop stretch and shear through the wall added.

        delta = (P R^3/D) [(pi/4)(1 - a + b) - (2/pi)(1 - a)^2], a = D/(A R^2) for stretch, b = D/(S R^2) for shear.

        Source
        ------
        W. C. Young, R. G. Budynas, Roark's Formulas for Stress and Strain, 7th ed., 2002, table 9.2, factors alpha and
        beta with k1 = 1 - alpha + beta, k2 = 1 - alpha.
        """
        stretch = self.bending / (self.stretch * self.neutral**2)
        shear = self.bending / (self.shear * self.neutral**2)
        closure = np.pi / 4.0 * (1.0 - stretch + shear) - 2.0 / np.pi * (1.0 - stretch) ** 2
        return np.asarray(self.bending / (closure * self.neutral**3))


def wall_matrices(wall: Wall, *, about: ArrayLike | None = None) -> tuple[FloatArray, FloatArray, FloatArray]:
    """A [N/m], B [N] and D [N m] of the wall seen as a plate, each (*case, 3, 3), order along, around, shear.

    `about` (*case,) [m] is the radius that B and D are taken about; mid-wall when left out.

    Source
    ------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, eqs. 4.22 to 4.24.
    """
    if about is not None:
        return _matrices(wall, above_zero("about", about, want=Message("want.radius_above_zero"), most=1e30))
    return _about_middle(wall) if wall.bore.size == 1 else _about_middle.__wrapped__(wall)


@lru_cache(maxsize=8)
def _about_middle(wall: Wall) -> tuple[FloatArray, FloatArray, FloatArray]:
    """The matrices about mid-wall, remembered for one wall, as every way it may end asks for them; read-only."""
    edges = wall.edges
    three = _matrices(wall, (edges[..., 0] + edges[..., -1]) / 2.0)
    for matrix in three:
        matrix.flags.writeable = False
    return three


def _matrices(wall: Wall, centre: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    layers, height = rotated_stiffness(wall.elastic, wall.angle), wall.edges - centre[..., None]
    first, second, third = (np.einsum("...n,...nij->...ij", np.diff(height**k) / k, layers) for k in (1, 2, 3))
    return first, second, third


def ring_stiffness(wall: Wall, *, along: Along = "held") -> RingStiffness:
    """Hoop bending stiffness of the wall as a thin ring, about the hoop neutral axis.

    held: axial strain prevented and the shear resultant zero, as in a long tube squeezed along its whole length and
    away from its ends: every cross-section deforms alike and its shear flow, the same all round, has no twist to
    carry. Without shear coupling this is D22 - B22^2/A22. free: the 22 entry of D - B A^-1 B, axial resultant zero as
    well, as in a ring cut off; the two differ by less than 1 % on walls of axial and hoop plies. In both the axial
    curvature and twist of the wall are zero: a ring much wider than sqrt(R t) curls only at its two edges.

    Parameters
    ----------
    wall : one wall or a batch, (*case,).

    Returns
    -------
    RingStiffness, each field (*case,).

    Source
    ------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, eqs. 4.22 to 4.24, condensed as said above.
    """
    one_of("along", along, get_args(Along))
    A, B, D = wall_matrices(wall)
    middle = wall.bore / 2.0 + wall.total_thickness / 2.0
    if np.any(A[..., 1, 1] <= 0.0):
        raise DesignError("wall", Message("given.no_stiffness_around"), _TOO_THIN)
    kept = [1, 2] if along == "held" else [0, 1, 2]
    hoop = kept.index(1)
    inverse = np.asarray(np.linalg.inv(A[..., kept, :][..., kept]), dtype=np.float64)
    lever = np.einsum("...ij,...j->...i", inverse, B[..., kept, 1])
    stretch, shift = np.asarray(1.0 / inverse[..., hoop, hoop]), lever[..., hoop]
    bending = D[..., 1, 1] - (B[..., kept, 1] * lever).sum(axis=-1)
    if np.any(bending <= 0.0):
        raise DesignError("wall", Message("given.no_hoop_bending_stiffness"), _TOO_THIN)
    return RingStiffness(
        bending=bending, stretch=stretch, shear=_through_shear(wall), neutral=middle + shift, middle=middle
    )


def _through_shear(wall: Wall) -> FloatArray:
    """(*case,) [N/m] tangential shear through the wall: layers in series, times 5/6."""
    elastic = wall.elastic
    around = np.cos(wall.angle) ** 2 / elastic.G23 + np.sin(wall.angle) ** 2 / elastic.G13
    return np.asarray(5.0 / 6.0 * wall.total_thickness**2 / (wall.thickness * around).sum(axis=-1))


def collapse_pressure(wall: Wall, *, on: Literal["middle", "outside"] = "middle", along: Along = "held") -> FloatArray:
    """External pressure at which a long thin ring of the wall buckles into an oval, (*case,) [Pa].

    p = 3 D/R^3 acting at the neutral axis. On the outside radius the same line force a length of arc comes from a
    lower pressure: p = 3 D/(R^2 r).

    It holds for a band much wider than the tube's radius or a tube pressed along its whole length, and for pressure
    that follows the wall. A narrow band gets help from the tube beside it and a rigid band cannot follow an oval:
    both make the figure safe.

    Source
    ------
    S. P. Timoshenko, J. M. Gere, Theory of Elastic Stability, 2nd ed., 1961, section 7.3 (n = 2).
    """
    one_of("on", on, ("middle", "outside"))
    ring = ring_stiffness(wall, along=along)
    pressed = ring.neutral if on == "middle" else np.asarray(wall.outside / 2.0)
    return np.asarray(3.0 * ring.bending / (ring.neutral**2 * pressed))
