"""Edits of the droops that a brief wishes for; wishes count from 0."""

from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.files import DocumentError
from polewright.units import from_si
from polewright.workshop.kinds import design_of

__all__ = ["add_flex_wish", "add_wish", "remove_wish"]

FIRST_LIMIT_MM = 1000.0


def add_wish(design: Design) -> Design:
    """The design with a further limit on droop, with all sections drawn out under the test load."""
    return _with_wish(design, {"at_most_mm": FIRST_LIMIT_MM})


def add_flex_wish(design: Design, flex: float) -> Design:
    """The design with a further wish: an added droop [m/N] wanted with all sections drawn out."""
    return _with_wish(design, {"wanted_mm_per_100g": round(from_si("wanted_mm_per_100g", flex), 1)})


def remove_wish(design: Design, place: int) -> Design:
    """The design without one wish.

    Raises
    ------
    DocumentError : no such wish.
    """
    plain = design.plain()
    wishes = plain["brief"]["droop"]
    if not 0 <= place < len(wishes):
        raise DocumentError.at(f"brief.droop[{place}]", "", Message("want.no_such_place"))
    del wishes[place]
    return design_of(plain)


def _with_wish(design: Design, wish: dict[str, float]) -> Design:
    plain = design.plain()
    load = design.tip_fitting_g + design.setting.test_load_g
    plain["brief"].setdefault("droop", []).append({"out": 0, "tip_total_g": load, **wish})
    return design_of(plain)
