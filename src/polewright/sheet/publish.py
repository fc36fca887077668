"""What a buyer may read: figures rounded toward modesty, and a check that they do not give the recipe away."""

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import asdict, dataclass, is_dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Any, Literal

import numpy as np

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.units import display_unit, to
from polewright.words.forms import pretty_unit
from polewright.words.reader import Reader

__all__ = [
    "LEAST_ROUNDING",
    "Refusal",
    "Worse",
    "may_be_published",
    "modest",
    "modest_figure",
    "modest_in",
    "modest_number",
    "modest_quantity",
]

Worse = Literal["up", "down"]

# [unit] the finest step of a figure on a paper, where it is not a hundredth
LEAST_STEP = {"mm": 1.0, "mm/100 g": 1.0, "in": 0.05, "in/oz": 0.002}
LEAST_ROUNDING = 3.0  # [%] that keeps section stiffness from being worked out of droops at every reach
SECRET_FIELDS = frozenset(
    (
        "stack",
        "layup",
        "ply",
        "plies",
        "wrap",
        "wraps",
        "turns",
        "fibre",
        "fibres",
        "fiber",
        "fibers",
        "resin",
        "prepreg",
        "material",
        "materials",
        "wall",
        "thickness",
        "bore",
        "cure",
        "lot",
        "modulus",
        "bending",
        "twist",
        "axial",
        "shear",
        "mandrel",
    )
)
SECRET_LETTERS = ("EI", "EA", "GJ", "E1", "E2", "G12", "Vf", "FAW", "RC")
SECRET_PHRASES = ("mass_per_length", "per_metre", "section_mass", "section_stiffness", "g_m")
SECRET_WORDS = (
    "prepreg",
    "resin",
    "layup",
    "ply",
    "plies",
    "fibre",
    "fibres",
    "fiber",
    "carbon",
    "modulus",
    "wall",
    "wall thickness",
    "grams per metre",
    "g/m",
    "N\u00b7m\u00b2",
    "N m2",
    "EI",
    "GJ",
    "Laminat",
    "Faser",
    "Fasern",
    "Harz",
    "Kohlefaser",
    "Glasfaser",
    "Wandstärke",
    "Wanddicke",
    "Lagenaufbau",
    "E-Modul",
)


@dataclass(frozen=True, slots=True)
class Refusal:
    """One figure or word that may not leave the workshop: where it stands and why."""

    field: str
    reason: Message


def modest(value: float, worse: Worse, percent: float, *, least: float = 0.0) -> float:
    """A figure rounded so that it never promises more than it holds.

    To the next step of 1, 2 or 5 times a power of ten that is at most `percent` [%] of the value, and no finer than
    `least`: upward where more is worse (droop, weight), downward where less is worse (reach, swing). Any unit; the
    unit of the value comes back.

    Raises
    ------
    DesignError : the value is not finite, or percent is not above 0 and at most 50.
    """
    return float(_modest(value, worse, percent, least)[0])


def modest_figure(value: float, worse: Worse, percent: float, reader: Reader, *, least: float = 0.0) -> str:
    """The same figure as its reader writes it, with the decimals that its rounding needs."""
    rounded, decimals = _modest(value, worse, percent, least)
    return reader.number(float(rounded), decimals)


def modest_in(value: float, unit: str, reader: Reader, worse: Worse, percent: float) -> str:
    """An SI figure rounded so in a unit, without the unit."""
    return modest_figure(to(value, unit), worse, percent, reader, least=LEAST_STEP.get(unit, 0.01))


def modest_number(value: float, unit: str, worse: Worse, percent: float) -> float:
    """An SI figure rounded as `modest_in` prints it, in the unit."""
    return modest(to(value, unit), worse, percent, least=LEAST_STEP.get(unit, 0.01))


def modest_quantity(value: float, quantity: str, reader: Reader, worse: Worse, percent: float) -> str:
    """An SI figure rounded so, with the unit in which its reader sees it."""
    unit = display_unit(quantity, reader.system)
    return f"{modest_in(value, unit, reader, worse, percent)}\u00a0{pretty_unit(unit)}"


def _modest(value: float, worse: Worse, percent: float, least: float) -> tuple[Decimal, int]:
    """The rounded figure and how many decimals its step needs."""
    if not np.isfinite(value):
        raise DesignError("value", value, Message("want.finite_number"))
    if not 0.0 < percent <= 50.0:
        raise DesignError("percent", percent, Message("want.above_0_at_most_50"))
    if worse not in ("up", "down"):
        raise DesignError("worse", worse, Message("want.up_or_down"))
    target = max(abs(value) * percent / 100.0, least)
    if target == 0.0:
        return Decimal(0), 0
    power = int(np.floor(np.log10(target) + 1e-9))
    lead = max(k for k in (1, 2, 5) if k == 1 or k * 10.0**power <= target * (1.0 + 1e-9))
    step = Decimal(lead).scaleb(power)
    # twelve digits are kept, so that 0.1 + 0.2 is no reason for a whole step more
    count = Decimal(f"{value / float(step):.12g}")
    rounding = ROUND_CEILING if worse == "up" else ROUND_FLOOR
    return count.to_integral_value(rounding) * step, max(0, -power)


def may_be_published(values: object, *, secrets: Collection[str] = ()) -> list[Refusal]:
    """Everything in a set of values that would give the recipe away; empty when it may be published.

    `values` is a mapping or a frozen value, nested as you like. Refused are fields and words of the recipe, any of the
    `secrets` (names of the workshop's materials) in any text, and droops or flexes at so many extensions that the
    stiffness of every section could be worked out of them: for n sections at most n - 1, unless `rounding_percent`
    says that they are rounded to 3 % or more.
    """
    found = [refusal for path, value in _leaves(values) for refusal in _refused(path, value, secrets)]
    for where, table in _tables(values):
        found += _too_many(where, table)
    return list(dict.fromkeys(found))


def _leaves(values: object, path: str = "") -> Iterator[tuple[str, object]]:
    values = asdict(values) if is_dataclass(values) and not isinstance(values, type) else values
    if isinstance(values, Mapping):
        for key, value in values.items():
            yield from _leaves(value, f"{path}.{key}" if path else str(key))
    elif isinstance(values, (list, tuple, set, frozenset)):
        for place, value in enumerate(values):
            yield from _leaves(value, f"{path}[{place}]")
    else:
        yield path, values


def _refused(path: str, value: object, secrets: Collection[str]) -> Iterator[Refusal]:
    for name in re.findall(r"[A-Za-z0-9_/]+", path):
        parts = re.split(r"[_/]", name)
        if any(p.lower() in SECRET_FIELDS or p in SECRET_LETTERS for p in parts) or any(
            p in name.lower() for p in SECRET_PHRASES
        ):
            yield Refusal(path, Message("publish.field", name=name))
            break
    if isinstance(value, str):
        words = re.sub(r"<style>.*?</style>", " ", value, flags=re.DOTALL)  # a drawing's words, labels and all
        for secret in (*SECRET_WORDS, *(s for s in secrets if s.strip())):
            flags = 0 if secret in SECRET_LETTERS else re.IGNORECASE
            if re.search(rf"(?<!\w){re.escape(secret)}(?!\w)", words, flags):
                yield Refusal(path, Message("publish.word", secret=secret))


def _tables(values: object, path: str = "") -> Iterator[tuple[str, Mapping[str, Any]]]:
    values = asdict(values) if is_dataclass(values) and not isinstance(values, type) else values
    if isinstance(values, Mapping):
        if "sections" in values:
            yield path, values
        for key, value in values.items():
            yield from _tables(value, f"{path}.{key}" if path else str(key))


def _too_many(where: str, values: Mapping[str, Any]) -> list[Refusal]:
    sections, rows = values["sections"], values.get("reaches", ())
    if not isinstance(sections, int) or not isinstance(rows, (list, tuple)):
        return []
    telling = sum(
        1
        for row in rows
        if isinstance(row, Mapping) and any(k.split("_")[0] in ("droop", "flex", "added") for k in row)
    )
    if telling <= max(sections - 1, 0) or float(values.get("rounding_percent", 0.0) or 0.0) >= LEAST_ROUNDING:
        return []
    return [
        Refusal(
            f"{where}.reaches" if where else "reaches",
            Message(
                "publish.extensions",
                extensions=telling,
                sections=sections,
                most=max(sections - 1, 0),
                rounding=LEAST_ROUNDING,
            ),
        )
    ]
