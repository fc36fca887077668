"""The pole level on the two trestles of the bench, held down at the butt, with a load at the tip."""

from dataclasses import replace
from functools import lru_cache

import numpy as np

from polewright.answers.reach import reach_message
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.pole.beam import Bent, bent
from polewright.pole.pole import Pole
from polewright.pole.state import Bench, State
from polewright.units import si

__all__ = [
    "as_long_as",
    "bench_state",
    "bent_on_bench",
    "bent_on_trestles",
    "head_of",
    "headline_grams",
    "headline_head",
    "headline_load",
    "length_on_trestles",
    "trestle_state",
]

SHORTEST, LONGEST = 0.5, 0.6  # [-] of its overlap, of its shorter tube: what an overlap of a pole under test may be


def bench_state(design: Design, pole: Pole, out: int, *, head: float = 0.0) -> State:
    """The pole level on two trestles, thin end first drawn out, `head` [kg] hung at the tip besides its fitting.

    Raises
    ------
    DocumentError : the prop would stand beyond the pole.
    """
    return trestle_state(pole, si("prop_mm", design.setting.prop_mm), out, head)


def trestle_state(pole: Pole, prop: float, out: int, head: float) -> State:
    """The same with the prop a distance [m] from the butt; raises as `bench_state`."""
    state = State.out(pole, out, head_mass=head, support=Bench(distance=prop))
    length = length_on_trestles(pole, out)
    if prop >= length:
        want = Message("want.prop_below_length", length=length, reach=reach_message(out, len(pole.joints)))
        raise DocumentError([Fault(("setting.prop_mm", Message("bound.length", value=prop), want))])
    return state


def length_on_trestles(pole: Pole, out: int) -> float:
    """[m] from butt to tip, thin end first drawn out."""
    return pole.tubes[-1].length + float(np.sum(State.out(pole, out).drawn))


def as_long_as(pole: Pole, out: int, length: float) -> Pole:
    """The pole with its drawn-out joints at other overlaps, so that it is as long as it was measured to be [m].

    What it is off is shared alike by the joints that are drawn out; a joint's stiffness follows the square of its
    overlap.

    Raises
    ------
    DocumentError : no overlap could be so.
    """
    off = (length_on_trestles(pole, out) - length) / out
    fewest = [(SHORTEST - 1.0) * joint.overlap for joint in pole.joints[:out]]
    most = [min(pole.tubes[i].length, pole.tubes[i + 1].length) * LONGEST - pole.joints[i].overlap for i in range(out)]
    if not max(fewest) <= off <= min(most):
        as_designed = length + off * out
        want = Message("want.length_of_pole", least=as_designed - min(most) * out, most=as_designed - max(fewest) * out)
        raise DocumentError([Fault(("test.length_mm", Message("bound.length", value=length), want))])
    drawn = tuple(
        replace(j, overlap=j.overlap + off, stiffness=j.stiffness * (1.0 + off / j.overlap) ** 2)
        for j in pole.joints[:out]
    )
    return replace(pole, joints=(*drawn, *pole.joints[out:]))


def bent_on_bench(design: Design, pole: Pole, out: int, *, head: float = 0.0) -> Bent:
    """That state in balance; wishes, headline and reaches often ask for the same one."""
    return bent_on_trestles(pole, si("prop_mm", design.setting.prop_mm), out, head)


@lru_cache(maxsize=48)
def bent_on_trestles(pole: Pole, prop: float, out: int, head: float) -> Bent:
    """The same with the prop a distance [m] from the butt."""
    return bent(pole, trestle_state(pole, prop, out, head))


def headline_load(design: Design) -> float:
    """[kg] at the tip, fitting and all, in the headline droop: that of the brief's first wish with all drawn out."""
    return si("total_g", headline_grams(design))


def headline_head(design: Design) -> float:
    """[kg] that hangs at the tip besides the fitting in the headline droop."""
    return head_of(design, headline_grams(design))


def head_of(design: Design, total_g: float) -> float:
    """[kg] to hang at the tip so that with the fitting there are `total_g` grams; never less than nothing."""
    return si("head_g", max(total_g - design.tip_fitting_g, 0.0))


def headline_grams(design: Design) -> float:
    """The load at the tip of the headline droop [g], as the document says it."""
    wished = [w.tip_total_g for w in design.brief.droop if w.out in (0, len(design.joints))]
    return wished[0] if wished and wished[0] > 0.0 else design.tip_fitting_g + design.setting.test_load_g
