"""Bending stiffness from the tone of a tube hung free and tapped, with shear and rotary inertia taken off.

A short tube rings low: shear and rotary inertia slow it, and the slender-beam formula would read a third low on a
stubby piece.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy.optimize import brentq

from polewright.arrays import FloatArray
from polewright.bench.bend import Note
from polewright.bench.record import TapTest
from polewright.bench.uncertainty import Estimate, Share, combined, repeated
from polewright.errors import DesignError

__all__ = ["Tone", "first_tone", "tap_stiffness"]

FIRST_ROOT = 4.730040744862704     # [-] first root of cosh x cos x = 1
MOST = 20.0                        # [-] times the slender value up to which a stiffness is searched


@dataclass(frozen=True, slots=True)
class Tone:
    """bending: EI [N m2] corrected; slender: EI [N m2] by the slender-beam formula; correction [-] bending over
    slender; budget: what each input adds, largest first.
    """

    bending: Estimate
    slender: float
    correction: float
    budget: tuple[Share, ...]
    notes: tuple[Note, ...]


def _closure(bending: complex, x: Mapping[str, complex]) -> complex:
    """Zero when a free tube of this EI [N m2] rings at the frequency; divided by cosh to stay of order one."""
    length, mass = x["length"], x["mass"]
    omega = 2.0 * np.pi * x["frequency"]
    b = np.sqrt(mass * omega**2 * length**3 / bending + 0j)
    r2 = (x["outside"]**2 + x["bore"]**2) / 16.0 / length**2
    s2 = bending / (x["shear stiffness"] * length**2)
    root = np.sqrt((r2 - s2)**2 + 4.0 / b**2)
    slow, fast = np.sqrt((root - (r2 + s2)) / 2.0 + 0j), np.sqrt((root + (r2 + s2)) / 2.0)
    mixed = b * (b**2 * r2 * (r2 - s2)**2 + 3.0 * r2 - s2) / np.sqrt(1.0 - b**2 * r2 * s2 + 0j)
    return complex((2.0 - 2.0 * np.cosh(b * slow) * np.cos(b * fast)
                    + mixed * np.sinh(b * slow) * np.sin(b * fast)) / np.cosh(b * slow))


def _first_root(function: Callable[[float], float], grid: FloatArray) -> float | None:
    """The first place along the grid where the function crosses zero."""
    values = [function(float(at)) for at in grid]
    for (low, high), (before, after) in zip(pairwise(grid), pairwise(values), strict=True):
        if before * after <= 0.0:
            return float(brentq(function, low, high, xtol=1e-14 * abs(low), rtol=1e-14))
    return None


def _solve(x: Mapping[str, complex]) -> float:
    real = {name: complex(value.real) for name, value in x.items()}
    start = _slender(real)
    found = _first_root(lambda stiff: _closure(stiff, real).real, start * np.geomspace(1.0 - 1e-9, MOST, 400))
    if found is None:
        raise DesignError("frequencies", float(real["frequency"].real), "a tone the tube can have: no stiffness "
                          "explains it with this shear stiffness, length and mass")
    return found


def _slender(x: Mapping[str, complex]) -> float:
    omega = 2.0 * np.pi * x["frequency"].real
    return float(x["mass"].real * omega**2 * x["length"].real**3 / FIRST_ROOT**4)


def first_tone(*, bending: float, shear: float, mass: float, length: float, outside: float, bore: float) -> float:
    """Frequency [Hz] of the first bending tone of a free uniform tube: EI [N m2], kappa G A [N], mass [kg], [m].

    2 - 2 cosh(b u) cos(b v) + b (b^2 r^2 (r^2 - s^2)^2 + 3 r^2 - s^2) / sqrt(1 - b^2 r^2 s^2) sinh(b u) sin(b v) = 0.

    Raises
    ------
    DesignError : no tone is found below the slender tube's.

    Source
    ------
    T. C. Huang, The effect of rotatory inertia and of shear deformation on the frequency and normal mode equations of
    uniform beams with simple end conditions, Journal of Applied Mechanics 28, 1961, free-free beam.
    """
    rigid = FIRST_ROOT**2 / (2.0 * np.pi) * np.sqrt(bending / (mass * length**3))
    fixed = {"length": complex(length), "mass": complex(mass), "outside": complex(outside), "bore": complex(bore),
             "shear stiffness": complex(shear)}

    def miss(frequency: float) -> float:
        return _closure(bending, fixed | {"frequency": complex(frequency)}).real

    found = _first_root(miss, rigid * np.linspace(0.05, 1.0 + 1e-9, 400))
    if found is None:
        raise DesignError("shear", shear, "a tube stiff enough in shear to have a bending tone")
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
        raise DesignError("shear", shear.value, "a shear stiffness above zero")
    heard = repeated(test.frequencies)
    inputs = {
        "frequency": heard, "counter": Estimate(1.0, test.frequency_share),
        "length": Estimate(test.length, test.length_standard), "mass": Estimate(test.mass, test.mass_standard),
        "outside": Estimate(test.outside), "bore": Estimate(test.bore), "shear stiffness": shear,
    }
    centre = {name: complex(x.value) for name, x in inputs.items()}
    root = _solve(centre)
    steep = _closure(root * (1.0 + 1e-20j), centre).imag / (root * 1e-20)

    def model(x: Mapping[str, complex]) -> complex:
        return root - _closure(root, dict(x) | {"frequency": x["frequency"] * x["counter"]}) / steep

    result, slender = combined(model, inputs), _slender(centre)
    correction = root / slender
    notes = (Note("short", f"Shear and rotary inertia slow this tone; uncorrected it would read "
                           f"{100 * (1 - 1 / correction):.1f} % low."),) if correction > 1.05 else ()
    return Tone(bending=Estimate(root, result.estimate.standard, result.estimate.freedom), slender=slender,
                correction=correction, budget=result.budget, notes=notes)
