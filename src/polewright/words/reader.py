"""Who reads: the language and the units in which everything is said to them."""

import os
import string
from dataclasses import dataclass
from functools import cache, lru_cache

from polewright.codes import Message
from polewright.errors import PolewrightError
from polewright.units import System, display_unit, to
from polewright.words.catalogue import FALLBACK, Catalogue, catalogue, languages
from polewright.words.faults import FaultText, addressed, fault_text, says
from polewright.words.forms import given_text, number_text, pretty_unit, quantity_text, value_text

__all__ = ["Reader", "default_reader"]

MOST_TOLD = 50  # faults of one file; the first ones are mended first


@dataclass(frozen=True, slots=True)
class Reader:
    """A language by its tag and a system of units; everything that a person reads is made here."""

    language: str = FALLBACK
    system: System = "metric"

    @property
    def catalogue(self) -> Catalogue:
        """The texts of the language."""
        return catalogue(self.language)

    @property
    def paper_language(self) -> str:
        """The language that a document says it is written in; that of English for a language made for tests."""
        return self.language if self.language in languages() else FALLBACK

    def text(self, message: Message | str) -> str:
        """A message as text; text stays as it is, for what a person typed."""
        return message if isinstance(message, str) else self._filled(message.code, dict(message.values))

    def say(self, code: str, /, **values: object) -> str:
        """The text of a code with its values.

        Raises
        ------
        KeyError : no catalogue has the code, or a value of its text is missing.
        """
        return self._filled(code, values)

    def has(self, code: str) -> bool:
        """Whether there is a text of this code, in English at least."""
        return self.catalogue.has(code) or catalogue(FALLBACK).has(code)

    def number(self, number: float, digits: int) -> str:
        """A number with so many decimals, as the language writes it."""
        return number_text(number, digits, self)

    def quantity(
        self,
        value: float,
        quantity: str,
        digits: int | None = None,
        inch_digits: int | None = None,
        *,
        unit: str | None = None,
    ) -> str:
        """An SI figure with its unit; see `quantity_text` for the rest."""
        return quantity_text(value, quantity, self, digits, inch_digits, unit=unit)

    def given(self, value: float, quantity: str, *, unit: str | None = None) -> str:
        """An SI figure that a person gave, with its unit and all the digits that it was given with."""
        return given_text(value, quantity, self, unit=unit)

    def bare(
        self,
        value: float,
        quantity: str,
        digits: int | None = None,
        inch_digits: int | None = None,
        *,
        unit: str | None = None,
    ) -> str:
        """The number of an SI figure without its unit, for a column whose head has it."""
        return quantity_text(value, quantity, self, digits, inch_digits, unit=unit, bare=True)

    def unit(self, quantity: str) -> str:
        """The unit in which this reader sees a quantity, as printed."""
        return pretty_unit(display_unit(quantity, self.system))

    def in_unit(self, value: float, quantity: str) -> float:
        """An SI figure as a number in the unit in which this reader sees the quantity, as the axis of a plot has it."""
        return to(value, display_unit(quantity, self.system), quantity)

    def refusal(self, fault: PolewrightError) -> str:
        """A refusal as text: field, value, what would be right; a file's faults one a line, the first fifty of them."""
        lead = f"{fault.where}: " if fault.where else ""
        say = addressed if fault.where else says
        lines = [f"{lead}{say(self, *each)}" for each in fault.faults[:MOST_TOLD]]
        more = len(fault.faults) - MOST_TOLD
        return "\n".join([*lines, f"{lead}{self.say('refusal.more', count=more)}"] if more > 0 else lines)

    def faults(self, fault: PolewrightError) -> tuple[FaultText, ...]:
        """Every fault of a refusal: field, value, what would be right, and the sentence."""
        return tuple(fault_text(self, *each) for each in fault.faults)

    def fault(self, field: str, value: object, want: Message | str) -> str:
        """One fault of a field as a sentence; a value of None or nothing is left out."""
        return says(self, field, value, want)

    def _filled(self, code: str, values: dict[str, object]) -> str:
        text = self.catalogue.text(code, values)
        if "{" not in text and "}" not in text:
            return text
        parts = []
        for literal, name, form in _places(text):
            parts.append(literal)
            if name is not None:
                parts.append(value_text(values[name], form, self))
        return "".join(parts)


@lru_cache(maxsize=4096)
def _places(text: str) -> tuple[tuple[str, str | None, str], ...]:
    """A catalogue's text taken apart: what stands before each place, the name of its value, and its form."""
    return tuple((literal, name, form or "") for literal, name, form, _ in string.Formatter().parse(text))


@cache
def default_reader() -> Reader:
    """The reader of commands and of a library: the language named by POLEWRIGHT_LANGUAGE, metric units."""
    return Reader(os.environ.get("POLEWRIGHT_LANGUAGE", FALLBACK))
