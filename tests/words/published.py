"""Which texts of a published answer are open to words: not those its schema lists, nor times and codes.

Keys and codes are the same in every language, for programs read them.
"""

import re
from collections.abc import Iterator
from typing import Any

from polewright.words.reports.scatter import FLEX_UNIT
from polewright.workshop import RECORD_KINDS

__all__ = ["open_texts"]

CODED = {
    "document": r"[a-z-]+",
    "kinds": r"[a-z-]+",
    "kind": "|".join((*RECORD_KINDS, "find", "scatter")),
    "confidence": r"high|medium|low|very low",
    "unit": rf"Pa|1/K|per m2|{FLEX_UNIT}",
    "figure": r"[A-Za-z]\w*",
    "parameter": r"[A-Za-z]\w*",
    "first": r"fibre failure|wrinkling|flattening",
    "field": r"[a-z_]+(\[\d+\])?(\.[a-z_]+(\[\d+\])?)*",
    "where": r"[a-z_]+(\[\d+\])?(\.[a-z_]+(\[\d+\])?)*",
    "stack": r"[^a-z]+( x\d+)?( / [^a-z]+( x\d+)?)*",
}
"""Fields of an answer whose values are codes though their schema does not list them."""


def open_texts(value: Any, schema: dict[str, Any], parts: dict[str, Any], name: str = "") -> Iterator[tuple[str, str]]:
    """Every text of an answer that its schema leaves open, with the name of its field; codes and times are closed."""
    if "$ref" in schema:
        schema = parts[schema["$ref"].rsplit("/", 1)[1]]
    choices = schema.get("anyOf") or schema.get("oneOf") or [schema]
    if isinstance(value, dict):
        for key, inner in value.items():
            found = [shape for choice in choices for shape in shapes_of(choice, key, parts)]
            yield from open_texts(inner, {"anyOf": found} if found else {}, parts, key)
    elif isinstance(value, list):
        for inner in value:
            yield from open_texts(inner, {"anyOf": [c["items"] for c in choices if "items" in c] or [{}]}, parts, name)
    elif isinstance(value, str) and not (is_code(name, value) or any(is_closed(value, c, parts) for c in choices)):
        yield name, value.replace(FLEX_UNIT, "")


def shapes_of(schema: dict[str, Any], key: str, parts: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """What a schema says of one field of an object."""
    if "$ref" in schema:
        schema = parts[schema["$ref"].rsplit("/", 1)[1]]
    for choice in (*schema.get("anyOf", ()), *schema.get("oneOf", ())):
        yield from shapes_of(choice, key, parts)
    for place in ("properties", "additionalProperties"):
        inside = schema.get(place, {})
        if place == "properties" and key in inside:
            yield inside[key]
        elif place == "additionalProperties" and isinstance(inside, dict) and inside:
            yield inside


def is_code(name: str, text: str) -> bool:
    """Whether a field has codes that its schema leaves open, and the text is one of them."""
    return re.fullmatch(CODED.get(name, ""), text) is not None


def is_closed(text: str, schema: dict[str, Any], parts: dict[str, Any]) -> bool:
    """Whether a schema has the text in a list of codes, or says that it is a time."""
    if "$ref" in schema:
        schema = parts[schema["$ref"].rsplit("/", 1)[1]]
    choices = (*schema.get("anyOf", ()), *schema.get("oneOf", ()))
    is_listed = text in schema.get("enum", ()) or text == schema.get("const")
    return is_listed or schema.get("format") == "date-time" or any(is_closed(text, each, parts) for each in choices)
