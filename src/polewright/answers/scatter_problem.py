"""A design as the scatter sees it: the pole that is built, the spreads of its inputs, its reaches and its promises."""

import math
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from polewright.answers.reach import reach_message
from polewright.answers.trestles import headline_grams
from polewright.codes import Message
from polewright.documents.design import Design, OwnSpread
from polewright.documents.files import DocumentError, Fault
from polewright.documents.material import Material
from polewright.documents.shelf import ply_record
from polewright.documents.values import Workpiece, workpiece
from polewright.errors import DesignError
from polewright.pole.section import Section
from polewright.pole.state import Bench
from polewright.scatter import (
    FIGURES,
    Build,
    Content,
    CopyFigure,
    Nest,
    Problem,
    Promise,
    Reach,
    Rolled,
    Spread,
    Spreads,
    default_spreads,
    spread_of_tests,
)
from polewright.units import from_, si
from polewright.wall.seam import seam_variation

__all__ = ["BY_HAND", "ReachAsked", "problem_of", "promises_of", "reaches_of", "spreads_of"]

BY_HAND = 5.0  # [mm] no hand draws a pole out closer than this: reach and closed length are judged so
STATIONS = 5


@dataclass(frozen=True, slots=True)
class ReachAsked:
    """A way the copies are held: how far drawn out, the mass at the tip in all [kg], and what is promised of it."""

    reach: Reach
    drawn: Message
    total: float
    promises: tuple[Promise, ...] = ()


def problem_of(design: Design, spreads: Spreads | None = None) -> Problem:
    """The design as the scatter sees it, with the spreads given or those of `spreads_of`.

    Raises
    ------
    DocumentError : a design that cannot be built.
    """
    work = workpiece(design)
    return Problem(
        _build(design, work),
        spreads_of(design) if spreads is None else spreads,
        tuple(asked.reach for asked in reaches_of(design)),
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
        want = (
            Message("want.one", choices=tuple(sorted(shelf)))
            if kind.of_material
            else Message("want.no_material", input=own.figure)
        )
        raise DocumentError([Fault((f"{field}.material", repr(own.material), want))])
    unit = {"m": "mm", "rad": "°"}.get(kind.unit)
    values = [from_(v, unit) for v in own.values] if unit else list(own.values)
    try:
        spread, _ = spread_of_tests(own.figure, values, level=own.between)
    except DesignError as fault:
        raise DocumentError([Fault((f"{field}.values", "", fault.want))]) from fault
    code = "scatter.source.own_noted" if own.note else "scatter.source.own"
    source = Message(code, count=len(values), note=own.note)
    return spreads.with_spread(replace(spread, source=source), material=own.material)


def _build(design: Design, work: Workpiece) -> Build:
    count = 2 if all(s.is_straight for s in work.sections) else STATIONS
    nests = tuple(
        Nest(joint, closed=fit.closed, drawn=fit.drawn, ridge=fit.ridge)
        for joint, fit in zip(work.pole.joints, work.fits, strict=True)
    )
    contents = {m.id: found for m in design.materials if (found := _content(m)) is not None}
    return Build(
        tuple(_rolled(s, count) for s in work.sections), nests, work.pole.tip_mass, work.pole.overlaps, contents
    )


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
        turns = [w.turns for w in section.stack.plies if w.angle_class == "axial"]
        around = math.pi * float(np.mean(section.bores(np.array([0.0, section.length]))))
        sweep = 2.0 * math.pi * min(si("seam_overlap_mm", design.setting.seam_overlap_mm) / around, 0.25)
        peak = float(seam_variation(sweep, plies=sum(turns))) if turns else 0.0
        variances.append(len(turns) * (peak / 2.0) ** 2 / 2.0)
    return Spread(
        "spine",
        tube=math.sqrt(sum(variances) / len(variances)),
        confidence="medium",
        source=Message("scatter.source.spine", overlap=si("seam_overlap_mm", design.setting.seam_overlap_mm)),
    )


def reaches_of(design: Design) -> tuple[ReachAsked, ...]:
    """The headline first, own weight with its added droop, then the wishes of the brief that ask for more."""
    joints = len(design.joints)
    head, own = headline_grams(design), design.tip_fitting_g
    loads: dict[tuple[int, float], float] = {
        (joints, head): 0.0,
        (joints, own): si("load_g", design.setting.test_load_g),
    }
    promised: dict[tuple[int, float], tuple[Promise, ...]] = {}
    for wish in design.brief.droop:
        key = (wish.out or joints, wish.tip_total_g)
        load, name = loads.setdefault(key, 0.0), _reach_name(*key)
        if wish.at_most_mm is not None:
            limits: tuple[Promise, ...] = (_promise("droop", name, si("limit_mm", wish.at_most_mm)),)
        else:
            loads[key] = load or si("load_g", 100.0)
            wanted = float(wish.wanted_mm_per_100g or 0.0)
            limits = tuple(
                _promise(
                    "added_droop",
                    name,
                    si("limit_mm", wanted * (1.0 + sign * wish.within_pct / 100.0)) / si("load_g", 100.0),
                    is_least=sign < 0,
                )
                for sign in (-1, 1)
            )
        promised[key] = (*promised.get(key, ()), *limits)
    return tuple(
        ReachAsked(
            _reach(design, *key, load), reach_message(key[0], joints), si("total_g", key[1]), promised.get(key, ())
        )
        for key, load in loads.items()
    )


def _reach_name(out: int, total_g: float) -> str:
    return f"{out}_out_{total_g:g}_g"


def _promise(kind: Literal["droop", "added_droop"], reach: str, limit: float, *, is_least: bool = False) -> Promise:
    return Promise(CopyFigure(kind, reach=reach).name, limit, is_least, origin="brief")


def _reach(design: Design, out: int, total_g: float, load: float) -> Reach:
    return Reach(
        _reach_name(out, total_g),
        tuple(float(i < out) for i in range(len(design.joints))),
        support=Bench(distance=si("prop_mm", design.setting.prop_mm)),
        load=load,
        head=si("head_g", max(total_g - design.tip_fitting_g, 0.0)),
    )


def promises_of(design: Design) -> tuple[Promise, ...]:
    """The brief's limits that a scatter can judge, and the workshop's least clearance at every joint."""
    brief, found = design.brief, []
    reach, closed = brief.reach_at_least_mm, brief.closed_at_most_mm
    limits = (
        ("length", None if reach is None else reach - BY_HAND, "mm", True),
        ("closed", None if closed is None else closed + BY_HAND, "mm", False),
        ("mass", brief.mass_at_most_g, "g", False),
        ("carry", brief.carry_at_most_kg_m, "kg_m", False),
        ("base_outside", brief.base_outside_at_most_mm, "mm", False),
    )
    for figure, limit, unit, is_least in limits:
        if limit is not None:
            found.append(Promise(figure, si(f"limit_{unit}", limit), is_least, origin="brief"))
    found += [promise for asked in reaches_of(design) for promise in asked.promises]
    least = si("clearance_least_mm", design.setting.clearance_least_mm)
    joints = range(1, len(design.joints) + 1)
    found += [Promise(CopyFigure("clearance", joint=j).name, least, True, origin="fit") for j in joints]
    return tuple(found)
