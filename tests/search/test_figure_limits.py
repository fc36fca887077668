"""Limits on figures of the whole pole known by the table of wishes alone, against every pole there is."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from test_further_limits import every_pole, small_shop

from polewright.answers.wishes import WISHES
from polewright.errors import DesignError
from polewright.search import FINE_SLICES, Brief, FigureLimit, best_pole, brief_base, links_of
from polewright.search.chain import heaviest_walls
from polewright.search.further_limits import Range, Reference
from polewright.search.span import spans_of

pytestmark = pytest.mark.slow

FIGURES = {wish.search.code: wish.search for wish in WISHES if wish.search is not None}
BRIEF = Brief(reach=2.9, sections=(2,), tip_mass=0.6)


@pytest.fixture(scope="module")
def made():
    """A workshop of three mandrels, and every pole of it, those of walls that others beat among them."""
    shop = small_shop(most=5)
    shop = replace(shop, build=replace(shop.build, slices=FINE_SLICES))
    return shop, tuple(every_pole(BRIEF, shop))


def test_every_figure_of_the_table_is_tried_here():
    assert set(FIGURES) == {"balance", "tip_play"}


@pytest.mark.parametrize("share", [0.1, 0.4])
@pytest.mark.parametrize("aim", ["droop", "mass"])
@pytest.mark.parametrize("code", FIGURES)
def test_the_best_pole_within_a_limit_is_that_of_every_pole_and_the_bound_below_it(made, code, aim, share):
    shop, poles = made
    figure, softest = FIGURES[code], float(np.median([p.droop for p in poles]))
    brief = replace(BRIEF, aim=aim, droop_at_most=softest if aim == "mass" else np.inf)
    stiff = [p for p in poles if p.droop <= brief.droop_at_most]
    free = min(stiff, key=lambda p: p.figure(aim))
    below = sorted(v for p in stiff if (v := figure.value(p)) < figure.value(free) * (1.0 - 1e-6))
    limit = below[int(share * len(below))] * (1.0 + 1e-9)
    least = min(p.figure(aim) for p in stiff if figure.value(p) <= limit)
    found = best_pole(replace(brief, figures=(FigureLimit(figure, limit),)), shop, tolerance=1e-4, digits=7)
    assert figure.value(found.best) <= limit
    assert_allclose(found.best.figure(aim), least, rtol=1e-6)
    assert found.bound <= least * (1.0 + 1e-12)
    assert found.best.figure(aim) > free.figure(aim)  # the limit costs something
    ledger = found.certificate.ledgers[-1]
    assert ledger.evaluated + sum(n for _, n in ledger.excluded) == ledger.in_all


@pytest.mark.parametrize("mass_at_most", [np.inf, 0.5])
@pytest.mark.parametrize("code", FIGURES)
def test_no_pole_exceeds_a_row_of_its_own_figure(made, code, mass_at_most):
    shop, poles = made
    spans = spans_of(BRIEF, shop.build, 2)
    links = links_of(shop, brief_base(BRIEF, shop))
    room = Range(np.full(2, 1e5), 0.02, heaviest_walls(shop, links, brief_base(BRIEF, shop), 2))
    reference = Reference(replace(BRIEF, mass_at_most=mass_at_most), shop.build, spans, room)
    kept = [p for p in poles if p.mass <= mass_at_most]
    assert kept
    for pole in kept:
        own = np.array([float(w.mass_per_length) for w in pole.walls])
        assert np.all(own <= room.heaviest)
        tilt = np.array([0.0, pole.pole.joints[0].free_tilt(shop.build.overlap)])
        for row in FIGURES[code].rows(reference, FIGURES[code].value(pole)):
            assert row.own @ own + row.tilt @ tilt + row.always <= row.most * (1.0 + 1e-9)


def test_a_limit_that_nothing_keeps_is_proved_to_be_impossible(made):
    shop, _ = made
    for figure in FIGURES.values():
        found = best_pole(replace(BRIEF, figures=(FigureLimit(figure, 1e-5),)), shop)
        assert found.best is None
        assert found.is_complete
        assert found.bound == np.inf


def test_a_limit_of_zero_is_refused():
    with pytest.raises(DesignError, match="above_zero"):
        FigureLimit(FIGURES["balance"], 0.0)
