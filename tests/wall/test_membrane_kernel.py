"""The compiled twin of the thin tier gives what the plain one gives, on seeded random walls."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

from polewright.errors import DesignError
from polewright.materials.ply import Elastic
from polewright.wall.membrane import tube_stiffness
from polewright.wall.membrane_kernel import many_tubes
from polewright.wall.stack import Wall

ROOT = Path(__file__).parents[2]
FIELDS = ("axial", "bending", "twist", "shear", "coupling")


def random_walls(constants_shape, count=500, layers=7):
    rng = np.random.default_rng(20)
    shape = constants_shape(count, layers)
    elastic = Elastic.unidirectional(
        E1=rng.uniform(30e9, 300e9, shape),
        E2=rng.uniform(5e9, 12e9, shape),
        G12=rng.uniform(2.5e9, 6e9, shape),
        nu12=rng.uniform(0.2, 0.35, shape),
    )
    thickness = rng.uniform(0.0, 0.3e-3, (count, layers)) * (rng.random((count, layers)) > 0.1)
    return Wall(
        bore=rng.uniform(0.004, 0.08, count),
        angle=rng.uniform(-2.0, 2.0, (count, layers)),
        thickness=thickness,
        elastic=elastic,
    )


SHAPES = {
    "every layer its own": lambda n, m: (n, m),
    "one a layer": lambda n, m: (m,),
    "one a wall": lambda n, m: (n, 1),
    "one for all": lambda n, m: (),
}


@pytest.mark.parametrize("constants_shape", SHAPES.values(), ids=SHAPES)
def test_kernel_and_plain_twin_agree_on_random_walls(constants_shape):
    wall = random_walls(constants_shape)
    fast, plain = many_tubes(wall), tube_stiffness(wall)
    for name in FIELDS:
        assert_allclose(getattr(fast, name), getattr(plain, name), rtol=1e-10, atol=1e-9, err_msg=name)


def test_kernel_refuses_one_wall_or_a_grid_of_them():
    wall = random_walls(lambda n, m: (m,), count=4)
    one = Wall(bore=wall.bore[0], angle=wall.angle[0], thickness=wall.thickness[0], elastic=wall.elastic)
    with pytest.raises(DesignError, match=r"want\.one_axis_cases"):
        many_tubes(one)


@pytest.mark.slow
def test_benchmark_starts():
    done = subprocess.run(
        [sys.executable, "benchmarks/thin_wall.py", "--quick"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0 or "needs gcc" in done.stderr, done.stderr
    if done.returncode == 0:
        assert "rate over C" in done.stdout
