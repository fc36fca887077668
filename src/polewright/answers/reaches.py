"""The pole at every reach on two trestles: droop by both theories, flex, balance, swing, what each part gives."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, NamedTuple

import numpy as np

from polewright.answers.trestles import bent_on_trestles, trestle_state
from polewright.conventions.gravity import GRAVITY
from polewright.documents.design import Design
from polewright.documents.values import Workpiece
from polewright.pole.beam import bent_small
from polewright.pole.droop import Split, droop_split, flex
from polewright.pole.hands import Heft, heft
from polewright.pole.modes import modes
from polewright.pole.pole import Pole
from polewright.pole.state import State
from polewright.units import si

__all__ = ["DroopShare", "ReachAnswer", "heft_on_trestles", "reach_answers"]


@dataclass(frozen=True, slots=True)
class DroopShare:
    """What one part gives of the droop by own weight [m], and of the tip's flex [-]; number: as in `hold.DroopPart`."""

    kind: Literal["section", "joint", "play", "shear"]
    number: int
    own_weight: float
    added: float


@dataclass(frozen=True, slots=True)
class ReachAnswer:
    """The pole with `out` of its `joints` drawn out, on two trestles: held down at the butt, propped, drooping freely.

    Lengths and droops [m], in true shape and (small) by small-deflection theory; load and swing_mass [kg] at the tip;
    added_droop [m/N] for the test load; balance [m] from the butt; carry [kg m]; swing [Hz]; play [m] at the tip.
    """

    out: int
    joints: int
    length: float
    droop_own: float
    droop_own_small: float
    droop_loaded: float
    droop_loaded_small: float
    load: float
    added_droop: float
    added_droop_small: float
    balance: float
    carry: float
    swing: float
    swing_mass: float
    play: float
    shares: tuple[DroopShare, ...]

    @property
    def large_share(self) -> float:
        """[-] loaded droop in true shape over that of small deflections, less one; zero where nothing droops."""
        return self.droop_loaded / self.droop_loaded_small - 1.0 if self.droop_loaded_small else 0.0

    @property
    def slope(self) -> float:
        """[-] loaded droop by small-deflection theory over the length."""
        return self.droop_loaded_small / self.length


class _Test(NamedTuple):
    """How every reach is tried on the trestles: prop [m] from the butt, loads [kg]."""

    prop: float
    load: float
    swing: float


def reach_answers(design: Design, work: Workpiece) -> tuple[ReachAnswer, ...]:
    """One row a reach, shortest first; a pole of one section has one row.

    Raises
    ------
    DocumentError : the prop would stand beyond the pole. NotConverged : the bent pole could not be found.
    """
    joints, setting = len(work.pole.joints), design.setting
    test = _Test(
        si("prop_mm", setting.prop_mm), si("test_load_g", setting.test_load_g), si("swing_load_g", setting.swing_load_g)
    )
    return tuple(_reach(work.pole, test, out) for out in (range(1, joints + 1) if joints else range(1)))


@lru_cache(maxsize=64)
def heft_on_trestles(pole: Pole, prop: float, out: int) -> Heft:
    """The bare pole in the hands; the longest reach and the totals ask for the same one."""
    return heft(pole, trestle_state(pole, prop, out, 0.0))


@lru_cache(maxsize=64)
def _reach(pole: Pole, test: _Test, out: int) -> ReachAnswer:
    """One reach, remembered by the pole: what changes no tube and no joint bends nothing anew."""
    own = bent_on_trestles(pole, test.prop, out, 0.0)
    loaded = bent_on_trestles(pole, test.prop, out, test.load)
    own_small, loaded_small = bent_small(pole, own.state), bent_small(pole, loaded.state)
    split, held = droop_split(own_small), heft_on_trestles(pole, test.prop, out)
    force = test.load * GRAVITY
    return ReachAnswer(
        out=out,
        joints=len(pole.joints),
        length=float(own.station[-1]),
        droop_own=own.tip_droop,
        droop_own_small=own_small.tip_droop,
        droop_loaded=loaded.tip_droop,
        droop_loaded_small=loaded_small.tip_droop,
        load=test.load,
        added_droop=(loaded.tip_droop - own.tip_droop) / force,
        added_droop_small=(loaded_small.tip_droop - own_small.tip_droop) / force,
        balance=held.balance,
        carry=held.carry_moment,
        swing=float(modes(bent_on_trestles(pole, test.prop, out, test.swing), count=1).frequency[0]),
        swing_mass=test.swing,
        play=float(np.sum(split.play)),
        shares=_shares(pole, split, own.state),
    )


def _shares(pole: Pole, split: Split, state: State) -> tuple[DroopShare, ...]:
    """What each section and joint gives of the droop by own weight, and of the tip's flex."""
    give = flex(pole, state)
    rows = [
        DroopShare("section", i + 1, float(split.section[i]), float(give.section[i])) for i in range(len(pole.tubes))
    ]
    rows += [DroopShare("joint", i + 1, float(split.spring[i]), float(give.joint[i])) for i in range(len(pole.joints))]
    if pole.joints:
        rows.append(DroopShare("play", 0, float(np.sum(split.play)), 0.0))
    rows.append(DroopShare("shear", 0, split.shear, give.shear))
    return tuple(rows)
