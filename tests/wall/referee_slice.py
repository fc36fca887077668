"""Three-dimensional finite-element referee: triquadratic curved bricks of scikit-fem, Cartesian displacements.

`Slice` is one brick long and periodic along the tube: the ends differ by the motion of a stretched, twisted, bent tube
and by nothing else, so that it stands for a tube away from its ends. `bent_tube` is a whole tube with loads
on its ends. Nothing here uses the code under test but the wall's plain numbers.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import scipy.sparse as sp
import scipy.sparse.linalg as spla
from skfem import Basis, ElementHex2, MeshHex, MeshHex2

PAIR = ((0, 0), (1, 1), (2, 2), (1, 2), (0, 2), (0, 1))  # along, around, through and the three shears


def own_compliance(e):
    s = np.zeros((6, 6))
    s[:3, :3] = [
        [1 / e["E1"], -e["nu12"] / e["E1"], -e["nu13"] / e["E1"]],
        [-e["nu12"] / e["E1"], 1 / e["E2"], -e["nu23"] / e["E2"]],
        [-e["nu13"] / e["E1"], -e["nu23"] / e["E2"], 1 / e["E3"]],
    ]
    s[3, 3], s[4, 4], s[5, 5] = 1 / e["G23"], 1 / e["G13"], 1 / e["G12"]
    return s


def turned_stiffness(e, angle):
    """Ply stiffness as a fourth-order tensor turned by `angle`, back as 6 x 6 in along, around, through axes."""
    six = np.linalg.inv(own_compliance(e))
    four = np.zeros((3, 3, 3, 3))
    for i, (a, b) in enumerate(PAIR):
        for j, (c, d) in enumerate(PAIR):
            for p, q in {(a, b), (b, a)}:
                for r, s in {(c, d), (d, c)}:
                    four[p, q, r, s] = six[i, j]
    c, s = np.cos(angle), np.sin(angle)
    turn = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1.0]])  # tube component from ply component
    four = np.einsum("ai,bj,ck,dl,ijkl->abcd", turn, turn, turn, turn, four)
    heat = turn @ np.diag([e["alpha1"], e["alpha2"], e["alpha3"]]) @ turn.T
    out = np.array([[four[a, b, c_, d_] for c_, d_ in PAIR] for a, b in PAIR])
    return out, np.array([heat[a, b] * (1 if a == b else 2) for a, b in PAIR])


def ply_axes(six, angle):
    """Stress in tube axes (..., 6) as a tensor, turned to ply axes."""
    full = np.zeros((*six.shape[:-1], 3, 3))
    for i, (a, b) in enumerate(PAIR):
        full[..., a, b] = full[..., b, a] = six[..., i]
    c, s = np.cos(angle), np.sin(angle)
    turn = np.array([[c, s, 0], [-s, c, 0], [0, 0, 1.0]])
    full = turn @ full @ turn.T
    return np.stack([full[..., a, b] for a, b in PAIR], axis=-1)


@dataclass
class Body:
    """Mesh, strain operator and stiffness of a tube of bricks; layer of each brick in `layer`."""

    basis: Basis
    param: np.ndarray  # (3, n_dof) radius, clock, z of every node
    b: np.ndarray  # (n_el, n_q, 6, 81)
    c: np.ndarray  # (n_el, 6, 6)
    heat: np.ndarray  # (n_el, 6)
    dofs: np.ndarray  # (81, n_el) full displacement unknowns
    k: sp.csr_matrix
    layer: np.ndarray

    def nodal(self, function):
        """Nodal vector (3 n_dof,) of a displacement (3, n) given at Cartesian places."""
        r, clock, z = self.param
        return np.asarray(function(r * np.cos(clock), r * np.sin(clock), z)).T.ravel()

    def strain(self, u):
        return np.einsum("eqij,je->eqi", self.b, u[self.dofs])

    def heat_force(self):
        pull = np.einsum("eij,ej->ei", self.c, self.heat)
        force = np.einsum("eqij,eq,ei->je", self.b, self.basis.dx, pull)
        return np.bincount(self.dofs.ravel(), force.ravel(), self.k.shape[0])


def body(edges, constants, angles, *, around, length, along=1, parts=1):
    """Tube of `parts` bricks through each layer, `around` round the clock, `along` along; a seam is left to tie."""
    radial = np.concatenate([np.linspace(a, b, parts + 1)[:-1] for a, b in pairwise(edges)] + [edges[-1:]])
    box = MeshHex.init_tensor(radial, np.linspace(0, 2 * np.pi, around + 1), np.linspace(0, length, along + 1))
    param = Basis(box, ElementHex2(), intorder=1).doflocs
    curved = MeshHex2.from_mesh(box)
    r, clock, z = curved.doflocs
    mesh = MeshHex2(np.array([r * np.cos(clock), r * np.sin(clock), z]), curved.t)
    basis = Basis(mesh, ElementHex2(), intorder=4)
    middle = box.p[:, box.t].mean(axis=1)[0]
    layer = np.searchsorted(edges, middle) - 1
    turned = [turned_stiffness(e, a) for e, a in zip(constants, angles, strict=True)]
    c = np.array([t[0] for t in turned])[layer]
    heat = np.array([t[1] for t in turned])[layer]
    x = np.asarray(basis.global_coordinates())
    theta = np.arctan2(x[1], x[0])
    co, si, no, on = np.cos(theta), np.sin(theta), np.zeros_like(theta), np.ones_like(theta)
    axes = np.array([[no, no, on], [-si, co, no], [co, si, no]])  # along, around, through
    grads = np.array([basis.basis[i][0].grad for i in range(27)])  # (27, 3, n_el, n_q)
    local = np.einsum("ijeq,njeq->nieq", axes, grads)
    b = np.zeros((*theta.shape, 6, 27, 3))
    for i, (p, q) in enumerate(PAIR):
        b[:, :, i] = np.einsum("neq,keq->eqnk", local[:, q], axes[p])
        if p != q:
            b[:, :, i] += np.einsum("neq,keq->eqnk", local[:, p], axes[q])
    b = b.reshape(*theta.shape, 6, 81)
    dofs = (3 * basis.element_dofs[:, None, :] + np.arange(3)[None, :, None]).reshape(81, -1)
    k = _assemble(b, c, basis.dx, dofs, 3 * basis.N)
    return Body(basis, param, b, c, heat, dofs, k, layer)


def _assemble(b, c, dx, dofs, size):
    cb = c[:, None] @ b * dx[..., None, None]
    n_el = b.shape[0]
    blocks = b.reshape(n_el, -1, 81).transpose(0, 2, 1) @ cb.reshape(n_el, -1, 81)
    rows = np.broadcast_to(dofs.T[:, :, None], blocks.shape)
    cols = np.broadcast_to(dofs.T[:, None, :], blocks.shape)
    return sp.coo_matrix((blocks.ravel(), (rows.ravel(), cols.ravel())), shape=(size, size)).tocsr()


def tie(param, *, periodic):
    """Number of the one free node that stands for each node; the seam always, the two ends if periodic."""
    key = param.copy()
    key[1] = np.where(np.isclose(key[1], 2 * np.pi), 0.0, key[1])
    if periodic:
        key[2] = np.where(np.isclose(key[2], key[2].max()), 0.0, key[2])
    key[0] /= key[0].max()
    key[2] /= max(param[2].max(), 1e-30)
    return np.unique(np.round(key, 7), axis=1, return_index=True, return_inverse=True)[1:]


def reduced(inverse, size):
    """Sparse map from free unknowns to all."""
    full = (3 * inverse.ravel()[:, None] + np.arange(3)).ravel()
    return sp.csr_matrix((np.ones(full.size), (np.arange(full.size), full)), shape=(full.size, 3 * size))


MOTIONS = (
    lambda x, y, z: (0 * x, 0 * x, z),
    lambda x, y, z: (-y * z, x * z, 0 * x),
    lambda x, y, z: (-z * z / 2, 0 * x, x * z),
    lambda x, y, z: (0 * x, -z * z / 2, y * z),
)


class Slice:
    """Flexibility (4, 4) of axial force, torque, moment x, moment y; free expansion (4,); stress by `stress`."""

    def __init__(self, edges, constants, angles, *, around=24, parts=1):
        edges = np.asarray(edges)
        length = 2 * np.pi * edges[-1] / around
        self.body = body(edges, constants, angles, around=around, length=length, parts=parts)
        first, inverse = tie(self.body.param, periodic=True)
        to_all = reduced(inverse, first.size)
        place = self.body.param[:, first]
        start = np.argmin(place[0] + place[1] + place[2])
        outer = np.argmax(place[0] - 10 * place[1] - 10 * place[2])
        free = np.setdiff1d(np.arange(3 * first.size), [3 * start, 3 * start + 1, 3 * start + 2, 3 * outer + 1])
        given = np.array([self.body.nodal(m) for m in MOTIONS])
        right = np.column_stack([-(to_all.T @ (self.body.k @ u)) for u in given] + [to_all.T @ self.body.heat_force()])
        solve = spla.splu((to_all.T @ self.body.k @ to_all)[free][:, free].tocsc())
        warp = np.zeros((3 * first.size, 5))
        warp[free] = solve.solve(right[free])
        self.fields = np.array([*given, 0 * given[0]]) + (to_all @ warp).T
        stiff = given @ (self.body.k @ self.fields[:4].T) / length
        heat = given @ (self.body.k @ self.fields[4] - self.body.heat_force()) / length
        self.flexibility = np.linalg.inv((stiff + stiff.T) / 2)
        self.expansion = -self.flexibility @ heat

    def stress(self, force, rise):
        """Stress (n_el, n_q, 6) in tube axes under (axial, torque, moment x, moment y) and a rise."""
        strains = self.flexibility @ np.asarray(force) + self.expansion * rise
        total = self.body.strain(np.append(strains, rise) @ self.fields)
        return np.einsum("eij,eqj->eqi", self.body.c, total - rise * self.body.heat[:, None, :])

    @property
    def place(self):
        """Radius and clock angle (n_el, n_q) of every stress."""
        x = np.asarray(self.body.basis.global_coordinates())
        return np.hypot(x[0], x[1]), np.arctan2(x[1], x[0])


@dataclass
class BentTube:
    """A whole tube bent into an S by unit shear forces: flexibilities, and its stress about mid-length.

    `flexibility` holds shear, shear with moment y, moment x; `stress` (n_el, n_q, 6) in tube axes of the bricks next to
    mid-length, at `radius`, `clock` and `away` from mid-length (n_el, n_q), in layer `layer` (n_el,).
    """

    flexibility: tuple
    stress: np.ndarray
    radius: np.ndarray
    clock: np.ndarray
    away: np.ndarray
    layer: np.ndarray


def bent_tube(edges, constants, angles, *, around, length, along):
    """Solve the tube bent into an S.

    The tube is bent into an S: unit shear on both ends, end moments that make the moment zero at mid-length. Twice the
    energy of each ring of bricks is fitted by f_shear + f_bend z^2 over the middle third. The mutual energy with a
    constant moment in the other plane is that of the coupling.
    """
    edges = np.asarray(edges)
    tube = body(edges, constants, angles, around=around, length=length, along=along)
    first, inverse = tie(tube.param, periodic=False)
    to_all = reduced(inverse, first.size)
    place = tube.param[:, first]
    base = np.argmin(place.sum(axis=0))
    second = np.argmax(np.isclose(place[2], 0) * np.isclose(place[1], np.pi / 2) * place[0])
    third = np.argmax(np.isclose(place[2], 0) * np.isclose(place[1], 0) * place[0])
    pins = [3 * base, 3 * base + 1, 3 * base + 2, 3 * second, 3 * second + 2, 3 * third + 2]
    free = np.setdiff1d(np.arange(3 * first.size), pins)
    solve = spla.splu((to_all.T @ tube.k @ to_all)[free][:, free].tocsc())
    strain = []
    for pull in (
        lambda x, y, way, g: (way / g.area, 0, length / 2 * x / g.inertia),
        lambda x, y, way, g: (0, 0, way * y / g.inertia),
    ):
        u = np.zeros(3 * first.size)
        u[free] = solve.solve((to_all.T @ _end_forces(tube, Ring(edges), length, pull))[free])
        strain.append(tube.strain(to_all @ u))
    z = tube.basis.mesh.p[2, tube.basis.mesh.t].mean(axis=0)
    rings, which = np.unique(np.round(z / length, 6), return_inverse=True)
    middle = np.abs(rings - 0.5) < 1 / 6
    away = ((rings - 0.5) * length)[middle] ** 2 + (length / along) ** 2 / 12
    own, cross = (
        np.bincount(which, np.einsum("eqi,eij,eqj,eq->e", strain[0], tube.c, other, tube.basis.dx))[middle]
        * along
        / length
        for other in strain
    )
    bend, shear = np.polyfit(away, own, 1)
    near = np.abs(z / length - 0.5) < 1 / along
    x = np.asarray(tube.basis.global_coordinates())[:, near]
    return BentTube(
        flexibility=(shear, cross.mean(), bend),
        radius=np.hypot(x[0], x[1]),
        away=x[2] - length / 2,
        clock=np.arctan2(x[1], x[0]),
        layer=tube.layer[near],
        stress=np.einsum("eij,eqj->eqi", tube.c[near], strain[0][near]),
    )


@dataclass
class Ring:
    """Plain section figures of a ring."""

    edges: np.ndarray

    @property
    def area(self):
        return np.pi * (self.edges[-1] ** 2 - self.edges[0] ** 2)

    @property
    def inertia(self):
        return np.pi / 4 * (self.edges[-1] ** 4 - self.edges[0] ** 4)


def _end_forces(tube, ring, length, pull):
    """Nodal forces of end tractions pull(x, y, way, ring), consistent with the bricks' own shapes."""
    out = np.zeros((tube.basis.N, 3))
    for z, way in ((0.0, -1.0), (length, 1.0)):
        ends = tube.basis.mesh.facets_satisfying(lambda x, z=z: np.isclose(x[2], z), boundaries_only=True)
        face = tube.basis.boundary(ends)
        x = np.asarray(face.global_coordinates())
        shape = np.array([np.asarray(face.basis[i][0]) * np.ones_like(face.dx) for i in range(27)])
        traction = np.stack([p * np.ones_like(x[0]) for p in pull(x[0], x[1], way, ring)])
        np.add.at(out, face.element_dofs, np.einsum("nfq,kfq,fq->nfk", shape, traction, face.dx))
    return out.ravel()
