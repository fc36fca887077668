"""A bore that was measured counts instead of that of the mandrel."""

from pathlib import Path

import numpy as np
import pytest

from polewright.documents.files import document_of, load
from polewright.documents.values import workpiece

REED = Path(__file__).parents[2] / "examples" / "reedlight-7.toml"


def test_a_measured_bore_is_read_in_its_unit_and_taken_for_the_tube():
    plain = dict(load(REED).plain())
    own = workpiece(document_of(plain)).sections[2].bores(np.zeros(1))[0]
    plain["sections"][2]["bore_mm"] = round(own * 1e3 + 0.03, 3)
    work = workpiece(document_of(plain))
    assert work.sections[2].bores(np.array([0.0, 1.0])) == pytest.approx([own + 3e-5] * 2, abs=1e-6)
    assert work.pole.tubes[2].bore[0] == pytest.approx(own + 3e-5, abs=1e-6)
