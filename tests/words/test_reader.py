"""A reader's texts: values in their places, numbers and units as the language and the system write them."""

import codecs

import pytest

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.words import Reader
from polewright.words.catalogue import catalogue
from polewright.words.forms import value_text

METRIC, INCH = Reader("en", "metric"), Reader("en", "inch")
MARKED, REWORDED = Reader("x-marked"), Reader("x-reworded")


@pytest.mark.parametrize(
    ("value", "form", "metric", "inch"),
    [
        (0.000212, "length.3", "0.212\u00a0mm", "0.0083\u00a0in"),
        (0.0254, "length.1.2", "25.4\u00a0mm", "1.00\u00a0in"),
        (0.0254, "length.1.bare", "25.4", "1.00"),
        (12.3456, "reach.2", "12.35\u00a0m", "40.50\u00a0ft"),
        (0.45359237, "mass.0", "454\u00a0g", "16.0\u00a0oz"),
        (1.159, "mass.1@kg", "1.2\u00a0kg", "40.88\u00a0oz"),
        (0.516, "percent.0", "52\u202f%", "52\u202f%"),
        (-3.14159, "number.2", "\u22123.14", "\u22123.14"),
        (1234567.0, "number.0", "1\u202f234\u202f567", "1\u202f234\u202f567"),
        (1234.0, "number.0", "1\u202f234", "1\u202f234"),
        (-0.0004, "number.2", "0.00", "0.00"),
        ("2026-11-30", "date", "2026-11-30", "2026-11-30"),
        (0.7853981633974483, "angle.1", "45.0°", "45.0°"),
    ],
)
def test_a_value_is_written_as_its_place_asks(value: object, form: str, metric: str, inch: str):
    assert value_text(value, form, METRIC) == metric
    assert value_text(value, form, INCH) == inch


def test_an_inch_page_shows_no_metric_unit_of_its_own():
    assert value_text(1.159, "mass.1@kg", INCH).endswith("oz")


def test_several_values_are_listed_and_messages_are_shown():
    assert value_text((1, 2, 4), "", METRIC) == "1, 2, 4"
    assert value_text(Message("want.finite"), "", METRIC) == METRIC.say("want.finite")


def test_a_plural_is_chosen_by_its_count():
    assert METRIC.say("refusal.more", count=1) != METRIC.say("refusal.more", count=2).replace("2", "1")


def test_a_refusal_says_field_value_and_want():
    text = METRIC.refusal(DesignError("reach", 0.5, Message("want.finite")))
    assert [part in text for part in ("reach", "0.5", METRIC.say("want.finite"))] == [True] * 3


def test_the_marked_language_marks_every_text_and_keeps_values():
    text = MARKED.refusal(DesignError("reach", 0.5, Message("want.finite")))
    assert text.startswith("⟦")
    assert text.count("⟦") == 3  # the sentence, the name of the field, what is wanted
    assert "0.5" in text


def test_the_reworded_language_keeps_values_and_no_word():
    plain, other = METRIC.say("refusal.more", count=7), REWORDED.say("refusal.more", count=7)
    assert "7" in other
    assert not set(plain.split()) & set(other.split()) - {"7"}


def test_a_code_without_a_text_is_an_error():
    with pytest.raises(KeyError):
        METRIC.say("no.such_code")


def test_messages_are_equal_frozen_and_survive_pickling():
    import pickle

    one = Message("want.finite", b=2, a=1)
    assert one == Message("want.finite", a=1, b=2)
    assert hash(one) == hash(pickle.loads(pickle.dumps(one)))
    with pytest.raises(AttributeError):
        one.code = "other"
    fault = pickle.loads(pickle.dumps(DesignError("reach", 0.5, one)))
    assert (fault.field, fault.value, fault.want) == ("reach", 0.5, one)


def test_reworded_texts_are_turned_by_thirteen_letters() -> None:
    plain = {code: text for code, text in catalogue("en").texts.items() if isinstance(text, str) and "{" not in text}
    assert len(plain) > 1000
    assert {code: codecs.encode(REWORDED.say(code), "rot13") for code in plain} == plain
