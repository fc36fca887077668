"""Fronts of walls in a checkpoint: the same links again, and nothing taken that belongs to other options."""

import numpy as np
import pytest
import quillbeck_shelf as quillbeck
from numpy.testing import assert_array_equal

from polewright.errors import DesignError
from polewright.search import fronts_of, fronts_wanted, kept_fronts, links_of

BASE = 0.0335


@pytest.fixture(scope="module")
def rack():
    """Shop, wanted fronts, and those known after the links were worked out."""
    shop, known = quillbeck.shop(quillbeck.OWNED), {}
    links = links_of(shop, BASE, known=known)
    return shop, fronts_wanted(shop, BASE), known, links


def test_links_from_kept_fronts_are_the_same_and_nothing_is_worked_out_again(rack):
    shop, wanted, known, links = rack
    again = fronts_of(kept_fronts(known, wanted), wanted)
    counted = []
    same = links_of(shop, BASE, known=again, progress=lambda done, of: counted.append(done))
    assert not counted
    assert (same.candidates, same.evaluated) == (links.candidates, links.evaluated)
    for one, two in zip(links.links, same.links, strict=True):
        assert one.recipes == two.recipes
        assert_array_equal(one.figures, two.figures)


def test_some_fronts_known_leave_the_others_to_be_worked_out(rack):
    shop, wanted, known, _ = rack
    some = dict(list(known.items())[:3])
    again = fronts_of(kept_fronts(some, wanted), wanted)
    assert list(again) == list(some)
    counted = []
    links_of(shop, BASE, known=again, progress=lambda done, of: counted.append((done, of)))
    assert counted[-1] == (len(wanted) - 3, len(wanted) - 3)
    assert fronts_of(kept_fronts({}, wanted), wanted) == {}


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("at", np.array([10**6])),
        ("walls", np.array([7])),
        ("plies", np.array([0])),
        ("recipes", np.array([99])),
        ("figures", np.zeros((8, 2))),
        ("ledgers", []),
        ("walls", np.array([1.0])),
    ],
)
def test_fronts_that_are_not_whole_or_of_other_options_are_refused(rack, name, value):
    _, wanted, known, _ = rack
    first = next(key for key, front in known.items() if len(front))
    one = type(known[first])  # a single front of a single wall, so that each array has one number
    front = known[first]
    single = one(
        front.options,
        front.recipes[:1],
        *(getattr(front, n)[:1] for n in ("bending", "axial", "mass", "cost", "twist", "ring", "collapse", "wall")),
        front.certificate,
    )
    kept = kept_fronts({first: single}, wanted)
    assert fronts_of(kept, wanted)
    kept[name] = value
    with pytest.raises(DesignError):
        fronts_of(kept, wanted)
