"""An answer goes through JSON and comes back the same, messages and nested values too."""

import json
from dataclasses import dataclass

import numpy as np
import pytest

from polewright.answers.plain import answer_from, plain_answer
from polewright.codes import Message


@dataclass(frozen=True, slots=True)
class Inner:
    value: float
    ends: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Outer:
    name: str
    note: Message | str
    best: Inner | None
    rows: tuple[Inner, ...]
    notes: tuple[Message, ...] = ()


FULL = Outer(
    "a", Message("fit.short", gap=0.1, why=Message("fit.deep", joints=(1, 2))), Inner(0.5, (0.25, 1e-9)),
    (Inner(1.0, (0.0, 2.0)), Inner(-3.5, (1.0, 1.5))), (Message("one"), Message("two", more="x")),
)  # fmt: skip
BARE = Outer("b", "as typed", None, ())


@pytest.mark.parametrize("answer", [FULL, BARE])
def test_an_answer_comes_back_from_json_as_it_was(answer):
    text = json.dumps(plain_answer(answer), allow_nan=False)
    assert answer_from(Outer, json.loads(text)) == answer


def test_values_of_another_form_are_refused():
    with pytest.raises(TypeError):
        answer_from(Inner, {"value": 1.0})
    with pytest.raises(KeyError):
        answer_from(Inner, {"value": 1.0, "ends": [0.0, 1.0], "colour": "red"})


@pytest.mark.parametrize("number", [np.float32(0.5), np.int64(3), np.float64(0.25)])
def test_numbers_of_arrays_become_plain_numbers_that_json_can_hold(number):
    assert json.loads(json.dumps(plain_answer(Inner(number, (0.0, number))))) == {
        "value": float(number),
        "ends": [0.0, float(number)],
    }
