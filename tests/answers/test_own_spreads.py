from pathlib import Path

import numpy as np
import pytest

from polewright.answers.scatter_problem import spreads_of
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, load

EXAMPLE = Path(__file__).parents[2] / "examples" / "reedlight-7.toml"


def with_spreads(*spreads: dict) -> Design:
    plain = load(EXAMPLE).plain()
    plain["setting"]["spreads"] = list(spreads)
    return Design.model_validate(plain)


def test_measured_values_replace_the_tables_spread_with_the_predictive_deviation():
    values = [132.0, 128.0, 135.0, 130.0, 133.0, 129.0]
    spreads = spreads_of(with_spreads({"figure": "E1", "between": "lot", "material": "SM150", "values": values}))
    own = spreads.of_material["E1", "SM150"]
    n, s = len(values), np.std(values, ddof=1) / np.mean(values)
    assert own.lot == pytest.approx(s * np.sqrt((1 + 1 / n) * (n - 1) / (n - 3)))
    assert own.count == 6
    assert own.source == Message("scatter.source.own", count=6, note="")


def test_lengths_are_read_in_millimetres():
    spreads = spreads_of(with_spreads({"figure": "mandrel", "values": [26.90, 26.92, 26.91, 26.89]}))
    assert 1e-5 < spreads.every["mandrel"].tube < 5e-5


@pytest.mark.parametrize(
    ("spread", "words"),
    [
        ({"figure": "E1", "material": "XX", "values": [1, 2, 3, 4]}, "want.one (choices ('SM150', 'TH55'))"),
        ({"figure": "length", "material": "SM150", "values": [1, 2, 3, 4]}, "want.no_material (input length)"),
        ({"figure": "E1", "values": [1, -2, 1, -2]}, "want.mean_above_zero"),
    ],
)
def test_spread_that_makes_no_sense_is_refused(spread, words):
    with pytest.raises(DocumentError) as caught:
        spreads_of(with_spreads(spread))
    assert words in str(caught.value.faults[0])
