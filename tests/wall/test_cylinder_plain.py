"""The compiled kernel against its plain twin: the same lines run by Python itself, on seeded random walls."""

import json
import os
import runpy
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

from polewright.errors import DesignError
from polewright.materials.ply import Elastic
from polewright.wall.cylinder import ExactTube, exact_tube
from polewright.wall.stack import Wall

PLAIN = """
import json, sys
sys.path.insert(0, {here!r})
from test_cylinder_plain import seeded
print(json.dumps([t.tolist() for tube in seeded() for t in (tube.flexibility, tube.motion, tube.unit_stress)]))
"""


def seeded() -> list[ExactTube]:
    rng = np.random.default_rng(20)
    elastic = Elastic.unidirectional(E1=130e9, E2=8e9, G12=4e9, nu12=0.3, alpha1=1e-7, alpha2=4e-5)
    return [
        exact_tube(
            Wall(
                bore=np.array(rng.uniform(0.01, 0.06)),
                angle=rng.uniform(-1.5, 1.5, 3),
                thickness=rng.uniform(1e-4, 1e-3, 3) * [1.0, float(i), 1.0],
                elastic=elastic,
            )
        )
        for i in range(3)
    ]


@pytest.mark.slow
def test_compiled_and_plain_kernels_agree():
    here = str(Path(__file__).parent)
    environment = dict(os.environ, NUMBA_DISABLE_JIT="1")
    said = subprocess.run(
        [sys.executable, "-c", PLAIN.format(here=here)], env=environment, check=True, capture_output=True, text=True
    ).stdout
    compiled = [t for tube in seeded() for t in (tube.flexibility, tube.motion, tube.unit_stress)]
    for ours, plain in zip(compiled, json.loads(said), strict=True):
        assert_allclose(ours, plain, rtol=1e-7, atol=1e-9 * np.abs(ours).max())


def test_the_benchmark_of_the_exact_wall_starts(capsys):
    script = Path(__file__).parents[2] / "benchmarks" / "exact_wall.py"
    runpy.run_path(str(script))["main"](quick=True)
    assert "budget for one exact wall 1 ms" in capsys.readouterr().out


@pytest.mark.parametrize("nu", [0.3, 0.49, 0.4999])
@pytest.mark.parametrize("layers", [1, 10, 100])
@pytest.mark.parametrize("slender", [20.0, 200.0, 1000.0, 2000.0, 10000.0])
def test_slender_wall_of_many_layers_is_right_or_refused(nu, layers, slender):
    wall = Wall(
        bore=np.asarray(2e-3 * slender),
        angle=np.zeros(layers),
        thickness=np.full(layers, 1e-3 / layers),
        elastic=Elastic.isotropic(E=70e9, nu=nu),
    )
    inner, outer = slender * 1e-3, slender * 1e-3 + 1e-3
    try:
        found = exact_tube(wall).stiffness()
    except DesignError as refusal:
        assert refusal.want.code == "want.fewer_layers_thicker_wall_or_more"  # noqa: PT017
        assert layers * slender >= 1000.0
        return
    assert_allclose(found.axial, 70e9 * np.pi * (outer**2 - inner**2), rtol=5e-3)
    assert_allclose(found.bending, 70e9 * np.pi / 4.0 * (outer**4 - inner**4), rtol=5e-3)
    assert_allclose(found.shear, 70e9 / 2.0 / (1.0 + nu) * np.pi * (outer + inner) / 2.0 * 1e-3, rtol=5e-3)
