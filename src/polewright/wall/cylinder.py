"""The exact tube: elasticity of a long layered cylinder of off-axis plies, away from its ends.

Axial force, torque, moment, shear force, pressure inside and out and a uniform rise of temperature, all at once, for
one wall or a batch; every figure of the tube as a beam, coupled motions included.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.numbers import finite
from polewright.wall.layer_solution import FIELDS, IntArray, solve_walls
from polewright.wall.membrane import BEAM_LOADS, TubeStiffness, Twist, beam_stiffness
from polewright.wall.solid import solid_heat, solid_stiffness
from polewright.wall.stack import Wall

__all__ = ["BEAM_LOADS", "ExactTube", "exact_tube"]

MOST_ELEMENTS = 6000  # in one wall
THINNEST = 5e-5  # wall over radius; digits are lost as its inverse square
MOST_ROUNDING = 2.5e-4  # (radius over element)^2 times stiffness over shear through the ply; 20 times it is lost
WIDEST = 0.4  # of steepest power times the logarithm of outer over inner radius, in one element
THIN = 1e-9  # of the wall: a thinner layer carries nothing and is read off its neighbour


@dataclass(frozen=True, slots=True, eq=False)
class ExactTube:
    """Answer of one wall, or of a batch, to a unit of every load; superpose with `tube_stress`.

    Unit loads, axis 7 of `unit_stress` and `unit_strain`: axial force [N], torque [N m], moment [N m], shear force [N]
    at the section where its moment is zero, inner pressure [Pa], outer pressure [Pa], rise [K]. Components, last axis:
    along, around, through, around-through, along-through, along-around; engineering shears. The moment puts clock
    angle zero in tension, the shear force acts toward clock angle zero on the face that looks along the tube; their
    fields are amplitudes: components 0, 1, 2, 5 go with cos(clock) under the moment and sin(clock) under the shear
    force, components 3, 4 with sin(clock) and -cos(clock).

    wall : the wall solved, (*case,).
    points : (n_point,) where each layer is read, from 0 at its inner to 1 at its outer face.
    flexibility : (*case, 6, 6) strains of the beam from its loads, in the order of `BEAM_LOADS`: axial strain, shear
        angles, twist [1/m], curvatures [1/m]. A moment "x" puts the side x in tension.
    motion : (*case, 5, 4) axial strain, twist [1/m], hoop strain at the bore and at the skin from a unit of axial
        force, torque, inner pressure, outer pressure, rise; stretch and twist free.
    unit_stress, unit_strain : (*case, n_layer, n_point, 7, 6) [Pa] and [-] per unit load.
    """

    wall: Wall
    points: FloatArray
    flexibility: FloatArray
    motion: FloatArray
    unit_stress: FloatArray
    unit_strain: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("points", "flexibility", "motion", "unit_stress", "unit_strain"))

    def stiffness(self, *, twist: Twist = "free") -> TubeStiffness:
        """Stiffness as a beam, each field (*case,): EA [N], EI [N m2], GJ [N m2], kappa G A [N], coupling [1/m].

        `twist` says whether an off-axis wall may twist as it stretches, and stretch as it twists. Bending leaves the
        shear angle free and shear is taken where the moment is zero, so that both are free of their coupling.
        """
        return beam_stiffness(self.flexibility, twist=twist)

    @property
    def expansion(self) -> FloatArray:
        """(*case,) [1/K] effective expansion along the tube, free to twist."""
        return np.asarray(self.motion[..., 4, 0])

    @property
    def twist_expansion(self) -> FloatArray:
        """(*case,) [1/(m K)] twist per metre and kelvin of the free tube; zero for a balanced wall."""
        return np.asarray(self.motion[..., 4, 1])

    @property
    def bore_expansion(self) -> FloatArray:
        """(*case,) [1/K] hoop expansion at the bore."""
        return np.asarray(self.motion[..., 4, 2])

    @property
    def skin_expansion(self) -> FloatArray:
        """(*case,) [1/K] hoop expansion at the outside."""
        return np.asarray(self.motion[..., 4, 3])

    @property
    def shear_coefficient(self) -> FloatArray:
        """(*case,) [-] kappa: shear stiffness over the sum of every layer's own stiffness times its area.

        The layer's stiffness is C66 of its shear between along and around, as for one material throughout.
        """
        edges = self.wall.edges
        area = np.pi * (edges[..., 1:] ** 2 - edges[..., :-1] ** 2)
        shear = solid_stiffness(self.wall.elastic, self.wall.angle)[..., 5, 5]
        return np.asarray(1.0 / self.flexibility[..., 1, 1] / (area * shear).sum(axis=-1))


def exact_tube(wall: Wall, *, points: ArrayLike = (0.0, 1.0)) -> ExactTube:
    """Exact elasticity of a long layered tube of off-axis plies under every load of a beam, pressure and heat.

    Constant fields and first waves round the clock leave ordinary equations in the radius; they are solved by elements
    of seventh order, as many as the constants ask for, to about ten digits. Bending holds the moment, not the shear
    angle; the shear force is that of a moment growing linearly along the tube, and its stiffness is that of the energy
    it stores. Layers may be thicker than the radius, isotropic, or of no thickness at all.

    Parameters
    ----------
    wall : one wall or a batch, (*case,).
    points : (n_point,) [-] where each layer is read, 0 at its inner face to 1 at its outer face.

    Raises
    ------
    DesignError : points outside a layer; moduli or radii of one layer so far apart that no sure answer can be given.

    Source
    ------
    S. G. Lekhnitskii, Theory of Elasticity of an Anisotropic Body, 1981 (generalised plane strain of a cylinder with
    cylindrical anisotropy); A. E. H. Love, A Treatise on the Mathematical Theory of Elasticity, 4th ed., 1927,
    ch. XV (bending by terminal load); the elements are this module's own derivation from virtual work.
    """
    place = finite("points", points, want=Message("want.list_numbers_from_0_inner_face"))
    if place.ndim != 1 or not np.all((place >= 0.0) & (place <= 1.0)):
        raise DesignError("points", points, Message("want.list_numbers_from_0_inner_face"))
    case, layers = wall.angle.shape[:-1], wall.angle.shape[-1]
    stiff = solid_stiffness(wall.elastic, wall.angle).reshape(-1, layers, 6, 6)
    heat = solid_heat(wall.elastic, wall.angle).reshape(-1, layers, 6)
    edges = np.ascontiguousarray(wall.edges.reshape(-1, layers + 1))
    n_case = edges.shape[0]
    strain = np.zeros((n_case, layers, place.size, FIELDS, 6))
    motion, flexibility = np.zeros((n_case, 5, 4)), np.zeros((n_case, 4, 4))
    parts = _parts(edges, stiff)
    solve_walls(edges, parts, stiff, heat, place, strain, motion, flexibility)
    stress = _stress(strain, parts, stiff, heat)
    if not (np.all(np.isfinite(stress)) and np.all(np.isfinite(flexibility))):
        raise DesignError(
            "wall", Message("given.moduli_too_far_apart"), Message("want.constants_radii_within_ordinary_reach_each")
        )
    shape = (*case, layers, place.size, FIELDS, 6)
    return ExactTube(
        wall=wall,
        points=place,
        flexibility=_six(flexibility).reshape(*case, 6, 6),
        motion=motion.reshape(*case, 5, 4),
        unit_stress=stress.reshape(shape),
        unit_strain=strain.reshape(shape),
    )


def _stress(strain: FloatArray, parts: IntArray, stiff: FloatArray, heat: FloatArray) -> FloatArray:
    """Stress of every unit load from its strain, each (n_case, n_layer, n_point, 7, 6); completes layers of no width.

    Such a layer shares its neighbour's strain along and around and the pull through it; its own strain follows.
    """
    if np.all(parts > 0):
        return _pull(strain, stiff, heat)
    last = np.maximum.accumulate(np.where(parts > 0, np.arange(parts.shape[1]), -1), axis=1)
    owner = np.where(last < 0, (parts > 0).argmax(axis=1)[:, None], last)
    near = _pull(
        strain,
        np.take_along_axis(stiff, owner[..., None, None], axis=1),
        np.take_along_axis(heat, owner[..., None], axis=1),
    )
    n, k = np.nonzero(parts == 0)
    own, c = strain[n, k], stiff[n, k]
    through = [2, 3, 4]
    own[..., through] = 0.0
    rest = near[n, k][..., through] - _pull(own[:, None], c[:, None], heat[n, k][:, None])[:, 0][..., through]
    soft = np.linalg.inv(c[:, through][:, :, through])
    own[..., through] = np.einsum("mij,mplj->mpli", soft, rest)
    strain[n, k] = own
    near[n, k] = _pull(own[:, None], c[:, None], heat[n, k][:, None])[:, 0]
    return near


def _pull(strain: FloatArray, stiff: FloatArray, heat: FloatArray) -> FloatArray:
    """Stiffness times mechanical strain; the last unit load is one kelvin."""
    stress = strain @ stiff[:, :, None]
    stress[..., -1, :] -= np.einsum("nkij,nkj->nki", stiff, heat)[:, :, None]
    return stress


def _six(four: FloatArray) -> FloatArray:
    """Both planes from one: the second is the first seen a quarter turn on, so that its coupling changes sign."""
    six = np.zeros((len(four), 6, 6))
    six[:, 0, 0], six[:, 3, 3] = four[:, 0, 0], four[:, 1, 1]
    six[:, 0, 3] = six[:, 3, 0] = four[:, 0, 1]
    six[:, 1, 1] = six[:, 2, 2] = four[:, 3, 3]
    six[:, 4, 4] = six[:, 5, 5] = four[:, 2, 2]
    six[:, 1, 5] = six[:, 5, 1] = four[:, 2, 3]
    six[:, 2, 4] = six[:, 4, 2] = -four[:, 2, 3]
    return six


def _parts(edges: FloatArray, stiff: FloatArray) -> IntArray:
    """Elements to every layer, (n_case, n_layer): 0 for one of no thickness, more for steep fields in thick layers."""
    around = 0.5 * (stiff[..., 3, 3] + stiff[..., 4, 4])
    soft = around - np.hypot(0.5 * (stiff[..., 3, 3] - stiff[..., 4, 4]), stiff[..., 3, 4])
    inside = stiff[..., 1, 1] + stiff[..., 5, 5]
    inside = inside - (stiff[..., 1, 2] ** 2 + stiff[..., 2, 5] ** 2) / stiff[..., 2, 2]
    power = np.sqrt(np.maximum(9.0, np.maximum(inside / soft, stiff[..., 1, 1] / stiff[..., 2, 2])))
    # a nearly incompressible layer magnifies every error of its volume: ask for more of its elements
    care = np.maximum(1.0, 0.5 * np.log10(stiff[..., 2, 2] / soft))
    wanted = np.maximum(1.0, np.ceil(care * power * np.log(edges[:, 1:] / edges[:, :-1]) / WIDEST))
    wanted[np.diff(edges) <= THIN * (edges[:, -1:] - edges[:, :1])] = 0.0
    slender = (edges[:, -1] - edges[:, 0]) / edges[:, -1]
    if np.any(slender < THINNEST):
        raise DesignError(
            "wall",
            Message("given.its_radius", limit=slender.min()),
            Message("want.at_least_radius_below_that_thin", thinnest=THINNEST),
        )
    if not np.all(wanted.sum(axis=-1) <= MOST_ELEMENTS):
        raise DesignError(
            "wall",
            Message("given.moduli_too_far_apart_so_thick"),
            Message("want.thinner_layer_or_stiffness_through_ply"),
        )
    thinnest_element = wanted.sum(axis=-1) / slender
    if np.any(np.finfo(np.float64).eps * thinnest_element**2 * (stiff[..., 2, 2] / soft).max(axis=-1) > MOST_ROUNDING):
        raise DesignError(
            "wall",
            Message("given.its_radius_layers", limit=slender.min(), limit2=str(wanted.shape[-1])),
            Message("want.fewer_layers_thicker_wall_or_more"),
        )
    return wanted.astype(np.int64)
