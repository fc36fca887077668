"""An independent referee: a quarter of a layered ring in plane strain on a general finite-element library."""

import numpy as np
from skfem import Basis, ElementQuad2, ElementVector, FacetBasis, LinearForm, MeshQuad, asm, condense, solve
from skfem.assembly import BilinearForm


def _stiffness(elastic, angle):
    """Plane-strain stiffness (around, through, shear) of an axial or hoop ply, straight from its compliance."""
    e = {n: float(getattr(elastic, n)) for n in ("E1", "E2", "E3", "G13", "G23", "nu12", "nu13", "nu23")}
    soft = np.array(
        [
            [1 / e["E1"], -e["nu12"] / e["E1"], -e["nu13"] / e["E1"]],
            [-e["nu12"] / e["E1"], 1 / e["E2"], -e["nu23"] / e["E2"]],
            [-e["nu13"] / e["E1"], -e["nu23"] / e["E2"], 1 / e["E3"]],
        ]
    )
    stiff = np.linalg.inv(soft)
    around = 0 if abs(angle) > 1.0 else 1
    pick = np.ix_([around, 2], [around, 2])
    out = np.zeros((3, 3))
    out[:2, :2], out[2, 2] = stiff[pick], e["G13"] if around == 0 else e["G23"]
    return out


def quarter_ring(layers, bore, pressure, *, through=2, round_=110, finest=0.45):
    """Closure at bore, mid-wall and outside [m], and hoop stress at the bore under the load [Pa].

    layers: (elastic, angle, thickness) from the bore; pressure: inward on the outside as a function of the clock.
    """
    radii, stiff = [bore / 2.0], []
    for elastic, angle, thickness in layers:
        radii += list(radii[-1] + thickness * np.arange(1, through + 1) / through)
        stiff += [_stiffness(elastic, angle)] * through
    radii = np.array(radii)
    clock = np.pi / 2.0 * np.linspace(0.0, 1.0, round_ + 1) ** (1.0 / finest)  # fine beside the load
    flat = MeshQuad.init_tensor(radii, clock)
    mesh = MeshQuad(np.stack([flat.p[0] * np.cos(flat.p[1]), flat.p[0] * np.sin(flat.p[1])]), flat.t)
    element = ElementVector(ElementQuad2())
    basis = Basis(mesh, element, intorder=6)
    table = np.array(stiff)
    centre = np.hypot(*mesh.p[:, mesh.t].mean(axis=1))
    owner = np.abs((radii[1:] + radii[:-1])[:, None] / 2.0 - centre).argmin(axis=0)

    def polar(grad, x):
        r = np.hypot(x[0], x[1])
        c, s = x[0] / r, x[1] / r
        exx, eyy, exy = grad[0, 0], grad[1, 1], (grad[0, 1] + grad[1, 0]) / 2.0
        through_ = c * c * exx + s * s * eyy + 2 * c * s * exy
        around = s * s * exx + c * c * eyy - 2 * c * s * exy
        return np.stack([around, through_, 2.0 * (c * s * (eyy - exx) + (c * c - s * s) * exy)])

    @BilinearForm
    def energy(u, v, w):
        return np.einsum("ieq,eij,jeq->eq", polar(v.grad, w.x), table[owner], polar(u.grad, w.x))

    @LinearForm
    def push(v, w):
        at = np.arctan2(w.x[1], w.x[0])
        return -pressure(at) * (v[0] * np.cos(at) + v[1] * np.sin(at))

    rim = mesh.facets_satisfying(
        lambda x: np.hypot(x[0], x[1]) > radii[-1] - (radii[-1] - radii[-2]) * 0.4, boundaries_only=True
    )
    force = asm(push, FacetBasis(mesh, element, facets=rim, intorder=6))
    on_x = basis.get_dofs(lambda x: np.abs(x[1]) < 1e-12).all("u^2")
    on_y = basis.get_dofs(lambda x: np.abs(x[0]) < 1e-12).all("u^1")
    moved = solve(*condense(asm(energy, basis), force, D=np.unique(np.concatenate([on_x, on_y]))))
    probe = np.array([[radii[0], (radii[0] + radii[-1]) / 2.0, radii[-1]], [0.0, 0.0, 0.0]])
    probe[0] *= 1.0 + np.array([1e-9, 0.0, -1e-9])
    return -2.0 * (basis.probes(probe) @ moved)[:3]
