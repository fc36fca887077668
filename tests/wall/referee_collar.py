"""An independent referee: half a layered tube in plane strain under a collar that touches it, by finite elements.

General library; large rotations (Green strain, stress linear in it), elements of the second order. A strap is a string
that lies on the outside under a tension that falls by friction; shells and a pad are stiff bodies behind a lining that
only pushes, along their own radius, wherever the wall has gone. The clock runs from the lugs or the pad.
"""

from dataclasses import dataclass, replace

import numpy as np
from scipy.sparse.linalg import eigsh, splu
from skfem import Basis, ElementQuad2, ElementVector, FacetBasis, MeshQuad, MeshQuad2, asm
from skfem.assembly import BilinearForm, LinearForm

FIBRE, CRACK = 0, 1
MOST_HALVED = 4  # times that a step which finds no balance is halved


@dataclass(frozen=True)
class Found:
    """Mean pressures [Pa] at the first crack and the first broken fibre, inf beyond what was reached, and the greatest
    reached before the wall folds, with whether it folded; all loads are mean pressures on the undeformed outside.
    """

    crack: float
    fibre: float
    most: float
    folded: bool


def _stiffness(elastic, angle):
    """(3, 3) [Pa] along, around, through of an axial or hoop ply from its compliance, and its shear around-through."""
    e = {n: float(getattr(elastic, n)) for n in ("E1", "E2", "E3", "G13", "G23", "nu12", "nu13", "nu23")}
    soft = np.array(
        [
            [1 / e["E1"], -e["nu12"] / e["E1"], -e["nu13"] / e["E1"]],
            [-e["nu12"] / e["E1"], 1 / e["E2"], -e["nu23"] / e["E2"]],
            [-e["nu13"] / e["E1"], -e["nu23"] / e["E2"], 1 / e["E3"]],
        ]
    )
    stiff = np.linalg.inv(soft)
    is_hoop = abs(angle) > 1.0
    order = [1, 0, 2] if is_hoop else [0, 1, 2]
    return stiff[np.ix_(order, order)], e["G13"] if is_hoop else e["G23"]


class Tube:
    """The mesh of half a tube, its layers and the forms of its wall; plies axial or hoop, from the bore outward."""

    def __init__(self, layers, bore, *, around=72):
        radii = bore / 2.0 + np.concatenate([[0.0], np.cumsum([t for _, _, t in layers])])
        clock = np.linspace(0.0, np.pi, around + 1)
        flat = MeshQuad.init_tensor(radii, clock)
        flat = MeshQuad2.from_mesh(flat)
        r, at = flat.doflocs
        self.mesh = replace(flat, doflocs=np.stack([r * np.cos(at), r * np.sin(at)]))
        self.element, self.outside = ElementVector(ElementQuad2()), float(radii[-1])
        self.basis = Basis(self.mesh, self.element, intorder=4)
        middle = np.hypot(*self.mesh.p[:, self.mesh.t].mean(axis=1))
        self.owner = np.abs((radii[1:] + radii[:-1])[:, None] / 2.0 - middle).argmin(axis=0)
        self.radii, self.hoops = radii, np.array([abs(a) > 1.0 for _, a, _ in layers])
        made = [_stiffness(e, a) for e, a, _ in layers]
        self.solid, self.shear = np.array([m for m, _ in made]), np.array([g for _, g in made])
        plane = np.zeros((len(layers), 3, 3))
        plane[:, :2, :2], plane[:, 2, 2] = self.solid[:, 1:, 1:], self.shear
        self.plane = plane[self.owner]
        rim = self.mesh.facets_satisfying(lambda x: np.hypot(*x) > radii[-1] * 0.999 * np.cos(np.pi / around), True)
        self.rim = FacetBasis(self.mesh, self.element, facets=rim, intorder=6)
        on_x = self.basis.get_dofs(lambda x: np.abs(x[1]) < 1e-12).all("u^2")
        far = self.basis.get_dofs(lambda x: (np.abs(x[1]) < 1e-12) & (x[0] < 0.0)).all("u^1")[:1]
        self.fixed_sliding, self.fixed = on_x, np.concatenate([on_x, far])

    def wall(self, moved):
        """Inner forces and tangent stiffness of the wall."""
        plane = self.plane
        old = self.basis.interpolate(moved)

        @BilinearForm
        def tangent(u, v, w):
            F = _grown(w["old"].grad)
            S = _stress(plane, F, w.x)
            dE, vE = _bent(F, u.grad), _bent(F, v.grad)
            dS = _turned(plane, dE, w.x)
            back = np.einsum("kieq,kjeq->ijeq", u.grad, v.grad)
            return np.einsum("ijeq,ijeq->eq", dS, vE) + np.einsum("ijeq,ijeq->eq", S, back)

        @LinearForm
        def force(v, w):
            F = _grown(w["old"].grad)
            return np.einsum("ijeq,ijeq->eq", _stress(plane, F, w.x), _bent(F, v.grad))

        return asm(force, self.basis, old=old), asm(tangent, self.basis, old=old)

    def broken(self, moved, strength, cure):
        """Greatest index of a broken fibre and of a crack in the wall: one where the ply just breaks, by Hashin."""
        out = [0.0, 0.0]
        places = np.array([[a, b] for a in (0.0, 1.0) for b in (0.2113, 0.7887)]).T
        basis = Basis(self.mesh, self.element, quadrature=(places, np.ones(4)))
        grad = basis.interpolate(moved).grad
        x = np.asarray(basis.global_coordinates())
        F = _grown(grad)
        own = _own(np.einsum("kieq,kjeq->ijeq", F, F) / 2.0 - _unit(F) / 2.0, x)
        stress = np.zeros((6, *x.shape[1:]))  # 11, 22, 33, 23, 13, 12 of the ply
        normal = np.einsum("eij,jeq->ieq", self.solid[self.owner][:, :, 1:], own[:2])
        hoop = self.hoops[self.owner][:, None]
        stress[0] = np.where(hoop, normal[1], normal[0])
        stress[1] = np.where(hoop, normal[0], normal[1])
        stress[2] = normal[2]
        slip = self.shear[self.owner][:, None] * own[2]
        stress[3], stress[4] = np.where(hoop, 0.0, slip), np.where(hoop, slip, 0.0)
        outer = (np.hypot(*x) > (self.radii[self.owner] + self.radii[self.owner + 1])[:, None] / 2.0).astype(int)
        total = stress + np.moveaxis(cure[self.owner[:, None], outer], -1, 0)
        lim = {n: np.asarray(getattr(strength, n))[self.owner][:, None] for n in ("Xt", "Xc", "Yt", "Yc", "S")}
        s1, s2, s3, s23, s13, s12 = total
        along = (s12**2 + s13**2) / lim["S"] ** 2
        out[FIBRE] = np.max(np.where(s1 >= 0.0, np.sqrt((s1 / lim["Xt"]) ** 2 + along), -s1 / lim["Xc"]))
        T, both = lim["Yc"] / 2.0, s2 + s3
        rest = (s23**2 - s2 * s3) / T**2 + along
        push = (both / (2.0 * T)) ** 2 + ((lim["Yc"] / (2.0 * T)) ** 2 - 1.0) * both / lim["Yc"] + rest
        crack = np.where(both >= 0.0, (both / lim["Yt"]) ** 2 + rest, push)
        out[CRACK] = np.max(np.sqrt(np.maximum(crack, 0.0)))
        return out


def _unit(F):
    return np.eye(2)[:, :, None, None] * np.ones(F.shape[2:])


def _grown(grad):
    return grad + np.eye(2)[:, :, None, None]


def _bent(F, grad):
    half = np.einsum("kieq,kjeq->ijeq", F, grad)
    return (half + np.swapaxes(half, 0, 1)) / 2.0


def _frame(x):
    r = np.hypot(x[0], x[1])
    c, s = x[0] / r, x[1] / r
    return np.stack([np.stack([-s, c]), np.stack([c, s])])  # rows around, through


def _own(E, x):
    """Strain around, through and engineering shear from a tensor."""
    Q = _frame(x)
    turned = np.einsum("aieq,ijeq,bjeq->abeq", Q, E, Q)
    return np.stack([turned[0, 0], turned[1, 1], 2.0 * turned[0, 1]])


def _turned(plane, E, x):
    """Stress tensor from a strain tensor."""
    own = np.einsum("eij,jeq->ieq", plane, _own(E, x))
    tensor = np.stack([np.stack([own[0], own[2]]), np.stack([own[2], own[1]])])
    Q = _frame(x)
    return np.einsum("aieq,abeq,bjeq->ijeq", Q, tensor, Q)


def _stress(plane, F, x):
    return _turned(plane, np.einsum("kieq,kjeq->ijeq", F, F) / 2.0 - _unit(F) / 2.0, x)


class Strap:
    """A string on the outside from the lugs round; tension [N/m] at the lugs is what is drawn."""

    def __init__(self, tube, *, friction, gap, foot):
        self.tube, self.friction, self.gap, self.foot = tube, friction, gap, foot
        x = tube.mesh.p[:, tube.mesh.facets[:, tube.rim.find]].mean(axis=1)
        on = np.arctan2(x[1], x[0]) > gap
        self.basis = FacetBasis(tube.mesh, tube.element, facets=tube.rim.find[on], intorder=6)
        ends = tube.mesh.p[:, np.unique(tube.mesh.facets[:, tube.rim.find[on]])]
        self.start = float(np.min(np.arctan2(ends[1], ends[0])))
        at = np.arctan2(x[1], x[0])
        foot = tube.rim.find[(at > self.start) & (at < self.start + self.foot)]
        self.feet = FacetBasis(tube.mesh, tube.element, facets=foot, intorder=6)
        ends = tube.mesh.p[:, np.unique(tube.mesh.facets[:, foot])]
        self.wide = float(np.max(np.arctan2(ends[1], ends[0]))) - self.start
        self.fixed = tube.fixed

    def tension(self, at):
        """Of one at the lug, at angles from its edge: it is taken up over the foot and falls by friction beyond."""
        return np.minimum(at / self.wide, np.exp(-self.friction * np.maximum(at - self.wide, 0.0)))

    def mean(self, moved, drawn):
        fine = np.linspace(0.0, np.pi - self.start, 8001)
        normal = np.trapezoid(self.tension(fine), fine)
        foot = np.linspace(self.start, self.start + self.wide, 101)
        normal += np.trapezoid(np.sin(foot), foot) / self.wide
        return drawn * normal / (np.pi * self.tube.outside)

    def force(self, moved, drawn):
        old, start = self.basis.interpolate(moved), self.start

        def parts(w):
            tangent = _frame(w.x)[0]
            at = np.arctan2(w.x[1], w.x[0]) - start
            tension = drawn * self.tension(at)
            along = tangent + np.einsum("ijeq,jeq->ieq", w["old"].grad, tangent)
            length = np.sqrt((along**2).sum(axis=0))
            return tangent, tension, along / length, length

        @LinearForm
        def pull(v, w):
            tangent, tension, along, _ = parts(w)
            return -tension * np.einsum("ieq,ijeq,jeq->eq", along, v.grad, tangent)

        @BilinearForm
        def stiff(u, v, w):
            tangent, tension, along, length = parts(w)
            du, dv = (np.einsum("ijeq,jeq->ieq", a.grad, tangent) for a in (u, v))
            both = (du * dv).sum(axis=0) - (along * du).sum(axis=0) * (along * dv).sum(axis=0)
            return tension / length * both

        @LinearForm
        def bolt(v, w):
            return -drawn / (self.wide * self.tube.outside) * np.asarray(v)[1]

        return asm(pull, self.basis, old=old) + asm(bolt, self.feet), asm(stiff, self.basis, old=old)


class Body:
    """Stiff bodies that come inward by `way`(clock) of what is drawn [m], behind a lining [Pa/m] that only pushes.

    The lining is fixed to the wall where it `covers`(clock) it at first.
    """

    def __init__(self, tube, *, covers, way, slope, lining):
        self.tube, self.covers, self.fixed = tube, covers, tube.fixed_sliding
        self.way, self.slope, self.lining = way, slope, lining

    def _contact(self, w, drawn):
        x = w.x + np.asarray(w["old"])
        r, at = np.hypot(x[0], x[1]), np.arctan2(x[1], x[0])
        out = np.stack([x[0], x[1]]) / r
        gap = r - np.hypot(w.x[0], w.x[1]) + drawn * self.way(at)
        on = (gap > 0.0) & self.covers(np.arctan2(w.x[1], w.x[0]))
        return np.where(on, self.lining * gap, 0.0), on, out, r, at

    def mean(self, moved, drawn):
        old = self.tube.rim.interpolate(moved)

        @LinearForm
        def normal(v, w):
            return self._contact(w, drawn)[0] * v[0]

        ones = np.zeros(self.tube.basis.N)
        ones[self.tube.basis.get_dofs(elements=np.arange(self.tube.mesh.nelements)).all("u^1")] = 1.0
        return float(asm(normal, self.tube.rim, old=old) @ ones) / (np.pi * self.tube.outside)

    def force(self, moved, drawn):
        old = self.tube.rim.interpolate(moved)

        @LinearForm
        def push(v, w):
            p, _, out, _, _ = self._contact(w, drawn)
            return -p * (out * np.asarray(v)).sum(axis=0)

        @BilinearForm
        def stiff(u, v, w):
            p, on, out, r, at = self._contact(w, drawn)
            side = np.stack([-out[1], out[0]])
            turn = (side * np.asarray(u)).sum(axis=0) / r
            more = np.where(on, self.lining * ((out * np.asarray(u)).sum(axis=0) + drawn * self.slope(at) * turn), 0.0)
            return more * (out * np.asarray(v)).sum(axis=0) + p * turn * (side * np.asarray(v)).sum(axis=0)

        return asm(push, self.tube.rim, old=old), asm(stiff, self.tube.rim, old=old)


def _balanced(tube, collar, moved, drawn):
    """Newton's way to balance; the motions and the tangent stiffness there, None where it is not found."""
    free = np.setdiff1d(np.arange(tube.basis.N), collar.fixed)
    for _ in range(14):
        inner, stiff = tube.wall(moved)
        outer, held = collar.force(moved, drawn)
        rest = (outer - inner)[free]
        matrix = (stiff + held)[free][:, free].tocsc()
        size = np.linalg.norm(outer) + 1e-30
        step = splu(matrix).solve(rest)
        if not np.all(np.isfinite(step)) or np.max(np.abs(step)) > tube.outside:
            return None
        moved = moved.copy()
        moved[free] += step
        if np.linalg.norm(rest) < 1e-7 * size:
            return moved, matrix
    return None


def _stands(matrix):
    """Whether the wall is stable there."""
    return eigsh((matrix + matrix.T) / 2.0, k=1, sigma=0.0, return_eigenvectors=False)[0] > 0.0


def draw(tube, collar, *, first, step, strength, cure, until):
    """Draw the collar tighter until the kind of break `until` has come, or the wall folds.

    first: what is drawn at first, [N/m] or [m]; step: mean pressure [Pa] added at a time; cure (n_layer, 2, 6) [Pa].
    """
    moved = np.zeros(tube.basis.N)
    before = (0.0, np.array(tube.broken(moved, strength, cure)), 0.0)
    loads = [0.0 if index >= 1.0 else np.inf for index in before[1]]
    means, indices = [0.0], [before[1]]
    most, folded, drawn = 0.0, False, first
    halved = 0
    for _ in range(80):
        found = _balanced(tube, collar, moved, drawn)
        mean = 0.0 if found is None else collar.mean(found[0], drawn)
        if found is None or mean <= most or not _stands(found[1]):
            if halved == MOST_HALVED:
                folded = True
                break
            drawn, halved = (drawn + before[2]) / 2.0, halved + 1
            continue
        moved = found[0]
        now = np.array(tube.broken(moved, strength, cure))
        means.append(mean)
        indices.append(now)
        for kind in (FIBRE, CRACK):
            if loads[kind] == np.inf and now[kind] >= 1.0:
                last = np.array([row[kind] for row in indices[-3:]])
                by = np.polynomial.Polynomial.fit(last, means[-3:], last.size - 1)  # the pressure by the index
                loads[kind] = float(by(1.0))
        if loads[until] < np.inf:
            most = mean
            break
        more = step * (drawn - before[2]) / (mean - before[0]) / 2.0**halved
        drawn, before = drawn + more, (mean, now, drawn)
        most = mean
    return Found(crack=float(loads[CRACK]), fibre=float(loads[FIBRE]), most=float(most), folded=folded)
