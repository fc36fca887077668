"""What the compiler is kept from loading it still has when a loop asks for it."""

import subprocess
import sys

LOOP = """
import sys
import numpy as np
import polewright.wall
from numba import njit

assert "scipy.linalg" not in sys.modules

@njit
def product(a, b):
    return a @ b

print(product(np.array([[1.0, 2.0], [3.0, 4.0]]), np.array([[5.0, 6.0], [7.0, 8.0]])).tolist())
assert "scipy.linalg" in sys.modules
"""


def test_a_product_of_matrices_compiles_all_the_same():
    done = subprocess.run([sys.executable, "-c", LOOP], capture_output=True, text=True, check=False)
    assert done.stdout.strip() == "[[19.0, 22.0], [43.0, 50.0]]", done.stderr
