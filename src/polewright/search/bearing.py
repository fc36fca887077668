"""What a wall must bear: strength, squeeze and clamp, each by the wall room's own functions."""

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

import numpy as np

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.ply import Strength
from polewright.wall.clamp import clamp_window
from polewright.wall.criteria import Criterion
from polewright.wall.cylinder import exact_tube
from polewright.wall.failure import exact_stress
from polewright.wall.flattening import oval_moment_limit
from polewright.wall.limits import bending_limits
from polewright.wall.report import Hold
from polewright.wall.squeeze import fist_squeeze, plates_squeeze, point_squeeze
from polewright.wall.stack import Stack, Wall
from polewright.wall.through import TubeLoads

if TYPE_CHECKING:
    from polewright.search.options import Options

__all__ = ["BEARINGS", "Bears", "first_short", "refuse_unknown"]

BEARINGS = (
    "fibre failure",
    "flattening",
    "wrinkling",
    "squeeze between plates",
    "squeeze by a hand",
    "squeeze by pads",
    "clamp band",
)


@dataclass(frozen=True, slots=True)
class Bears:
    """What every wall of a search must bear; a figure at zero is off.

    moment [N m] : fibre failure, flattening and wrinkling (knock-down in) of the wall must all lie above it.
    plates, fist, pad [N] : force on each side at the first ply failure of a ring between plates, in a hand, between
    two pads; sizes by `hold`. band [N] : tension that the clamp band of `hold` is drawn to and must not crush;
    spares_tip : the tip section carries no clamp and need not bear the band.
    strengths : "design" values or "lab" means; a clamp goes by lab means where there are no design values. rise [K] :
    cool-down whose cure stresses the clamp counts, zero or negative; the rest counts none. criterion : by which a ply
    fails.
    """

    moment: float = 0.0
    plates: float = 0.0
    fist: float = 0.0
    pad: float = 0.0
    band: float = 0.0
    hold: Hold = field(default_factory=Hold)
    strengths: Literal["design", "lab"] = "design"
    spares_tip: bool = False
    criterion: Criterion = "hashin"
    rise: float = 0.0

    def __post_init__(self) -> None:
        for name in ("moment", "plates", "fist", "pad", "band"):
            value = getattr(self, name)
            if not (np.isfinite(value) and value >= 0.0):
                raise DesignError(f"bears.{name}", value, Message("want.finite_load_zero_or_more"))
        if self.strengths not in ("design", "lab"):
            raise DesignError("bears.strengths", self.strengths, Message("want.design_or_lab"))

    @property
    def asks(self) -> bool:
        """Whether anything is on."""
        return self.band > 0.0 or self.needs_strength

    @property
    def needs_strength(self) -> bool:
        """Whether some figure that is on is a matter of the plies' strength."""
        return max(self.moment, self.plates, self.fist, self.pad) > 0.0

    def strength_of(self, stack: Stack) -> Strength | None:
        """(n_layer,) the strengths that count; None where any ply's is unknown."""
        return stack.design_strength() if self.strengths == "design" else stack.strength()


def refuse_unknown(options: "Options") -> None:
    """Raise DesignError where a ply whose strength is not known would have to bear something."""
    bears = options.bears
    if bears is None or not bears.needs_strength:
        return
    for k, option in enumerate(options.plies):
        if bears.strength_of(options.stack((k,))) is None:
            raise DesignError(
                f"{option.ply.name}.strength",
                Message("given.no_values", strengths=bears.strengths),
                Message("want.strengths_this_ply_or_no_moment"),
            )


def first_short(options: "Options", recipe: tuple[int, ...]) -> int:
    """The first of BEARINGS (its number) that a wall does not bear, -1 if it bears all; cheap figures first."""
    bears, stack = options.bears, options.stack(recipe)
    if bears is None:
        return -1
    wall = stack.wall(options.bore)
    if bears.band > 0.0 and _clamped(bears, wall, stack) < bears.band:
        return BEARINGS.index("clamp band")
    if not bears.needs_strength:
        return -1
    if bears.moment > 0.0 and float(oval_moment_limit(wall)) < bears.moment:
        return BEARINGS.index("flattening")
    strength = bears.strength_of(stack)
    if bears.moment > 0.0:
        found = bending_limits(wall, strength, criterion=bears.criterion)
        short = [limit.name for limit in found.limits if float(limit.load) < bears.moment]
        if short:
            return BEARINGS.index({"fibre_failure": "fibre failure"}.get(short[0], short[0]))
    return _squeezed(bears, wall, strength)


def _clamped(bears: Bears, wall: Wall, stack: Stack) -> float:
    """[N] band tension at which the wall ends, cure stress in."""
    strength = bears.strength_of(stack) or stack.strength()
    cure = exact_stress(exact_tube(wall), TubeLoads(rise=bears.rise), clock=(0.0,)) if bears.rise else 0.0
    hold = bears.hold
    window = clamp_window(wall, hold.band, need=hold.need, strength=strength, cure=cure, criterion=bears.criterion)
    return float(window.most)


def _squeezed(bears: Bears, wall: Wall, strength: Strength | None) -> int:
    hold, by = bears.hold, bears.criterion
    assert strength is not None
    if bears.plates > 0.0 and plates_squeeze(wall, strength, length=hold.ring, criterion=by).force < bears.plates:
        return BEARINGS.index("squeeze between plates")
    if bears.fist > 0.0 and fist_squeeze(wall, strength, length=hold.fist, criterion=by).force < bears.fist:
        return BEARINGS.index("squeeze by a hand")
    if bears.pad > 0.0 and point_squeeze(wall, strength, pad=hold.pad, criterion=by).force < bears.pad:
        return BEARINGS.index("squeeze by pads")
    return -1
