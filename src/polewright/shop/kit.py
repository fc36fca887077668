"""The kit of one section: every flag in rolling order, cut to fit the roll, numbered and labelled."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from string import ascii_lowercase

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.conventions.rounding import whole_turns
from polewright.errors import DesignError
from polewright.materials.ply import Ply
from polewright.shop.flag import Flag
from polewright.shop.joints import JointRules, joint_spans, piece_outlines, spread_joints
from polewright.wall.stack import Stack, StackPly

__all__ = ["CutRules", "Kit", "KitFlag", "Piece", "rolled_flags", "section_kit", "with_split"]

SAME_PLACE = 1e-9  # [m] corners nearer than that are one


@dataclass(frozen=True, slots=True)
class CutRules:
    """How this workshop cuts.

    overlap [m] of every seam; trim [m] added to the section's length, half at each end; roll_width [m] that can be
    used, with `roll_widths` by material name where it differs; stagger [m] between joints of neighbouring split
    flags; zones: (from, to) [m] along the finished section from its butt where no joint may lie.
    """

    overlap: float = 0.006
    trim: float = 0.070
    roll_width: float = 0.990
    roll_widths: Mapping[str, float] = field(default_factory=dict)
    stagger: float = 0.150
    zones: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        for name in ("overlap", "trim"):
            if not (np.isfinite(getattr(self, name)) and getattr(self, name) >= 0.0):
                raise DesignError(f"cut.{name}", getattr(self, name), Message("want.zero_or_more"))

    def width_for(self, material: str) -> float:
        """[m] usable roll width of a material."""
        return self.roll_widths.get(material, self.roll_width)

    @property
    def joint_rules(self) -> JointRules:
        """The rules for joints, with the zones moved to the untrimmed flag."""
        half = self.trim / 2.0
        return JointRules(self.stagger, tuple((a + half, b + half) for a, b in self.zones))


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """One piece of prepreg to cut: label as written on its backing film, outline (n, 2) [m] in flag coordinates."""

    label: str
    outline: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("outline",))

    @property
    def area(self) -> float:
        """[m2] by the shoelace formula."""
        x, y = self.outline.T
        return float(abs(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2.0)

    @property
    def length(self) -> float:
        """[m] along the tube, from the end nearest the butt to the end nearest the tip."""
        return float(np.ptp(self.outline[:, 0]))

    @property
    def end_widths(self) -> tuple[float, float]:
        """[m] round the tube at its own butt end and at its own tip end; 0 at an end that is a corner."""
        x, y = self.outline.T
        butt, tip = (y[np.abs(x - end) < SAME_PLACE] for end in (x.min(), x.max()))
        return float(np.ptp(butt)), float(np.ptp(tip))


@dataclass(frozen=True, slots=True, eq=False)
class KitFlag:
    """One flag of a kit.

    number: place in the rolling order, 1 at the bore; partner: number of the flag of the opposite angle that is laid
    on this one before rolling, if any; joints (n, 2) [m] along the untrimmed flag from its butt.
    """

    number: int
    ply: Ply
    flag: Flag
    pieces: tuple[Piece, ...]
    joints: FloatArray
    partner: int | None = None

    def __post_init__(self) -> None:
        freeze(self, ("joints",))

    @property
    def mass(self) -> float:
        """[kg] of prepreg, backing film not counted."""
        return self.flag.area * self.ply.area_mass


@dataclass(frozen=True, slots=True, eq=False)
class Kit:
    """All flags of one section, in rolling order; `notes` are cutting rules that could not be kept."""

    section: str
    length: float
    trim: float
    flags: tuple[KitFlag, ...]
    notes: tuple[Message, ...] = ()

    @property
    def mass(self) -> float:
        """[kg] of all prepreg without backing films."""
        return sum(f.mass for f in self.flags)

    @property
    def films(self) -> int:
        """[-] backing films to be counted out: one a piece."""
        return sum(len(f.pieces) for f in self.flags)


def section_kit(
    stack: Stack,
    bore_butt: float,
    bore_tip: float,
    length: float,
    *,
    rules: CutRules | None = None,
    section: str = "S1",
) -> Kit:
    """Every flag of one section, bore outward, each on the diameter that is already rolled.

    Flags are longer than the section by the trim; on a taper their diameters go on beyond the section's ends. A flag
    too wide for the roll round the tube is rolled as several of fewer turns, one too wide along it is cut in pieces
    joined along the fibre.

    Parameters
    ----------
    stack : plies from the bore outward.
    bore_butt, bore_tip : [m] bore at the two ends of the finished section.
    length : [m] of the finished section.
    section : name that opens every label.

    Raises
    ------
    DesignError : a size is not positive, or one turn is wider than the roll.
    """
    rules = rules or CutRules()
    if not (np.isfinite(length) and length > 0.0):
        raise DesignError("length", length, Message("want.length_above_zero"))
    flags = rolled_flags(stack, bore_butt, bore_tip, length, rules)
    widths = [rules.width_for(stack_ply.ply.name) for stack_ply, _ in flags]
    joints = spread_joints([flag for _, flag in flags], widths, rules.joint_rules)
    partners = _partners([stack_ply for stack_ply, _ in flags])
    kit = tuple(
        _kit_flag(section, number, stack_ply, flag, own, partners.get(number))
        for number, ((stack_ply, flag), own) in enumerate(zip(flags, joints.cuts, strict=True), start=1)
    )
    return Kit(section=section, length=length, trim=rules.trim, flags=kit, notes=joints.faults)


def with_split(stack: Stack, index: int, turns: float) -> Stack:
    """The same wall with one ply rolled as two flags, `turns` [-] first, the rest after; index [-] from the bore."""
    stack_ply = stack.plies[index]
    if not 0.0 < turns < stack_ply.turns:
        raise DesignError("turns", turns, Message("want.turns_below", turns=stack_ply.turns))
    parts = (replace(stack_ply, turns=turns), replace(stack_ply, turns=stack_ply.turns - turns))
    return Stack(stack.plies[:index] + parts + stack.plies[index + 1 :])


def rolled_flags(
    stack: Stack, bore_butt: float, bore_tip: float, length: float, rules: CutRules
) -> list[tuple[StackPly, Flag]]:
    """Every flag of a section in rolling order with the ply it makes, before it is cut in pieces; units as a kit."""
    slope = (bore_tip - bore_butt) / length
    butt, tip = bore_butt - slope * rules.trim / 2.0, bore_tip + slope * rules.trim / 2.0
    out: list[tuple[StackPly, Flag]] = []
    for stack_ply in stack.plies:
        width = rules.width_for(stack_ply.ply.name)
        for flag in _rolled(stack_ply, butt, tip, length + rules.trim, rules.overlap, width):
            out.append((replace(stack_ply, turns=flag.turns), flag))
            butt, tip = flag.wound_butt, flag.wound_tip
    return out


def _rolled(stack_ply: StackPly, butt: float, tip: float, length: float, overlap: float, width: float) -> list[Flag]:
    """The flags of one ply, as few as the roll's width allows round the tube."""
    for count in range(1, int(np.ceil(stack_ply.turns)) + 1):
        flags, at = [], (butt, tip)
        for turns in _shares(stack_ply.turns, count):
            flag = Flag(at[0], at[1], stack_ply.ply.thickness, turns, stack_ply.angle, length, overlap)
            flags.append(flag)
            at = (flag.wound_butt, flag.wound_tip)
        if all(_fits(f, width) for f in flags):
            return flags
    if all(_round_the_tube(f) <= width for f in flags):
        return flags
    raise DesignError(
        f"{stack_ply.ply.name}.roll_width",
        Message("given.length", length=width),
        Message("want.roll_width_of_turn", least=max(map(_round_the_tube, flags))),
    )


def _round_the_tube(flag: Flag) -> float:
    """[m] of the roll's width that the flag's width round the tube takes up by itself."""
    return max(flag.width_butt, flag.width_tip) * float(np.cos(flag.angle))


def _fits(flag: Flag, width: float) -> bool:
    """Whether the flag comes off the roll whole, or in pieces whose joints run along less than half of it."""
    steep = _round_the_tube(flag) <= abs(float(np.sin(flag.angle))) * flag.length / 2.0
    return flag.across_fibre <= width or (_round_the_tube(flag) <= width and steep)


def _shares(turns: float, count: int) -> list[float]:
    """Turns shared out in whole turns, the fuller flags last; a part turn goes with the last."""
    whole = whole_turns(turns)
    if count > whole:
        return [turns / count] * count
    shares = [whole // count + (1 if k >= count - whole % count else 0) for k in range(count)]
    return [*map(float, shares[:-1]), shares[-1] + turns - whole]


def _partners(plies: list[StackPly]) -> dict[int, int]:
    """Flags of one turn at opposite angles, one after the other: laid on each other and rolled as one."""
    out: dict[int, int] = {}
    for number in range(1, len(plies)):
        a, b = plies[number - 1], plies[number]
        one_turn = abs(a.turns - 1.0) < 1e-9 and abs(b.turns - 1.0) < 1e-9
        opposite = abs(a.angle + b.angle) < 1e-9 and 1e-9 < abs(a.angle) < np.pi / 2 - 1e-9
        if one_turn and opposite and a.ply.name == b.ply.name and number not in out:
            out[number], out[number + 1] = number + 1, number
    return out


def _kit_flag(
    section: str, number: int, stack_ply: StackPly, flag: Flag, cuts: tuple[float, ...], partner: int | None
) -> KitFlag:
    outlines = piece_outlines(flag, cuts)
    letters = [""] if len(outlines) == 1 else [_letter(i) for i in range(len(outlines))]
    pieces = tuple(
        Piece(f"{section}-{number}{letter}", outline) for letter, outline in zip(letters, outlines, strict=True)
    )
    return KitFlag(number, stack_ply.ply, flag, pieces, joint_spans(flag, cuts), partner)


def _letter(index: int) -> str:
    return ascii_lowercase[index] if index < 26 else f"{ascii_lowercase[index // 26 - 1]}{ascii_lowercase[index % 26]}"
