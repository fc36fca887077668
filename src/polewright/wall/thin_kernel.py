"""Thin-wall stiffness of a tube as compiled loops: one ply, one ring, one tube. Everything fast is built from these.

`membrane` is the plain twin, in arrays of any shape; a test compares the two on seeded random walls. Figures of a ply
stand in the order along (11), along with around (12), around (22), along with shear (16), around with shear (26), shear
(66). The sums of a tube are those figures times the ring's first, second and third moment, layer by layer.
"""

from typing import NamedTuple

import numpy as np

from polewright.compiled import compiled_inside

__all__ = ["Beam", "PlyFigures", "RingMoments", "TubeSums", "beam_of", "no_layers", "ply_figures", "ring_moments",
           "with_layer"]  # fmt: skip


class PlyFigures(NamedTuple):
    """Plane-stress stiffness of one ply in tube axes, all [Pa]."""

    along: float
    mixed: float
    around: float
    along_shear: float
    around_shear: float
    shear: float


class RingMoments(NamedTuple):
    """2 pi times the integral of r dr [m2], r2 dr [m3] and r3 dr [m4] through one layer."""

    first: float
    second: float
    third: float


class TubeSums(NamedTuple):
    """Sums over the layers of a tube: ply figures times the first [N], second [N m] and third [N m2] moment."""

    along_1: float
    mixed_1: float
    around_1: float
    shear_1: float
    along_shear_2: float
    around_shear_2: float
    along_3: float
    mixed_3: float
    around_3: float
    shear_3: float


class Beam(NamedTuple):
    """EA [N], EI, GJ [N m2], shear stiffness [N], and the twist [1/m] per unit of stretch under pull alone."""

    axial: float
    bending: float
    twist: float
    shear: float
    coupling: float


@compiled_inside
def ply_figures(E1: float, E2: float, G12: float, nu12: float, angle: float) -> PlyFigures:
    """Stiffness of one ply turned into tube axes: E1, E2, G12 [Pa], nu12 [-], angle [rad] from the tube axis.

    Source
    ------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, eq. 2.66 and section 2.7: in the invariants of
    Tsai and Pagano, with half the products of eq. 2.85, which `membrane` uses.
    """
    cosine, sine = np.cos(angle), np.sin(angle)
    c, s = 1.0 - 2.0 * sine * sine, 2.0 * sine * cosine  # of twice the angle
    least = nu12 * E2
    scale = E1 / (E1 - nu12 * least)
    q11, q22, q12 = E1 * scale, E2 * scale, least * scale
    u3 = 0.125 * (q11 + q22 - 2.0 * q12 - 4.0 * G12)
    u1, u2 = 0.5 * (q11 + q22) - u3, 0.5 * (q11 - q22)
    twice, fourfold = u2 * c, u3 * (1.0 - 2.0 * s * s)
    half, skew = 0.5 * u2 * s, 2.0 * u3 * s * c
    even = u1 + fourfold
    return PlyFigures(even + twice, u3 + q12 - fourfold, even - twice, half + skew, half - skew, u3 + G12 - fourfold)


@compiled_inside
def ring_moments(inside: float, outside: float) -> RingMoments:
    """Moments of a layer between two radii [m]."""
    inside_2, outside_2 = inside * inside, outside * outside
    first = np.pi * (outside_2 - inside_2)
    return RingMoments(
        first, 2.0 * np.pi / 3.0 * (outside_2 * outside - inside_2 * inside), 0.5 * (outside_2 + inside_2) * first
    )


@compiled_inside
def no_layers() -> TubeSums:
    """A tube before its first layer."""
    return TubeSums(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


@compiled_inside
def with_layer(sums: TubeSums, ply: PlyFigures, ring: RingMoments) -> TubeSums:
    """The sums with one layer more."""
    return TubeSums(
        sums.along_1 + ply.along * ring.first,
        sums.mixed_1 + ply.mixed * ring.first,
        sums.around_1 + ply.around * ring.first,
        sums.shear_1 + ply.shear * ring.first,
        sums.along_shear_2 + ply.along_shear * ring.second,
        sums.around_shear_2 + ply.around_shear * ring.second,
        sums.along_3 + ply.along * ring.third,
        sums.mixed_3 + ply.mixed * ring.third,
        sums.around_3 + ply.around * ring.third,
        sums.shear_3 + ply.shear * ring.third,
    )


@compiled_inside
def beam_of(sums: TubeSums) -> Beam:
    """The tube as a beam, twist free: hoop strain condensed out, then shear under pull and shear angle in bending.

    Source
    ------
    As `membrane.tube_flexibility`.
    """
    hoop_1, hoop_2, hoop_3 = sums.mixed_1 / sums.around_1, sums.around_shear_2, sums.mixed_3 / sums.around_3
    stretch = sums.along_1 - sums.mixed_1 * hoop_1
    turn = sums.shear_3 - hoop_2 * hoop_2 / sums.around_1
    lean = sums.along_shear_2 - hoop_1 * hoop_2
    bend = sums.along_3 - sums.mixed_3 * hoop_3
    slide = sums.shear_1 - hoop_2 * hoop_2 / sums.around_3
    skew = sums.along_shear_2 - hoop_3 * hoop_2
    return Beam(
        stretch - lean * lean / turn,
        (bend - skew * skew / slide) / 2.0,
        turn - lean * lean / stretch,
        (slide - skew * skew / bend) / 2.0,
        -lean / turn,
    )
