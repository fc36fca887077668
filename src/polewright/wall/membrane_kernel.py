"""Thin-wall tier for very many walls: the compiled twin of `membrane.tube_stiffness`, twist free."""

import numpy as np

from polewright.arrays import FloatArray
from polewright.errors import DesignError
from polewright.wall.compiled import compiled
from polewright.wall.membrane import TubeStiffness
from polewright.wall.stack import Wall

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
        raise DesignError("wall", f"cases {wall.angle.shape[:-1]}", "one axis of cases")
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
    As `membrane.tube_flexibility`: the same sums, with the two hoop strains condensed by hand.
    """
    rows, columns = constants.shape[0] > 1, constants.shape[1] > 1
    for n in range(bore.size):
        inner = bore[n] / 2.0
        x1 = y1 = h1 = g1 = x3 = y3 = h3 = g3 = xs = hs = 0.0
        for k in range(angle.shape[1]):
            row = constants[n if rows else 0, k if columns else 0]
            e1, e2, g12, nu12 = row[0], row[1], row[2], row[3]
            scale = 1.0 / (1.0 - nu12 * nu12 * e2 / e1)
            q11, q22, q12 = e1 * scale, e2 * scale, nu12 * e2 * scale
            c, s = np.cos(angle[n, k]), np.sin(angle[n, k])
            c2, s2, cs = c * c, s * s, c * s
            cross, both = s2 * c2, 2.0 * (q12 + 2.0 * g12)
            along = q11 * c2 * c2 + both * cross + q22 * s2 * s2
            hoop = q11 * s2 * s2 + both * cross + q22 * c2 * c2
            mixed = (q11 + q22 - 4.0 * g12) * cross + q12 * (s2 * s2 + c2 * c2)
            shear = (q11 + q22 - 2.0 * q12 - 2.0 * g12) * cross + g12 * (s2 * s2 + c2 * c2)
            left, right = (q11 - q12 - 2.0 * g12) * cs, (q12 - q22 + 2.0 * g12) * cs
            outer = inner + thickness[n, k]
            a2, b2 = inner * inner, outer * outer
            w1, w2, w3 = (b2 - a2) / 2.0, (b2 * outer - a2 * inner) / 3.0, (b2 * b2 - a2 * a2) / 4.0
            x1, y1, h1, g1 = x1 + along * w1, y1 + mixed * w1, h1 + hoop * w1, g1 + shear * w1
            x3, y3, h3, g3 = x3 + along * w3, y3 + mixed * w3, h3 + hoop * w3, g3 + shear * w3
            xs, hs = xs + (left * c2 + right * s2) * w2, hs + (left * s2 + right * c2) * w2
            inner = outer
        stretch, lean, turn = x1 - y1 * y1 / h1, xs - y1 * hs / h1, g3 - hs * hs / h1
        curve, skew, slide = x3 - y3 * y3 / h3, xs - y3 * hs / h3, g1 - hs * hs / h3
        out[n, 0] = 2.0 * np.pi * (stretch - lean * lean / turn)
        out[n, 1] = np.pi * (curve - skew * skew / slide)
        out[n, 2] = 2.0 * np.pi * (turn - lean * lean / stretch)
        out[n, 3] = np.pi * (slide - skew * skew / curve)
        out[n, 4] = -lean / turn
