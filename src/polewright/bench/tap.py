"""Bending stiffness from the tone of a tube hung free and tapped, with shear and rotary inertia taken off.

A short tube rings low: shear and rotary inertia slow it, and the slender-beam formula would read a third low on a
stubby piece.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from polewright.arrays import FloatArray
from polewright.bench.record import TapTest
from polewright.bench.uncertainty import Estimate, Share, combined, repeated
from polewright.codes import Message
from polewright.errors import DesignError

__all__ = ["Tone", "first_tone", "tap_stiffness"]

FIRST_ROOT = 4.730040744862704  # [-] first root of cosh x cos x = 1
MOST = 20.0  # [-] times the slender value up to which a stiffness is searched


@dataclass(frozen=True, slots=True)
class Tone:
    """bending: EI [N m2] corrected; slender: EI [N m2] by the slender-beam formula; correction [-] bending over
    slender; budget: what each input adds, largest first.
    """

    bending: Estimate
    slender: float
    correction: float
    budget: tuple[Share, ...]
    notes: tuple[Message, ...]


def _closure(bending: Any, x: Mapping[str, Any]) -> Any:
    """Zero where a free tube of this EI [N m2] rings at the frequency; over cosh to stay of order one.

    Any entry may be complex or an array; they broadcast.
    """
    length, mass = x["length"], x["mass"]
    omega = 2.0 * np.pi * x["frequency"]
    b = np.sqrt(mass * omega**2 * length**3 / bending + 0j)
    r2 = (x["outside"] ** 2 + x["bore"] ** 2) / 16.0 / length**2
    s2 = bending / (x["shear_stiffness"] * length**2)
    root = np.sqrt((r2 - s2) ** 2 + 4.0 / b**2)
    slow, fast = np.sqrt((root - (r2 + s2)) / 2.0 + 0j), np.sqrt((root + (r2 + s2)) / 2.0)
    mixed = b * (b**2 * r2 * (r2 - s2) ** 2 + 3.0 * r2 - s2) / np.sqrt(1.0 - b**2 * r2 * s2 + 0j)
    closed = 2.0 - 2.0 * np.cosh(b * slow) * np.cos(b * fast) + mixed * np.sinh(b * slow) * np.sin(b * fast)
    return closed / np.cosh(b * slow)


def _first_root(function: Callable[[Any], Any], grid: FloatArray) -> float | None:
    """The first place along the grid where the function crosses zero."""
    crossing = np.flatnonzero(np.diff(np.signbit(function(grid))))
    if crossing.size == 0:
        return None
    from scipy.optimize import brentq  # four tenths of a second to import: only who taps a tube pays

    low, high = grid[crossing[0]], grid[crossing[0] + 1]
    return float(brentq(function, low, high, xtol=1e-14 * low, rtol=1e-14))


def _solve(x: Mapping[str, complex]) -> float:
    """The EI [N m2] whose first tone is the one heard."""
    real = {name: value.real for name, value in x.items()}
    grid = _slender(real) * np.geomspace(1.0 - 1e-9, MOST, 200)
    found = _first_root(lambda stiff: _closure(stiff, real).real, grid)
    tube = {name: real[name] for name in ("mass", "length", "outside", "bore")}
    again = 0.0 if found is None else first_tone(bending=found, shear=real["shear_stiffness"], **tube)
    if found is None or abs(again / real["frequency"] - 1.0) > 1e-6:  # a higher tone, or none
        raise DesignError("frequencies", real["frequency"], Message("want.possible_tone"))
    return found


def _slender(x: Mapping[str, float]) -> float:
    return x["mass"] * (2.0 * np.pi * x["frequency"]) ** 2 * x["length"] ** 3 / FIRST_ROOT**4


def first_tone(*, bending: float, shear: float, mass: float, length: float, outside: float, bore: float) -> float:
    """Frequency [Hz] of the first bending tone of a free uniform tube: EI [N m2], kappa G A [N], mass [kg], [m].

    2 - 2 cosh(b u) cos(b v) + b (b^2 r^2 (r^2 - s^2)^2 + 3 r^2 - s^2) / sqrt(1 - b^2 r^2 s^2) sinh(b u) sin(b v) = 0.

    Raises
    ------
    DesignError : a figure not above zero, or no tone below the slender tube's.

    Source
    ------
    T. C. Huang, The effect of rotatory inertia and of shear deformation on the frequency and normal mode equations of
    uniform beams with simple end conditions, Journal of Applied Mechanics 28, 1961, free-free beam.
    """
    given = {"bending": bending, "shear": shear, "mass": mass, "length": length, "outside": outside}
    for name, value in given.items():
        if not 1e-9 < value < 1e15:
            raise DesignError(name, value, Message("want.number_above_zero"))
    if not 0.0 <= bore < outside:
        raise DesignError("bore", bore, Message("want.bore_below_outside"))
    rigid = FIRST_ROOT**2 / (2.0 * np.pi) * np.sqrt(bending / (mass * length**3))
    fixed = {"length": length, "mass": mass, "outside": outside, "bore": bore, "shear_stiffness": shear}
    found = _first_root(
        lambda frequency: _closure(bending, fixed | {"frequency": frequency}).real,
        rigid * np.geomspace(0.01, 1.0 + 1e-9, 400),
    )
    if found is None:
        raise DesignError("shear", shear, Message("want.stiff_in_shear"))
    return found


def tap_stiffness(test: TapTest, *, shear: Estimate) -> Tone:
    """EI [N m2] from the first bending tone of a free tube.

    Parameters
    ----------
    test : what was heard and measured.
    shear : kappa G A [N] of the tube.

    Raises
    ------
    DesignError : no stiffness explains the tone.

    Source
    ------
    `first_tone`; derivatives of the implicit equation by one Newton step.
    """
    if shear.value <= 0.0:
        raise DesignError("shear", shear.value, Message("want.shear_above_zero"))
    heard = repeated(test.frequencies)
    inputs = {
        "frequency": heard,
        "counter": Estimate(1.0, test.frequency_share),
        "length": Estimate(test.length, test.length_standard),
        "mass": Estimate(test.mass, test.mass_standard),
        "outside": Estimate(test.outside),
        "bore": Estimate(test.bore),
        "shear_stiffness": shear,
    }
    centre = {name: complex(x.value) for name, x in inputs.items()}
    root = _solve(centre)
    steep = complex(_closure(root * (1.0 + 1e-20j), centre)).imag / (root * 1e-20)

    def model(x: Mapping[str, complex]) -> complex:
        return root - complex(_closure(root, dict(x) | {"frequency": x["frequency"] * x["counter"]})) / steep

    result, slender = combined(model, inputs), _slender({name: x.value for name, x in inputs.items()})
    correction = root / slender
    notes = (Message("bench.note.short", share=1.0 - 1.0 / correction),) if correction > 1.05 else ()
    return Tone(
        bending=Estimate(root, result.estimate.standard, result.estimate.freedom),
        slender=slender,
        correction=correction,
        budget=result.budget,
        notes=notes,
    )
