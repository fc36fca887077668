"""Cool-down from the stress-free temperature: ply stress, bore, outside, length, twist, and the fit on the mandrel."""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.materials.numbers import finite, from_zero
from polewright.wall.batch import cases
from polewright.wall.cylinder import ExactTube
from polewright.wall.through import TubeLoads, TubeStress, beam_strain, tube_stress

__all__ = ["CoolDown", "MandrelFit", "cool_down", "mandrel_fit"]


@dataclass(frozen=True, slots=True, eq=False)
class CoolDown:
    """A free tube cooled by -rise; each field (*case,) but the stress.

    bore, outside: [m] cold diameters; stretch: [-] change of length over length; twist: [1/m]; axial_expansion,
    bore_expansion, skin_expansion: [1/K] effective, along the tube and of the hoop at bore and outside;
    stress: at every point of every layer, the same all round the clock.
    """

    rise: FloatArray
    bore: FloatArray
    outside: FloatArray
    stretch: FloatArray
    twist: FloatArray
    axial_expansion: FloatArray
    bore_expansion: FloatArray
    skin_expansion: FloatArray
    stress: TubeStress

    def __post_init__(self) -> None:
        freeze(self, [f.name for f in fields(self) if f.name != "stress"])


@dataclass(frozen=True, slots=True, eq=False)
class MandrelFit:
    """A cold tube on its cold mandrel; each field (*case,).

    gap: [m] on diameter, negative when the tube grips; pressure: [Pa] on the bore while it grips, else zero;
    diameter: [m] of the cold mandrel; rise: [K] of the cool-down.
    """

    diameter: FloatArray
    gap: FloatArray
    pressure: FloatArray
    rise: FloatArray

    def __post_init__(self) -> None:
        freeze(self, [f.name for f in fields(self)])

    @property
    def grips(self) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
        """(*case,) whether the tube holds on to the mandrel: no cooling will let it go."""
        return np.asarray(self.gap < 0.0)

    @property
    def message(self) -> Message:
        """Whether the mandrel comes out; of a batch, its worst case."""
        return Message("mandrel.grips" if np.any(self.grips) else "mandrel.lets_go")

    def pull_off(self, *, friction: ArrayLike, length: ArrayLike) -> FloatArray:
        """(*case,) [N] upper bound of the force to draw the mandrel: friction times pressure on all of the bore.

        friction (*case,) [-], length (*case,) [m] of tube on the mandrel. Cracks, creep and a release taper only lower
        it.
        """
        rubbed = from_zero("friction", friction, most=1e30) * from_zero("length", length, most=1e30)
        return np.asarray(rubbed * self.pressure * np.pi * self.diameter)

    @property
    def loads(self) -> TubeLoads:
        """Heat and grip together, for `tube_stress` of the tube still on its mandrel."""
        return TubeLoads(inner_pressure=self.pressure, rise=self.rise)


def cool_down(tube: ExactTube, *, rise: ArrayLike, mandrel_expansion: ArrayLike = 0.0) -> CoolDown:
    """Free cooling of a tube laid on a mandrel of the wall's bore, from stress-free to room temperature.

    The bore starts at the hot mandrel's diameter, bore (1 - mandrel_expansion rise), and shrinks with the tube's own
    hoop strain, which differs from bore to outside; the thickness given is that of the wall when stress-free.

    Parameters
    ----------
    tube : solved wall or batch, (*case,).
    rise : [K] room less stress-free temperature, negative on cooling; broadcast with the cases.
    mandrel_expansion : [1/K] of the mandrel; zero takes the bore as made at the stress-free temperature.

    Source
    ------
    Exact layered cylinder, `exact_tube`.
    """
    heat = finite("rise", rise, want=Message("want.finite_temperature_difference"), most=1e30)
    grown = finite("mandrel_expansion", mandrel_expansion, want=Message("want.finite_expansion"), most=1e30)
    cases("rise, mandrel_expansion", tube.wall.bore.shape, heat.shape, grown.shape)
    heat, grown = (np.asarray(v) for v in np.broadcast_arrays(heat, grown))
    loads = TubeLoads(rise=heat)
    free = beam_strain(tube, loads)
    hot = tube.wall.bore * (1.0 - grown * heat)
    return CoolDown(
        rise=heat,
        bore=hot * (1.0 + free.bore),
        outside=(hot + 2.0 * tube.wall.total_thickness) * (1.0 + free.skin),
        stretch=free.axial,
        twist=free.twist,
        axial_expansion=tube.expansion,
        bore_expansion=tube.bore_expansion,
        skin_expansion=tube.skin_expansion,
        stress=tube_stress(tube, loads),
    )


def mandrel_fit(
    tube: ExactTube, *, rise: ArrayLike, mandrel_expansion: ArrayLike, mandrel_give: ArrayLike = 0.0
) -> MandrelFit:
    """Gap or grip of a cooled tube on its mandrel, whose cold diameter is the wall's bore.

    A negative gap means it grips: the pressure is what opens the bore by the missing gap, with the mandrel giving way
    by `mandrel_give` ([1/Pa] hoop strain per pressure: (1 - nu)/E of a solid bar, zero for a rigid one).

    Parameters
    ----------
    tube : solved wall or batch, (*case,).
    rise : [K] room less stress-free temperature, negative on cooling; broadcast with the cases.
    mandrel_expansion : [1/K].

    Source
    ------
    Exact layered cylinder under inner pressure, `exact_tube`; elastic without limit, hence an upper bound.
    """
    give = from_zero("mandrel_give", mandrel_give, want=Message("want.zero_rigid_or_more"))
    cold = cool_down(tube, rise=rise, mandrel_expansion=mandrel_expansion)
    diameter = np.broadcast_to(tube.wall.bore, cold.bore.shape)
    gap = cold.bore - diameter
    pressure = np.maximum(-gap / diameter, 0.0) / (tube.motion[..., 2, 2] + give)
    return MandrelFit(diameter=diameter, gap=gap, pressure=pressure, rise=np.broadcast_to(cold.rise, gap.shape))
