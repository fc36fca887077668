"""The one-wall search against the plain twin, sequence by sequence."""

import importlib.util
import sys
from pathlib import Path

import numpy as np
import pytest

from polewright.errors import DesignError
from polewright.find import best_walls

_spec = importlib.util.spec_from_file_location("plain_search", Path(__file__).with_name("plain_search.py"))
plain = importlib.util.module_from_spec(_spec)
sys.modules["plain_search"] = plain
_spec.loader.exec_module(plain)

CASES = 220


@pytest.mark.slow
@pytest.mark.parametrize("block", range(11))
def test_the_front_of_small_random_cases_is_that_of_every_sequence_to_the_last_member(block):
    for seed in range(20 * block, min(20 * block + 20, CASES)):
        try:
            options = plain.random_options(np.random.default_rng(seed))
        except DesignError:
            continue  # rules that contradict are refused in words, tested below
        front = best_walls(options, threads=1)
        assert plain.front_points(front) == plain.plain_front(options), seed
        assert front.certificate.is_complete, seed
