"""Message catalogues: one JSON file a language, its keys the codes, its texts with places for named values.

A text is a string, or a table of plural forms under the name of the value that it counts:
`{"count": ["{count} section", "{count} sections"]}`, in the order of the language's plural rule. Places are written
`{name}` or `{name:form}`; forms are those of `polewright.words.forms`. The entry "" describes the language itself.

Three languages are made from English for tests: `x-marked` sets the words of every text between ⟦ and ⟧, so that a
text from anywhere else stands out, alone or as a value in a text; `x-reworded` says everything in other letters, so
that nothing may depend on the wording; `x-coded` shows the code of each text with its values.
"""

import gettext
import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

__all__ = ["FALLBACK", "Catalogue", "catalogue", "languages"]

FALLBACK = "en"
_MARKED, _REWORDED, _CODED = "x-marked", "x-reworded", "x-coded"
_PLACE = re.compile(r"(\{\{|\}\}|\{[^{}]*\})")
_WORDS = re.compile(r"[^\W\d_]")

Text = str | dict[str, list[str]]


@dataclass(frozen=True, slots=True, eq=False)
class Catalogue:
    """The texts of one language, and how it writes numbers, dates and plurals."""

    language: str
    name: str
    decimal: str
    group: str
    date: str
    separator: str
    plural_form: Callable[[int], int]
    texts: Mapping[str, Text]

    def has(self, code: str) -> bool:
        """Whether there is a text of this code."""
        return code in self.texts

    def text(self, code: str, values: Mapping[str, object]) -> str:
        """The text of a code with its places still open, in the plural form that the values ask for.

        Raises
        ------
        KeyError : neither this language nor English has the code.
        """
        found = self.texts.get(code)
        if found is None:
            if self.language == FALLBACK:
                raise KeyError(code)
            return catalogue(FALLBACK).text(code, values)
        if isinstance(found, str):
            return found
        name, forms = next(iter(found.items()))
        count = values[name]
        if not isinstance(count, int | float) or count != int(count):
            return forms[-1]
        form = self.plural_form(int(count))
        return forms[min(form, len(forms) - 1)]


@cache
def catalogue(language: str) -> Catalogue:
    """The catalogue of a language by its tag; English for a language that has none."""
    if language in (_MARKED, _REWORDED, _CODED):
        return _made(language)
    if language not in languages():
        return catalogue(FALLBACK)
    texts = json.loads((files("polewright.words") / "catalogues" / f"{language}.json").read_text(encoding="utf-8"))
    about = texts.pop("")
    return Catalogue(
        language,
        about["name"],
        about["decimal"],
        about["group"],
        about["date"],
        about["separator"],
        gettext.c2py(about["plural"]),
        texts,
    )


@cache
def languages() -> tuple[str, ...]:
    """The tags of the languages that have a catalogue, English first."""
    found = (path.name for path in (files("polewright.words") / "catalogues").iterdir())
    tags = sorted(name.removesuffix(".json") for name in found if name.endswith(".json"))
    return (FALLBACK, *(tag for tag in tags if tag != FALLBACK))


def _made(language: str) -> Catalogue:
    """A language made from English for tests."""
    base = catalogue(FALLBACK)
    change = {_MARKED: _mark, _REWORDED: _reword, _CODED: _code}[language]

    def changed(code: str, text: Text) -> Text:
        if isinstance(text, str):
            return change(code, text)
        return {name: [change(f"{code}.{i}", form) for i, form in enumerate(forms)] for name, forms in text.items()}

    texts = {code: changed(code, text) for code, text in base.texts.items()}
    return Catalogue(language, language, base.decimal, base.group, base.date, base.separator, base.plural_form, texts)


def _mark(_: str, text: str) -> str:
    """Each piece that has words marked by itself, so that a value which no catalogue said stands outside the marks."""
    return "".join(
        f"⟦{part}⟧" if _WORDS.search(part) and not _PLACE.fullmatch(part) else part for part in _PLACE.split(text)
    )


def _reword(_: str, text: str) -> str:
    """Every letter outside a place turned by thirteen, so that no word stays."""
    return "".join(part if _PLACE.fullmatch(part) else part.translate(_TURNED) for part in _PLACE.split(text))


def _code(code: str, text: str) -> str:
    """The code, then each value by its name."""
    places = [place[1:-1] for place in _PLACE.findall(text) if place not in ("{{", "}}")]
    return "⟨" + "|".join([code, *(f"{place.partition(':')[0]}={{{place}}}" for place in places)]) + "⟩"


_LOWER, _UPPER = "abcdefghijklmnopqrstuvwxyz", "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_TURNED = str.maketrans(_LOWER + _UPPER, _LOWER[13:] + _LOWER[:13] + _UPPER[13:] + _UPPER[:13])
