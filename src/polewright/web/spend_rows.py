"""Where to spend, as the page of a hold shows it: what one more axial turn in each section saves, costs and weighs."""

from dataclasses import dataclass
from functools import lru_cache

from polewright.words import Reader
from polewright.words.hold import compared_mass
from polewright.workshop.hold import Design, Spending, Workpiece, spendings

__all__ = ["SpendRow", "SpendUnits", "spend_rows", "spend_units"]


@dataclass(frozen=True, slots=True)
class SpendRow:
    """One more turn of a section's main axial ply, as printed."""

    section: int
    prepreg: str
    saved: str
    cost: str
    mass: str
    per_cost: str
    per_mass: str
    adds_droop: bool
    still_fits: bool


@dataclass(frozen=True, slots=True)
class SpendUnits:
    """Units in the head of the table; per_mass is the mass by which savings are compared."""

    length: str
    mass: str
    money: str
    per_mass: str


@lru_cache(maxsize=8)
def _known_spendings(design: Design, work: Workpiece) -> tuple[Spending, ...]:
    return spendings(design, work)


def spend_rows(design: Design, work: Workpiece, reader: Reader) -> tuple[SpendRow, ...]:
    """One row a section that has an axial ply, best droop saved per money first."""
    return tuple(_row(s, reader) for s in _known_spendings(design, work))


def _row(s: Spending, reader: Reader) -> SpendRow:
    saved, per_cost, per_mass = (
        reader.bare(value, "length", 1, 3) for value in (s.droop_saved, s.per_cost, s.per_mass * compared_mass(reader))
    )
    return SpendRow(
        section=s.section,
        prepreg=s.prepreg,
        saved=saved,
        cost=reader.number(s.cost, 2),
        mass=reader.bare(s.mass, "mass", 0, 2),
        per_cost=per_cost,
        per_mass=per_mass,
        adds_droop=s.droop_saved < 0.0,
        still_fits=s.still_fits,
    )


def spend_units(currency: str, reader: Reader) -> SpendUnits:
    """The units of the table."""
    mass = reader.unit("mass")
    per_mass = reader.quantity(compared_mass(reader), "mass", 0, 0) if reader.system == "metric" else mass
    return SpendUnits(reader.unit("length"), mass, currency, per_mass)
