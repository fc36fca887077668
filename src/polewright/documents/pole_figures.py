"""The figures of the whole pole: every reach on the two trestles, small deflection beside large, and the totals."""

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.documents.report import DroopShare, PoleFigures, ReachFigures, SectionFigures
from polewright.documents.values import Workpiece
from polewright.pole.beam import Bent, bent, bent_small
from polewright.pole.droop import Split, droop_split, flex
from polewright.pole.hands import Heft, heft
from polewright.pole.modes import modes
from polewright.pole.pole import Pole
from polewright.pole.state import Bench, State
from polewright.units import format_length, si, to

__all__ = ["JERK", "bench_state", "bent_on_bench", "pole_figures", "reach_figures", "reach_name"]

JERK = 2.5  # how many times a load counts that comes with a jerk


def reach_name(out: int, joints: int) -> str:
    """How a workshop says it: "S1 out", "S1-S3 out", "all out"."""
    if joints == 0:
        return "whole"
    if out == joints:
        return "all out"
    return {0: "closed", 1: "S1 out"}.get(out, f"S1-S{out} out")


def bench_state(design: Design, pole: Pole, out: int, *, head: float = 0.0) -> State:
    """The pole level on two trestles, thin end first drawn out, `head` [kg] hung at the tip besides its fitting."""
    return _on_bench(pole, design.setting.prop_mm, out, head)


def _on_bench(pole: Pole, prop_mm: float, out: int, head: float) -> State:
    state = State.out(pole, out, head_mass=head, support=Bench(distance=si("prop_mm", prop_mm)))
    length = pole.tubes[-1].length + float(np.sum(state.drawn))
    if si("prop_mm", prop_mm) >= length:
        want = f"below {format_length(length, 'mm')}, the pole's length with {reach_name(out, len(pole.joints))}"
        raise DocumentError([Fault(("setting.prop_mm", f"{prop_mm:g}", want))])
    return state


def bent_on_bench(design: Design, pole: Pole, out: int, *, head: float = 0.0) -> Bent:
    """That state in balance; wishes, headline and reaches often ask for the same one."""
    return _bent_on_bench(pole, design.setting.prop_mm, out, head)


@lru_cache(maxsize=64)
def _bent_on_bench(pole: Pole, prop_mm: float, out: int, head: float) -> Bent:
    return bent(pole, _on_bench(pole, prop_mm, out, head))


@lru_cache(maxsize=64)
def _heft(pole: Pole, prop_mm: float, out: int) -> Heft:
    """The bare pole in the hands; the longest reach and the totals ask for the same one."""
    return heft(pole, _on_bench(pole, prop_mm, out, 0.0))


def reach_figures(design: Design, work: Workpiece) -> tuple[ReachFigures, ...]:
    """One row a reach, shortest first; a pole of one section has one row."""
    joints = len(work.pole.joints)
    outs = range(1, joints + 1) if joints else range(1)
    test = _Test(design.setting.prop_mm, design.setting.test_load_g, design.setting.swing_load_g)
    return tuple(_reach(work.pole, test, out) for out in outs)


class _Test(NamedTuple):
    """How every reach is tried on the trestles."""

    prop_mm: float
    load_g: float
    swing_g: float


@lru_cache(maxsize=64)
def _reach(pole: Pole, test: _Test, out: int) -> ReachFigures:
    """One reach, remembered by the pole: what changes no tube and no joint bends nothing anew."""
    grams = test.load_g
    own = _bent_on_bench(pole, test.prop_mm, out, 0.0)
    loaded = _bent_on_bench(pole, test.prop_mm, out, si("test_load_g", grams))
    bare = own.state
    own_small, loaded_small = bent_small(pole, bare), bent_small(pole, loaded.state)
    split, held = droop_split(own_small), _heft(pole, test.prop_mm, out)
    swing = modes(_bent_on_bench(pole, test.prop_mm, out, si("swing_load_g", test.swing_g)), count=1).frequency[0]
    return ReachFigures(
        out=out,
        name=reach_name(out, len(pole.joints)),
        length_mm=to(float(own.station[-1]), "mm"),
        droop_own_mm=to(own.tip_droop, "mm"),
        droop_own_small_mm=to(own_small.tip_droop, "mm"),
        droop_loaded_mm=to(loaded.tip_droop, "mm"),
        droop_loaded_small_mm=to(loaded_small.tip_droop, "mm"),
        load_g=grams,
        added_droop_mm_per_100g=to(loaded.tip_droop - own.tip_droop, "mm") / grams * 100.0,
        added_droop_small_mm_per_100g=to(loaded_small.tip_droop - own_small.tip_droop, "mm") / grams * 100.0,
        large_note=_large_note(loaded, loaded_small),
        balance_mm=to(held.balance, "mm"),
        carry_kg_m=held.carry_moment,
        swing_Hz=float(swing),
        swing_mass_g=test.swing_g,
        play_mm=to(float(np.sum(split.play)), "mm"),
        shares=_shares(pole, split, bare),
    )


def _large_note(large: Bent, small: Bent) -> str:
    """The difference between the two theories in words."""
    share = (large.tip_droop - small.tip_droop) / small.tip_droop if small.tip_droop else 0.0
    slope = small.tip_droop / float(small.station[-1])
    if abs(share) < 0.005:
        return "both theories agree: the pole hardly turns"
    way = "less" if share < 0 else "more"
    return (
        f"large deflection reads {abs(share):.1%} {way}: at a droop of {slope:.0%} of the length the tip swings in "
        "and the load's arm shortens, which small-deflection theory leaves out"
    )


def _shares(pole: Pole, split: Split, state: State) -> tuple[DroopShare, ...]:
    """What each section and joint gives of the droop by own weight, and of the tip's flex."""
    give = flex(pole, state)
    rows = [
        DroopShare(
            part=f"S{i + 1}", own_weight_mm=to(float(split.section[i]), "mm"), added_pct=to(float(give.section[i]), "%")
        )
        for i in range(len(pole.tubes))
    ]
    rows += [
        DroopShare(
            part=f"joint S{i + 1}/S{i + 2}",
            own_weight_mm=to(float(split.spring[i]), "mm"),
            added_pct=to(float(give.joint[i]), "%"),
        )
        for i in range(len(pole.joints))
    ]
    if pole.joints:
        rows.append(DroopShare(part="joint play", own_weight_mm=to(float(np.sum(split.play)), "mm"), added_pct=0.0))
    rows.append(DroopShare(part="shear", own_weight_mm=to(split.shear, "mm"), added_pct=to(give.shear, "%")))
    return tuple(rows)


def pole_figures(design: Design, work: Workpiece, sections: tuple[SectionFigures, ...]) -> PoleFigures:
    """Totals, and the headline droop: all sections out, level, with the head of the brief's first wish."""
    pole = work.pole
    out = len(pole.joints)
    total = headline_total(design)
    head = si("head_g", max(total - design.tip_fitting_g, 0.0))
    headline = bent_on_bench(design, pole, out, head=head)
    held = _heft(pole, design.setting.prop_mm, out)
    windows = [s.window for s in sections if s.window is not None]
    return PoleFigures(
        extended_mm=to(pole.extended_length, "mm"),
        closed_mm=to(pole.closed_length, "mm"),
        mass_g=to(pole.mass, "g"),
        tubes_g=to(sum(t.mass for t in pole.tubes), "g"),
        balance_mm=to(held.balance, "mm"),
        carry_kg_m=held.carry_moment,
        base_outside_mm=to(float(np.max(pole.tubes[-1].outside)), "mm"),
        material_cost=sum(s.material_cost for s in sections),
        currency=design.setting.currency,
        droop_mm=to(headline.tip_droop, "mm"),
        droop_small_mm=to(bent_small(pole, headline.state).tip_droop, "mm"),
        droop_tip_total_g=total,
        squeeze_margin=min((w.most_N / w.least_N for w in windows if w.least_N > 1e-9), default=None),
        conducts=any(work.records[w.prepreg].ply.is_conductive for s in design.sections for w in s.stack),
    )


def headline_total(design: Design) -> float:
    """[g] at the tip, fitting and all, in the headline droop."""
    wished = [w.tip_total_g for w in design.brief.droop if w.out in (0, len(design.joints))]
    return wished[0] if wished and wished[0] > 0.0 else design.tip_fitting_g + design.setting.test_load_g
