"""What the workshop may roll: plies at angles, how many, on which bore, in which order, under which rules."""

from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.ply import Ply
from polewright.search.bearing import Bears, refuse_unknown
from polewright.wall.stack import Stack, StackPly

__all__ = ["Figure", "Option", "Options", "Order", "Rules"]

Order = Literal["any", "listed"]
Figure = Literal["bending", "axial", "mass", "cost", "twist", "ring"]
GAINS = ("bending", "axial", "twist", "ring")
_MOST_PLIES = 16
_MOST_OPTIONS = 200


@dataclass(frozen=True, slots=True, eq=False)
class Option:
    """One thing that can be rolled on: a turn of `ply` at `angle` [rad] from the tube axis.

    A bias option is a balanced pair, +angle and then -angle outside it; it counts as one ply of the search.
    """

    ply: Ply
    angle: float
    is_pair: bool = False

    def __post_init__(self) -> None:
        if not (np.isfinite(self.angle) and abs(self.angle) <= np.pi / 2 + 1e-9):
            raise DesignError(f"{self.ply.name}.angle", self.angle, Message("want.from_90_90_degrees_from_tube"))

    @property
    def stack_plies(self) -> tuple[StackPly, ...]:
        """One turn, or the two of a balanced pair, from the bore outward."""
        first = StackPly(self.ply, self.angle)
        return (first, StackPly(self.ply, -self.angle)) if self.is_pair else (first,)

    @property
    def thickness(self) -> float:
        """[m] cured thickness that it adds to the wall."""
        return self.ply.thickness * len(self.stack_plies)

    @property
    def is_hoop(self) -> bool:
        """Whether its fibres hold the tube round: hoop, or a weave, which has fibres both ways."""
        return self.stack_plies[0].goes_round


@dataclass(frozen=True, slots=True)
class Rules:
    """What the workshop will not do without, as data; a rule at its default is off.

    hoop_inside, hoop_outside: innermost and outermost ply go round; woven_skin: outermost ply is woven;
    least_wall, most_wall [m]; block [m]: most thickness of one same angle in a row; neighbours [rad]: largest angle
    between the fibres of plies that touch; least_ring [N m]: hoop bending stiffness of the wall per unit of width;
    least_collapse [Pa]: outside pressure at which the ring buckles (what a clamp needs); least_twist GJ [N m2];
    least_bending EI [N m2].
    """

    hoop_inside: bool = False
    hoop_outside: bool = False
    woven_skin: bool = False
    least_wall: float = 0.0
    most_wall: float = np.inf
    block: float = np.inf
    neighbours: float = np.inf
    least_ring: float = 0.0
    least_collapse: float = 0.0
    least_twist: float = 0.0
    least_bending: float = 0.0

    def __post_init__(self) -> None:
        for name in (
            "least_wall",
            "most_wall",
            "block",
            "neighbours",
            "least_ring",
            "least_collapse",
            "least_twist",
            "least_bending",
        ):
            value = getattr(self, name)
            if np.isnan(value) or value < 0.0:
                raise DesignError(f"rules.{name}", value, Message("want.zero_or_more"))
        if self.least_wall > self.most_wall:
            raise DesignError(
                "rules.least_wall",
                self.least_wall,
                Message("want.at_most_thickest_wall_allowed_two", most_wall=self.most_wall),
            )


@dataclass(frozen=True, slots=True, eq=False)
class Options:
    """All that one wall may be made of.

    plies: what may be rolled; most: plies in a wall, at most (a pair counts as one); bore [m] diameter;
    order: "any" tries every order of every set of plies, "listed" rolls plies in the order of `plies`, bore outward
    (a ply may stand in the list twice, as an inner and an outer hoop); figures: what is wanted, stiffness much, mass
    [kg/m] and cost [currency/m] little; utilisation [-] share of the roll that ends up in flags;
    digits: figures that agree to so many significant digits count as the same; bears: loads that every wall must bear.
    """

    plies: tuple[Option, ...]
    most: int
    bore: float
    order: Order = "any"
    rules: Rules = field(default_factory=Rules)
    figures: tuple[Figure, ...] = ("bending", "mass", "cost")
    utilisation: float = 1.0
    digits: int = 9
    bears: Bears | None = None

    def __post_init__(self) -> None:
        self._refuse_empty()
        if not (np.isfinite(self.bore) and self.bore > 0.0):
            raise DesignError("bore", self.bore, Message("want.diameter_above_zero"))
        if self.order not in ("any", "listed"):
            raise DesignError("order", self.order, Message("want.any_or_listed"))
        if not 0.0 < self.utilisation <= 1.0:
            raise DesignError("utilisation", self.utilisation, Message("want.above_0_at_most_1_2"))
        if not 1 <= self.digits <= 12:
            raise DesignError("digits", self.digits, Message("want.from_1_12"))
        wrong = [f for f in self.figures if f not in (*GAINS, "mass", "cost")]
        if wrong or len(set(self.figures)) != len(self.figures):
            raise DesignError("figures", self.figures, Message("want.each_once_bending_axial_twist_ring"))
        if self.figures[:1] not in (("bending",), ("axial",)):
            raise DesignError("figures", self.figures, Message("want.bending_or_axial_first"))
        refuse_unknown(self)

    def _refuse_empty(self) -> None:
        if not self.plies:
            raise DesignError("plies", Message("given.none"), Message("want.at_least_one_ply_at_one"))
        if len(self.plies) > _MOST_OPTIONS:
            raise DesignError("plies", len(self.plies), Message("want.at_most", most_options=_MOST_OPTIONS))
        if not 1 <= self.most <= _MOST_PLIES:
            raise DesignError("most", self.most, Message("want.from_1_plies", most_plies=_MOST_PLIES))
        if not self.inner:
            raise DesignError(
                "rules.hoop_inside", Message("given.no_hoop_ply_among_options"), Message("want.ply_at_90_degrees_or_no")
            )
        if not self.outer:
            raise DesignError(
                "rules.hoop_outside, rules.woven_skin",
                Message("given.no_such_ply_among_options"),
                Message("want.ply_that_can_be_skin_or"),
            )
        if self.thickest < self.rules.least_wall:
            raise DesignError(
                "rules.least_wall",
                self.rules.least_wall,
                Message("want.at_most_thickest_that_plies_make", thickest=self.thickest, most=self.most),
            )
        if min(o.thickness for o in self.plies) > self.rules.most_wall:
            raise DesignError("rules.most_wall", self.rules.most_wall, Message("want.at_least_thinnest_ply"))

    @property
    def is_framed(self) -> bool:
        """Whether the rules say something of the innermost or outermost ply."""
        return self.rules.hoop_inside or self.rules.hoop_outside or self.rules.woven_skin

    @property
    def inner(self) -> tuple[int, ...]:
        """Options that may lie innermost."""
        return tuple(k for k, o in enumerate(self.plies) if o.is_hoop or not self.rules.hoop_inside)

    @property
    def outer(self) -> tuple[int, ...]:
        """Options that may lie outermost."""
        return tuple(
            k
            for k, o in enumerate(self.plies)
            if (o.is_hoop or not self.rules.hoop_outside) and (o.ply.is_woven or not self.rules.woven_skin)
        )

    @property
    def thickest(self) -> float:
        """[m] the thickest wall that `most` plies make."""
        return self.most * max(o.thickness for o in self.plies)

    def stack(self, recipe: tuple[int, ...]) -> Stack:
        """The wall of a recipe: option numbers from the bore outward."""
        return Stack(tuple(w for k in recipe for w in self.plies[k].stack_plies))
