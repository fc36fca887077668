"""A search on tapered mandrels: what it finds slides by the full check, for which bars and clearance are drawn anew."""

from pathlib import Path

import pytest

from polewright.answers.find import Finder
from polewright.answers.options import search_values
from polewright.documents.files import DocumentError, load
from polewright.documents.values import workpiece

BRIEF = Path(__file__).parents[2] / "examples" / "briefs" / "reedlight-7.toml"


def tapered(taper_mm_m: float):
    """Two sections of three metres in all, on bars of one taper, with room for joints that meet at their ends."""
    whole = load(BRIEF)
    bars = tuple(
        m.model_copy(
            update={
                "profile": tuple(
                    p.model_copy(update={"diameter_mm": p.diameter_mm + taper_mm_m * p.at_mm / 1e3}) for p in m.profile
                )
            }
        )
        for m in whole.mandrels[:3]
    )
    brief = whole.brief.model_copy(
        update={"reach_at_least_mm": 3000.0, "droop": (), "mass_at_most_g": None, "material_cost_at_most": 60.0}
    )
    plies = tuple(p for p in whole.rolls.plies if p.prepreg != "HM125")
    return whole.model_copy(
        update={
            "sections": None,
            "brief": brief,
            "mandrels": bars,
            "rolls": whole.rolls.model_copy(update={"most_plies": 6, "plies": plies}),
            "sliding": whole.sliding.model_copy(update={"clearance_most_mm": 0.9}),
        }
    )


@pytest.mark.parametrize("taper_mm_m", [0.0, 0.5, 0.8, 1.0, 1.5])
def test_joints_on_tapered_bars_keep_the_clearance_that_is_wanted(taper_mm_m):
    document = tapered(taper_mm_m)
    finder = Finder(document)
    finder.search()
    work = workpiece(finder.answer().best.design)
    assert len(work.fits) == 1
    for fit in work.fits:
        assert document.sliding.clearance_least_mm <= 1e3 * fit.least + 0.02
        assert 1e3 * fit.least <= document.sliding.clearance_most_mm


def test_a_window_narrower_than_the_rise_over_an_overlap_is_refused_with_the_least_that_would_do():
    document = tapered(1.0)
    window = document.sliding.model_copy(update={"clearance_most_mm": 0.4})
    with pytest.raises(DocumentError) as refused:
        search_values(document.model_copy(update={"sliding": window}))
    ((field, _, want),) = refused.value.faults
    assert field == "sliding.clearance_most_mm"
    least = window.clearance_least_mm + 1.0 * document.joint.overlap_mm / 1e3
    assert want.values["least"] == pytest.approx(least / 1e3)
    right = window.model_copy(update={"clearance_most_mm": least + 1e-6})
    search_values(document.model_copy(update={"sliding": right}))


@pytest.mark.parametrize(("reach_mm", "fits"), [(3790.0, True), (3810.0, False)])
def test_tubes_of_no_said_length_are_as_long_as_the_reach_asks_and_so_must_be_the_bars(reach_mm, fits):
    document = tapered(0.0)
    brief = document.brief.model_copy(update={"reach_at_least_mm": reach_mm})
    document = document.model_copy(update={"section_length_mm": None, "sections": (2,), "brief": brief})
    bar = document.mandrels[0].profile[-1].at_mm
    assert bar == document.sliding.place_mm + (3800.0 + document.joint.overlap_mm) / 2.0
    if fits:
        search_values(document)
    else:
        with pytest.raises(DocumentError) as refused:
            search_values(document)
        assert [field for field, *_ in refused.value.faults] == ["mandrels[0]"]
