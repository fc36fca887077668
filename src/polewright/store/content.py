"""The text of a document as the store keeps it, with the hash that proves it whole."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from polewright.codes import Message
from polewright.errors import StoreFault

__all__ = ["Content"]


@dataclass(frozen=True, slots=True)
class Content:
    """Canonical JSON text (sorted keys, no spaces) and its SHA-256 as 64 hex digits."""

    text: str
    hash: str

    @classmethod
    def of(cls, plain: Mapping[str, Any]) -> "Content":
        """The content of a document given as plain values; its hash is the document's own `content_hash()`."""
        text = json.dumps(plain, sort_keys=True, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
        return cls(text, _hash(text))

    def plain(self, what: str) -> dict[str, Any]:
        """The plain values again, once the hash has been held against the text; `what` opens the message.

        Raises
        ------
        StoreFault : the text is not the one that was saved.
        """
        if _hash(self.text) != self.hash:
            raise StoreFault(what, None, Message("want.text_of_its_hash"))
        values: dict[str, Any] = json.loads(self.text)
        return values


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8")).hexdigest()
