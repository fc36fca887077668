"""Thin-wall tier for very many walls: the compiled twin of `membrane.tube_stiffness`, twist free."""

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.compiled import compiled
from polewright.errors import DesignError
from polewright.wall.membrane import TubeStiffness
from polewright.wall.stack import Wall
from polewright.wall.thin_kernel import beam_of, no_layers, ply_figures, ring_moments, with_layer

__all__ = ["many_tubes"]


def many_tubes(wall: Wall) -> TubeStiffness:
    """Stiffness of a batch of tubes, (n_case,), as `membrane.tube_stiffness` with twist free, one loop over all walls.

    Worth its first compilation from some thousand walls on; the plain function answers one wall or a few.

    Parameters
    ----------
    wall : a batch (n_case,).

    Returns
    -------
    TubeStiffness, each field (n_case,): EA [N], EI [N m2], GJ [N m2], shear [N], coupling [1/m].

    Raises
    ------
    DesignError : not one axis of cases.

    Source
    ------
    As `membrane.tube_flexibility`.
    """
    if wall.angle.ndim != 2:
        raise DesignError(
            "wall", Message("given.cases", limit=str(wall.angle.shape[:-1])), Message("want.one_axis_cases")
        )
    e = wall.elastic
    constants = np.stack([np.broadcast_to(v, e.E1.shape) for v in (e.E1, e.E2, e.G12, e.nu12)], axis=-1)
    constants = np.ascontiguousarray(constants.reshape(-1, e.E1.shape[-1] if e.E1.ndim else 1, 4))
    out = np.empty((len(wall.bore), 5))
    stiffness_of_many(wall.bore, wall.angle, wall.thickness, constants, out)
    return TubeStiffness(*out.T)


@compiled
def stiffness_of_many(
    bore: FloatArray, angle: FloatArray, thickness: FloatArray, constants: FloatArray, out: FloatArray
) -> None:
    """EA, EI, GJ, shear and coupling into `out` (n_case, 5), SI.

    bore (n_case,) [m]; angle, thickness (n_case, n_layer) [rad], [m]; constants E1, E2, G12 [Pa], nu12 [-] as
    (1 or n_case, 1 or n_layer, 4).

    Source
    ------
    As `membrane.tube_flexibility`.
    """
    rows, columns = constants.shape[0] > 1, constants.shape[1] > 1
    for n in range(bore.size):
        inside, sums = bore[n] / 2.0, no_layers()
        for k in range(angle.shape[1]):
            row = constants[n if rows else 0, k if columns else 0]
            outside = inside + thickness[n, k]
            ply = ply_figures(row[0], row[1], row[2], row[3], angle[n, k])
            sums = with_layer(sums, ply, ring_moments(inside, outside))
            inside = outside
        beam = beam_of(sums)
        out[n, 0], out[n, 1], out[n, 2] = beam.axial, beam.bending, beam.twist
        out[n, 3], out[n, 4] = beam.shear, beam.coupling
