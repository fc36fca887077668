"""Stress and strain through the wall of the exact tube, in tube axes and in ply axes, under any loads together."""

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.materials.numbers import finite, fit_each_other
from polewright.wall.batch import cases
from polewright.wall.cylinder import ExactTube
from polewright.wall.solid import ply_strain, ply_stress, solid_heat

__all__ = ["BeamStrain", "TubeLoads", "TubeStress", "beam_strain", "torque_to_hold", "tube_stress"]

_QUARTER = np.array([True, True, True, False, False, True])  # components that follow the cosine under a moment


@dataclass(frozen=True, slots=True, eq=False)
class TubeLoads:
    """Loads at one place of a tube, all at once; every field the same broadcast shape.

    axial [N] tension positive; torque [N m] right-handed about the axis; moment [N m] puts clock angle zero in
    tension; shear [N] toward clock angle zero on the face that looks along the tube, in the moment's plane;
    inner_pressure, outer_pressure [Pa]; rise [K] above the stress-free temperature, negative when cooler. Axial is
    the force in the wall: on a closed tube add the pressure on its end.
    """

    axial: FloatArray
    torque: FloatArray
    moment: FloatArray
    shear: FloatArray
    inner_pressure: FloatArray
    outer_pressure: FloatArray
    rise: FloatArray

    def __init__(
        self,
        *,
        axial: ArrayLike = 0.0,
        torque: ArrayLike = 0.0,
        moment: ArrayLike = 0.0,
        shear: ArrayLike = 0.0,
        inner_pressure: ArrayLike = 0.0,
        outer_pressure: ArrayLike = 0.0,
        rise: ArrayLike = 0.0,
    ) -> None:
        names = [f.name for f in fields(TubeLoads)]
        given = [
            finite(name, v, most=1e30)
            for name, v in zip(names, (axial, torque, moment, shear, inner_pressure, outer_pressure, rise), strict=True)
        ]
        fit_each_other(**dict(zip(names, given, strict=True)))
        for name, array in zip(names, np.broadcast_arrays(*given), strict=True):
            object.__setattr__(self, name, array)
        freeze(self, names)

    @property
    def amounts(self) -> FloatArray:
        """(*case, 7) of each unit load of `ExactTube`, in its order."""
        return np.stack(
            [self.axial, self.torque, self.moment, self.shear, self.inner_pressure, self.outer_pressure, self.rise],
            axis=-1,
        )


@dataclass(frozen=True, slots=True, eq=False)
class TubeStress:
    """Stress [Pa] and strain [-] at every point of every layer, each (*case, n_layer, n_point, 6).

    `tube` components: along, around, through, around-through, along-through, along-around; `ply` components: fibre,
    across, through, 23, 13, 12. Engineering shears; strains are total, `ply_mechanical` is without free expansion.
    """

    tube: FloatArray
    ply: FloatArray
    tube_strain: FloatArray
    ply_strain: FloatArray
    ply_mechanical: FloatArray

    def __post_init__(self) -> None:
        freeze(self, [f.name for f in fields(self)])


@dataclass(frozen=True, slots=True, eq=False)
class BeamStrain:
    """What a tube does as a beam, each (*case,): axial strain, twist [1/m], curvature [1/m] toward clock angle zero's
    tension, shear angle in the plane of the shear force and across it, hoop strain at bore and skin.
    """

    axial: FloatArray
    twist: FloatArray
    curvature: FloatArray
    cross_curvature: FloatArray
    shear: FloatArray
    cross_shear: FloatArray
    bore: FloatArray
    skin: FloatArray

    def __post_init__(self) -> None:
        freeze(self, [f.name for f in fields(self)])


def tube_stress(tube: ExactTube, loads: TubeLoads, *, clock: ArrayLike = 0.0) -> TubeStress:
    """Stress and strain through the wall at one clock angle, by superposition of the unit loads.

    Parameters
    ----------
    tube : solved wall or batch, (*case,).
    loads : broadcast with the tube's cases.
    clock : [rad] round the tube, broadcast with both: 0 is the tension side of the moment, pi its push side, pi/2 the
        neutral axis, where the shear force bites hardest.

    Source
    ------
    Superposition of linear elastic states; `exact_tube`.
    """
    at = finite("clock", clock, want=Message("want.finite_angle"), most=1e12)
    cases("loads, clock", tube.wall.bore.shape, loads.axial.shape, at.shape)
    weight = _weights(loads.amounts, at)
    stress = np.einsum("...lc,...nplc->...npc", weight, tube.unit_stress)
    strain = np.einsum("...lc,...nplc->...npc", weight, tube.unit_strain)
    angle = np.broadcast_to(tube.wall.angle[..., None], strain.shape[:-1])
    rise = loads.rise[..., None, None, None]
    free = rise * solid_heat(tube.wall.elastic, tube.wall.angle)[..., None, :]
    return TubeStress(
        tube=stress,
        ply=ply_stress(stress, angle),
        tube_strain=strain,
        ply_strain=ply_strain(strain, angle),
        ply_mechanical=ply_strain(strain - free, angle),
    )


def _weights(amounts: FloatArray, clock: FloatArray) -> FloatArray:
    """(*case, 7, 6) share of every unit field in every component at a clock angle."""
    shape = (*np.broadcast_shapes(amounts.shape[:-1], clock.shape), 7, 6)
    weight = np.broadcast_to(amounts[..., None], shape).copy()
    c, s = np.cos(clock)[..., None], np.sin(clock)[..., None]
    weight[..., 2, :] *= np.where(_QUARTER, c, s)
    weight[..., 3, :] *= np.where(_QUARTER, s, -c)
    return weight


def beam_strain(tube: ExactTube, loads: TubeLoads) -> BeamStrain:
    """Stretch, twist, curvature, shear angles and hoop strains of the tube under loads, each (*case,).

    Source
    ------
    `ExactTube.flexibility` and `ExactTube.motion`.
    """
    cases("loads", tube.wall.bore.shape, loads.axial.shape)
    ends = np.stack([loads.axial, loads.torque, loads.inner_pressure, loads.outer_pressure, loads.rise], axis=-1)
    motion = np.einsum("...l,...lm->...m", ends, tube.motion)
    f = tube.flexibility
    return BeamStrain(
        axial=motion[..., 0],
        twist=motion[..., 1],
        bore=motion[..., 2],
        skin=motion[..., 3],
        curvature=f[..., 4, 4] * loads.moment,
        cross_curvature=f[..., 5, 1] * loads.shear,
        shear=f[..., 1, 1] * loads.shear,
        cross_shear=f[..., 2, 4] * loads.moment,
    )


def torque_to_hold(tube: ExactTube, loads: TubeLoads) -> TubeLoads:
    """The same loads with the torque that keeps the tube from twisting, as ends glued in or a balanced partner would.

    Source
    ------
    Linear: torque = -twist of the other loads / twist of a unit torque.
    """
    free = _with_torque(loads, 0.0)
    held = -beam_strain(tube, free).twist / tube.flexibility[..., 3, 3]
    return _with_torque(loads, held)


def _with_torque(loads: TubeLoads, torque: ArrayLike) -> TubeLoads:
    """The same loads with another torque [N m]."""
    return replace(loads, torque=np.asarray(torque, dtype=np.float64))
