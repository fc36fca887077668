"""One section of a pole: a stack rolled on a mandrel at a place, cured, and coated."""

from dataclasses import dataclass, field, replace

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.pole.pole import Tube
from polewright.wall.expansion import free_expansion
from polewright.wall.membrane import tube_stiffness
from polewright.wall.stack import Stack, Wall

__all__ = ["Mandrel", "Section", "bore_after_cure", "tube_of"]

TAPERED_STATIONS = 5
COAT_DENSITY = 1150.0  # [kg/m3] two-part clear coat, typical engineering value


@dataclass(frozen=True, slots=True, eq=False)
class Mandrel:
    """A bar as measured cold: diameter (n,) [m] at station (n,) [m] from its small (tip) end; expansion [1/K]."""

    name: str
    station: FloatArray
    diameter: FloatArray
    expansion: float

    def __post_init__(self) -> None:
        freeze(self, ("station", "diameter"))
        if self.station.ndim != 1 or self.station.size < 2 or self.station.shape != self.diameter.shape:
            raise DesignError(
                f"mandrel {self.name}", Message("given.profile"), Message("want.at_least_two_stations_one_diameter")
            )
        if np.any(np.diff(self.station) <= 0.0):
            raise DesignError(
                f"mandrel {self.name}", Message("given.stations"), Message("want.stations_that_rise_from_small_end")
            )
        if not np.all(np.isfinite(self.diameter)) or np.any(self.diameter <= 0.0):
            raise DesignError(f"mandrel {self.name}", Message("given.diameter"), Message("want.diameters_above_zero"))

    @property
    def length(self) -> float:
        """[m] measured length, first station to last."""
        return float(self.station[-1] - self.station[0])

    def diameter_at(self, station: FloatArray) -> FloatArray:
        """[m] diameter at stations [m] from the small end; straight between measured places."""
        low, high = self.station[0] - 1e-9, self.station[-1] + 1e-9
        if (station < low).any() or (station > high).any():
            raise DesignError(
                f"mandrel {self.name}",
                float(np.max(station)),
                Message("want.place_on_mandrel_up_m", limit=self.station[-1]),
            )
        return np.asarray(np.interp(station, self.station, self.diameter))


@dataclass(frozen=True, slots=True, eq=False)
class Section:
    """A stack on a mandrel: length [m]; place [m] of its mouth from the mandrel's small end; coat [m] thick.

    rise [K] is the cool-down from the cure to the room, negative. `bore` [m], where given, is the bore as measured
    after cure, the same along the tube, and stands instead of the one computed from the mandrel.
    """

    stack: Stack
    length: float
    mandrel: Mandrel
    place: float = 0.0
    rise: float = -100.0
    coat: float = 0.0
    bore: float | None = None
    _hoop: float = field(init=False, repr=False)

    def __post_init__(self) -> None:
        # membrane theory holds the wall flat: its expansion is the same at every bore
        object.__setattr__(self, "_hoop", float(free_expansion(self.stack.wall(self.mandrel.diameter[0])).around))

    def moved(self, place: float) -> "Section":
        """The same section rolled at another place [m] on its mandrel."""
        return replace(self, place=place)

    def in_service(self, stack: Stack) -> "Section":
        """The same tube with other figures for its plies, as heat makes them: it keeps the bore of its cure."""
        if len(stack.plies) != len(self.stack.plies) or abs(stack.thickness - self.stack.thickness) > 1e-12:
            raise DesignError(
                "stack",
                Message("given.thick", thickness=stack.thickness),
                Message("want.same_plies_their_figures_alone_changed"),
            )
        changed = replace(self, stack=stack)
        object.__setattr__(changed, "_hoop", self._hoop)
        return changed

    @property
    def is_straight(self) -> bool:
        """Whether the bore is the same at both ends."""
        ends = self.bores(np.array([0.0, self.length]))
        return bool(abs(ends[0] - ends[1]) < 1e-9)

    def bores(self, station: FloatArray) -> FloatArray:
        """(n,) [m] bore after cure at stations [m] from the butt end."""
        if self.bore is not None:
            return np.full_like(station, self.bore)
        hot = self.mandrel.diameter_at(self.mandrel.station[0] + self.place + self.length - station)
        return bore_after_cure(hot, mandrel_expansion=self.mandrel.expansion, hoop_expansion=self._hoop, rise=self.rise)

    def outsides(self, station: FloatArray) -> FloatArray:
        """(n,) [m] outside diameter with its coat at stations [m] from the butt end."""
        return np.asarray(self.bores(station) + 2.0 * (self.stack.thickness + self.coat))

    def walls(self, station: FloatArray) -> Wall:
        """The cured wall at each station [m] from the butt end, as a batch (n,)."""
        return self.stack.wall(self.bores(station))


def bore_after_cure(
    mandrel: FloatArray, *, mandrel_expansion: float, hoop_expansion: FloatArray | float, rise: float
) -> FloatArray:
    """Bore [m] of a tube after cooling, from the cold mandrel diameter [m]; any shape.

    D (1 + (a_mandrel - a_hoop) (-rise)): the tube sets on the hot mandrel and cools by its own hoop expansion.
    Below the mandrel's own diameter it grips.

    Parameters
    ----------
    mandrel : [m] diameter as measured cold.
    mandrel_expansion, hoop_expansion : [1/K].
    rise : [K] cure to room, negative.

    Source
    ------
    Free expansion of a ring and a bar from a common diameter at the stress-free temperature.
    """
    return np.asarray(mandrel * (1.0 - (mandrel_expansion - np.asarray(hoop_expansion)) * rise))


def tube_of(section: Section) -> Tube:
    """The section as a beam: stiffness of the thin-wall tier, twist free, with the coat's mass."""
    count = 2 if section.is_straight else TAPERED_STATIONS
    station = np.linspace(0.0, section.length, count)
    if count == 2:
        wall = section.walls(station[:1])
        stiff = tube_stiffness(wall)
        spread = np.ones(2)
    else:
        wall = section.walls(station)
        stiff, spread = tube_stiffness(wall), np.ones(1)
    coat = np.pi * (wall.outside + section.coat) * section.coat * COAT_DENSITY
    return Tube(
        length=section.length,
        station=station,
        bending=stiff.bending * spread,
        axial=stiff.axial * spread,
        shear=stiff.shear * spread,
        mass_per_length=(wall.mass_per_length + coat) * spread,
        bore=wall.bore * spread,
        outside=(wall.outside + 2.0 * section.coat) * spread,
    )
