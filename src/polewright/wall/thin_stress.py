"""Stresses of every ply at both faces by the thin tier: membrane theory of a closed tube.

The arrays are shaped alike in every tier, (*case, n_clock, n_layer, 2, 3): places round the clock, layers, bore-side
and outer face, ply axes 11, 22, 12.
"""

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.materials.numbers import finite
from polewright.wall.batch import cases
from polewright.wall.membrane import rotated_stiffness
from polewright.wall.stack import Wall
from polewright.wall.through import TubeLoads

__all__ = ["CLOCK", "load_give", "thin_cure_stress", "thin_stress"]

CLOCK = tuple(np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False))
"""[rad] places looked at round the clock when none are given: every 15 degrees."""


def _forms(wall: Wall, layers: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Energy forms of the tube, each (*case, 3, 3): axisymmetric, in axial strain, hoop strain and twist per length;
    sliding, in curvature, hoop and shear strain; bending, in curvature and hoop and shear strain that grow with r.
    """
    inner, outer = wall.edges[..., :-1], wall.edges[..., 1:]
    weight = [2.0 * np.pi * (outer**k - inner**k) / k for k in (2, 3, 4)]
    sums = [np.einsum("...n,...nij->...ij", w, layers) for w in weight]

    def weighted(powers: tuple[int, int, int]) -> FloatArray:
        form: FloatArray = np.empty(sums[0].shape)
        for i, j in np.ndindex(3, 3):
            form[..., i, j] = sums[powers[i] + powers[j]][..., i, j]
        return form

    return weighted((0, 0, 1)), weighted((1, 0, 0)), weighted((1, 1, 1))


def _thermal(wall: Wall) -> FloatArray:
    """(*case, n_layer, 3) [1/K] free expansion in tube axes, engineering shear."""
    c, s = np.cos(wall.angle), np.sin(wall.angle)
    a1, a2 = wall.elastic.alpha1, wall.elastic.alpha2
    rows = np.broadcast_arrays(a1 * c * c + a2 * s * s, a1 * s * s + a2 * c * c, 2.0 * c * s * (a1 - a2))
    return np.stack(rows, axis=-1)


def _to_ply(stress: FloatArray, angle: FloatArray) -> FloatArray:
    """Tube axes along, around, shear to ply axes, last axis of 3; angle broadcasts against the rest."""
    c, s = np.cos(angle), np.sin(angle)
    x, y, q = stress[..., 0], stress[..., 1], stress[..., 2]
    return np.stack(
        [
            c * c * x + s * s * y + 2.0 * c * s * q,
            s * s * x + c * c * y - 2.0 * c * s * q,
            c * s * (y - x) + (c * c - s * s) * q,
        ],
        axis=-1,
    )


def thin_stress(wall: Wall, load: TubeLoads, *, clock: ArrayLike = CLOCK) -> FloatArray:
    """Ply stresses of a closed tube by membrane theory, every layer at its own radius.

    Axial pull, twist and pressure: one axial strain, one hoop strain and one twist per length in common, in
    equilibrium. Bending: axial, hoop and shear strain that grow as r cos(clock), hoop and shear resultant zero.
    Transverse shear: shear strain as sin(clock), hoop resultant and cross moment zero. Radial stress is
    left out: of the order of the pressure.

    Parameters
    ----------
    wall : one wall or a batch, (*case,).
    load : fields that broadcast against (*case,); a rise of temperature counts as load here.
    clock : (n_clock,) [rad]; 0 is the side stretched by a positive moment.

    Returns
    -------
    (*case, n_clock, n_layer, 2, 3) [Pa] in ply axes 11, 22, 12; bore-side face first.

    Source
    ------
    Derived as `membrane.tube_stiffness`; R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, eq. 2.85.
    """
    clock = np.atleast_1d(finite("clock", clock, want=Message("want.finite_angle"), most=1e12))
    cases("load", wall.bore.shape, load.axial.shape)
    layers = rotated_stiffness(wall.elastic, wall.angle)
    common, slide, turn = _responses(wall, load, layers)
    radius = np.stack([wall.edges[..., :-1], wall.edges[..., 1:]], axis=-1)[..., None, :, :]  # (*case, 1, n, 2)
    cos, sin = np.cos(clock)[:, None, None], np.sin(clock)[:, None, None]

    def wide(value: FloatArray) -> FloatArray:
        return value[..., None, None, None]

    strain = np.stack(
        np.broadcast_arrays(
            wide(common[..., 0]) + (wide(turn[..., 0]) * cos + wide(slide[..., 0]) * sin) * radius,
            wide(common[..., 1]) + wide(turn[..., 1]) * radius * cos + wide(slide[..., 1]) * sin,
            wide(common[..., 2]) * radius + wide(turn[..., 2]) * radius * cos + wide(slide[..., 2]) * sin,
        ),
        axis=-1,
    )
    mechanical = _layer_stress(wall, layers, strain)
    return mechanical + thin_cure_stress(wall, load.rise) if np.any(load.rise) else mechanical


def _responses(wall: Wall, load: TubeLoads, layers: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Strain amplitudes, each (*case, 3): of pull, twist and pressure; of transverse shear; of bending."""
    even, sliding, bending = _forms(wall, layers)
    pushed = _pushed(wall, load)
    pull = np.stack(np.broadcast_arrays(load.axial, pushed, load.torque), axis=-1)
    common = np.linalg.solve(even, pull[..., None])[..., 0]
    slide = -2.0 * load.shear[..., None] * np.linalg.inv(sliding)[..., :, 2]
    turn = 2.0 * load.moment[..., None] * np.linalg.inv(bending)[..., :, 0]
    return common, np.asarray(slide), np.asarray(turn)


def _pushed(wall: Wall, load: TubeLoads) -> FloatArray:
    """(*case,) [N m/m] work of the pressures per length and unit of hoop strain."""
    inner, outer = wall.edges[..., 0], wall.edges[..., -1]
    return np.asarray(2.0 * np.pi * (load.inner_pressure * inner**2 - load.outer_pressure * outer**2))


def load_give(wall: Wall, load: TubeLoads) -> FloatArray:
    """How much the load gives way: its work per length of tube, (*case,) [N], twice the strain energy.

    Source
    ------
    Clapeyron's theorem; arguments as `thin_stress`.
    """
    common, slide, turn = _responses(wall, load, rotated_stiffness(wall.elastic, wall.angle))
    return np.asarray(
        load.axial * common[..., 0]
        + _pushed(wall, load) * common[..., 1]
        + load.torque * common[..., 2]
        - load.shear * slide[..., 2]
        + load.moment * turn[..., 0]
    )


def _layer_stress(wall: Wall, layers: FloatArray, strain: FloatArray) -> FloatArray:
    stress = np.einsum("...nij,...nfj->...nfi", layers[..., None, :, :, :], strain)
    return _to_ply(stress, wall.angle[..., None, :, None])


def thin_cure_stress(wall: Wall, rise: ArrayLike) -> FloatArray:
    """Ply stresses left by a uniform temperature change from the stress-free state, by membrane theory.

    Parameters
    ----------
    wall : one wall or a batch, (*case,).
    rise : (*case,) [K]; negative on cooling from the oven.

    Returns
    -------
    (*case, 1, n_layer, 2, 3) [Pa] in ply axes, the same all round the clock. Hoop strain that differs from bore to
    skin is left out: the exact cylinder has it, and it matters for thick walls.

    Source
    ------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, eqs. 4.98 to 4.102 with the closed tube's strains.
    """
    rise = finite("rise", rise, want=Message("want.finite_temperature_difference"), most=1e30)
    cases("rise", wall.bore.shape, rise.shape)
    layers = rotated_stiffness(wall.elastic, wall.angle)
    even, _, _ = _forms(wall, layers)
    free = _thermal(wall)
    push = np.einsum("...nij,...nj->...ni", layers, free)
    inner, outer = wall.edges[..., :-1], wall.edges[..., 1:]
    flat = 2.0 * np.pi * (outer**2 - inner**2) / 2.0
    turned = 2.0 * np.pi * (outer**3 - inner**3) / 3.0
    force = np.stack(
        [(flat * push[..., 0]).sum(-1), (flat * push[..., 1]).sum(-1), (turned * push[..., 2]).sum(-1)], axis=-1
    )
    common = np.linalg.solve(even, force[..., None])[..., 0]
    radius = np.stack([inner, outer], axis=-1)
    held = (
        np.stack(
            np.broadcast_arrays(
                common[..., 0, None, None], common[..., 1, None, None], common[..., 2, None, None] * radius
            ),
            axis=-1,
        )
        - free[..., :, None, :]
    )
    stress = _layer_stress(wall, layers, held[..., None, :, :, :])
    return np.asarray(rise[..., None, None, None, None] * stress)
