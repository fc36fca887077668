"""Templates into pages."""

import hashlib
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup

from polewright.drawings.style import number
from polewright.words import Reader, default_reader, languages
from polewright.words.catalogue import catalogue
from polewright.words.terms import term_of_field

__all__ = ["page"]

_STATIC = Path(__file__).parent / "static"


@cache
def _environment(reader: Reader) -> Environment:
    """One for each reader: `t` and the filters of figures say everything in that reader's language and units."""
    made = Environment(
        loader=PackageLoader("polewright.web"),
        autoescape=select_autoescape(),
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=StrictUndefined,
    )
    made.filters["plainly"] = _plainly
    made.filters["text"], made.filters["number"], made.filters["quantity"] = reader.text, reader.number, reader.quantity
    made.filters["bare"] = reader.bare
    made.globals.update(static=_static, bar=_bar)
    offered = [(tag, catalogue(tag).name) for tag in languages()]
    made.globals.update(t=reader.say, reader=reader, languages=offered, term_of_field=term_of_field)
    return made


def page(template: str, reader: Reader | None = None, **values: Any) -> str:
    """A whole page for its reader; text is escaped, drawings are not.

    In templates `t(code, **values)` is the text of a code, `message | text` that of a message, `reader.unit(quantity)`
    a unit, and `figure | quantity("length", 2)` or `| bare("length", 2)` an SI figure with its unit or alone.
    """
    return _environment(reader or default_reader()).get_template(template).render(values)


@cache
def _version() -> str:
    """A mark that changes with any file of the pages, so that a script and what it imports are of one version."""
    files = sorted(path for path in _STATIC.rglob("*") if path.is_file())
    return hashlib.sha256(b"".join(path.read_bytes() for path in files)).hexdigest()[:12]


def _static(name: str) -> str:
    """The address of a file of the pages.

    Raises
    ------
    FileNotFoundError : there is no such file.
    """
    if not (_STATIC / name).is_file():
        raise FileNotFoundError(name)
    return f"/static/{_version()}/{name}"


def _plainly(words: str) -> str:
    """A clause as a sentence: opened by a capital."""
    return words[:1].upper() + words[1:]


def _bar(share: float, words: str) -> Markup:
    """A share of one as a bar."""
    wide = number(64.0 * max(0.0, min(1.0, share)))
    return Markup(
        '<svg class="bar" viewBox="0 0 64 10" width="64" height="10" role="img" aria-label="{}"><title>{}'
        '</title><rect width="{}" height="9" class="fill"/><path d="M0 9.5H64" class="foot"/></svg>'
    ).format(words, words, wide)
