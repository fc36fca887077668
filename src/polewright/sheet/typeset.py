"""From values to a PDF: one template, one set of data, the fonts that come with the program."""

import io
import json
import re
from importlib.resources import files
from pathlib import Path
from typing import Any

import segno

__all__ = ["page_count", "pdf", "qr_svg"]

_HERE = Path(str(files("polewright.sheet")))


def pdf(template: str, data: dict[str, Any]) -> bytes:
    """One of the papers as an accessible PDF (PDF/UA-1); the same data gives the same bytes.

    Data travels as JSON and is set as text: no word of it is ever read as markup.
    """
    import typst  # 7 MB: only who prints pays

    compiler = typst.Compiler(
        str(_HERE / "papers" / template),
        root=str(_HERE / "papers"),
        font_paths=[str(_HERE / "fonts")],
        ignore_system_fonts=True,
    )
    content = compiler.compile(
        format="pdf", sys_inputs={"data": json.dumps(_printable(data))}, timestamp=0, pdf_standards=["ua-1"]
    )
    assert isinstance(content, bytes)
    return content


def page_count(content: bytes) -> int:
    """Pages of a PDF that this module has made."""
    found = re.search(rb"/Type\s*/Pages\s*/Count (\d+)", content)
    assert found is not None
    return int(found.group(1))


def qr_svg(words: str) -> str:
    """A QR code of some words as SVG, with its quiet zone."""
    out = io.BytesIO()
    segno.make(words, error="m", micro=False).save(out, kind="svg", scale=1, border=2, xmldecl=False, dark="#16191c")
    return out.getvalue().decode("utf-8")


def _printable(value: Any) -> Any:
    """The same data with characters dropped that no document may hold, as half of a pair or a control.

    A narrow space that does not break is set as one of the usual width: the fonts have no other.
    """
    if isinstance(value, str):
        kept = value.replace("\u202f", "\u00a0")
        return "".join(c for c in kept if c in "\n\u00a0" or (c.isprintable() and not 0xD800 <= ord(c) <= 0xDFFF))
    if isinstance(value, dict):
        return {key: _printable(inner) for key, inner in value.items()}
    return [_printable(inner) for inner in value] if isinstance(value, (list, tuple)) else value
