"""The units of the shipped tables: how a key or a unit in words becomes SI, once, while the tables are read."""

import math
from functools import cache
from typing import Any

from polewright.conventions.gravity import GRAVITY

__all__ = ["KEY_UNITS", "WORD_UNITS", "in_si", "si_name", "word_factor"]

ZERO_CELSIUS = 273.15

# Ending of a key in the tables -> factor to SI; the longest ending that fits is used.
KEY_UNITS: dict[str, float] = {
    "GPa": 1e9,
    "MPa": 1e6,
    "Pa": 1.0,
    "MPa_vf60": 1e6,
    "Pa_s": 1.0,
    "kg_m3": 1.0,
    "g_m2": 1e-3,
    "g_m": 1e-3,
    "kg": 1.0,
    "per_kg": 1.0,
    "per_m2": 1.0,
    "mm": 1e-3,
    "um": 1e-6,
    "um_per_mm_dT110": 1e-3,
    "1e6_K": 1e-6,
    "pct": 1e-2,
    "W_mK": 1.0,
    "J_kgK": 1.0,
    "J_g": 1e3,
    "J_mol": 1.0,
    "1_s": 1.0,
    "1_K": 1.0,
    "uohm_m": 1e-6,
    "N": 1.0,
    "kgf": GRAVITY,
    "m_s": 1.0,
    "K_min": 1.0 / 60.0,
    "min": 60.0,
    "hours": 3600.0,
    "days": 86400.0,
    "months": 30.4 * 86400.0,
    "C": 1.0,
}
# Keys whose ending only looks like a unit.
PLAIN_KEYS = frozenset({"alpha_min"})
# Keys that name no unit of their own: the constituents of the published plies.
WHOLE_KEYS = {"f_E1": 1e9, "f_E2": 1e9, "f_G12": 1e9, "m_E": 1e9, "f_a1": 1e-6, "f_a2": 1e-6, "m_a": 1e-6}

# First words of a unit in a value row -> (factor to SI, SI unit).
WORD_UNITS: dict[str, tuple[float, str]] = {
    "%": (1e-2, "-"),
    "+- K": (1.0, "K"),
    "+- deg": (math.pi / 180.0, "rad"),
    "+- mm": (1e-3, "m"),
    "-": (1.0, "-"),
    "C": (1.0, "K"),
    "Hz": (1.0, "Hz"),
    "J/kgK": (1.0, "J/(kg K)"),
    "K": (1.0, "K"),
    "L/min": (1e-3 / 60.0, "m3/s"),
    "MPa": (1e6, "Pa"),
    "N m": (1.0, "N m"),
    "N m/rad": (1.0, "N m/rad"),
    "N": (1.0, "N"),
    "W/m2K": (1.0, "W/(m2 K)"),
    "W/mK": (1.0, "W/(m K)"),
    "damping ratio": (1.0, "-"),
    "deg": (math.pi / 180.0, "rad"),
    "exponent": (1.0, "-"),
    "formula": (1.0, "-"),
    "flag": (1.0, "-"),
    "g/m2": (1e-3, "kg/m2"),
    "kg": (1.0, "kg"),
    "kg/m3": (1.0, "kg/m3"),
    "kgf": (GRAVITY, "N"),
    "length per unit ply thickness": (1.0, "-"),
    "loss factor": (1.0, "-"),
    "m": (1.0, "m"),
    "m/s2": (1.0, "m/s2"),
    "m2/s": (1.0, "m2/s"),
    "mm": (1e-3, "m"),
    "mm diameter per m length": (1e-3, "-"),
    "mm per m": (1e-3, "-"),
    "mm/m": (1e-3, "-"),
    "mm3/(N m)": (1e-9, "m2/N"),
    "overlap / OD": (1.0, "-"),
    "share of maximum": (1.0, "-"),
    "um": (1e-6, "m"),
}


@cache
def _ending(key: str) -> str:
    """The unit at the end of a key, or an empty string."""
    if key in PLAIN_KEYS:
        return ""
    return max((u for u in KEY_UNITS if key.endswith(f"_{u}")), key=len, default="")


def si_name(key: str) -> str:
    """A key without its unit: `E1_range_GPa` is `E1_range`."""
    unit = _ending(key)
    return key.removesuffix(f"_{unit}") if unit else key


def in_si(key: str, value: Any) -> Any:
    """A value of the tables in SI by its key's ending; lists and rows inside are converted likewise.

    Temperatures become kelvin [K]; texts and switches pass unchanged.
    """
    if isinstance(value, dict):
        return {si_name(k): in_si(k, v) for k, v in value.items()}
    if isinstance(value, list):
        return tuple(in_si(key, v) for v in value)
    unit = _ending(key)
    if isinstance(value, bool | str):
        return value
    if not unit:
        return float(value) * WHOLE_KEYS[key] if key in WHOLE_KEYS else value
    return float(value) * KEY_UNITS[unit] + (ZERO_CELSIUS if unit == "C" else 0.0)


def word_factor(unit: str) -> tuple[float, float, str]:
    """Factor, offset [SI unit] and SI unit of a unit in words, by the longest beginning that is known.

    A unit with no known beginning counts as a plain number: (1, 0, "-").
    """
    known = max((u for u in WORD_UNITS if unit == u or unit.startswith((f"{u} ", f"{u},"))), key=len, default="-")
    factor, si = WORD_UNITS[known]
    return factor, (ZERO_CELSIUS if known == "C" else 0.0), si
