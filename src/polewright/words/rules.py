"""The limit of a workshop rule in a form: what stands there with its unit, and what was typed there."""

from polewright.codes import Message
from polewright.units import display_unit, to
from polewright.wall.rules import Rule
from polewright.words.form_values import with_unit_of
from polewright.words.forms import pretty_unit
from polewright.words.reader import Reader

__all__ = ["limit_in_form", "limit_unit", "typed_limit"]

_QUANTITY: dict[Message | str, str] = {"m": "length", "rad": "angle"}
METRIC_DIGITS, INCH_PLACES = 6, 6  # significant digits; decimals


def limit_in_form(rule: Rule, reader: Reader) -> str:
    """A rule's limit as it stands in its field, without its unit."""
    if rule.limit is None:
        return ""
    quantity = _QUANTITY.get(rule.unit)
    if quantity is None:
        return f"{rule.limit:.{METRIC_DIGITS}g}"
    number = to(rule.limit, display_unit(quantity, reader.system), quantity)
    if display_unit(quantity, "inch") != display_unit(quantity, "metric") and reader.system == "inch":
        return f"{number:.{INCH_PLACES}f}".rstrip("0").rstrip(".")
    return f"{number:.{METRIC_DIGITS}g}"


def limit_unit(rule: Rule, reader: Reader) -> str:
    """The unit of a rule's limit on a page, as printed; of a share what it is a share of."""
    quantity = _QUANTITY.get(rule.unit)
    if quantity is not None:
        return reader.unit(quantity)
    return reader.say(f"place.rules.{rule.unit.code}") if isinstance(rule.unit, Message) else pretty_unit(rule.unit)


def typed_limit(rule: Rule, text: str, reader: Reader) -> str:
    """What was typed as a limit; a bare number of an inch page with its unit."""
    quantity = _QUANTITY.get(rule.unit)
    return text if quantity is None else with_unit_of(text, quantity, reader)
