"""What a person may say beside a document: a name, a note; and the address made from a pole's name."""

import re
import unicodedata

from polewright.codes import Message
from polewright.errors import DesignError

__all__ = ["address_of", "words"]

_MOST = {
    "name": 80,
    "who": 80,
    "note": 2000,
    "serial": 40,
    "id": 80,
    "title": 80,
    "reason": 400,
    "remedy": 400,
    "mandrel": 80,
    "lot": 80,
}


def words(text: str, field: str) -> str:
    """The text without outer blanks, refused where no database or paper could hold it.

    Raises
    ------
    DesignError : too long, or holds characters that cannot be shown.
    """
    text = text.strip()
    if len(text) > _MOST[field]:
        raise DesignError(
            field,
            Message("given.characters_long", count=len(text)),
            Message("want.at_most_characters", limit=_MOST[field]),
        )
    for sign in text:
        if sign not in "\n\t" and unicodedata.category(sign) in ("Cc", "Cs"):
            raise DesignError(
                field, Message("given.sign", sign=f"{ord(sign):04X}"), Message("want.printable_characters")
            )
    return text


def address_of(name: str) -> str:
    """The address of a pole: its name in small letters and figures with hyphens, as "Reedlight 7" -> "reedlight-7"."""
    plain = unicodedata.normalize("NFKD", name).casefold()
    plain = "".join(sign for sign in plain if not unicodedata.combining(sign))
    return re.sub(r"[\W_]+", "-", plain).strip("-")[:80].strip("-") or "pole"
