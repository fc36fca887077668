"""The reach still safe in a hold, for programs: told where it and the share that is used are known, else left out."""

import pytest

from polewright.answers.hold import SafeAnswer
from polewright.words import default_reader
from polewright.words.reports.hold import _safe


@pytest.mark.parametrize(("reach", "used"), [(None, 0.4), (6.2, None), (None, None)])
def test_what_is_known_by_half_is_left_out(reach, used):
    assert _safe(SafeAnswer("stopped", reach=reach, used=used, place=None), default_reader()) is None


def test_what_is_known_is_told_in_its_units():
    told = _safe(SafeAnswer("stopped", reach=6.2, used=0.4, place=None), default_reader())
    assert (told.reach_mm, told.used_pct, told.stopped_by) == (pytest.approx(6200.0), pytest.approx(40.0), "")
