"""The sheet place: what a buyer will read, before it is printed."""

from dataclasses import dataclass
from typing import Any

from polewright.sheet.buyer import buyer_sheet_values
from polewright.sheet.publish import may_be_published
from polewright.web.sight import Sight
from polewright.words import default_reader
from polewright.workshop.papers import buyer_sheet, secrets

__all__ = ["SheetView", "sheet_view"]


@dataclass(frozen=True, slots=True)
class SheetView:
    """The sheet's own words and figures, or why it may not go out."""

    values: dict[str, Any]
    refusals: tuple[str, ...]


def sheet_view(sight: Sight) -> SheetView:
    """The sheet of the design at hand."""
    sheet = buyer_sheet(sight.design, sight.report, sight.now.work, date="", system=sight.system)
    values = buyer_sheet_values(sheet, system=sight.system)
    found = may_be_published(sheet, secrets=secrets(sight.design))
    return SheetView(values, tuple(default_reader().fault(r.field, None, r.reason) for r in found))
