"""Stiffness and mass of many tubes in one compiled loop: the thin-wall tier, layer by layer at its own radius."""

from typing import NamedTuple

import numpy as np

from polewright.arrays import FloatArray
from polewright.compiled import compiled
from polewright.wall.thin_kernel import beam_of, no_layers, ply_figures, ring_moments, with_layer

__all__ = ["Layers", "Tubes", "tubes_of"]


class Layers(NamedTuple):
    """The layers of many tubes, bore outward, each (n_case, n_layer).

    E1, E2, G12 [Pa]; nu12 [-]; angle [rad]; thickness [m]; density [kg/m3].
    """

    E1: FloatArray
    E2: FloatArray
    G12: FloatArray
    nu12: FloatArray
    angle: FloatArray
    thickness: FloatArray
    density: FloatArray


class Tubes(NamedTuple):
    """Many tubes, each (n_case, n_station): EA [N], EI [N m2], shear stiffness [N], mass [kg/m], outside
    diameter [m].
    """

    axial: FloatArray
    bending: FloatArray
    shear: FloatArray
    mass: FloatArray
    outside: FloatArray


@compiled
def _sum_layers(bore: FloatArray, layers: Layers, out: Tubes) -> None:
    """Fill `out`, strictly in one order of additions."""
    for i in range(bore.shape[0]):
        for j in range(bore.shape[1]):
            inside, sums, mass = bore[i, j] / 2.0, no_layers(), 0.0
            for k in range(layers.angle.shape[1]):
                outside = inside + layers.thickness[i, k]
                ply = ply_figures(
                    layers.E1[i, k], layers.E2[i, k], layers.G12[i, k], layers.nu12[i, k], layers.angle[i, k]
                )
                ring = ring_moments(inside, outside)
                sums = with_layer(sums, ply, ring)
                mass += ring.first * layers.density[i, k]
                inside = outside
            beam = beam_of(sums)
            out.axial[i, j], out.bending[i, j], out.shear[i, j] = beam.axial, beam.bending, beam.shear
            out.mass[i, j], out.outside[i, j] = mass, 2.0 * inside


def tubes_of(bore: FloatArray, layers: Layers) -> Tubes:
    """Stiffness and mass of many tubes, twist free.

    Parameters
    ----------
    bore : (n_case, n_station) [m] diameter.
    layers : the same along a tube, one row a case.

    Returns
    -------
    Tubes, each field (n_case, n_station).

    Source
    ------
    As `polewright.wall.membrane.tube_stiffness`, twist free, by the loops of `polewright.wall.thin_kernel`.
    """
    out = Tubes(*np.empty((5, *bore.shape)))
    _sum_layers(np.ascontiguousarray(bore), Layers(*(np.ascontiguousarray(a) for a in layers)), out)
    return out
