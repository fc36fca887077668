"""What the pole must do, what the workshop has to make it of, and how it puts poles together."""

from collections.abc import Callable
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Literal

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.search.options import Options

if TYPE_CHECKING:
    from polewright.search.candidate import FoundPole
    from polewright.search.further_limits import Reference, SumRow

__all__ = [
    "FINE_SLICES",
    "SLICES",
    "Aim",
    "Bar",
    "Brief",
    "Build",
    "FigureLimit",
    "FurtherDroop",
    "FurtherFlex",
    "PoleFigure",
    "Shop",
]

SLICES, FINE_SLICES = 2, 8
"""Parts of the clearance window with walls of their own, so that the tilt of a joint is bounded closely; and where a
figure of the whole pole is limited, for which a thicker or heavier wall may be better than a stiffer one.
"""
Aim = Literal["droop", "flex", "mass", "cost", "carry"]


@dataclass(frozen=True, slots=True)
class Bar:
    """A mandrel of the rack: the bore [m] that a tube rolled on it has after cure."""

    name: str
    bore: float

    def __post_init__(self) -> None:
        if not (np.isfinite(self.bore) and self.bore > 0.0):
            raise DesignError(f"mandrel {self.name}", self.bore, Message("want.bore_above_zero"))


@dataclass(frozen=True, slots=True)
class Build:
    """How this workshop puts a pole together.

    overlap [m] at every joint; proud [m] by which each mouth stands out when closed; flag_extra [m] by which flags
    are longer than the tube; clamp [kg] each; fitting [kg] at the tip; joint_stiffness [N m/rad]; centring, "mouth"
    (free tilt c/(2 L)) or "none" (c/L); pivot, where a joint turns, share of the overlap in from its mouth; play
    [rad], a measured free tilt, at any draw, or None for what the clearance gives; clearance_least, clearance_most
    [m] on diameter; prop [m] from the butt where the bench props a pole held down at its butt, 0 for one built in
    there; slices, parts of the clearance window (of the thickness of the last wall, where there are more than
    SLICES) with walls of their own.
    """

    overlap: float = 0.2
    proud: float = 0.035
    flag_extra: float = 0.07
    clamp: float = 0.045
    fitting: float = 0.06
    joint_stiffness: float = np.inf
    centring: Literal["mouth", "none"] = "mouth"
    pivot: float = 0.5
    play: float | None = None
    clearance_least: float = 0.3e-3
    clearance_most: float = 0.5e-3
    prop: float = 1.0
    slices: int = SLICES

    def __post_init__(self) -> None:
        for name in ("overlap", "proud", "flag_extra", "clamp", "fitting", "clearance_least", "prop"):
            value = getattr(self, name)
            if not (np.isfinite(value) and value >= 0.0):
                raise DesignError(f"build.{name}", value, Message("want.zero_or_more"))
        if self.play is not None and not (np.isfinite(self.play) and self.play >= 0.0):
            raise DesignError("build.play", self.play, Message("want.zero_or_more_or_none"))
        if not 0.0 <= self.pivot <= 1.0:
            raise DesignError("build.pivot", self.pivot, Message("want.share_overlap_0_outer_mouth_1"))
        if not self.overlap > 0.0:
            raise DesignError("build.overlap", self.overlap, Message("want.above_zero"))
        if not self.joint_stiffness > 0.0:
            raise DesignError("build.joint_stiffness", self.joint_stiffness, Message("want.above_zero"))
        if not (np.isfinite(self.clearance_most) and self.clearance_most >= self.clearance_least):
            raise DesignError(
                "build.clearance_most",
                self.clearance_most,
                Message("want.at_least_least_clearance", clearance_least=self.clearance_least),
            )

    def tilt(self, gap: FloatArray | float) -> FloatArray:
        """[rad] free tilt to one side of a drawn-out joint; `gap` [m] its clearance on diameter, of any shape."""
        share = (0.5 if self.centring == "mouth" else 1.0) / self.overlap
        return np.asarray(gap) * share if self.play is None else np.full(np.shape(gap), self.play)


@dataclass(frozen=True, slots=True)
class FurtherDroop:
    """A droop wish besides the brief's own: tip_mass [kg] in all at the tip, fitting included, level on the bench, the
    `out` thinnest sections drawn out and the rest pushed in (0: all out); droop at most so much [m], true rotations.
    """

    tip_mass: float
    droop_at_most: float
    out: int = 0

    def __post_init__(self) -> None:
        if not (np.isfinite(self.tip_mass) and self.tip_mass >= 0.0):
            raise DesignError("droops.tip_mass", self.tip_mass, Message("want.zero_or_more"))
        if not (np.isfinite(self.droop_at_most) and self.droop_at_most > 0.0):
            raise DesignError("droops.droop_at_most", self.droop_at_most, Message("want.droop_above_zero"))
        if self.out < 0:
            raise DesignError("droops.out", self.out, Message("want.number_sections_drawn_out_0_all"))


@dataclass(frozen=True, slots=True)
class FurtherFlex:
    """A flex [m/N] wanted besides the brief's own, met `within` [-] either way: what FLEX_STEP more than tip_mass [kg]
    (in all, fitting included) moves the tip, true rotations; the `out` thinnest sections drawn out (0: all).
    """

    tip_mass: float
    wanted: float
    within: float = 0.05
    out: int = 0

    def __post_init__(self) -> None:
        if not (np.isfinite(self.tip_mass) and self.tip_mass >= 0.0):
            raise DesignError("flexes.tip_mass", self.tip_mass, Message("want.zero_or_more"))
        if not (np.isfinite(self.wanted) and self.wanted > 0.0):
            raise DesignError("flexes.wanted", self.wanted, Message("want.flex_above_zero"))
        if not 0.0 < self.within < 1.0:
            raise DesignError("flexes.within", self.within, Message("want.between_0_1"))
        if self.out < 0:
            raise DesignError("flexes.out", self.out, Message("want.number_sections_drawn_out_0_all"))


@dataclass(frozen=True, slots=True)
class PoleFigure:
    """A figure of a whole pole, all drawn out, that may be limited: all that the search needs to know of it.

    code : in the codes of texts. value : the figure of a pole, SI. rows : sums over the sections that no pole within a
    limit exceeds, the bounds of the search; aim : what is made least to come near to a limit that cannot be met.
    """

    code: str
    value: "Callable[[FoundPole], float]"
    rows: "Callable[[Reference, float], tuple[SumRow, ...]]"
    aim: Aim


@dataclass(frozen=True, slots=True)
class FigureLimit:
    """A figure of the whole pole that is to be at most so much, SI."""

    figure: PoleFigure
    at_most: float

    def __post_init__(self) -> None:
        if not (np.isfinite(self.at_most) and self.at_most > 0.0):
            raise DesignError(f"figures.{self.figure.code}", self.at_most, Message("want.above_zero"))


@dataclass(frozen=True, slots=True)
class Brief:
    """What the pole must do: limits, and the one figure to be made as small as can be (`aim`).

    reach [m] butt to tip, drawn out; sections, how many there may be; tip_mass [kg] in all at the tip, fitting
    included; droop_at_most [m] level on the bench with that mass; flex_wanted [m/N] tip movement a newton, met within
    flex_within [-]; mass_at_most [kg] bare; carry_at_most [kg m] mass times distance of balance point from the butt;
    cost_at_most [currency] material; closed_at_most [m]; base_at_most [m] outside diameter of the butt section;
    inf: no limit. droops, flexes : wishes with another tip mass or at another reach; swing_at_least [Hz] lowest swing
    of the whole pole level on the bench with swing_mass [kg] in all at the tip, 0 for no limit. figures : limits on
    further figures of the whole pole.
    """

    reach: float
    sections: tuple[int, ...]
    tip_mass: float = 0.0
    aim: Aim = "droop"
    droop_at_most: float = np.inf
    flex_wanted: float | None = None
    flex_within: float = 0.01
    mass_at_most: float = np.inf
    carry_at_most: float = np.inf
    cost_at_most: float = np.inf
    closed_at_most: float = np.inf
    base_at_most: float = np.inf
    droops: tuple[FurtherDroop, ...] = ()
    flexes: tuple[FurtherFlex, ...] = ()
    swing_at_least: float = 0.0
    swing_mass: float = 0.6
    figures: tuple[FigureLimit, ...] = ()

    def __post_init__(self) -> None:
        if not (np.isfinite(self.reach) and self.reach > 0.0):
            raise DesignError("brief.reach", self.reach, Message("want.length_above_zero"))
        if not self.sections or any(not 1 <= n <= 10 for n in self.sections):
            raise DesignError("brief.sections", self.sections, Message("want.one_number_at_least_each_from"))
        if not (np.isfinite(self.tip_mass) and self.tip_mass >= 0.0):
            raise DesignError("brief.tip_mass", self.tip_mass, Message("want.zero_or_more"))
        if self.aim not in ("droop", "flex", "mass", "cost", "carry"):
            raise DesignError("brief.aim", self.aim, Message("want.droop_flex_mass_cost_or_carry"))
        for f in fields(self):
            value = getattr(self, f.name)
            if f.name.endswith("_at_most") and not value > 0.0:
                raise DesignError(f"brief.{f.name}", value, Message("want.above_zero"))
        if self.flex_wanted is not None and not (np.isfinite(self.flex_wanted) and self.flex_wanted > 0.0):
            raise DesignError("brief.flex_wanted", self.flex_wanted, Message("want.above_zero"))
        if not 0.0 < self.flex_within < 1.0:
            raise DesignError("brief.flex_within", self.flex_within, Message("want.between_0_1"))
        if not (np.isfinite(self.swing_at_least) and self.swing_at_least >= 0.0):
            raise DesignError("brief.swing_at_least", self.swing_at_least, Message("want.frequency_zero_no_limit"))
        if not (np.isfinite(self.swing_mass) and self.swing_mass > 0.0):
            raise DesignError("brief.swing_mass", self.swing_mass, Message("want.above_zero"))

    @property
    def asks_more(self) -> bool:
        """Whether something is asked that is worked out on whole poles alone."""
        return bool(self.droops or self.flexes or self.figures) or self.swing_at_least > 0.0

    @property
    def further(self) -> dict[str, FurtherDroop | FurtherFlex]:
        """Wishes at other loads and reaches, each with a name of its own in the search."""
        named: dict[str, FurtherDroop | FurtherFlex] = {f"droop {i}": w for i, w in enumerate(self.droops, 1)}
        return {**named, **{f"flex {i}": w for i, w in enumerate(self.flexes, 1)}}

    @property
    def limits(self) -> dict[str, float]:
        """The limits on figures that are set, by name."""
        names = {
            "droop": self.droop_at_most,
            "mass": self.mass_at_most,
            "carry": self.carry_at_most,
            "cost": self.cost_at_most,
        }
        if self.flex_wanted is not None:
            names["flex"] = self.flex_wanted * (1.0 + self.flex_within)
        return {name: value for name, value in names.items() if np.isfinite(value)}


@dataclass(frozen=True, slots=True, eq=False)
class Shop:
    """What the workshop has: walls it may roll (on each bar's bore, not `walls.bore`), bars, ways of building."""

    walls: Options
    bars: tuple[Bar, ...]
    build: Build = Build()

    def __post_init__(self) -> None:
        if not self.bars:
            raise DesignError("mandrels", Message("given.none"), Message("want.at_least_one_mandrel_on_rack"))
