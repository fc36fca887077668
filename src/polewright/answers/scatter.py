"""What the hundredth pole will be like: bands of every figure, chances of a miss, an order, and what matters most."""

from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass

from polewright.answers.scatter_problem import BY_HAND, problem_of, promises_of, reaches_of
from polewright.answers.wishes import WISHES
from polewright.codes import Message
from polewright.conventions.confidence import CONFIDENCE
from polewright.documents.design import Design
from polewright.errors import DesignError
from polewright.scatter import (
    Chance,
    CopyFigure,
    Index,
    Miss,
    Plan,
    Problem,
    Sample,
    Sampled,
    Spread,
    Spreads,
    Watch,
    poles_to_make,
    sampled,
)
from polewright.units import si

__all__ = [
    "FigureBand",
    "InputSpread",
    "MatterShare",
    "OrderAnswer",
    "PromiseChance",
    "ScatterAnswer",
    "ScatterFigure",
    "scatter_answer",
]

JUDGED = ("wish.reach", "wish.closed", "wish.mass", "wish.carry", "wish.base_outside")  # by promises of the copies
LEAST_SHARE = 1e-4  # [-] of a figure's variance below which an input is not listed


@dataclass(frozen=True, slots=True)
class ScatterFigure:
    """One figure of every copy by its code: joint (from 1 at the tip) of a clearance; of a droop how far drawn out
    and the mass at the tip in all [kg].
    """

    kind: str
    joint: int = 0
    drawn: Message | None = None
    total: float = 0.0


@dataclass(frozen=True, slots=True)
class FigureBand:
    """One figure among all copies, SI: mean, standard deviation and the ends of the band, with what sampling leaves."""

    figure: ScatterFigure
    nominal: float
    mean: Sampled
    deviation: Sampled
    low: Sampled
    high: Sampled


@dataclass(frozen=True, slots=True)
class PromiseChance:
    """How often one promise is missed, or any of them (figure None); the chance [-] with its interval."""

    figure: ScatterFigure | None
    limit: float
    is_least: bool
    origin: str
    missed: int
    of: int
    chance: Chance


@dataclass(frozen=True, slots=True)
class OrderAnswer:
    """Poles to make for an order; None where no number would do. `alike` [-]: how far poles of a lot miss together.

    make: at the chance as seen; cautious: at the far end of its band; apart: if every pole had lots of its own.
    """

    order: int
    confidence: float
    passing: float
    alike: float
    make: int | None = None
    cautious: int | None = None
    apart: int | None = None


@dataclass(frozen=True, slots=True)
class MatterShare:
    """What one input gives of a figure's variance [-]: as a straight line sees it, by itself, with all it joins.

    between: "lots", "tubes", "joints" or "plies"; line is None where there are too few copies for one.
    """

    figure: ScatterFigure
    input: str
    between: str
    line: float | None
    first: Sampled
    total: Sampled


@dataclass(frozen=True, slots=True)
class InputSpread:
    """The spread taken for one input of a material, or of the whole pole ("")."""

    material: str
    spread: Spread


@dataclass(frozen=True, slots=True)
class ScatterAnswer:
    """What a sample of copies says of a design."""

    name: str
    design_hash: str
    poles: int
    seed: int
    replicates: int
    coverage: float
    figures: tuple[FigureBand, ...]
    promises: tuple[PromiseChance, ...]
    order: OrderAnswer
    matters: tuple[MatterShare, ...]
    spreads: tuple[InputSpread, ...]
    assumptions: tuple[Message, ...]


def scatter_answer(
    design: Design,
    *,
    plan: Plan,
    order: int,
    spreads: Spreads | None = None,
    on: Executor | None = None,
    watching: Callable[[str], Watch] | None = None,
) -> ScatterAnswer:
    """Everything the scatter says of a design.

    watching : gives for each step ("copies", "lots", "inputs") who is told of its progress and may stop it.

    Raises
    ------
    DocumentError : a design that cannot be built. DesignError, NotConverged, Stopped : as `sampled`.
    """
    if order < 1:
        raise DesignError("order", order, Message("want.at_least_one_pole"))
    problem, promises = problem_of(design, spreads), promises_of(design)
    known = _known(design, problem)
    sample = sampled(problem, plan, on=on, watch=_watch(watching, "copies"))
    missed = sample.misses(promises)
    smaller = Plan(max(64, plan.poles // 4), plan.seed)
    alike = (
        sample.lot_correlation(promises, smaller, on=on, watch=_watch(watching, "lots"))
        if promises and problem.inputs
        else 0.0
    )
    return ScatterAnswer(
        name=design.name,
        design_hash=design.content_hash(),
        poles=plan.size,
        seed=plan.seed,
        replicates=plan.replicates,
        coverage=CONFIDENCE,
        figures=tuple(
            FigureBand(known[f.name], float(nominal), f.mean, f.deviation, f.low, f.high)
            for f, nominal in zip(sample.spreads(), sample.nominal, strict=True)
        ),
        promises=tuple(_promise(m, known) for m in missed),
        order=_order(order, missed[-1], alike),
        matters=_matters(sample, known, smaller, on, _watch(watching, "inputs")),
        spreads=tuple(InputSpread(material, spread) for material, spread in problem.spreads),
        assumptions=_assumptions(design),
    )


def _watch(watching: Callable[[str], Watch] | None, step: str) -> Watch | None:
    return None if watching is None else watching(step)


def _known(design: Design, problem: Problem) -> dict[str, ScatterFigure]:
    """Every figure of the copies by its name."""
    reaches = {asked.reach.name: asked for asked in reaches_of(design)}

    def figure(of: CopyFigure) -> ScatterFigure:
        asked = reaches.get(of.reach)
        if asked is None:
            return ScatterFigure(of.kind, of.joint)
        return ScatterFigure(of.kind, drawn=asked.drawn, total=asked.total)

    return {of.name: figure(of) for of in problem.figures}


def _promise(miss: Miss, known: dict[str, ScatterFigure]) -> PromiseChance:
    promise = miss.promise
    if promise is None:
        return PromiseChance(None, 0.0, False, "", miss.missed, miss.of, miss.chance)
    figure = known[promise.figure]
    return PromiseChance(figure, promise.limit, promise.is_least, promise.origin, miss.missed, miss.of, miss.chance)


def _order(order: int, missed: Miss, alike: float) -> OrderAnswer:
    def make(missing: float, together: float) -> int | None:
        try:
            return poles_to_make(order, passing=1.0 - missing, alike=together)
        except DesignError:
            return None

    return OrderAnswer(
        order=order,
        confidence=CONFIDENCE,
        passing=1.0 - missed.chance.value,
        alike=alike,
        make=make(missed.chance.value, alike),
        cautious=make(missed.chance.high, alike),
        apart=make(missed.chance.value, 0.0),
    )


def _matters(
    sample: Sample, known: dict[str, ScatterFigure], plan: Plan, on: Executor | None, watch: Watch | None
) -> tuple[MatterShare, ...]:
    """Of the headline droop, the mass and the tightest joint, the larger shares first."""
    problem = sample.problem
    if not problem.inputs:
        return ()
    few = Sample(
        Problem(problem.build, problem.spreads, (problem.reaches[0],)),
        plan,
        sample.points[:0],
        sample.values[:0],
        sample.nominal[:0],
    )
    indices = few.sobol(plan, on=on, watch=watch)
    kinds = {f"{figure}.{among}": (str(figure), str(among)) for figure, among, _ in problem.grouped_inputs}
    rows: list[MatterShare] = []
    for name in _weighed(sample):
        lines = _line_shares(sample, name)
        own = sorted(indices[name], key=lambda i: -i.total.value)
        rows += [
            _matter(known[name], *kinds[i.group], lines.get(i.group), i) for i in own if i.total.value > LEAST_SHARE
        ]
    return tuple(rows)


def _weighed(sample: Sample) -> list[str]:
    """The names of the figures whose inputs are weighed."""
    problem = sample.problem
    rows = zip(problem.figures, sample.nominal, strict=True)
    joints = sorted((row for row in rows if row[0].kind == "clearance"), key=lambda row: float(row[1]))
    return [CopyFigure("droop", reach=problem.reaches[0].name).name, "mass", *(of.name for of, _ in joints[:1])]


def _line_shares(sample: Sample, name: str) -> dict[str, float]:
    if sample.plan.size < 2 * (sample.problem.inputs + 1):
        return {}
    return {share.group: share.share for share in sample.line_shares(name)[0]}


def _matter(figure: ScatterFigure, name: str, between: str, line: float | None, index: Index) -> MatterShare:
    return MatterShare(figure, name, between, line, index.first, index.total)


def _assumptions(design: Design) -> tuple[Message, ...]:
    unjudged = (wish for wish in WISHES if wish.code not in JUDGED and wish.limit(design.brief) is not None)
    unasked = tuple(Message(f"scatter.unjudged.{wish.code.removeprefix('wish.')}") for wish in unjudged)
    return (
        Message("scatter.assumes.lots"),
        Message("scatter.assumes.spreads"),
        Message("scatter.assumes.by_hand", allowance=si("allowance_mm", BY_HAND)),
        Message("scatter.assumes.theory"),
        *((Message("scatter.assumes.unjudged", figures=unasked),) if unasked else ()),
    )
