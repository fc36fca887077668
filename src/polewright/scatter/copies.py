"""Every copy of the pole: its walls, its nest, and its figures, many at a time."""

from dataclasses import dataclass

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.conventions.rounding import started_turns
from polewright.errors import DesignError, NotConverged
from polewright.pole.batch import PoleBatch, bent_tips
from polewright.pole.pole import Joint, Pole, Tube
from polewright.pole.state import State
from polewright.scatter.problem import Block, Content, CopyFigure, Problem, Reach, Rolled
from polewright.scatter.spread import FIGURES
from polewright.scatter.walls import Layers, tubes_of

__all__ = ["Copies", "copies_of", "figures_of", "pole_of_copy", "poles_drawn", "weighed"]

COAT_DENSITY = 1150.0  # [kg/m3] clear coat, as the nominal pole's; sanded resin is taken alike
PIECES = 8  # elements of a pole at least; the tip moves by 2e-8 of its droop against 24


@dataclass(frozen=True, slots=True, eq=False)
class Copies:
    """Many poles of one build; cases lead, sections from the tip, stations from each butt.

    length (n, n_section) [m]; axial [N], bending [N m2], shear [N], mass_per_length [kg/m], bore, outside [m], all
    (n, n_section, n_station); overlap [m], stiffness [N m/rad], clamp [kg], clearance over the overlap and the least
    anywhere [m], seam ridge off, all (n, n_joint).
    """

    length: FloatArray
    axial: FloatArray
    bending: FloatArray
    shear: FloatArray
    mass_per_length: FloatArray
    bore: FloatArray
    outside: FloatArray
    overlap: FloatArray
    stiffness: FloatArray
    clamp: FloatArray
    clearance: FloatArray
    least: FloatArray


def _strayed(problem: Problem, points: FloatArray) -> dict[str, FloatArray]:
    """Factor or offset of every input of every copy, by figure: (n, n_place)."""
    counts = {
        "ply": len(problem.build.plies),
        "section": len(problem.build.sections),
        "joint": len(problem.build.nests),
    }
    out = {
        name: np.full((points.shape[0], counts[kind.place]), 1.0 if kind.is_relative and name != "spine" else 0.0)
        for name, kind in FIGURES.items()
    }
    for block in problem.blocks:
        figure = block.spread.figure
        out[figure][:, block.places] = _of_block(block, points) - (1.0 if figure == "spine" else 0.0)
    for name, kind in FIGURES.items():
        if kind.is_relative and np.any(out[name] <= (-1.0 if name == "spine" else 0.0)):
            raise DesignError(
                f"spreads.{name}",
                Message("given.so_wide_that_copy_falls_zero"),
                Message("want.lognormal_or_truncated_spread_or_smaller"),
            )
    return out


def _of_block(block: Block, points: FloatArray) -> FloatArray:
    return block.spread.deviation({level: points[:, columns] for level, columns in block.columns.items()})


def _layers(section: Rolled, contents: dict[str, Content], strayed: dict[str, FloatArray]) -> Layers:
    """The layers of every copy of one section; `strayed` holds this section's plies alone."""
    cases = strayed["E1"].shape[0]
    around = np.pi * (float(section.bore.mean()) + section.stack.thickness)
    rows: dict[str, list[FloatArray]] = {name: [] for name in Layers._fields}
    for i, stack_ply in enumerate(section.stack.plies):
        ply, swell, density = stack_ply.ply, np.ones(cases), np.full(cases, float(stack_ply.ply.elastic.density))
        along, across = strayed["E1"][:, i], strayed["across"][:, i]
        E1 = float(ply.elastic.E1) * along
        E2 = float(ply.elastic.E2) * (along if ply.is_woven else across)
        G12 = float(ply.elastic.G12) * across
        content = contents.get(ply.name)
        if content is not None:
            swell, density = _swollen(content, float(ply.elastic.density), strayed["resin"][:, i])
            resin = content.resin_modulus * (swell - 1.0)
            E1 = (E1 + resin) / swell
            E2 = (E2 + resin) / swell if ply.is_woven else E2 * swell**-content.power
            G12 = G12 * swell**-content.power
        thickness = ply.thickness * strayed["areal_mass"][:, i] * swell
        turns = stack_ply.turns + strayed["width"][:, i] / around
        if np.any(turns <= 0.0) or np.any(thickness <= 0.0):
            raise DesignError(
                "spreads.width", Message("given.so_wide_that_flag_vanishes"), Message("want.smaller_spread")
            )
        # whole turns of the nominal flag, the last one part-filled: what a ply is short of or over is smeared
        last = started_turns(stack_ply.turns) - 1
        shares = [np.ones(cases)] * last + [turns - last]
        for share in shares:
            for name, value in (
                ("E1", E1),
                ("E2", E2),
                ("G12", G12),
                ("density", density),
                ("nu12", np.full(cases, float(ply.elastic.nu12))),
                ("angle", stack_ply.angle + strayed["angle"][:, i]),
                ("thickness", thickness * share),
            ):
                rows[name].append(value)
    if np.any(np.array(rows["thickness"]) < 0.0):
        raise DesignError(
            "spreads.width", Message("given.so_wide_that_turn_vanishes"), Message("want.smaller_spread_or_no_such_part")
        )
    return Layers(**{name: np.stack(values, axis=1) for name, values in rows.items()})


def _swollen(content: Content, density: float, factor: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Thickness over nominal [-] and density [kg/m3] at `factor` times the resin content; the fibres stay.

    t'/t = 1 + rho (1 - w)(w'/(1 - w') - w/(1 - w))/rho_resin.

    Source
    ------
    Conservation of the fibre's mass per area; the resin that is added fills its own volume.
    """
    w = content.resin_share
    more = w * factor
    if np.any(more >= 1.0):
        raise DesignError("spreads.resin", Message("given.so_wide_that_ply_all_resin"), Message("want.smaller_spread"))
    added = density * (1.0 - w) * (more / (1.0 - more) - w / (1.0 - w))
    swell = 1.0 + added / content.resin_density
    if np.any(swell <= 0.0):
        raise DesignError("spreads.resin", Message("given.so_wide_that_ply_has_no"), Message("want.smaller_spread"))
    return swell, (density + added) / swell


def copies_of(problem: Problem, points: FloatArray) -> Copies:
    """Every copy that the points (n, n_input) [-] stand for, chances between 0 and 1, as walls and nests.

    Raises
    ------
    DesignError : a spread so wide that some copy cannot be.
    """
    build, strayed = problem.build, _strayed(problem, points)
    contents, first, tubes = dict(build.contents), 0, []
    by_ply = ("E1", "across", "areal_mass", "resin", "angle", "width")
    for s, section in enumerate(build.sections):
        plies = slice(first, first + len(section.stack.plies))
        first = plies.stop
        own = {name: strayed[name][:, plies] for name in by_ply}
        bore = section.bore + strayed["mandrel"][:, s, None]
        axial, bending, shear, mass, outside = tubes_of(bore, _layers(section, contents, own))
        finish = strayed["finish"][:, s, None]
        coated = section.coat + finish / 2.0
        mass = mass + np.pi * (outside + coated) * coated * COAT_DENSITY
        tubes.append(
            (
                axial,
                bending * (1.0 + strayed["spine"][:, s, None]),
                shear,
                mass,
                bore,
                outside + 2.0 * section.coat + finish,
            )
        )
    axial, bending, shear, mass, bore, outside = (np.stack(t, axis=1) for t in zip(*tubes, strict=True))
    length = np.array([s.length for s in build.sections]) + strayed["length"]
    joints = [n.joint for n in build.nests]
    clearance, least = _clearances(problem, bore, outside)
    return Copies(
        length=length,
        axial=axial,
        bending=bending,
        shear=shear,
        mass_per_length=mass,
        bore=bore,
        outside=outside,
        overlap=np.array([j.overlap for j in joints]) + strayed["overlap"],
        stiffness=np.array([j.stiffness for j in joints]) * strayed["joint"],
        clamp=np.array([j.mass for j in joints]) * strayed["clamp"],
        clearance=clearance,
        least=least,
    )


def _clearances(problem: Problem, bore: FloatArray, outside: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Over the overlap and the least anywhere, (n, n_joint) [m]: the nominal ones, moved by bore and outside."""
    build = problem.build
    nominal_bore = np.array([s.bore[0] for s in build.sections])
    nominal_out = np.array([s.bore[0] + 2.0 * (s.stack.thickness + s.coat) for s in build.sections])
    moved = (bore[:, 1:, 0] - nominal_bore[1:]) - (outside[:, :-1, 0] - nominal_out[:-1])
    over = np.array([n.joint.clearance for n in build.nests]) + moved
    least = np.array([n.least for n in build.nests]) + moved
    return over, least


def pole_of_copy(problem: Problem, copies: Copies, i: int) -> Pole:
    """One of the copies as a pole by itself, to be drawn or looked into; a pair that does not go in has no play."""
    share = np.linspace(0.0, 1.0, copies.bore.shape[2])
    tubes = [
        Tube(
            float(length),
            length * share,
            copies.bending[i, s],
            copies.axial[i, s],
            copies.shear[i, s],
            copies.mass_per_length[i, s],
            copies.bore[i, s],
            copies.outside[i, s],
        )
        for s, length in enumerate(copies.length[i])
    ]
    joints = [
        Joint(
            overlap=float(copies.overlap[i, j]),
            proud=nest.joint.proud,
            stiffness=float(copies.stiffness[i, j]),
            clearance=max(float(copies.clearance[i, j]), 0.0),
            centring=nest.joint.centring,
            mass=float(copies.clamp[i, j]),
            pivot=nest.joint.pivot,
            play=nest.joint.play,
        )
        for j, nest in enumerate(problem.build.nests)
    ]
    return Pole(tuple(tubes), tuple(joints), problem.build.tip_mass, problem.build.overlaps)


def poles_drawn(problem: Problem, copies: Copies, reach: Reach) -> PoleBatch:
    """The copies as beams, drawn out as the reach says; a pair that does not go in has no play."""
    stations = copies.bending.shape[2]
    station = copies.length[:, :, None] * np.linspace(0.0, 1.0, stations)
    return PoleBatch(
        length=copies.length,
        station=station,
        bending=copies.bending,
        axial=copies.axial,
        shear=copies.shear,
        mass_per_length=copies.mass_per_length,
        bore=copies.bore,
        outside=copies.outside,
        compliance=1.0 / copies.stiffness,
        clearance=np.maximum(copies.clearance, 0.0),
        share=np.broadcast_to([n.joint.tilt_share for n in problem.build.nests], copies.stiffness.shape),
        play=np.broadcast_to([n.joint.play or 0.0 for n in problem.build.nests], copies.stiffness.shape),
        pivot=np.broadcast_to([n.joint.pivot for n in problem.build.nests], copies.stiffness.shape),
        clamp=copies.clamp,
        tip_mass=np.full(len(copies.length), problem.build.tip_mass),
        drawn=_drawn(problem, copies, reach),
        touching=np.full(len(copies.length), float(problem.build.overlaps == "touching")),
    )


def _drawn(problem: Problem, copies: Copies, reach: Reach) -> FloatArray:
    """(n, n_joint) [m]."""
    if np.any(copies.overlap <= 0.0):
        raise DesignError(
            "spreads.overlap",
            Message("given.so_wide_that_section_falls_out"),
            Message("want.smaller_spread_or_more_overlap"),
        )
    proud = np.array([n.joint.proud for n in problem.build.nests])
    full = copies.length[:, :-1] - copies.overlap
    closed = np.minimum(np.maximum(proud, copies.length[:, :-1] - copies.length[:, 1:]), full)
    return np.asarray(closed + np.array(reach.drawn) * (full - closed))


def figures_of(problem: Problem, points: FloatArray) -> FloatArray:
    """Every figure of every copy, (n, n_figure) [SI unit of the figure], in the order of `problem.names`.

    Parameters
    ----------
    points : (n, n_input) [-] chances between 0 and 1.

    Raises
    ------
    NotConverged : a copy that finds no posture in balance; with how many.
    """
    copies = copies_of(problem, points)
    joints = len(problem.build.nests)
    out = poles_drawn(problem, copies, Reach("all out", (1.0,) * joints))
    shut = poles_drawn(problem, copies, Reach("closed", (0.0,) * joints))
    mass, carry = weighed(out)
    columns = [
        mass,
        carry,
        out.length[:, -1] + out.drawn.sum(axis=1),
        shut.length[:, -1] + shut.drawn.sum(axis=1),
        copies.outside[:, -1].max(axis=1),
        *copies.least.T,
    ]
    for reach in problem.reaches:
        batch = poles_drawn(problem, copies, reach)
        droop = _droop(batch, reach, reach.head)
        columns.append(droop)
        if reach.load > 0.0:
            columns.append((_droop(batch, reach, reach.head + reach.load) - droop) / reach.load)
    return np.stack(columns, axis=1)


def _droop(batch: PoleBatch, reach: Reach, head: float) -> FloatArray:
    state = State(drawn=batch.drawn[0], lean=reach.lean, support=reach.support, head_mass=head)
    tips = bent_tips(batch, state, pieces=PIECES, threads=1)
    if np.any(tips.found == 0.0):
        raise NotConverged(
            CopyFigure("droop", reach=reach.name).name,
            Message("given.not_found_copies", limit=int(np.sum(tips.found == 0.0))),
            Message("want.stiffer_or_shorter_pole_or_lighter"),
        )
    return tips.droop


def weighed(batch: PoleBatch) -> tuple[FloatArray, FloatArray]:
    """Mass [kg] and carry moment about the butt [kg m] of every copy as drawn, (n,).

    Source
    ------
    First moment of mass; mass per length straight between stations.
    """
    mouth = np.cumsum(np.concatenate([batch.length[:, -1:], batch.drawn[:, ::-1]], axis=1), axis=1)[:, ::-1]
    butt = mouth - batch.length
    step = np.diff(batch.station, axis=2)
    m, n = batch.mass_per_length[..., :-1], batch.mass_per_length[..., 1:]
    a, b = batch.station[..., :-1], batch.station[..., 1:]
    tube = (step * (m + n) / 2.0).sum(axis=2)
    own = (step * (a * (2.0 * m + n) + b * (m + 2.0 * n)) / 6.0).sum(axis=2)
    mass = tube.sum(axis=1) + batch.clamp.sum(axis=1) + batch.tip_mass
    carry = (butt * tube + own).sum(axis=1) + (batch.clamp * mouth[:, 1:]).sum(axis=1) + batch.tip_mass * mouth[:, 0]
    return mass, carry
