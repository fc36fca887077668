"""What a page says, without its marks; and the unsaved work behind it."""

import html
import re
from typing import Any

from polewright.workshop import Workshop

__all__ = ["plain", "words"]


def plain(workshop: Workshop) -> dict[str, Any]:
    """The unsaved work on Reedlight 7 as plain values."""
    draft = workshop.designs.open("reedlight-7").draft
    assert draft is not None
    return draft.plain


def words(text: str) -> str:
    """The words of a page, one space between them."""
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", text)))
