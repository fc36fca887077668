"""What the workshop may roll: plies at angles, how many, on which bore, in which order, under which rules."""

from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from polewright.errors import DesignError
from polewright.materials.ply import Ply
from polewright.search.bearing import Bears, refuse_unknown
from polewright.wall.stack import Stack, Wrap

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
            raise DesignError(f"{self.ply.name}.angle", self.angle, "from -90 to 90 degrees from the tube axis")

    @property
    def wraps(self) -> tuple[Wrap, ...]:
        """One turn, or the two of a balanced pair, from the bore outward."""
        first = Wrap(self.ply, self.angle)
        return (first, Wrap(self.ply, -self.angle)) if self.is_pair else (first,)

    @property
    def thickness(self) -> float:
        """[m] cured thickness that it adds to the wall."""
        return self.ply.thickness * len(self.wraps)

    @property
    def is_hoop(self) -> bool:
        """Whether its fibres hold the tube round: hoop, or a weave, which has fibres both ways."""
        return self.wraps[0].goes_round


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
                raise DesignError(f"rules.{name}", value, "zero or more")
        if self.least_wall > self.most_wall:
            raise DesignError(
                "rules.least_wall",
                self.least_wall,
                f"at most the thickest wall allowed, {self.most_wall}: the two rules contradict",
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
            raise DesignError("bore", self.bore, "a diameter above zero")
        if self.order not in ("any", "listed"):
            raise DesignError("order", self.order, '"any" or "listed"')
        if not 0.0 < self.utilisation <= 1.0:
            raise DesignError("utilisation", self.utilisation, "above 0 and at most 1")
        if not 1 <= self.digits <= 12:
            raise DesignError("digits", self.digits, "from 1 to 12")
        wrong = [f for f in self.figures if f not in (*GAINS, "mass", "cost")]
        if wrong or len(set(self.figures)) != len(self.figures):
            raise DesignError("figures", self.figures, "each once, of bending, axial, twist, ring, mass and cost")
        if self.figures[:1] not in (("bending",), ("axial",)):
            raise DesignError("figures", self.figures, "bending or axial first")
        refuse_unknown(self)

    def _refuse_empty(self) -> None:
        if not self.plies:
            raise DesignError("plies", "none", "at least one ply at one angle; tick one on the shelf")
        if len(self.plies) > _MOST_OPTIONS:
            raise DesignError("plies", len(self.plies), f"at most {_MOST_OPTIONS}")
        if not 1 <= self.most <= _MOST_PLIES:
            raise DesignError("most", self.most, f"from 1 to {_MOST_PLIES} plies")
        if not self.inner:
            raise DesignError("rules.hoop_inside", "no hoop ply among the options", "a ply at 90 degrees, or no rule")
        if not self.outer:
            raise DesignError(
                "rules.hoop_outside, rules.woven_skin",
                "no such ply among the options",
                "a ply that can be the skin, or no rule",
            )
        if self.thickest < self.rules.least_wall:
            raise DesignError(
                "rules.least_wall",
                self.rules.least_wall,
                f"at most {self.thickest}, the thickest that {self.most} plies make",
            )
        if min(o.thickness for o in self.plies) > self.rules.most_wall:
            raise DesignError("rules.most_wall", self.rules.most_wall, "at least the thinnest ply")

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
        return Stack(tuple(w for k in recipe for w in self.plies[k].wraps))
