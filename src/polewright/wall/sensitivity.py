"""What each ply earns, and how every stiffness moves with every thickness, angle and modulus: thin tier, exact slopes.

Every figure is 1/(inverse of an energy form) at one place, so its slope with anything is the figure squared times the
change of the form between the strains that the load makes. With the change "all moduli of one ply", that slope is the
ply's share of the strain energy, and the shares add up to one.
"""

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.conventions.rounding import started_turns
from polewright.errors import DesignError
from polewright.materials.numbers import finite
from polewright.wall.batch import OneOrMany, settle, singles
from polewright.wall.flattening import oval_moment_brazier
from polewright.wall.membrane import reduced_stiffness, rotated_stiffness, tube_stiffness
from polewright.wall.ring import CLOSURE, collapse_pressure, ring_stiffness
from polewright.wall.stack import Stack, Wall

__all__ = ["FIGURES", "PARAMETERS", "Earnings", "Slopes", "WallChange", "changes", "earnings", "slopes", "thin_figures"]

FIGURES = ("axial", "bending", "twist", "shear", "ring", "collapse", "flattening", "mass", "wall")
"""EA [N], EI, GJ [N m2], shear stiffness [N], ring between plates [N/m2], collapse pressure at the neutral radius [Pa],
flattening moment [N m], mass [kg/m], wall [m]."""

PARAMETERS = ("thickness", "angle", "E1", "E2", "G12", "nu12", "density")
"""Of each layer: [m], [rad], [Pa] three times, [-], [kg/m3]."""

_GROWTH = np.array([[0.0, 0.0, 1.0], [0.0, 0.0, -1.0], [-2.0, 2.0, 0.0]])  # of ply strain as the ply turns
_EVEN, _BENT = (0, 0, 1), (1, 1, 0)  # powers of the radius in axial, hoop and shear strain


@dataclass(frozen=True, slots=True, eq=False)
class Earnings:
    """Share [-] of each ply in a figure, (*case, n_ply); each row adds up to one.

    along: of EI; around: of the ring's bending stiffness; twist: of GJ, each by its strain energy under that load;
    mass; cost: of the prepreg's price (zero where no price is known).
    """

    along: FloatArray
    around: FloatArray
    twist: FloatArray
    mass: FloatArray
    cost: FloatArray

    def __post_init__(self) -> None:
        freeze(self, [f.name for f in fields(self)])


@dataclass(frozen=True, slots=True, eq=False)
class Slopes:
    """d(figure)/d(parameter): layer (*case, n_figure, n_parameter, n_layer) in SI, bore (*case, n_figure) per metre.

    Figures and parameters in the order of `FIGURES` and `PARAMETERS`. A thicker ply moves those outside it outward.
    """

    layer: FloatArray
    bore: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("layer", "bore"))

    def of(self, figure: str, parameter: str) -> FloatArray:
        """(*case, n_layer) slopes of one figure with one parameter [SI unit of the figure by the parameter's]."""
        if figure not in FIGURES or parameter not in PARAMETERS:
            known = Message("want.one_one", choices=tuple(FIGURES), choices2=tuple(PARAMETERS))
            raise DesignError("slope", f"{figure}, {parameter}", known)
        row: FloatArray = self.layer[..., FIGURES.index(figure), PARAMETERS.index(parameter), :]
        return row


@dataclass(frozen=True, slots=True, eq=False)
class WallChange:
    """One change of one ply and what it does: figures after, and after over before less one, each (*case, n_figure).

    cost is the change of the prepreg's price per metre of tube, flags of the wall's own circumference: a number for one
    wall, (*case,) for a batch.
    """

    ply: int
    what: str
    after: FloatArray
    relative: FloatArray
    cost: OneOrMany

    def __post_init__(self) -> None:
        settle(self, ("cost",))
        freeze(self, ("after", "relative"))


def thin_figures(wall: Wall) -> FloatArray:
    """All of `FIGURES` by the thin tier, (*case, n_figure) [SI unit of the figure].

    Source
    ------
    `membrane.tube_stiffness`, `ring.ring_stiffness`, `ring.collapse_pressure`, `flattening.oval_moment_brazier`.
    """
    beam, ring = tube_stiffness(wall), ring_stiffness(wall)
    return np.stack(
        [
            beam.axial,
            beam.bending,
            beam.twist,
            beam.shear,
            ring.between_plates,
            collapse_pressure(wall),
            oval_moment_brazier(wall),
            wall.mass_per_length,
            wall.total_thickness,
        ],
        axis=-1,
    )


def earnings(stack: Stack, bore: ArrayLike) -> Earnings:
    """What each ply earns: its share of stiffness along, around and in twist, of mass and of price.

    Parameters
    ----------
    bore : [m] diameter; a batch (n_case,) gives a batch of shares.

    Source
    ------
    Euler's theorem: a stiffness is of the first degree in all moduli together, so the slopes with each ply's moduli,
    which are its shares of the strain energy, add up to it.
    """
    wall = stack.wall(bore)
    layers = rotated_stiffness(wall.elastic, wall.angle)
    forms = _forms(wall, layers)
    owner = np.repeat(np.arange(len(stack.plies)), [started_turns(w.turns) for w in stack.plies])
    edges = wall.edges
    area = np.pi * (edges[..., 1:] ** 2 - edges[..., :-1] ** 2)
    price = area * np.array([ply.price / ply.thickness for ply, _, _ in stack.layers])
    parts = (
        _energy_shares(forms.bent, 0),
        _energy_shares(forms.ring, 2),
        _energy_shares(forms.even, 2),
        _shares(area * wall.elastic.density),
        _shares(price),
    )
    return Earnings(*(_per_ply(part, owner, len(stack.plies)) for part in parts))


def _shares(amounts: FloatArray) -> FloatArray:
    total = amounts.sum(axis=-1, keepdims=True)
    return np.asarray(amounts / np.where(total > 0.0, total, 1.0))


def _per_ply(layer: FloatArray, owner: np.ndarray[tuple[int, ...], np.dtype[np.intp]], count: int) -> FloatArray:
    return np.asarray(layer @ (owner[:, None] == np.arange(count)).astype(np.float64))


@dataclass(frozen=True, slots=True)
class _Forms:
    """Energy forms layer by layer, each (*case, n_layer, 3, 3); their sums over layers are the tube's.

    even: axial strain, hoop strain, twist [1/m]; bent: curvature [1/m], hoop, shear; ring: hoop strain, shear, hoop
    curvature [1/m] about the mid-wall; flat: along, around, shear of the wall as a membrane.
    """

    even: FloatArray
    bent: FloatArray
    ring: FloatArray
    flat: FloatArray


def _forms(wall: Wall, layers: FloatArray) -> _Forms:
    edges = wall.edges
    middle = (edges[..., :1] + edges[..., -1:]) / 2.0
    round_ = [np.diff(edges**k) / k for k in range(1, 5)]
    flat = [np.diff((edges - middle) ** k) / k for k in range(1, 4)]
    return _assembled(layers, round_, flat)


def _assembled(layers: FloatArray, round_: list[FloatArray], flat: list[FloatArray]) -> _Forms:
    """Forms from stiffness (..., n, 3, 3) and integrals (..., n) of r^(k-1) dr and of the height's powers."""
    even, bent, ring = (np.empty(np.broadcast_shapes(layers.shape, (*round_[0].shape, 3, 3))) for _ in range(3))
    hoop = (1, 2, 1)  # membrane component of each strain of the ring form
    for i, j in np.ndindex(3, 3):
        even[..., i, j] = 2.0 * np.pi * round_[1 + _EVEN[i] + _EVEN[j]] * layers[..., i, j]
        bent[..., i, j] = np.pi * round_[1 + _BENT[i] + _BENT[j]] * layers[..., i, j]
        ring[..., i, j] = flat[(i == 2) + (j == 2)] * layers[..., hoop[i], hoop[j]]
    return _Forms(even, bent, ring, flat[0][..., None, None] * layers)


def _figure(form: FloatArray, at: int) -> tuple[FloatArray, FloatArray]:
    """Stiffness (*case,) with every other strain free, and the strains (*case, 3) that a unit load makes."""
    strain = np.asarray(np.linalg.inv(form.sum(axis=-3))[..., :, at])
    return np.asarray(1.0 / strain[..., at]), strain


def _energy_shares(form: FloatArray, at: int) -> FloatArray:
    value, strain = _figure(form, at)
    return np.asarray(np.einsum("...i,...nij,...j->...n", strain, form, strain) * value[..., None])


def slopes(wall: Wall) -> Slopes:
    """Slope of every figure with thickness, angle, moduli and density of every layer and with the bore, exact.

    Parameters
    ----------
    wall : one wall or a batch, (*case,); a batch is answered wall by wall.

    Returns
    -------
    Slopes, of all cases.

    Source
    ------
    Derivative of an inverse, d(1/(K^-1)_ii) = (1/(K^-1)_ii)^2 x.dK.x with x column i of K^-1; that of a turned ply,
    dQ/d(angle) = G^T Q + Q G with G the generator of the turn of a plane strain.
    """
    found, case = [_slopes_of(one) for one in singles(wall)], wall.bore.shape
    layer, bore = np.stack([f for f, _ in found]), np.stack([b for _, b in found])
    return Slopes(layer=layer.reshape(*case, *layer.shape[1:]), bore=bore.reshape(*case, *bore.shape[1:]))


def _slopes_of(wall: Wall) -> tuple[FloatArray, FloatArray]:
    """Slopes of one wall: with every layer (n_figure, n_parameter, n_layer) and with the bore (n_figure,)."""
    layers = rotated_stiffness(wall.elastic, wall.angle)
    forms, changed = _forms(wall, layers), _form_slopes(wall, layers)
    axial, bending, twist, shear = (
        _slope(getattr(forms, f), getattr(changed, f), i)
        for f, i in (("even", 0), ("bent", 0), ("even", 2), ("bent", 2))
    )
    ring, along = _slope(forms.ring, changed.ring, 2), _slope(forms.flat, changed.flat, 0)
    wide = np.zeros(axial[1].shape)  # d(mid-wall radius), d(wall)
    wide[0], thick = 0.5, np.zeros(axial[1].shape)
    thick[0], wide[-1], thick[-1] = 1.0, 0.5, 0.0
    middle = float(wall.bore + wall.total_thickness) / 2.0
    neutral, moved = _neutral(forms.ring, changed.ring)
    at = middle + neutral
    D, dD = ring
    plates = (dD - 3.0 * D / at * moved) / (CLOSURE * at**3)
    collapse = 3.0 * (dD - 3.0 * D / at * moved) / at**3
    C, dC = along
    oval = float(oval_moment_brazier(wall)) * (wide / middle + 0.5 * (dC / C + dD / D))
    rows = np.stack([axial[1], bending[1], twist[1], shear[1], plates, collapse, oval, _mass_slopes(wall), thick])
    return rows[:, :-1].reshape(len(FIGURES), len(PARAMETERS), -1), rows[:, -1, 0]


def _slope(form: FloatArray, change: FloatArray, at: int) -> tuple[float, FloatArray]:
    """A stiffness and its slopes (n_parameter + 1, n_layer); the last row is the bore, the same in every column."""
    value, strain = _figure(form, at)
    return float(value), np.einsum("i,pnij,j->pn", strain, change, strain) * float(value) ** 2


def _neutral(form: FloatArray, change: FloatArray) -> tuple[float, FloatArray]:
    """[m] how far the hoop neutral axis lies outside mid-wall, and its slopes seen from where mid-wall was."""
    total = form.sum(axis=-3)
    inverse = np.linalg.inv(total[:2, :2])
    lever = inverse @ total[:2, 2]
    pull = change[..., :2, 2] - np.einsum("pnij,j->pni", change[..., :2, :2], lever)
    moved = np.einsum("i,pni->pn", inverse[0], pull)
    return float(lever[0]), moved


def _form_slopes(wall: Wall, layers: FloatArray) -> _Forms:
    """d(tube's form)/d(parameter), each (n_parameter + 1, n_layer, 3, 3), heights from where mid-wall was."""
    edges, count = wall.edges, wall.angle.size
    height = edges - (edges[0] + edges[-1]) / 2.0
    moved = np.tril(np.ones((count + 1, count)), -1)  # d(edge)/d(thickness): (n_edge, n_layer)
    out = []
    for weight in (edges, height):
        outward = [np.diff((weight**k)[:, None] * moved, axis=0).T for k in range(4)]  # (layer moved, layer, )
        grown = [np.diff(weight**k) / 2.0 for k in range(4)]
        whole = [np.diff(weight ** (k + 1)) / (k + 1) for k in range(4)]
        out.append((outward, grown, whole))
    thick = _assembled(layers[None], out[0][0], out[1][0])
    bore = _assembled(layers, out[0][1], out[1][1])
    ply = _assembled(_ply_slopes(wall, layers), out[0][2], out[1][2])
    rows = {}
    for f in fields(_Forms):
        still = np.zeros((1, count, 3, 3))
        first = getattr(thick, f.name).sum(axis=1)[None]
        last = np.broadcast_to(getattr(bore, f.name).sum(axis=0), (1, count, 3, 3))
        rows[f.name] = np.concatenate([first, getattr(ply, f.name), still, last])
    return _Forms(**rows)


def _ply_slopes(wall: Wall, layers: FloatArray) -> FloatArray:
    """d(stiffness in tube axes)/d(angle, E1, E2, G12, nu12), (5, n_layer, 3, 3)."""
    e, count = wall.elastic, wall.angle.size
    E1, E2, G12, nu12 = (np.broadcast_to(v, (count,)) for v in (e.E1, e.E2, e.G12, e.nu12))
    soft = np.zeros((4, count, 3, 3))
    soft[0, :, 0, 0], soft[0, :, 0, 1], soft[0, :, 1, 0] = -1.0 / E1**2, nu12 / E1**2, nu12 / E1**2
    soft[1, :, 1, 1], soft[2, :, 2, 2] = -1.0 / E2**2, -1.0 / G12**2
    soft[3, :, 0, 1] = soft[3, :, 1, 0] = -1.0 / E1
    own = np.broadcast_to(reduced_stiffness(e), (count, 3, 3))
    turn = _turn(wall.angle)
    own_slopes = np.swapaxes(turn, -1, -2) @ (-own @ soft @ own) @ turn
    turned = _GROWTH.T @ layers + layers @ _GROWTH
    return np.concatenate([turned[None], own_slopes])


def _turn(angle: FloatArray) -> FloatArray:
    """Strain in ply axes from strain in tube axes, (n_layer, 3, 3), engineering shear."""
    c, s = np.cos(angle), np.sin(angle)
    rows = [c * c, s * s, c * s, s * s, c * c, -c * s, -2.0 * c * s, 2.0 * c * s, c * c - s * s]
    return np.stack(rows, axis=-1).reshape(*angle.shape, 3, 3)


def _mass_slopes(wall: Wall) -> FloatArray:
    """(n_parameter + 1, n_layer) of the mass [kg/m]."""
    edges, count = wall.edges, wall.angle.size
    density = np.broadcast_to(wall.elastic.density, (count,))
    ring = 2.0 * np.pi * np.diff(edges[:, None] * np.tril(np.ones((count + 1, count)), -1), axis=0)
    out = np.zeros((len(PARAMETERS) + 1, count))
    out[0], out[-2] = density @ ring, np.pi * np.diff(edges**2)
    out[-1] = np.pi * float(density @ np.diff(edges))
    return out


def changes(
    stack: Stack, bore: ArrayLike, *, turn: float = np.deg2rad(5.0), thicken: float = 0.1
) -> tuple[WallChange, ...]:
    """What every figure does when one ply is taken out, turned by `turn` [rad], or made thicker by a share `thicken`.

    The bore [m] stays; a batch (n_case,) gives the changes of a batch. Taking out the only ply is left out. Turned
    means toward the hoop, by all its turns together.

    Source
    ------
    `thin_figures` of the changed walls, all in one batch.
    """
    plies, layers = stack.plies, stack.layers
    owner = np.repeat(np.arange(len(plies)), [started_turns(w.turns) for w in plies])
    asked = [
        (i, what)
        for i in range(len(plies))
        for what in ("removed", "rotated", "thicker")
        if what != "removed" or len(plies) > 1
    ]
    finite("turn", turn, want=Message("want.finite_angle"), most=1e12)
    if np.any(finite("thicken", thicken, want=Message("want.share_above_1"), most=1e9) <= -1.0):
        raise DesignError("thicken", thicken, Message("want.share_above_1"))
    one = stack.wall(bore)
    rows = (len(asked) + 1, *one.bore.shape)
    angle = np.tile([a for _, a, _ in layers], (*rows, 1))
    thickness = np.tile([t for _, _, t in layers], (*rows, 1))
    for row, (i, what) in enumerate(asked, start=1):
        if what == "rotated":
            angle[row, ..., owner == i] += turn
        else:
            thickness[row, ..., owner == i] *= 0.0 if what == "removed" else 1.0 + thicken
    batch = replace(one, bore=np.broadcast_to(one.bore, rows), angle=angle, thickness=thickness)
    figures = thin_figures(batch)
    price = _prices(batch, stack)
    return tuple(
        WallChange(
            ply=i, what=what, after=figures[row], relative=figures[row] / figures[0] - 1.0, cost=price[row] - price[0]
        )
        for row, (i, what) in enumerate(asked, start=1)
    )


def _prices(wall: Wall, stack: Stack) -> FloatArray:
    """(n_case,) [currency/m] of prepreg laid, each layer over its own circumference."""
    edges = wall.edges
    rate = np.array([ply.price / ply.thickness for ply, _, _ in stack.layers])
    return np.asarray((np.pi * (edges[..., 1:] ** 2 - edges[..., :-1] ** 2) * rate).sum(axis=-1))
