"""A ring of the wall, exact tier: the layered ring as an elastic solid, any even pressure round its outside.

Plane elasticity in radius and clock: a cosine series round, high-order elements through every layer. Nothing is
assumed of the wall's bending: the shifted neutral axis, shear through the wall and the squeeze of the wall's own
thickness all come out.
"""

from dataclasses import dataclass
from typing import get_args

import numpy as np
from numpy.typing import ArrayLike, NDArray

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.numbers import finite, keep_numbers, one_of
from polewright.wall.batch import OneOrMany, cases, figure, singles
from polewright.wall.ring import Along
from polewright.wall.stack import Wall

__all__ = ["ClockPressure", "RingResponse", "collapse_pressure_thick", "ring_response"]

ORDER = 5
LEAST_ELEMENTS = 8
SLENDER_FINE = 25.0
MOST_SLENDER = 250.0
MOST_ROUNDING = 2e-4  # of the stiffest entry, over the ring's own stiffness; the answer loses up to 60 times it
LEAN = 1e-12
THIN = 1e-8  # of the wall: a thinner layer carries nothing, its neighbour takes its place


@dataclass(frozen=True, slots=True, eq=False)
class ClockPressure:
    """Pressure on the outside, positive inward: the sum of pressure cos(waves clock).

    waves (n_wave,); pressure (*case, n_wave) [Pa]. One wave round the clock would push the ring sideways: refused.
    """

    waves: FloatArray
    pressure: FloatArray

    def __post_init__(self) -> None:
        keep_numbers(self, ("waves", "pressure"), most=1e30)
        if self.waves.ndim != 1 or self.waves.shape != self.pressure.shape[-1:]:
            raise DesignError(
                "pressure",
                Message("given.and", shape=str(self.waves.shape), shape2=str(self.pressure.shape)),
                Message("want.one_amplitude_wave"),
            )
        if np.any(self.waves < 0.0) or np.any(self.waves != np.round(self.waves)) or np.any(self.waves == 1.0):
            raise DesignError(
                "waves", Message("given.not_balanced_ring"), Message("want.whole_numbers_from_0_without_1")
            )

    def scaled(self, factor: ArrayLike) -> "ClockPressure":
        """The same pressure times `factor` (*case,) [-]."""
        times = finite("factor", factor)
        cases("factor", self.pressure.shape[:-1], times.shape)
        return ClockPressure(self.waves, self.pressure * times[..., None])


@dataclass(frozen=True, slots=True, eq=False)
class RingResponse:
    """What a pressed ring does, as amplitudes of its waves.

    inward (*case, n_wave, 3) [m]: radial displacement at bore, mid-wall and outside, of cos, positive inward;
    stress (*case, n_wave, n_layer, 2, 6) [Pa] in ply axes 11, 22, 33, 23, 13, 12 at the bore-side and outer face of
    each layer: of sin for 23 and 13, of cos for the rest.
    """

    waves: FloatArray
    inward: FloatArray
    stress: FloatArray

    def __post_init__(self) -> None:
        freeze(self, ("waves", "inward", "stress"))

    def closure(self, *, clock: float = 0.0, at: int = 1) -> OneOrMany:
        """(*case,) [m] loss of diameter along the line through `clock` [rad]; at 0 bore, 1 mid-wall, 2 outside."""
        clock = float(finite("clock", clock, want=Message("want.one_finite_angle"), most=1e12))
        both = np.cos(self.waves * clock) + np.cos(self.waves * (clock + np.pi))
        return figure(self.inward[..., at] @ both)

    def stresses(self, clock: ArrayLike) -> FloatArray:
        """(*case, n_clock, n_layer, 2, 6) [Pa] ply stresses at places round the clock (n_clock,) [rad]."""
        places = np.atleast_1d(finite("clock", clock, want=Message("want.finite_angles"), most=1e12))
        angle = np.multiply.outer(places, self.waves)
        even, odd = np.cos(angle), np.sin(angle)
        case = self.stress.shape[:-4]
        if not case:
            out: FloatArray = np.tensordot(even, self.stress, axes=1)
            out[..., 3:5] = np.tensordot(odd, self.stress[..., 3:5], axes=1)
            return out
        flat = self.stress.reshape(-1, *self.stress.shape[-4:])
        out = np.stack([np.tensordot(even, one, axes=1) for one in flat])
        out[..., 3:5] = np.stack([np.tensordot(odd, one[..., 3:5], axes=1) for one in flat])
        return out.reshape(*case, *out.shape[1:])


@dataclass(frozen=True, slots=True)
class _Layer:
    """Stiffness of one layer for even strains (around, through, twist) and odd (shear around, along); ply stresses."""

    even: FloatArray  # (3, 3) [Pa]
    odd: FloatArray  # (2, 2) [Pa]
    even_ply: FloatArray  # (4, 3) [Pa] 11, 22, 33, 12
    odd_ply: FloatArray  # (2, 2) [Pa] 23, 13


def _layers(wall: Wall, along: Along) -> list[_Layer]:
    """Monoclinic stiffness of every ply turned about the radius, axial strain held or axial stresses free."""
    names = ("E1", "E2", "E3", "G12", "G13", "G23", "nu12", "nu13", "nu23")
    constants = np.stack([np.broadcast_to(getattr(wall.elastic, n), wall.angle.shape) for n in names], axis=-1)
    return [_layer(*row, angle=float(angle), along=along) for row, angle in zip(constants, wall.angle, strict=True)]


def _layer(
    E1: float,
    E2: float,
    E3: float,
    G12: float,
    G13: float,
    G23: float,
    nu12: float,
    nu13: float,
    nu23: float,
    *,
    angle: float,
    along: Along,
) -> _Layer:
    soft = np.array(
        [[1.0 / E1, -nu12 / E1, -nu13 / E1], [-nu12 / E1, 1.0 / E2, -nu23 / E2], [-nu13 / E1, -nu23 / E2, 1.0 / E3]]
    )
    ply = np.zeros((4, 4))
    ply[:3, :3], ply[3, 3] = np.linalg.inv(soft), G12
    c, s = np.cos(angle), np.sin(angle)
    turn = np.array(
        [
            [c * c, s * s, 0.0, c * s],
            [s * s, c * c, 0.0, -c * s],
            [0.0, 0.0, 1.0, 0.0],
            [-2.0 * c * s, 2.0 * c * s, 0.0, c * c - s * s],
        ]
    )  # from along, around, through, twist
    tilt = np.array([[c, -s], [s, c]])  # 23, 13 from around, along
    whole, whole_odd = turn.T @ ply @ turn, tilt.T @ np.diag([G23, G13]) @ tilt
    even, odd = np.zeros((4, 3)), np.eye(2)
    if along == "held":
        even[1:] = np.eye(3)
    else:
        even[1, 0] = even[2, 1] = 1.0
        loose = np.ix_([0, 3], [0, 3])
        even[np.ix_([0, 3], [0, 1])] = -np.linalg.solve(whole[loose], whole[np.ix_([0, 3], [1, 2])])
        odd = np.array([[1.0, 0.0], [-whole_odd[1, 0] / whole_odd[1, 1], 0.0]])
    return _Layer(
        even=even.T @ whole @ even,
        odd=odd.T @ whole_odd @ odd,
        even_ply=ply @ turn @ even,
        odd_ply=np.diag([G23, G13]) @ tilt @ odd,
    )


@dataclass(frozen=True, slots=True)
class _Mesh:
    """High-order line elements from bore to skin: faces (n_element + 1,) [m], and the layer each lies in."""

    faces: FloatArray
    layer: NDArray[np.intp]


def _mesh(wall: Wall) -> _Mesh:
    """Every layer in elements no thicker than an eighth of the wall, or of a quarter of their radius.

    A slender wall takes fewer: its ripples are long beside it, and thin elements cost digits as (radius/thickness)^4.
    """
    edges, faces, layer = wall.edges, [float(wall.edges[0])], []
    fine = LEAST_ELEMENTS * min(1.0, SLENDER_FINE * float(wall.total_thickness / edges[0])) / wall.total_thickness
    for index, thickness in enumerate(wall.thickness):
        if thickness <= THIN * wall.total_thickness:
            continue
        ratio = float(np.log(edges[index + 1] / edges[index]))
        count = max(int(np.ceil(max(fine * thickness, 4.0 * ratio) - 1e-9)), 1)
        faces += list(np.geomspace(edges[index], edges[index + 1], count + 1)[1:])
        layer += [index] * count
    return _Mesh(faces=np.array(faces), layer=np.array(layer))


_NODES = np.polynomial.legendre.Legendre.basis(ORDER).deriv().roots()
_NODES = np.concatenate([[-1.0], np.sort(_NODES.real), [1.0]])
_AT, _WEIGHT = np.polynomial.legendre.leggauss(ORDER + 2)


def _shapes(at: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Lagrange polynomials and slopes at places in (-1, 1), each (n_place, ORDER + 1)."""
    at = np.atleast_1d(np.asarray(at, dtype=np.float64))
    value = np.vander(at, ORDER + 1, increasing=True)
    slope = np.concatenate([np.zeros((len(at), 1)), value[:, :-1] * np.arange(1, ORDER + 1)], axis=1)
    return value @ _POWERS, slope @ _POWERS


_POWERS: FloatArray = np.linalg.inv(np.vander(_NODES, increasing=True).astype(np.float64))
_AT_GAUSS, _AT_FACES = _shapes(_AT), _shapes([-1.0, 1.0])


def _strain_rows(
    shapes: tuple[FloatArray, FloatArray], at: FloatArray, inner: FloatArray, outer: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Radius (n_element, n_place) and strain rows (n_element, n_place, 5, 3 (ORDER + 1)) free of the wave number and
    times it, at places `at` (n_place,) where the polynomials are `shapes`.

    Rows around, through, twist, shear around, shear along; columns U, V, W node by node, with radial displacement
    U cos, tangential V sin, axial W sin.
    """
    value, slope = shapes
    half = ((outer - inner) / 2.0)[:, None, None]
    radius = inner[:, None] + half[..., 0] * (at + 1.0)
    over, steep = value / radius[..., None], slope / half
    still, wavy = np.zeros((2, *radius.shape, 5, 3 * (ORDER + 1)))
    still[..., 0, 0::3], still[..., 1, 0::3] = over, steep
    still[..., 3, 1::3], still[..., 4, 2::3] = steep - over, steep
    wavy[..., 0, 1::3], wavy[..., 3, 0::3], wavy[..., 2, 2::3] = over, -over, over
    return radius, still, wavy


def _elements(layers: list[_Layer], mesh: _Mesh) -> FloatArray:
    """(3, n_element, n, n) stiffness of every element as polynomial in the wave number, 0 to 2, over pi."""
    inner, outer = mesh.faces[:-1], mesh.faces[1:]
    radius, still, wavy = _strain_rows(_AT_GAUSS, _AT, inner, outer)
    stiff = np.zeros((len(layers), 5, 5))
    for k, layer in enumerate(layers):
        stiff[k, :3, :3], stiff[k, 3:, 3:] = layer.even, layer.odd
    weight = _WEIGHT * radius * ((outer - inner) / 2.0)[:, None]
    own = weight[..., None, None] * stiff[mesh.layer][:, None]
    flat = (len(mesh.layer), -1, still.shape[-1])
    left_still, left_wavy = (np.swapaxes(rows.reshape(flat), 1, 2) for rows in (still, wavy))
    pulled_still, pulled_wavy = ((own @ rows).reshape(flat) for rows in (still, wavy))
    mixed = left_still @ pulled_wavy
    return np.stack([left_still @ pulled_still, mixed + np.swapaxes(mixed, 1, 2), left_wavy @ pulled_wavy])


def _banded(layers: list[_Layer], mesh: _Mesh, kept: NDArray[np.intp]) -> FloatArray:
    """(3, band, n) lower bands of the whole stiffness of the motions `kept`, polynomial in the wave number."""
    columns = np.add.outer(3 * np.arange(ORDER + 1), kept).ravel()
    span, step, count = len(columns), ORDER * len(kept), len(mesh.layer)
    parts = _elements(layers, mesh)[:, :, columns][..., columns]
    start = step * np.arange(count)[:, None]
    bands = np.zeros((3, span, step * count + len(kept)))
    for down in range(span):
        diagonal = np.diagonal(parts, offset=-down, axis1=2, axis2=3)  # (3, n_element, span - down)
        place = start + np.arange(span - down)
        for turn in (slice(0, None, 2), slice(1, None, 2)):  # neighbours share a node, every other one does not
            bands[:, down, place[turn]] += diagonal[:, turn]
    return bands


def _amplitudes(layers: list[_Layer], mesh: _Mesh, waves: FloatArray, load: FloatArray) -> FloatArray:
    """(n_wave, n) displacement amplitudes U, V, W node by node under a radial force at the outer face, one a wave.

    Motion along the tube takes part where some layer is lean to the axis; else it stays zero.
    """
    from scipy.linalg import solveh_banded  # a third of a second to import: only who asks for a solid ring pays

    stiff = [layer.even[0, 0] for layer in layers]
    is_lean = any(
        abs(layer.even[0, 2]) + abs(layer.odd[0, 1]) > LEAN * most for layer, most in zip(layers, stiff, strict=True)
    )
    kept = np.arange(3 if is_lean else 2)
    bands = _banded(layers, mesh, kept)
    out = np.zeros((len(waves), ORDER * len(mesh.layer) + 1, 3))
    force = np.zeros(bands.shape[2])
    stiffest, softest = float(bands[:, 0].max()), np.inf
    for k, wave in enumerate(waves):
        if load[k] == 0.0:
            continue
        matrix = bands[0] + wave * bands[1] + wave**2 * bands[2]
        if wave == 0.0:  # a ring pressed evenly neither turns nor slides
            for still in kept[1:]:
                matrix[0, still :: len(kept)] += stiffest
        force[-len(kept)] = load[k]
        try:
            solved = solveh_banded(matrix, force, lower=True, check_finite=False)
        except np.linalg.LinAlgError as fault:
            raise _unresolved() from fault
        if wave > 1.0 and solved[-len(kept)] != 0.0:
            softest = min(softest, abs(load[k] / solved[-len(kept)]))
        out[k, :, kept] = solved.reshape(-1, len(kept)).T
    if np.finfo(np.float64).eps * stiffest > MOST_ROUNDING * softest:
        raise _unresolved()
    return out.reshape(len(waves), -1)


def _unresolved() -> DesignError:
    return DesignError(
        "wall", Message("given.too_slender_so_many_layers_or"), Message("want.thicker_wall_fewer_layers_or_thin")
    )


def ring_response(wall: Wall, load: ClockPressure, *, along: Along = "held") -> RingResponse:
    """Displacement and ply stress of a layered ring under a pressure round its outside, as a plane elastic solid.

    held: axial strain zero, as far from the ends of a long tube; the wall may still shear along the tube as it bends,
    which off-axis plies make it do. free: axial stresses zero in every ply, as in a narrow ring cut off.

    Parameters
    ----------
    wall : one wall or a batch, (*case,); a batch is answered wall by wall.
    load : pressure round the clock [Pa], broadcast with the cases.

    Returns
    -------
    RingResponse, of all cases.

    Raises
    ------
    DesignError : a radius of more than 250 walls, where the thin ring is exact enough, or so many layers or so
        incompressible a ply in a slender wall that rounding would spoil the answer.

    Source
    ------
    S. G. Lekhnitskii, Anisotropic Plates, 2nd ed., 1968 (the curved anisotropic plate in polar coordinates); solved by
    Fourier series and the p-version of finite elements through the wall.
    """
    one_of("along", along, get_args(Along))
    slender = float(np.max(wall.bore / 2.0 / wall.total_thickness))
    if slender > MOST_SLENDER:
        raise DesignError(
            "wall",
            Message("given.radius_times_its_thickness", slender=slender),
            Message("want.at_most_times_thinner_wall_thin", most_slender=MOST_SLENDER),
        )
    case = cases("pressure", wall.bore.shape, load.pressure.shape[:-1])
    pressure = np.broadcast_to(load.pressure, (*case, load.waves.size)).reshape(-1, load.waves.size)
    found = [_one_response(one, load.waves, row, along) for one, row in zip(singles(wall, case), pressure, strict=True)]
    inward, stress = np.stack([f for f, _ in found]), np.stack([s for _, s in found])
    return RingResponse(
        waves=load.waves,
        inward=inward.reshape(*case, *inward.shape[1:]),
        stress=stress.reshape(*case, *stress.shape[1:]),
    )


def _one_response(wall: Wall, waves: FloatArray, pressure: FloatArray, along: Along) -> tuple[FloatArray, FloatArray]:
    """Inward motion (n_wave, 3) [m] and ply stresses (n_wave, n_layer, 2, 6) [Pa] of one ring."""
    layers, mesh = _layers(wall, along), _mesh(wall)
    moved = _amplitudes(layers, mesh, waves, -pressure * mesh.faces[-1])
    return -_radial(moved, mesh, wall), _face_stress(moved, mesh, layers, waves)


def _radial(moved: FloatArray, mesh: _Mesh, wall: Wall) -> FloatArray:
    """(n_wave, 3) [m] outward displacement at bore, mid-wall and outside."""
    middle = float(wall.bore + wall.total_thickness) / 2.0
    i = min(int(np.searchsorted(mesh.faces, middle, side="right")) - 1, len(mesh.layer) - 1)
    at = 2.0 * (middle - mesh.faces[i]) / (mesh.faces[i + 1] - mesh.faces[i]) - 1.0
    inside = moved[:, 3 * ORDER * i : 3 * (ORDER * (i + 1) + 1) : 3] @ _shapes(at)[0][0]
    return np.stack([moved[:, 0], inside, moved[:, -3]], axis=-1)


def _face_stress(moved: FloatArray, mesh: _Mesh, layers: list[_Layer], waves: FloatArray) -> FloatArray:
    """(n_wave, n_layer, 2, 6) [Pa] ply stresses at both faces of every layer; zero in a layer of no thickness."""
    out = np.zeros((len(waves), len(layers), 2, 6))
    _, still, wavy = _strain_rows(_AT_FACES, np.array([-1.0, 1.0]), mesh.faces[:-1], mesh.faces[1:])
    for index, layer in enumerate(layers):
        own = np.flatnonzero(mesh.layer == index)
        for face, i in enumerate(own[[0, -1]] if own.size else ()):
            part = moved[:, 3 * ORDER * i : 3 * (ORDER * (i + 1) + 1)]
            strain = part @ still[i, face].T + waves[:, None] * (part @ wavy[i, face].T)
            out[:, index, face][:, [0, 1, 2, 5]] = strain[:, :3] @ layer.even_ply.T
            out[:, index, face][:, [3, 4]] = strain[:, 3:] @ layer.odd_ply.T
    return out


def collapse_pressure_thick(wall: Wall, *, along: Along = "held") -> FloatArray:
    """Pressure on the outside at which a long layered ring buckles into an oval, (*case,) [Pa].

    p = p2 R/(3 w2), from the exact ring's inward motion w2 at mid-wall under a two-lobed pressure p2 cos(2 clock): the
    thin ring's 3 D/(R^2 r) with the bending stiffness that the ring really shows, shear through the wall included.

    Source
    ------
    As `ring.collapse_pressure`: a thin ring has w2 = p2 r R^3/(9 D).
    """
    two = ClockPressure(waves=np.array([2.0]), pressure=np.array([1.0]))
    middle = (wall.bore + wall.total_thickness) / 2.0
    return np.asarray(middle / (3.0 * ring_response(wall, two, along=along).inward[..., 0, 1]))
