"""The reference pole of the workshop notes, and oracles that share no code with the product."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pytest

from polewright.pole import Joint, Pole, Tube

EI = (416.0, 658.0, 834.7, 1039.5, 1275.5)
MASS = (0.0809, 0.1059, 0.1147, 0.1234, 0.1321)
BORE = (0.02300, 0.02481, 0.02693, 0.02904, 0.03115)
OUTSIDE = (0.02441, 0.02653, 0.02864, 0.03075, 0.03286)


@pytest.fixture(scope="session")
def reedlight() -> Callable[..., Pole]:
    def build(
        *,
        tip_mass: float = 0.06,
        clearance: float = 0.4e-3,
        overlap: float = 0.2,
        stiffness: float = 9000.0,
        centring: str = "mouth",
    ) -> Pole:
        tubes = tuple(
            Tube.uniform(length=1.65, bending=e, mass_per_length=m, bore=b, outside=o)
            for e, m, b, o in zip(EI, MASS, BORE, OUTSIDE, strict=True)
        )
        joint = Joint(
            overlap=overlap, proud=0.035, stiffness=stiffness, clearance=clearance, centring=centring, mass=0.045
        )
        return Pole(tubes, (joint,) * 4, tip_mass)

    return build


@pytest.fixture(scope="session")
def plain() -> Callable[..., Pole]:
    """One straight tube."""

    def build(length: float, bending: float, mass_per_length: float, **others: float) -> Pole:
        return Pole(
            (
                Tube.uniform(
                    length=length,
                    bending=bending,
                    mass_per_length=mass_per_length,
                    **{"bore": 0.028, "outside": 0.030, **others},
                ),
            ),
            (),
        )

    return build


@pytest.fixture(scope="session")
def stepped() -> Callable[..., Pole]:
    """Tubes end to end without overlap, tip first: a stepped bar."""

    def build(
        lengths: tuple[float, ...],
        bending: tuple[float, ...],
        mass: tuple[float, ...],
        *,
        stiffness: float = np.inf,
        tip_mass: float = 0.0,
    ) -> Pole:
        tubes = tuple(
            Tube.uniform(length=a, bending=e, mass_per_length=m, bore=0.0, outside=1e-6, shear=1e15, axial=1e15)
            for a, e, m in zip(lengths, bending, mass, strict=True)
        )
        return Pole(tubes, (Joint(overlap=0.0, stiffness=stiffness),) * (len(tubes) - 1), tip_mass)

    return build


@dataclass
class Bar:
    """Hermite beam elements, Euler and Bernoulli, clamped at the butt: textbook stiffness, mass and string matrices."""

    stiffness: np.ndarray
    mass: np.ndarray
    string: np.ndarray


@pytest.fixture(scope="session")
def bar() -> Callable[..., Bar]:
    def build(lengths, bending, mass, thrust, *, spring=np.inf, tip_mass=0.0, cuts=24) -> Bar:
        """Lengths, bending, mass butt first; thrust(s) [N] at a place from the butt; springs between the tubes."""
        dofs, rows = [0, 1], []
        for a in lengths:
            for k in range(cuts):
                start = dofs[-2:]
                if k == 0 and rows and np.isfinite(spring):
                    start = [start[0], max(dofs) + 1]
                    dofs.append(start[1])
                end = [max(dofs) + 1, max(dofs) + 2]
                rows.append((start, end, a / cuts, len(rows) // cuts))
                dofs += end
        size = max(dofs) + 1
        out = Bar(np.zeros((size, size)), np.zeros((size, size)), np.zeros((size, size)))
        at, before = 0.0, None
        for start, end, h, i in rows:
            ix = np.ix_(start + end, start + end)
            out.stiffness[ix] += (
                bending[i]
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
            out.mass[ix] += (
                mass[i]
                * h
                / 420
                * np.array(
                    [
                        [156, 22 * h, 54, -13 * h],
                        [22 * h, 4 * h * h, 13 * h, -3 * h * h],
                        [54, 13 * h, 156, -22 * h],
                        [-13 * h, -3 * h * h, -22 * h, 4 * h * h],
                    ]
                )
            )
            out.string[ix] += (
                thrust(at + h / 2)
                / (30 * h)
                * np.array(
                    [
                        [36, 3 * h, -36, 3 * h],
                        [3 * h, 4 * h * h, -3 * h, -h * h],
                        [-36, -3 * h, 36, -3 * h],
                        [3 * h, -h * h, -3 * h, 4 * h * h],
                    ]
                )
            )
            if before is not None and before[1] != start[1]:
                pair = np.ix_([before[1], start[1]], [before[1], start[1]])
                out.stiffness[pair] += spring * np.array([[1, -1], [-1, 1]])
            at, before = at + h, end
        out.mass[before[0], before[0]] += tip_mass
        return Bar(*(m[2:, 2:] for m in (out.stiffness, out.mass, out.string)))

    return build


class Chain:
    """Rigid links with springs between them: a heavy pole of large rotation without any beam theory.

    Links of equal length h, masses in the middle of links and at the tip; error falls with h squared.
    """

    def __init__(self, *, length, bending, mass, tip_mass, lean, links=160, gravity=9.80665):
        self.n, self.h, self.lean, self.g = links, length / links, lean, gravity
        self.k = np.full(links, bending / self.h)
        self.k[0] *= 2.0  # half a link between the clamp and the first middle
        self.m, self.tip = np.full(links, mass * self.h), tip_mass
        beyond = np.cumsum(self.m[::-1])[::-1] - self.m
        self.pull = gravity * self.h * (beyond + self.m / 2 + tip_mass)
        self.th = np.full(links, lean)

    def _bend(self, th):
        return np.diff(np.concatenate([[self.lean], th]))

    def _hessian(self, th):
        out = np.diag(-self.pull * np.sin(th))
        i = np.arange(self.n)
        out[i, i] += self.k
        out[i[:-1], i[:-1]] += self.k[1:]
        out[i[:-1], i[1:]] -= self.k[1:]
        out[i[1:], i[:-1]] -= self.k[1:]
        return out

    def settle(self, start=None):
        th = self.th.copy() if start is None else start.copy()
        for _ in range(200):
            bend = self.k * self._bend(th)
            grad = bend - np.append(bend[1:], 0.0) + self.pull * np.cos(th)
            move = np.linalg.solve(self._hessian(th), -grad)
            th += move * min(1.0, 0.2 / np.abs(move).max())
            if np.abs(move).max() < 1e-12:
                break
        self.th = th
        return self

    def tip_place(self):
        return self.h * np.cos(self.th).sum(), self.h * np.sin(self.th).sum()

    def frequencies(self, count=3):
        e2 = np.stack([-np.sin(self.th), np.cos(self.th)])
        reach = np.tril(np.ones((self.n, self.n)), -1) + 0.5 * np.eye(self.n)
        move = [self.h * reach * e2[c] for c in range(2)]
        mass = sum(m.T @ (self.m[:, None] * m) for m in move)
        for c in range(2):
            mass += self.tip * np.outer(self.h * e2[c], self.h * e2[c])
        from scipy.linalg import eigh

        return np.sqrt(eigh(self._hessian(self.th), mass, eigvals_only=True)[:count]) / (2 * np.pi)


@pytest.fixture(scope="session")
def chain() -> type[Chain]:
    return Chain
