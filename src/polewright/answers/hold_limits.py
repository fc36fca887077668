"""What each section and joint of a design bears, remembered by section: an edit costs only what it touched."""

import math
from functools import lru_cache

import numpy as np

from polewright.answers.known_walls import known_limits
from polewright.answers.sections import BandWindow, band_of, band_window, hold_needed
from polewright.documents.design import Design
from polewright.documents.values import Workpiece
from polewright.pole.crush import SPREAD, PressedRing, crush, pressed_ring
from polewright.pole.margins import Limits
from polewright.pole.section import Section
from polewright.wall.clamp import band_hold
from polewright.wall.criteria import Criterion
from polewright.wall.stack import Wall
from polewright.wall.thin_stress import thin_cure_stress

__all__ = ["section_limits"]

LEAST = 1e-6  # [N] a limit that the cure alone has used up


def section_limits(design: Design, work: Workpiece) -> Limits:
    """What each section and joint bears, by the thin-wall tier with design strengths, cure stress in; tip first.

    Two tubes press on each other over a tenth of their overlap at either end, all drawn out.
    """
    strength, flattening, wrinkling = np.array([_bears(s, design.setting.criterion) for s in work.sections]).T
    joints = range(len(work.pole.joints))
    setting, need = design.setting, hold_needed(design)
    windows = [
        band_window(work.sections[i + 1], band_of(design.joints[i], setting), need, setting.criterion) for i in joints
    ]
    holds = np.array([_held(window, setting.friction_wet) for window in windows])
    contact = np.array(
        [
            _contact(work.sections[i], work.sections[i + 1], work.pole.joints[i].clearance, work.pole.joints[i].overlap)
            for i in joints
        ]
    ).reshape(-1, 2)
    return Limits(
        strength=strength, flattening=flattening, wrinkling=wrinkling, contact=contact, slip=holds, pull_out=holds
    )


@lru_cache(maxsize=128)
def _bears(section: Section, criterion: Criterion) -> tuple[float, float, float]:
    """[N m] at the butt: fibre failure, flattening, wrinkling."""
    wall, strength = _wall(section, 0.0), section.stack.design_strength()
    found = known_limits(wall, strength, rise=section.rise, criterion=criterion)
    by_name = {limit.name: float(limit.load) for limit in found.limits}
    return by_name.get("fibre_failure", math.inf), by_name["flattening"], by_name["wrinkling"]


@lru_cache(maxsize=128)
def _contact(inner: Section, outer: Section, clearance: float, overlap: float) -> tuple[float, float]:
    """[N] across the joint that its tubes bear at the outer mouth and at the inner end."""
    if overlap <= 0.0:
        return math.inf, math.inf  # two contacts cannot be there: the forces are refused, not the limits
    rings, length = (_ring(inner, 0.0), _ring(outer, outer.length)), SPREAD * overlap
    mouth = crush(*rings, clearance=clearance, length=length, at="mouth")
    end = crush(*rings, clearance=clearance, length=length, at="inner end")
    return max(mouth.force, LEAST), max(end.force, LEAST)


@lru_cache(maxsize=128)
def _ring(section: Section, station: float) -> PressedRing:
    wall = _wall(section, station)
    return pressed_ring(wall, section.stack.design_strength(), cure=thin_cure_stress(wall, section.rise))


def _held(window: BandWindow, friction: float) -> float:
    """[N] push that a collar holds when wet, in the middle of its window; where it has none, at its most."""
    tension = 0.5 * (window.least + window.most) if window.is_open else window.most
    return float(band_hold(tension, friction=friction))


def _wall(section: Section, station: float) -> Wall:
    return section.stack.wall(float(section.bores(np.array([station]))[0]))
