"""Where to spend, as it is published: figures in the workshop's units."""

from polewright.answers.spend import Spending
from polewright.documents.document import Part
from polewright.units import si, to
from polewright.words.report_fields import published

__all__ = ["SpendingFigures", "spending_figures"]

COMPARED = si("mass_g", 10.0)
"""[kg] of mass by which savings are compared."""


class SpendingFigures(Part):
    """One more turn of a section's main axial ply."""

    section: int
    prepreg: str
    droop_saved_mm: float
    cost: float
    mass_g: float
    mm_per_cost: float
    mm_per_10_g: float
    still_fits: bool
    clearance_left_mm: float | None


def spending_figures(spending: Spending) -> SpendingFigures:
    """One row as it is published."""
    return published(
        SpendingFigures,
        spending,
        mm_per_cost=to(spending.per_cost, "mm"),
        mm_per_10_g=to(spending.per_mass * COMPARED, "mm"),
    )
