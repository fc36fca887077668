"""A stopped search: kept in a file of plain numbers, gone on with to its end, refused where it does not belong."""

import io
import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from polewright.answers.find import Finder, StoppedEarly
from polewright.answers.find.state import state_bytes, state_from
from polewright.answers.options import search_values
from polewright.answers.wishes import WISHES
from polewright.codes import Message
from polewright.documents.files import load
from polewright.errors import DesignError
from polewright.search import FigureLimit, pole_search

pytestmark = pytest.mark.slow

BRIEFS = Path(__file__).parents[2] / "examples" / "briefs"


def brief(cost=60.0):
    whole = load(BRIEFS / "reedlight-7.toml")
    wishes = whole.brief.model_copy(
        update={
            "reach_at_least_mm": 4400.0,
            "droop": (),
            "mass_at_most_g": None,
            "material_cost_at_most": cost,
            "swing_at_least_Hz": 0.5,
        }
    )
    return whole.model_copy(update={"sections": None, "brief": wishes, "mandrels": whole.mandrels[:4]})


@pytest.fixture(scope="module")
def stopped():
    """A search stopped at its first pole, and its state."""
    seen = []
    finder = Finder(brief(150.0), say=seen.append, stop=lambda: bool(seen) and seen[-1].best < 1e9)
    finder.search()
    return finder


@pytest.fixture(scope="module")
def whole():
    finder = Finder(brief(150.0))
    finder.search()
    return finder.answer()


def test_a_stopped_search_keeps_the_best_so_far_and_can_be_resumed(stopped):
    assert stopped.can_go_on
    assert not stopped.is_done
    answer = stopped.answer()
    assert answer.best is not None
    assert not answer.is_complete


def test_going_on_from_a_file_ends_where_a_search_without_a_stop_does(stopped, whole):
    again = Finder(brief(150.0))
    again.search(stopped.state)
    answer = again.answer()
    assert again.is_done
    assert again.state is None
    assert answer.is_complete
    # a stop ends the search for weights too, so the proofs may differ within what both promise
    assert answer.best.gap <= 0.01
    assert abs(answer.best.droop / whole.best.droop - 1.0) <= 0.01


def test_going_on_in_place_is_the_same_as_from_the_file(stopped):
    in_place, seen = None, []
    in_place = Finder(brief(150.0), say=seen.append, stop=lambda: bool(seen) and seen[-1].best < 1e9 and not done)
    done = False
    in_place.search()
    from_file = Finder(brief(150.0))
    from_file.search(in_place.state)
    done = True
    in_place.go_on()
    assert in_place.answer().best == from_file.answer().best


def test_a_state_of_another_brief_is_refused(stopped):
    with pytest.raises(DesignError, match=r"want\.state_brief"):
        Finder(brief(151.0)).search(stopped.state)


@pytest.mark.parametrize("data", [b"", b"nonsense", b"PK\x03\x04"])
def test_what_is_no_state_is_refused_with_a_message(data):
    with pytest.raises(DesignError, match=r"want\.state_file"):
        Finder(brief(150.0)).search(data)


def test_a_state_keeps_every_limit_of_the_search():
    limited = search_values(brief(150.0)).brief
    figures = tuple(FigureLimit(w.search, 1.5 + i) for i, w in enumerate(w for w in WISHES if w.search is not None))
    assert len(figures) >= 2
    for wanted in (limited, replace(limited, figures=figures)):
        assert state_from(state_bytes("a brief", wanted, None), "a brief")[0] == wanted


def test_a_state_larger_than_any_search_keeps_is_refused_with_the_most(monkeypatch):
    monkeypatch.setattr("polewright.answers.find.state.MOST", 3 * 2**20)
    with io.BytesIO() as file:
        np.savez_compressed(file, text=np.zeros(4 * 2**20, np.uint8))
        large = file.getvalue()
    with pytest.raises(DesignError) as refused:
        state_from(large, "a brief")
    assert refused.value.want == Message("want.state_size", most=3)


def test_checkpoints_are_offered_before_branch_and_bound_and_go_on_from_the_best_pole_so_far(whole):
    """While the limits are priced there is a pole, but no number of sections is bounded yet."""
    seen, kept = [], []
    finder = Finder(
        brief(150.0),
        say=seen.append,
        stop=lambda: any(p.step == "branch" for p in seen),
        keep=lambda make: kept.append((seen[-1].step, make())),
    )
    finder.search()
    priced = [data for step, data in kept if step == "prices"]
    assert priced
    _, state, walls = state_from(priced[-1], brief(150.0).content_hash())
    assert (state["parts"], state["best"] is None) == ([], False)
    assert walls["at"].size
    steps = []
    again = Finder(brief(150.0), say=steps.append)
    again.search(priced[-1])
    assert "prices" in {p.step for p in steps}
    assert all(p.best <= state["value"] for p in steps if p.step in {"prices", "branch"})
    assert again.answer().best.droop <= whole.best.droop * 1.01


def test_a_stop_while_walls_are_evaluated_keeps_the_walls():
    seen = []
    finder = Finder(brief(150.0), say=seen.append, stop=lambda: len(seen) >= 2)
    with pytest.raises(StoppedEarly):
        finder.search()
    _, search, walls = state_from(finder.state, brief(150.0).content_hash())
    assert search is None
    assert 0 < len(walls["at"]) < seen[-1].of


def test_what_more_would_buy_leaves_no_checkpoint():
    """It searches with another aim, so going on from its state would answer another question."""
    cheapest = brief(150.0).model_copy(update={"aim": "cost"})
    kept = []
    finder = Finder(cheapest, keep=lambda make: kept.append(make()))
    finder.search()
    before = len(kept)
    assert before
    finder.buy()
    assert len(kept) == before


def test_a_state_whose_numbers_point_outside_the_options_is_refused(monkeypatch):
    monkeypatch.setattr(pole_search, "_SLICE", 1)
    seen = []
    stopped = Finder(brief(150.0), say=seen.append, stop=lambda: bool(seen) and seen[-1].step == "branch")
    stopped.search()
    with np.load(io.BytesIO(stopped.state)) as stored:
        arrays = {n: stored[n] for n in stored.files}
    text = json.loads(arrays["text"].tobytes())
    name = text["kept"]["dict"]["parts"][0]["dict"]["stack"]["dict"]["depth"]["array"]
    arrays[name] = np.array([99])
    out = io.BytesIO()
    np.savez_compressed(out, **arrays)
    with pytest.raises(DesignError, match=r"want\.state_stopped_search_whole"):
        Finder(brief(150.0)).search(out.getvalue())
