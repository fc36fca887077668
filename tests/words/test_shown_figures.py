"""Every figure that is shown can be read back: to its value, within the digits that it is shown with."""

import json
import re
import string
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from polewright.units import QUANTITIES, System, display_unit, format_in, from_, parse, quantity_of_field, split_field
from polewright.words import Reader
from polewright.words.figures import figure
from polewright.words.forms import value_text

CATALOGUES = Path(__file__).parents[2] / "src" / "polewright" / "words" / "catalogues"
SYSTEMS: tuple[System, ...] = ("metric", "inch")
READERS = [Reader(language, system) for language in ("en", "de") for system in SYSTEMS]
GROUPED = re.compile(r"[-\u2212]?(?:\d{1,3}(?:\u202f\d{3})*)(?:[.,]\d+)?")


def _places() -> dict[str, list[str]]:
    """Every form that any text asks a quantity to be written in, and the names of the values written so."""
    found: dict[str, list[str]] = {}
    for language in ("en", "de"):
        texts = json.loads((CATALOGUES / f"{language}.json").read_text(encoding="utf-8"))
        for code, text in texts.items():
            for each in [text] if isinstance(text, str) else next(iter(text.values())) if code else ():
                for _, name, form, _ in string.Formatter().parse(each) if code else ():
                    if form and re.split(r"[.@]", form)[0] in QUANTITIES:
                        found.setdefault(form, []).append(str(name))
    return found


PLACES = _places()


def _number(text: str) -> str:
    found = re.match(r"[-\u2212]?[\d\u202f]+(?:[.,]\d+)?(?:[eE][-\u2212+]?\d+)?", text)
    assert found is not None, text
    return found[0]


def _half_step(number: str) -> float:
    """Half of what the last digit is worth, as a number in the unit shown."""
    mantissa, _, power = number.lower().replace("\u2212", "-").partition("e")
    decimals = len(re.split("[.,]", mantissa)[1]) if re.search("[.,]", mantissa) else 0
    return float(0.5 * 10.0 ** (int(power or 0) - decimals))


def _reads_back(text: str, value: float, quantity: str, unit: str | None = None) -> None:
    """The text, with `unit` where it has none, is `value` within half a step of its last digit."""
    number = _number(text)
    if "e" not in number:
        assert GROUPED.fullmatch(number), text
    back = parse(_typed(text, unit), quantity)
    shown = unit if unit is not None else text[len(number) :]
    step = _si(_half_step(number), quantity, _plain(shown)) - _si(0.0, quantity, _plain(shown))
    assert abs(back - value) <= step * (1.0 + 1e-9) + 1e-12 * abs(value)


def _si(number: float, quantity: str, unit: str) -> float:
    return parse(f"{number!r} {unit}", quantity)


def _typed(text: str, unit: str | None) -> str:
    """What is shown as a person types it: a comma between three digits and three is refused when it is read."""
    plain = text.replace(",", ".")
    return plain if unit is None else f"{plain} {unit}"


def _plain(unit: str) -> str:
    return unit.replace("\u00a0", "").strip()


@pytest.mark.parametrize("reader", READERS, ids=lambda r: f"{r.language}-{r.system}")
def test_a_figure_in_any_text_reads_back_to_its_value(reader: Reader) -> None:
    numbers = np.concatenate([10.0 ** np.random.default_rng(5).uniform(1.7, 6.4, 12), [50.0, 999.5, 1013.0, 12345.5]])
    assert len(PLACES) > 100
    for form in sorted(PLACES):
        quantity = re.split(r"[.@]", form)[0]
        own = re.search(r"@([^.]+)", form)
        shown = own[1] if own and reader.system == "metric" else display_unit(quantity, reader.system)
        unit = shown if ".bare" in form else None
        is_to_digits = re.search(r"\.s(\d)|\.given", form) or not re.search(r"\.\d", form)
        for number in numbers.tolist():
            value = _si(number, quantity, display_unit(quantity, "metric"))
            text = value_text(value, form, reader)
            (_reads_back_to_digits if is_to_digits else _reads_back)(text, value, quantity, unit)


def _reads_back_to_digits(text: str, value: float, quantity: str, unit: str | None) -> None:
    """The same of a text whose idle zeros are left out: half of the last of three digits at least."""
    assert GROUPED.fullmatch(_number(text)) or "e" in _number(text), text
    back = parse(_typed(text, unit), quantity)
    zero = _si(0.0, quantity, unit or _plain(text[len(_number(text)) :]))
    assert back - zero == pytest.approx(value - zero, rel=5.1e-3)


@pytest.mark.parametrize("quantity", sorted(QUANTITIES))
@pytest.mark.parametrize("reader", READERS, ids=lambda r: f"{r.language}-{r.system}")
def test_a_figure_of_any_quantity_reads_back_with_any_number_of_decimals(quantity: str, reader: Reader) -> None:
    unit = display_unit(quantity, reader.system)
    for number in (10.0 ** np.random.default_rng(7).uniform(-3.0, 6.4, 15)).tolist():
        value = _si(number, quantity, unit)
        for digits in range(6):
            _reads_back(reader.quantity(value, quantity, digits, digits), value, quantity)
            _reads_back(reader.bare(value, quantity, digits, digits), value, quantity, unit)
            _reads_back(str(figure(value, quantity, reader, digits)), value, quantity)


@pytest.mark.parametrize("quantity", sorted(QUANTITIES))
def test_a_figure_of_the_library_is_grouped_as_on_a_page(quantity: str) -> None:
    for system in SYSTEMS:
        value = _si(12345.0, quantity, display_unit(quantity, system))
        assert _number(format_in(value, quantity, system)) in ("12\u202f345", "12\u202f345.0")
        assert _number(Reader("en", system).bare(value, quantity, 0, 0)) == "12\u202f345"


@pytest.mark.parametrize("reader", READERS, ids=lambda r: f"{r.language}-{r.system}")
def test_four_digits_are_grouped_like_five(reader: Reader) -> None:
    for number, text in ((999.0, "999"), (1013.0, "1\u202f013"), (1150.0, "1\u202f150"), (11280.0, "11\u202f280")):
        assert value_text(number, "number.0", reader) == text
        assert value_text(number, "number.s4", reader) == text
        assert value_text(from_(number, "mm"), "length.0.bare", Reader(reader.language, "metric")) == text


@hypothesis_settings(derandomize=True, max_examples=300, deadline=None)
@given(halves=st.integers(-180, 180), grams=st.integers(1, 99_999))
def test_what_was_given_is_shown_as_it_was_given(halves: int, grams: int) -> None:
    reader = Reader("en", "metric")
    lean = from_(halves / 2.0, "\u00b0")
    assert parse(reader.given(lean, "angle"), "angle") == pytest.approx(lean, abs=1e-12)
    mass = from_(grams / 10.0, "g")
    assert parse(reader.given(mass, "mass"), "mass") == pytest.approx(mass, rel=1e-12)


def test_an_angle_of_a_half_degree_keeps_its_half_wherever_it_is_told() -> None:
    reader = Reader("en", "metric")
    half = from_(12.5, "\u00b0")
    for code in ("hold.lean.up", "hold.lean.down"):
        assert "12.5\u00b0" in reader.say(code, lean=half)
    assert reader.given(half, "angle") == "12.5\u00b0"


GIVEN = {"lean", "load", "head", "hose", "wind", "temperature", "overlap", "clock", "total"}
"""Values that a person gave: a fixed number of decimals would round them away."""
CHOSEN = {"sheet.column.swing", "hold.pressed.contact_inner_end", "hold.pressed.contact_mouth", "scatter.source.spine"}


@pytest.mark.parametrize("name", sorted(GIVEN))
def test_what_was_given_is_told_in_no_fixed_number_of_decimals(name: str) -> None:
    texts = json.loads((CATALOGUES / "en.json").read_text(encoding="utf-8"))
    fixed = []
    for code, text in texts.items():
        for each in [text] if isinstance(text, str) else next(iter(text.values())) if code else ():
            for _, own, form, _ in string.Formatter().parse(each) if code and code not in CHOSEN else ():
                if own == name and form and re.split(r"[.@]", form)[0] in QUANTITIES and ".given" not in form:
                    fixed.append(f"{code}: {form}")
    assert fixed == []


def test_a_difference_of_temperature_is_shown_as_a_difference() -> None:
    assert [Reader("en", system).quantity(50.0, "rise", 0) for system in SYSTEMS] == ["50\u00a0K", "90\u00a0°F"]


def test_a_large_mass_is_told_in_kilograms_or_pounds() -> None:
    metric, inch = (Reader("en", system) for system in SYSTEMS)
    assert metric.quantity(18.851, "mass", 0) == "18.851\u00a0kg"
    assert metric.quantity(9.4, "mass", 0) == "9\u202f400\u00a0g"
    assert metric.bare(18.851, "mass", 0) == "18\u202f851"
    assert inch.quantity(18.851, "mass", 0).endswith("lb")
    assert parse(metric.given(18.851, "mass"), "mass") == pytest.approx(18.851)


def test_the_mass_that_a_front_hand_feels_is_told_in_kilograms() -> None:
    said = Reader("en", "metric").say("cli.hold.hands", front=1.0, rear=1.0, moment=1.0, felt=18.851)
    assert "18.9\u00a0kg" in said
    assert "18851" not in said.replace("\u202f", "")


def test_fields_of_documents_keep_their_unit_apart_from_what_is_shown() -> None:
    assert quantity_of_field("reach_mm") == "length"
    assert split_field("reach_mm")[1] == 1e-3
