"""What probably happened to a tube: how mass, outside diameter, bending and ring stiffness are off, taken together.

Each fault has its signature, computed from the tube's own stack; no single figure shows them all.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Literal

import numpy as np

from polewright.bench.uncertainty import Estimate
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.ply import Elastic, Ply
from polewright.wall.membrane import tube_stiffness
from polewright.wall.ring import ring_stiffness
from polewright.wall.stack import Stack, StackPly

__all__ = ["AS_DESIGNED", "MEASURES", "Cause", "Diagnosis", "Signature", "likely_causes", "signatures"]

Measure = Literal["mass", "outside", "bending", "ring"]
Verdict = Literal["likely", "cannot_tell", "none"]

MEASURES: tuple[Measure, ...] = ("mass", "outside", "bending", "ring")
AS_DESIGNED = Message("bench.cause.as_designed")
IMPLAUSIBLE = 0.01  # [-] a cause that would fit this badly or worse in fewer cases is no explanation
SPOKEN_FOR = 0.05  # [-] causes less likely than this beside the others are left out of the sentence
MOST_SPOKEN = 4  # explanations; more than these are no explanation
HEAVIER = 0.02  # [-] areal weight too high
EPOXY = 1220.0  # [kg/m3] cured resin
EPOXY_STIFF = 3.2e9  # [Pa] cured resin along the fibre, beside which it lies


@dataclass(frozen=True, slots=True)
class Signature:
    """What a fault changes: mass [-], outside diameter [m], EI [-], ring stiffness [-], against the design."""

    cause: Message
    mass: float
    outside: float
    bending: float
    ring: float


@dataclass(frozen=True, slots=True)
class Cause:
    """One explanation: weight [-] beside the others (they add up to 1) and fit [-], the chance of a worse fit."""

    cause: Message
    weight: float
    fit: float


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """Explanations, likeliest first, with what a person is told of them.

    verdict: "likely", "cannot_tell" where too many explain it alike, "none" where nothing does; unseen: faults that
    would not show in what was measured; missing: measures that were not taken; told: one message a sentence.
    """

    causes: tuple[Cause, ...]
    verdict: Verdict
    unseen: tuple[Message, ...]
    missing: tuple[Measure, ...]
    told: tuple[Message, ...]


def _figures(stack: Stack, bore: float) -> tuple[float, float, float, float]:
    """Mass per length [kg/m], outside diameter [m], EI [N m2], ring stiffness [N/m per m]."""
    wall = stack.wall(bore)
    return (
        float(wall.mass_per_length),
        float(wall.outside),
        float(tube_stiffness(wall).bending),
        float(ring_stiffness(wall).between_plates_soft),
    )


def _fewer_turns(stack: Stack, place: int) -> Stack:
    plies = list(stack.plies)
    left = plies[place].turns - 1.0
    plies[place : place + 1] = [replace(plies[place], turns=left)] if left > 1e-9 else []
    return Stack(tuple(plies))


def _richer(ply: Ply, resin_content: float, points: float) -> Ply:
    """More resin of the same fibre: thicker, heavier; along the tube the fibre's stiffness and the added resin's."""
    mass = ply.area_mass * (1.0 - resin_content) / (1.0 - resin_content - points)
    thickness = ply.thickness + (mass - ply.area_mass) / EPOXY
    names = ("E2", "E3", "G12", "G13", "G23", "nu12", "nu13", "nu23", "alpha1", "alpha2", "alpha3")
    same = {name: getattr(ply.elastic, name) for name in names}
    density = (ply.elastic.density * ply.thickness + mass - ply.area_mass) / thickness
    along = (ply.elastic.E1 * ply.thickness + EPOXY_STIFF * (thickness - ply.thickness)) / thickness
    elastic = Elastic(E1=along, density=np.asarray(density), **same)
    return replace(ply, thickness=thickness, area_mass=mass, elastic=elastic)


def _heavier(ply: Ply, share: float) -> Ply:
    return replace(ply, thickness=ply.thickness * (1.0 + share), area_mass=ply.area_mass * (1.0 + share))


def _faulty(stack: Stack, resin_content: float | None) -> list[tuple[Message, Stack]]:
    """Every fault looked for, and the stack it leaves."""
    axial = _axial_faults(stack, resin_content) if any(w.angle_class == "axial" for w in stack.plies) else []
    if sum(w.turns for w in stack.plies) <= 1.0:
        return axial
    return axial + [
        (_turn_missing(stack, place, stack_ply), _fewer_turns(stack, place))
        for place, stack_ply in enumerate(stack.plies)
        if stack_ply.turns >= 1.0
    ]


def _axial_faults(stack: Stack, resin_content: float | None) -> list[tuple[Message, Stack]]:
    def axial(change: Callable[[StackPly], StackPly]) -> Stack:
        return Stack(tuple(change(w) if w.angle_class == "axial" else w for w in stack.plies))

    heavier = axial(lambda w: replace(w, ply=_heavier(w.ply, HEAVIER)))
    found = [(Message("bench.cause.heavier", share=HEAVIER), heavier)]
    for degrees in (2.0, 3.0, 5.0):
        off = float(np.deg2rad(degrees))
        found.append((Message("bench.cause.cut_off_angle", off=off), axial(partial(_cut_off, off=off))))
    if resin_content is not None:
        for points in (-2, -1, 1, 2):
            cause = Message(f"bench.cause.resin.{'more' if points > 0 else 'less'}", points=abs(points))
            found.append((cause, axial(partial(_resin_rich, resin_content=resin_content, points=points / 100.0))))
    return found


def _cut_off(stack_ply: StackPly, off: float) -> StackPly:
    return replace(stack_ply, angle=stack_ply.angle + off)


def _resin_rich(stack_ply: StackPly, resin_content: float, points: float) -> StackPly:
    return replace(stack_ply, ply=_richer(stack_ply.ply, resin_content, points))


def _turn_missing(stack: Stack, place: int, stack_ply: StackPly) -> Message:
    where = "innermost" if place == 0 else "outermost" if place == len(stack.plies) - 1 else "inside"
    return Message(
        f"bench.cause.turn_missing.{where}",
        ply=place + 1,
        angle_class=stack_ply.angle_class,
        material=stack_ply.ply.name,
    )


def signatures(stack: Stack, bore: float, *, resin_content: float | None = None) -> tuple[Signature, ...]:
    """What each likely fault would change on this tube, by the thin-wall tier.

    Faults: a turn missing of every ply in turn, areal weight 2 % high, axial flags cut 2, 3 and 5 degrees off (all
    the same way), and, with the resin content known, one and two points more or less resin in the axial plies.

    Parameters
    ----------
    stack : as designed, from the bore outward; bore [m] diameter.
    resin_content : [-] resin share by weight of the axial plies; None leaves resin faults out.

    Raises
    ------
    DesignError : an impossible resin content or bore.

    Source
    ------
    `tube_stiffness` and `ring_stiffness` of the faulty stack against the designed one.
    """
    if resin_content is not None and not (0.03 < resin_content < 0.9):
        raise DesignError(
            "resin_content", resin_content, Message("want.resin_share", least=0.03, most=0.9, example=0.34)
        )
    mass, outside, bending, ring = _figures(stack, bore)
    out = []
    for cause, faulty in _faulty(stack, resin_content):
        m, d, b, r = _figures(faulty, bore)
        out.append(Signature(cause, m / mass - 1.0, d - outside, b / bending - 1.0, r / ring - 1.0))
    return tuple(out)


def _distance(found: Mapping[str, Estimate], signature: Signature) -> float:
    return float(sum(((x.value - getattr(signature, name)) / x.standard) ** 2 for name, x in found.items()))


def likely_causes(found: Mapping[str, Estimate], known: Sequence[Signature]) -> Diagnosis:
    """Which faults explain what was found, each taken as alike likely beforehand; one fault at a time.

    Parameters
    ----------
    found : of "mass" [-], "outside" [m], "bending" [-], "ring" [-], those that were measured: the deviation from
        the design with its standard uncertainty, in which the ordinary scatter of good tubes belongs.
    known : signatures of this tube, from `signatures`.

    Raises
    ------
    DesignError : nothing measured, an unknown measure, or no uncertainty given.

    Source
    ------
    Normal likelihoods: weight proportional to exp(-chi^2/2); fit by the chi-squared distribution.
    """
    for name, x in found.items():
        if name not in MEASURES:
            raise DesignError("found", name, Message("want.one", choices=tuple(MEASURES)))
        if x.standard <= 0.0:
            raise DesignError(f"found.{name}", x.standard, Message("want.standard_uncertainty_above_zero"))
    if not found:
        raise DesignError("found", Message("given.nothing"), Message("want.at_least_one_of", choices=tuple(MEASURES)))
    from scipy.special import chdtrc  # 14 MB and a tenth of a second: only who asks pays

    nominal = Signature(AS_DESIGNED, 0.0, 0.0, 0.0, 0.0)
    every = [nominal, *known]
    distance = np.array([_distance(found, s) for s in every])
    weight = np.exp(-(distance - distance.min()) / 2.0)
    weight /= weight.sum()
    causes = tuple(
        sorted(
            (
                Cause(s.cause, float(w), float(chdtrc(len(found), d)))
                for s, w, d in zip(every, weight, distance, strict=True)
            ),
            key=lambda c: -c.weight,
        )
    )
    unseen = tuple(s.cause for s in known if all(abs(getattr(s, name)) < 2.0 * x.standard for name, x in found.items()))
    return _diagnosis(causes, unseen, tuple(name for name in MEASURES if name not in found))


def _diagnosis(causes: tuple[Cause, ...], unseen: tuple[Message, ...], missing: tuple[Measure, ...]) -> Diagnosis:
    likely = [c for c in causes if c.weight > SPOKEN_FOR]
    told = []
    verdict: Verdict = "likely"
    if max(c.fit for c in causes) < IMPLAUSIBLE:
        verdict = "none"
        told.append(Message("bench.diagnosis.none"))
    elif len(likely) > MOST_SPOKEN:
        verdict = "cannot_tell"
        told.append(Message("bench.diagnosis.cannot_tell", count=len(likely), first=causes[0].cause))
    else:
        each = tuple(Message("bench.diagnosis.cause", cause=c.cause, weight=c.weight) for c in likely)
        told.append(Message("bench.diagnosis.likely", causes=each))
    if unseen and verdict != "none":
        told.append(Message("bench.diagnosis.unseen", causes=unseen))
    if missing:
        told.append(Message("bench.diagnosis.missing", measures=missing))
    return Diagnosis(causes, verdict, unseen, missing, tuple(told))
