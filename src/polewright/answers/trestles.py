"""The pole level on the two trestles of the bench, held down at the butt, with a load at the tip."""

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
    "bench_state",
    "bent_on_bench",
    "bent_on_trestles",
    "head_of",
    "headline_grams",
    "headline_head",
    "headline_load",
    "trestle_state",
]


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
    length = pole.tubes[-1].length + float(np.sum(state.drawn))
    if prop >= length:
        want = Message("want.prop_below_length", length=length, reach=reach_message(out, len(pole.joints)))
        raise DocumentError([Fault(("setting.prop_mm", Message("bound.length", value=prop), want))])
    return state


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
