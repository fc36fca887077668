"""The swings of the reference pole beside a plain beam of finite elements: joints at the mouth as the notes printed
them, at the middle of the overlap as the pole knows them."""

import dataclasses
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from scipy.linalg import eigh

from polewright.documents.files import load
from polewright.documents.paths import with_fields
from polewright.words.reports.check import evaluate as check

EXAMPLE = Path(__file__).parents[2] / "examples" / "reedlight-7.toml"
BENDING, MASS = (416.0, 658.0, 834.0, 1039.0, 1275.0), (0.0809, 0.1059, 0.1147, 0.1234, 0.1321)
LENGTH, OVERLAP, PROUD, SPRING, CLAMP, HUNG = 1.65, 0.2, 0.035, 9000.0, 0.045, 0.66
PRINTED = (2.8, 1.3, 0.81, 0.54)  # Hz, workshop notes


@dataclasses.dataclass
class Beam:
    """Stiffness and mass of the drawn-out pole on trestles: w, slope butt side, slope tip side at every node."""

    nodes: np.ndarray
    springs: list[float]

    def __post_init__(self) -> None:
        turned = [any(abs(x - s) < 1e-9 for s in self.springs) for x in self.nodes]
        step = np.cumsum([0] + [3 if t else 2 for t in turned])
        self.w, self.low = step[:-1], step[:-1] + 1
        self.high = np.where(turned, self.low + 1, self.low)
        self.K, self.M = np.zeros((step[-1], step[-1])), np.zeros((step[-1], step[-1]))

    def at(self, x: float) -> int:
        return int(np.argmin(np.abs(self.nodes - x)))


def first_swing(out: int, at_mouth: bool) -> float:
    butt = [0.0] * 5
    for j in (3, 2, 1, 0):
        mouth = butt[j + 1] + LENGTH
        butt[j] = mouth - OVERLAP if j < out else mouth + PROUD - LENGTH
    mouths = [butt[j + 1] + LENGTH for j in range(4)]
    springs = mouths if at_mouth else [m - (m - b) / 2.0 for m, b in zip(mouths, butt, strict=False)]
    places = sorted({0.0, 1.0, *butt, *(b + LENGTH for b in butt), *springs})
    cut = [np.linspace(a, b, max(2, int((b - a) / 0.05) + 2))[:-1] for a, b in pairwise(places)]
    beam = Beam(np.concatenate([*cut, places[-1:]]), springs)
    for i, h in enumerate(np.diff(beam.nodes)):
        inside = [q for q in range(5) if butt[q] < beam.nodes[i] + h / 2.0 < butt[q] + LENGTH]
        d = np.ix_(*[[beam.w[i], beam.high[i], beam.w[i + 1], beam.low[i + 1]]] * 2)
        beam.K[d] += (
            sum(BENDING[q] for q in inside)
            / h**3
            * np.array(
                [
                    [12, 6 * h, -12, 6 * h],
                    [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                    [-12, -6 * h, 12, -6 * h],
                    [6 * h, 2 * h * h, -6 * h, 4 * h * h],
                ]
            )
        )
        beam.M[d] += (
            sum(MASS[q] for q in inside)
            * h
            / 420.0
            * np.array(
                [
                    [156, 22 * h, 54, -13 * h],
                    [22 * h, 4 * h * h, 13 * h, -3 * h * h],
                    [54, 13 * h, 156, -22 * h],
                    [-13 * h, -3 * h * h, -22 * h, 4 * h * h],
                ]
            )
        )
    for s in springs:
        i = beam.at(s)
        beam.K[np.ix_(*[[beam.low[i], beam.high[i]]] * 2)] += SPRING * np.array([[1, -1], [-1, 1]])
    for m in mouths:
        beam.M[beam.w[beam.at(m)], beam.w[beam.at(m)]] += CLAMP
    beam.M[beam.w[-1], beam.w[-1]] += HUNG
    free = np.setdiff1d(np.arange(len(beam.K)), [beam.w[0], beam.w[beam.at(1.0)]])
    least = eigh(beam.K[np.ix_(free, free)], beam.M[np.ix_(free, free)], eigvals_only=True, subset_by_index=[0, 0])
    return float(np.sqrt(least[0]) / (2.0 * np.pi))


@pytest.mark.parametrize("out", [1, 2, 3, 4])
def test_joints_at_the_mouth_give_the_swings_that_the_notes_printed(out):
    assert abs(first_swing(out, at_mouth=True) - PRINTED[out - 1]) < 0.02 * PRINTED[out - 1]


@pytest.mark.parametrize("out", [1, 2, 3, 4])
@pytest.mark.parametrize(("at_mouth", "place"), [(False, "mid-overlap"), (True, "the mouth")])
def test_the_check_swings_as_a_beam_of_finite_elements(out, at_mouth, place, verified):
    row = check(with_fields(load(EXAMPLE), ["joints.pivot_pct = 0"] if at_mouth else [])).reaches[out - 1]
    verified(
        "pole",
        f"swing of the reference pole, joints at {place}, {row.name}",
        "plain beam of finite elements",
        first_swing(out, at_mouth=at_mouth),
        row.swing_Hz,
        0.02,
        0.0,
        unit="Hz",
        kind="solver",
    )
