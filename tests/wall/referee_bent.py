"""Referee of a bent tube that goes oval and wrinkles: solid elements, large displacements, driven rotation.

A length of tube between two planes that stay plane and turn against each other; the section may go oval freely, and a
ripple of the shape of a wave lies in the wall from the start. One half of the section is modelled, and half a wave
along the tube. Displacements are counted in a frame that turns with the tube along its bent axis, so that the planes
keep their own points: no point of the planes moves along the tube. Of scikit-fem come the bricks, their shapes and the
numbering; nothing here uses the code under test but the wall's plain numbers.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import scipy.sparse as sp
import scipy.sparse.linalg as spla
from skfem import Basis, ElementHex2, MeshHex
from tests.wall.referee_slice import PAIR, turned_stiffness

AXES = (2, 1, 0)  # along, around, through of a ply in the order of r, theta, z


@dataclass
class BentTube:
    """Bricks of half a section (theta from the stretched side to the pushed side) and half a wave along z."""

    gradient: np.ndarray  # (brick, point, 9, 81) of a displacement at every point, rows r r, r theta, r z, theta r, ...
    lean: np.ndarray  # (brick, point, 9, 81): what a curvature of one adds to the gradient
    start: np.ndarray  # (brick, point): radius times the cosine, the height of a point at rest
    stiffness: np.ndarray  # (brick, 9, 9)
    weight: np.ndarray  # (brick, point)
    numbers: np.ndarray  # (brick, 81)
    fixed: np.ndarray
    places: np.ndarray  # (3, node) r, theta, z
    length: float

    @classmethod
    def made(cls, *, bore, thickness, elastic, angle, length, around=24, along=4, per_ply=1):
        """Plies from the bore outward: thickness [m], elastic constants by name, angle [rad].

        Bricks are narrower towards the pushed side, where the ripple lies: half as broad as at the other.
        """
        edges = bore / 2 + np.concatenate([[0.0], np.cumsum(thickness)])
        radii = np.concatenate([*(np.linspace(a, b, per_ply + 1)[:-1] for a, b in pairwise(edges)), edges[-1:]])
        even = np.linspace(0.0, 1.0, around + 1)
        clock = np.pi * even * (4.0 - even) / 3.0  # slope 4/3 falls to 2/3
        mesh = MeshHex.init_tensor(radii, clock, np.linspace(0.0, length, along + 1))
        basis = Basis(mesh, ElementHex2(), intorder=4)
        return cls._of(basis, edges, [_full(e, a) for e, a in zip(elastic, angle, strict=True)], length)

    @classmethod
    def _of(cls, basis, edges, plies, length):
        r, theta = np.asarray(basis.global_coordinates())[:2]
        value = np.stack([np.asarray(b[0]) * np.ones_like(r) for b in basis.basis], axis=-1)  # (brick, point, 27)
        slope = np.stack([b[0].grad for b in basis.basis], axis=-1)  # (3, brick, point, 27)
        brick, point, nodes = value.shape
        gradient = np.zeros((brick, point, 3, 3, nodes, 3))  # component, direction, node, displacement
        for i in range(3):
            gradient[:, :, i, 0, :, i] = slope[0]
            gradient[:, :, i, 1, :, i] = slope[1] / r[..., None]
            gradient[:, :, i, 2, :, i] = slope[2]
        gradient[:, :, 0, 1, :, 1] -= value / r[..., None]
        gradient[:, :, 1, 1, :, 0] += value / r[..., None]
        cos, sin = np.cos(theta)[..., None], np.sin(theta)[..., None]
        lean = np.zeros_like(gradient)
        lean[:, :, 0, 2, :, 2] = -value * cos
        lean[:, :, 1, 2, :, 2] = value * sin
        lean[:, :, 2, 2, :, 0] = value * cos
        lean[:, :, 2, 2, :, 1] = -value * sin
        middle = r.mean(axis=1)
        layer = np.clip(np.searchsorted(edges, middle) - 1, 0, len(plies) - 1)
        numbers = (3 * basis.element_dofs.T[:, :, None] + np.arange(3)).reshape(brick, -1)
        places = basis.doflocs
        fixed = np.concatenate(
            [
                3 * np.flatnonzero(np.isclose(places[2], 0.0) | np.isclose(places[2], length)) + 2,
                3 * np.flatnonzero(np.isclose(places[1], 0.0) | np.isclose(places[1], np.pi)) + 1,
            ]
        )
        return cls(
            gradient.reshape(brick, point, 9, -1),
            lean.reshape(brick, point, 9, -1),
            r * cos[..., 0],
            np.array(plies)[layer],
            basis.dx * r,
            numbers,
            np.unique(fixed),
            places,
            length,
        )

    def ripple(self, depth):
        """Displacements of a wave of this depth [m] round the whole section, its crest at the first plane."""
        shape = np.zeros(3 * self.places.shape[1])
        shape[0::3] = depth * np.cos(np.pi * self.places[2] / self.length)
        return shape

    def _at_rest(self, curvature):
        """(brick, point, 9) gradient of the places themselves."""
        rest = np.zeros((*self.start.shape, 9))
        rest[..., 0] = rest[..., 4] = 1.0
        rest[..., 8] = 1.0 + curvature * self.start
        return rest

    def state(self, moved, curvature, first):
        """Forces, stiffness and moment [N m] of the whole section; `first` is the ripple, free of stress."""
        operator = self.gradient + curvature * self.lean
        own = moved[self.numbers][:, None, :, None]
        now = self._at_rest(curvature) + (operator @ own)[..., 0]
        before = self._at_rest(0.0) + (self.gradient @ first[self.numbers][:, None, :, None])[..., 0]
        a, b = (g.reshape(*g.shape[:2], 3, 3) for g in (now, before))
        strain = 0.5 * (a.swapaxes(-1, -2) @ a - b.swapaxes(-1, -2) @ b)
        stress = (self.stiffness[:, None] @ strain.reshape(*strain.shape[:2], 9, 1)).reshape(strain.shape)
        force = a @ stress
        turn, inner = np.zeros((*a.shape[:2], 9, 9)), np.zeros((*a.shape[:2], 9, 9))
        for i in range(3):
            for k in range(3):
                for n in range(3):
                    turn[..., 3 * k + n, 3 * i + n] += a[..., i, k]
        for i in range(3):
            inner[..., 3 * i : 3 * i + 3, 3 * i : 3 * i + 3] = stress
        tangent = turn.swapaxes(-1, -2) @ self.stiffness[:, None] @ turn + inner
        weighted = tangent * self.weight[..., None, None]
        matrix = np.einsum("epgi,epgj->eij", operator, weighted @ operator, optimize=True)
        push = np.einsum("epgi,epg->ei", operator, force.reshape(*force.shape[:2], 9) * self.weight[..., None])
        rows = np.repeat(self.numbers, self.numbers.shape[1], axis=1).ravel()
        columns = np.tile(self.numbers, (1, self.numbers.shape[1])).ravel()
        size = moved.size
        stiff = sp.csc_matrix((matrix.ravel(), (rows, columns)), shape=(size, size))
        forces = np.bincount(self.numbers.ravel(), push.ravel(), minlength=size)
        slope = (self.lean @ own)[..., 0]
        slope[..., 8] += self.start
        moment = 2.0 * float((slope * force.reshape(slope.shape) * self.weight[..., None]).sum()) / self.length
        return forces, stiff, moment

    def solved(self, moved, curvature, first, *, steps=25):
        """Displacements in balance at a curvature [1/m], and the moment [N m]; None where none was found."""
        free = np.setdiff1d(np.arange(moved.size), self.fixed)
        moved = moved.copy()
        for _ in range(steps):
            forces, stiff, moment = self.state(moved, curvature, first)
            step = spla.spsolve(stiff[free][:, free], -forces[free])
            if not np.all(np.isfinite(step)):
                return None
            moved[free] += step
            if np.abs(step).max() < 1e-7 * self.places[0].max():
                return moved, moment
        return None

    def peak(self, *, near, depth):
        """Rows of curvature [1/m] and moment [N m] from none up to the first fall of the moment.

        near : [1/m] curvature about which the peak is looked for, in steps of a twenty-fifth of it.
        depth : [m] of the ripple.
        """
        first = self.ripple(depth)
        states = [(0.0, first)]
        rows = [(0.0, 0.0)]
        curvature, step = 0.0, 0.3 * near
        while curvature < 3.0 * near:
            curvature += step
            step = 0.3 * near if curvature < 0.45 * near else 0.1 * near if curvature < 0.75 * near else 0.04 * near
            guess = states[-1][1]
            if len(states) > 1:
                (k0, u0), (k1, u1) = states[-2:]
                guess = u1 + (u1 - u0) * (curvature - k1) / (k1 - k0)
            found = self.solved(guess, curvature, first)
            if found is None:
                break
            moved, moment = found
            states = [*states[-1:], (curvature, moved)]
            rows.append((curvature, moment))
            if moment < 0.999 * max(m for _, m in rows):
                break
        return np.array(rows)


def _full(elastic, angle):
    """(9, 9) stiffness between strains and stresses written in full, in the order of r, theta, z."""
    six, _ = turned_stiffness(elastic, angle)
    full = np.zeros((9, 9))
    for i, (a, b) in enumerate(PAIR):
        for j, (c, d) in enumerate(PAIR):
            for p, q in {(a, b), (b, a)}:
                for r, s in {(c, d), (d, c)}:
                    full[3 * AXES[p] + AXES[q], 3 * AXES[r] + AXES[s]] = six[i, j]
    return full
