"""A design into the pole that is scattered, and what the scatter says as a document."""

import math
from collections.abc import Mapping
from concurrent.futures import Executor
from dataclasses import replace
from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from polewright.documents.design import Design, OwnSpread
from polewright.documents.document import Document, Part
from polewright.documents.files import DocumentError, Fault
from polewright.documents.material import Material
from polewright.documents.pole_figures import headline_total, reach_name
from polewright.documents.shelf import ply_record
from polewright.documents.values import Workpiece, workpiece
from polewright.errors import DesignError
from polewright.pole.section import Section
from polewright.pole.state import Bench
from polewright.scatter import (
    FIGURES,
    Build,
    Content,
    FigureSpread,
    Index,
    Miss,
    Nest,
    Plan,
    Problem,
    Promise,
    Reach,
    Rolled,
    Sample,
    Spread,
    Spreads,
    Watch,
    default_spreads,
    poles_to_make,
    sampled,
    spread_of_tests,
)
from polewright.units import from_, si, to
from polewright.wall.seam import seam_variation

__all__ = [
    "InputSpread",
    "MatterRow",
    "OrderFigures",
    "PromiseFigures",
    "ScatterReport",
    "ScatteredFigure",
    "problem_of",
    "promises_of",
    "scatter_report",
    "spreads_of",
]

Number = Annotated[float, Field(allow_inf_nan=False)]
BY_HAND = 5.0  # [mm] no hand draws a pole out closer than this: reach and closed length are judged so
STATIONS = 5


class ScatteredFigure(Part):
    """One figure among all copies; `.._pm` is what the sampling leaves open, at 95 %."""

    name: str
    unit: str
    nominal: Number
    mean: Number
    mean_pm: Number
    sd: Number
    sd_pm: Number
    low: Number
    low_pm: Number
    high: Number
    high_pm: Number


class PromiseFigures(Part):
    """How often one promise is missed, or any of them; the band holds the true chance in 95 of 100 cases."""

    says: str
    figure: str = ""
    limit: Number | None = None
    unit: str = ""
    missed: int
    of: int
    chance_pct: Number
    chance_low_pct: Number
    chance_high_pct: Number


class OrderFigures(Part):
    """Poles to make for an order; None where no number would do. `lots_alike` is how far poles of a lot miss together.

    to_make: at the chance as seen; to_make_cautious: at the far end of its band; to_make_apart: if every pole had lots
    of its own.
    """

    order: int
    confidence_pct: Number
    passing_pct: Number
    lots_alike: Number
    to_make: int | None = None
    to_make_cautious: int | None = None
    to_make_apart: int | None = None


class MatterRow(Part):
    """What one input gives of a figure's variance: as a straight line sees it, by itself, and with all it joins."""

    figure: str
    input: str
    line_pct: Number | None = None
    first_pct: Number
    first_pm_pct: Number
    total_pct: Number
    total_pm_pct: Number


class InputSpread(Part):
    """The spread taken for one input: standard deviations between lots, tubes (or joints) and plies."""

    input: str
    material: str = ""
    unit: str
    lots: Number
    tubes: Number
    plies: Number
    shape: Literal["normal", "lognormal", "uniform", "truncated"]
    source: str
    confidence: str


class ScatterReport(Document):
    """What the hundredth pole will be like."""

    document: Literal["scatter-report"] = "scatter-report"
    name: str
    design_hash: str
    poles: int
    seed: int
    replicates: int
    coverage_pct: Number
    figures: tuple[ScatteredFigure, ...]
    promises: tuple[PromiseFigures, ...]
    order: OrderFigures
    matters: tuple[MatterRow, ...]
    spreads: tuple[InputSpread, ...]
    assumptions: tuple[str, ...]


def problem_of(design: Design, spreads: Spreads | None = None) -> Problem:
    """The design as the scatter sees it, with the spreads given or those of `spreads_of`.

    Raises
    ------
    DocumentError : a design that cannot be built.
    """
    work = workpiece(design)
    return Problem(
        _build(design, work), spreads_of(design) if spreads is None else spreads, tuple(r for r, _ in _reaches(design))
    )


def spreads_of(design: Design) -> Spreads:
    """The shipped spreads, that of the seams as this design's flags overlap, and the workshop's own in their place."""
    spreads = default_spreads().with_spread(_spine(design, workpiece(design)))
    for i, own in enumerate(design.setting.spreads):
        spreads = _with_own(spreads, own, f"setting.spreads[{i}]", {m.id for m in design.materials})
    return spreads


def _with_own(spreads: Spreads, own: OwnSpread, field: str, shelf: set[str]) -> Spreads:
    """The workshop's measurements in place of the table's; a table's spread at the other levels falls away."""
    kind = FIGURES[own.figure]
    if own.material and (own.material not in shelf or not kind.of_material):
        want = "one of " + ", ".join(sorted(shelf)) if kind.of_material else f"left out: {kind.words} has no material"
        raise DocumentError([Fault((f"{field}.material", repr(own.material), want))])
    unit = {"m": "mm", "rad": "°"}.get(kind.unit)
    values = [from_(v, unit) for v in own.values] if unit else list(own.values)
    try:
        spread, _ = spread_of_tests(own.figure, values, level=own.between)
    except DesignError as fault:
        raise DocumentError([Fault((f"{field}.values", "", fault.want))]) from fault
    said = replace(spread, source=f"{len(values)} measurements here" + (f": {own.note}" if own.note else ""))
    return spreads.with_spread(said, material=own.material)


def _build(design: Design, work: Workpiece) -> Build:
    count = 2 if all(s.is_straight for s in work.sections) else STATIONS
    nests = tuple(
        Nest(joint, closed=fit.closed, drawn=fit.drawn, ridge=fit.ridge)
        for joint, fit in zip(work.pole.joints, work.fits, strict=True)
    )
    contents = {m.id: found for m in design.materials if (found := _content(m)) is not None}
    return Build(tuple(_rolled(s, count) for s in work.sections), nests, tip_mass=work.pole.tip_mass, contents=contents)


def _rolled(section: Section, count: int) -> Rolled:
    bore = section.bores(np.linspace(0.0, section.length, count))
    if section.is_straight:
        bore = np.full(count, bore[0])
    return Rolled(section.stack, section.length, bore, section.coat)


def _content(material: Material) -> Content | None:
    """What the ply holds of resin, and how its stiffness across follows the content, by its own model."""
    known = ply_record(material).origins
    share = known.get("cured_resin_share", known.get("resin_share"))
    if share is None or not 0.0 < share.value < 1.0:
        return None
    resin = {name: known[f"resin.{name}"].value for name in ("density", "E") if f"resin.{name}" in known}
    return Content(share.value, resin.get("density", 1220.0), resin.get("E", si("E_GPa", 3.2)), _power(material))


def _power(material: Material) -> float:
    """Slope of ln E2 and ln G12 over ln Vf by the material's own micromechanics, nothing measured put in."""
    bare = material.model_copy(update={"given": ()})
    share = 100.0 * ply_record(bare).origins["resin_share"].value
    ends = [ply_record(bare.model_copy(update={"resin_content_pct": share + step})) for step in (-1.0, 1.0)]
    fibre = math.log(ends[1].origins["Vf"].value / ends[0].origins["Vf"].value)
    names = ("G12",) if ends[0].ply.is_woven else ("E2", "G12")
    slopes = [
        math.log(float(getattr(ends[1].ply.elastic, n)) / float(getattr(ends[0].ply.elastic, n))) / fibre for n in names
    ]
    return sum(slopes) / len(slopes)


def _spine(design: Design, work: Workpiece) -> Spread:
    """Seams of the axial flags, each at a clock place of its own and the tube drawn at any: EI in the plane of droop.

    One seam makes EI (1 + v/2 cos 2 clock), v its peak-to-peak variation; n of them at random sqrt(n) times as much.
    """
    variances = []
    for section in work.sections:
        turns = [w.turns for w in section.stack.wraps if w.angle_class == "axial"]
        around = math.pi * float(np.mean(section.bores(np.array([0.0, section.length]))))
        sweep = 2.0 * math.pi * min(si("seam_overlap_mm", design.setting.seam_overlap_mm) / around, 0.25)
        peak = float(seam_variation(sweep, plies=sum(turns))) if turns else 0.0
        variances.append(len(turns) * (peak / 2.0) ** 2 / 2.0)
    return Spread(
        "spine",
        tube=math.sqrt(sum(variances) / len(variances)),
        confidence="medium",
        source=f"seams overlap by {design.setting.seam_overlap_mm:g} mm at clock places taken as random",
    )


def _reaches(design: Design) -> list[tuple[Reach, tuple[Promise, ...]]]:
    """The headline first, own weight with its added droop, then the wishes of the brief that ask for more."""
    joints, support = len(design.joints), Bench(distance=si("prop_mm", design.setting.prop_mm))

    def reach(out: int, total: float, load: float) -> Reach:
        said = f"{reach_name(out, joints)}, {total:g} g at the tip"
        return Reach(
            said,
            tuple(float(i < out) for i in range(joints)),
            support=support,
            load=load,
            head=si("head_g", max(total - design.tip_fitting_g, 0.0)),
        )

    head, own = headline_total(design), design.tip_fitting_g
    asked = {(joints, head): [0.0, ()], (joints, own): [si("load_g", design.setting.test_load_g), ()]}
    for wish in design.brief.droop:
        key = (wish.out or joints, wish.tip_total_g)
        row = asked.setdefault(key, [0.0, ()])
        name = reach(*key, 0.0).name
        if wish.at_most_mm is not None:
            promised: tuple[Promise, ...] = (Promise(f"droop {name}", si("limit_mm", wish.at_most_mm), words="brief"),)
        else:
            row[0] = row[0] or si("load_g", 100.0)
            wanted = float(wish.wanted_mm_per_100g or 0.0)
            ends = [(sign, wanted * (1.0 + sign * wish.within_pct / 100.0)) for sign in (-1, 1)]
            promised = tuple(
                Promise(
                    f"added droop {name}", si("limit_mm", end) / si("load_g", 100.0), is_least=sign < 0, words="brief"
                )
                for sign, end in ends
            )
        row[1] = (*row[1], *promised)  # type: ignore[misc]
    return [(reach(*key, row[0]), row[1]) for key, row in asked.items()]  # type: ignore[arg-type,misc]


def promises_of(design: Design) -> tuple[Promise, ...]:
    """The brief's limits that a scatter can judge, and the workshop's least clearance at every joint."""
    brief, found = design.brief, []
    reach, closed = brief.reach_at_least_mm, brief.closed_at_most_mm
    limits = (
        ("length", None if reach is None else reach - BY_HAND, "mm", True),
        ("closed", None if closed is None else closed + BY_HAND, "mm", False),
        ("mass", brief.mass_at_most_g, "g", False),
        ("carry", brief.carry_at_most_kg_m, "kg_m", False),
        ("base outside", brief.base_outside_at_most_mm, "mm", False),
    )
    for figure, limit, unit, is_least in limits:
        if limit is not None:
            found.append(Promise(figure, si(f"limit_{unit}", limit), is_least, "brief"))
    found += [p for _, promised in _reaches(design) for p in promised]
    least = si("clearance_least_mm", design.setting.clearance_least_mm)
    found += [Promise(f"clearance S{j} in S{j + 1}", least, True, "fit") for j in range(1, len(design.joints) + 1)]
    return tuple(found)


def scatter_report(
    design: Design,
    *,
    plan: Plan,
    order: int,
    spreads: Spreads | None = None,
    on: Executor | None = None,
    watch: Watch | None = None,
) -> ScatterReport:
    """Everything the scatter says of a design.

    Raises
    ------
    DocumentError : a design that cannot be built. DesignError, NotConverged, Stopped : as `sampled`.
    """
    if order < 1:
        raise DesignError("order", order, "at least one pole")
    problem, promises = problem_of(design, spreads), promises_of(design)
    sample = sampled(problem, plan, on=on, watch=watch)
    missed = sample.misses(promises)
    smaller = Plan(max(64, plan.poles // 4), plan.seed)
    alike = sample.likeness(promises, smaller, on=on, watch=watch) if promises and problem.inputs else 0.0
    return ScatterReport(
        name=design.name,
        design_hash=design.content_hash(),
        poles=plan.size,
        seed=plan.seed,
        replicates=plan.replicates,
        coverage_pct=95.0,
        figures=tuple(_figure(f, float(n)) for f, n in zip(sample.spreads(), sample.nominal, strict=True)),
        promises=tuple(_promise(m) for m in missed),
        order=_order(order, missed[-1], alike),
        matters=_matters(sample, smaller, on, watch),
        spreads=tuple(_input(m, s) for m, s in problem.spreads),
        assumptions=_assumptions(design),
    )


def _unit(figure: str) -> tuple[str, float]:
    """The unit a figure is shown in, and what an SI one is multiplied by."""
    if figure.startswith("added droop"):
        return "mm per 100 g", to(si("load_g", 100.0), "mm")
    return ("g", to(1.0, "g")) if figure == "mass" else ("kg m", 1.0) if figure == "carry" else ("mm", to(1.0, "mm"))


def _figure(spread: FigureSpread, nominal: float) -> ScatteredFigure:
    unit, factor = _unit(spread.name)
    numbers: dict[str, float] = {}
    for name, number in (("mean", spread.mean), ("sd", spread.deviation), ("low", spread.low), ("high", spread.high)):
        numbers[name], numbers[f"{name}_pm"] = number.value * factor, number.half_width() * factor
    return ScatteredFigure(name=spread.name, unit=unit, nominal=nominal * factor, **numbers)


def _promise(miss: Miss) -> PromiseFigures:
    counted = {"missed": miss.missed, "of": miss.of}
    seen = miss.chance
    chances: Mapping[str, float] = {
        "chance_pct": to(seen.value, "%"),
        "chance_low_pct": to(seen.low, "%"),
        "chance_high_pct": to(seen.high, "%"),
    }
    promise = miss.promise
    if promise is None:
        return PromiseFigures(says="any of these", **counted, **chances)
    unit, factor = _unit(promise.figure)
    limit = promise.limit * factor
    says = f"{promise.figure} at {'least' if promise.is_least else 'most'} {limit:.4g} {unit}"
    return PromiseFigures(says=says, figure=promise.figure, limit=limit, unit=unit, **counted, **chances)


def _order(order: int, missed: Miss, alike: float) -> OrderFigures:
    def make(missing: float, together: float) -> int | None:
        try:
            return poles_to_make(order, passing=1.0 - missing, alike=together)
        except DesignError:
            return None

    return OrderFigures(
        order=order,
        confidence_pct=95.0,
        passing_pct=to(1.0 - missed.chance.value, "%"),
        lots_alike=alike,
        to_make=make(missed.chance.value, alike),
        to_make_cautious=make(missed.chance.high, alike),
        to_make_apart=make(missed.chance.value, 0.0),
    )


def _matters(sample: Sample, plan: Plan, on: Executor | None, watch: Watch | None) -> tuple[MatterRow, ...]:
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
    rows: list[MatterRow] = []
    clearances = [n for n in problem.names if n.startswith("clearance")]
    asked = [
        f"droop {problem.reaches[0].name}",
        "mass",
        *sorted(clearances, key=lambda n: float(sample.nominal[sample.names.index(n)]))[:1],
    ]
    for figure in asked:
        lines = (
            {s.group: s.share for s in sample.line_shares(figure)[0]}
            if sample.plan.size >= 2 * (problem.inputs + 1)
            else {}
        )
        own = sorted(indices[figure], key=lambda i: -i.total.value)
        rows += [_row(figure, i, lines.get(i.group)) for i in own if i.total.value > 1e-4]
    return tuple(rows)


def _row(figure: str, index: Index, line: float | None) -> MatterRow:
    return MatterRow(
        figure=figure,
        input=index.group,
        line_pct=None if line is None else to(line, "%"),
        first_pct=to(index.first.value, "%"),
        first_pm_pct=to(index.first.half_width(), "%"),
        total_pct=to(index.total.value, "%"),
        total_pm_pct=to(index.total.half_width(), "%"),
    )


def _input(material: str, spread: Spread) -> InputSpread:
    kind = FIGURES[spread.figure]
    unit = {"-": "%", "rad": "°", "m": "mm"}[kind.unit]
    return InputSpread(
        input=kind.words,
        material=material,
        unit=unit,
        lots=to(spread.lot, unit),
        tubes=to(spread.tube, unit),
        plies=to(spread.ply, unit),
        shape=spread.shape,
        source=spread.source,
        confidence=spread.confidence,
    )


def _assumptions(design: Design) -> tuple[str, ...]:
    brief = design.brief
    unasked = [
        said
        for said, limit in (
            ("twist stiffness", brief.twist_at_least_N_m2),
            ("swing", brief.swing_at_least_Hz),
            ("cost", brief.material_cost_at_most),
        )
        if limit is not None
    ]
    said = [
        "all poles of an order come from the same lots; sections of one pole share them too",
        "spreads are the tables' until own tests replace them; each says where it comes from",
        f"reach and closed length are judged with {BY_HAND:g} mm of allowance, for a hand draws out no closer",
        "poles are drawn by large-deflection theory, level on two trestles",
    ]
    if unasked:
        said.append(f"not scattered, so not judged here: {', '.join(unasked)}")
    return tuple(said)
