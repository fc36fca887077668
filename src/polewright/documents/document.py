"""What every document shares: strict fields, a kind, a version, text in and out, and a hash of what it says."""

import hashlib
import json
from typing import Any, ClassVar

from pydantic import BaseModel, ConfigDict, Field

__all__ = ["Document", "Part", "unless"]


def unless(default: object) -> Any:
    """Mark of a field that came after documents were first written: at its default it is not written.

    So the text and the hash of a document that does not use the field stay what they were.
    """
    return Field(exclude_if=lambda value: value == default)


class Part(BaseModel):
    """A piece of a document: unknown fields are refused, numbers must be finite, values do not change."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, str_strip_whitespace=True)

    def plain(self) -> dict[str, Any]:
        """The document as plain values, unset fields left out."""
        return self.model_dump(mode="json", exclude_none=True)

    def content_hash(self) -> str:
        """64 hex digits that change when anything the document says changes."""
        text = json.dumps(self.plain(), sort_keys=True, ensure_ascii=False, separators=(",", ":"))
        return hashlib.sha256(text.encode("utf-8")).hexdigest()


class Document(Part):
    """A whole document: says its kind and the version of its schema."""

    current_version: ClassVar[int] = 1
    document: str
    schema_version: int = 1
