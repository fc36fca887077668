"""Compiled heart of the exact tube: the radial solution of one layered cylinder under every load of a beam.

Fields that vary round the clock as a constant (stretch, twist, pressures, heat) or as one wave (bending, transverse
shear) leave ordinary differential equations in the radius alone. They are solved here by elements of seventh order,
as many to a layer as its constants ask for; equal or resonant exponents need no special case.

Components of strain and stress: 0 along, 1 around, 2 through, 3 around-through, 4 along-through, 5 along-around;
shear strains are engineering strains. Unit loads: 0 axial force, 1 torque, 2 moment, 3 shear force (where the moment
is zero), 4 inner pressure, 5 outer pressure, 6 rise.
"""

import math

import numpy as np
from numpy.typing import NDArray

from polewright.arrays import FloatArray
from polewright.compiled import compiled
from polewright.wall.banded import factor, solve
from polewright.wall.radial_element import NODES, POINTS, gauss, integrals, shapes_at

__all__ = ["FIELDS", "solve_walls"]

IntArray = NDArray[np.int64]

FIELDS = 7  # unit loads


@compiled
def _block(c: FloatArray, pair: FloatArray, a: int, b: int, out: FloatArray) -> None:
    """Stiffness between the first-wave fields of nodes a and b of one element, (3, 3): through, around, along."""
    over, left, right, steep = pair[0, a, b], pair[1, a, b], pair[1, b, a], pair[2, a, b]
    out[0, 0] = (c[1, 1] + c[3, 3]) * over + c[1, 2] * (left + right) + c[2, 2] * steep
    out[0, 1] = (c[1, 1] + c[3, 3]) * over + c[1, 2] * right - c[3, 3] * left
    out[1, 0] = (c[1, 1] + c[3, 3]) * over + c[1, 2] * left - c[3, 3] * right
    out[0, 2] = c[1, 5] * over + c[2, 5] * right - c[3, 4] * left
    out[2, 0] = c[1, 5] * over + c[2, 5] * left - c[3, 4] * right
    out[1, 1] = (c[1, 1] + c[3, 3]) * over + c[3, 3] * (steep - left - right)
    out[1, 2] = c[1, 5] * over + c[3, 4] * (steep - left)
    out[2, 1] = c[1, 5] * over + c[3, 4] * (steep - right)
    out[2, 2] = c[5, 5] * over + c[4, 4] * steep


@compiled
def _assemble(radius: FloatArray, owner: IntArray, stiff: FloatArray, plain: FloatArray, wave: FloatArray) -> None:
    """Band matrices of the constant field (one unknown a node) and of the first wave (three a node)."""
    block = np.empty((3, 3))
    narrow, wide = plain.shape[1] - 1, wave.shape[1] - 1
    for e in range(radius.size - 1):
        c = stiff[owner[e]]
        pair = np.zeros((3, NODES, NODES))
        integrals(radius[e], radius[e + 1], pair)
        start = e * (NODES - 1)
        for a in range(NODES):
            for b in range(a + 1):
                plain[start + a, narrow - a + b] += (
                    c[1, 1] * pair[0, a, b] + c[2, 2] * pair[2, a, b] + c[1, 2] * (pair[1, a, b] + pair[1, b, a])
                )
                _block(c, pair, a, b, block)
                for i in range(3):
                    row = 3 * (start + a) + i
                    for j in range(3):
                        back = 3 * (a - b) + i - j
                        if back >= 0:
                            wave[row, wide - back] += block[i, j]
    # the first wave leaves a free shift across the axis: hold the bore's radial motion
    for d in range(1, wide + 1):
        wave[d, wide - d] = 0.0
    wave[0, wide] = 1.0


@compiled
def _wave_strain(field: FloatArray, start: int, shapes: FloatArray, r: float, out: FloatArray) -> None:
    """Strain amplitudes of a first wave: 0, 1, 2, 5 go with the cosine, 3 and 4 with the sine."""
    u, v, w, du, dv, dw = 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
    for a in range(NODES):
        k = 3 * (start + a)
        u += shapes[0, a] * field[k]
        v += shapes[0, a] * field[k + 1]
        w += shapes[0, a] * field[k + 2]
        du += shapes[1, a] * field[k]
        dv += shapes[1, a] * field[k + 1]
        dw += shapes[1, a] * field[k + 2]
    out[0], out[1], out[2] = 0.0, (u + v) / r, du
    out[3], out[4], out[5] = dv - (u + v) / r, dw, w / r


@compiled
def _add_carried(field: FloatArray, start: int, shapes: FloatArray, out: FloatArray) -> None:
    """Add the strain of a bending warp that grows along the tube, as amplitudes in the plane a quarter turn on."""
    for a in range(NODES):
        k = 3 * (start + a)
        out[4] -= shapes[0, a] * field[k]
        out[5] += shapes[0, a] * field[k + 1]
        out[0] += shapes[0, a] * field[k + 2]


@compiled
def _stress(c: FloatArray, strain: FloatArray, out: FloatArray) -> None:
    for i in range(6):
        out[i] = 0.0
        for j in range(6):
            out[i] += c[i, j] * strain[j]


@compiled
def _plain_strains(
    field: FloatArray, macro: FloatArray, start: int, shapes: FloatArray, r: float, strain: FloatArray
) -> None:
    """Strain of a constant field with axial strain macro[0] and twist macro[1]; shapes hold values and slopes."""
    strain[1], strain[2], strain[3], strain[4] = 0.0, 0.0, 0.0, 0.0
    for a in range(NODES):
        strain[1] += shapes[0, a] * field[start + a] / r
        strain[2] += shapes[1, a] * field[start + a]
    strain[0], strain[5] = macro[0], macro[1] * r


@compiled
def _plain_right(radius: FloatArray, owner: IntArray, stiff: FloatArray, heat: FloatArray, right: FloatArray) -> None:
    """Right-hand sides: unit axial strain, unit twist, inner and outer pressure, unit rise."""
    shapes, given, pull = np.empty((2, NODES)), np.zeros((3, 6)), np.empty(6)
    for e in range(radius.size - 1):
        c, start = stiff[owner[e]], e * (NODES - 1)
        for g in range(POINTS):
            r, w = gauss(radius[e], radius[e + 1], g, shapes)
            given[0, 0], given[1, 5] = 1.0, r
            for i in range(6):
                given[2, i] = -heat[owner[e], i]
            for case in range(3):
                _stress(c, given[case], pull)
                row = case if case < 2 else 4
                for a in range(NODES):
                    right[row, start + a] -= w * (shapes[0, a] * pull[1] + shapes[1, a] * pull[2] * r)
    right[2, 0] += radius[0]
    right[3, -1] -= radius[-1]


@compiled
def _plain_loads(
    radius: FloatArray,
    owner: IntArray,
    stiff: FloatArray,
    heat: FloatArray,
    field: FloatArray,
    macro: FloatArray,
    total: FloatArray,
) -> None:
    """Axial force and torque of every constant field, (5, 2)."""
    shapes, strain, stress = np.empty((2, NODES)), np.empty(6), np.empty(6)
    for e in range(radius.size - 1):
        for g in range(POINTS):
            r, w = gauss(radius[e], radius[e + 1], g, shapes)
            w *= 2.0 * math.pi * r
            for case in range(5):
                _plain_strains(field[case], macro[case], e * (NODES - 1), shapes, r, strain)
                for i in range(6 if case == 4 else 0):
                    strain[i] -= heat[owner[e], i]
                _stress(stiff[owner[e]], strain, stress)
                total[case, 0] += w * stress[0]
                total[case, 1] += w * r * stress[5]


@compiled
def _to_unit_loads(field: FloatArray, macro: FloatArray, total: FloatArray, flexibility: FloatArray) -> None:
    """Turn unit strains into unit loads: axial force, torque, then pressures and rise with both free."""
    a, b, d = total[0, 0], 0.5 * (total[0, 1] + total[1, 0]), total[1, 1]
    spread = a * d - b * b
    flexibility[0, 0], flexibility[1, 1] = d / spread, a / spread
    flexibility[0, 1] = flexibility[1, 0] = -b / spread
    for case in range(2, 5):
        for i in range(2):
            share = -(flexibility[i, 0] * total[case, 0] + flexibility[i, 1] * total[case, 1])
            macro[case, i] += share
            for k in range(field.shape[1]):
                field[case, k] += share * field[i, k]
    for k in range(field.shape[1]):
        stretch, twist = field[0, k], field[1, k]
        for i in range(2):
            field[i, k] = flexibility[i, 0] * stretch + flexibility[i, 1] * twist
    for i in range(2):
        macro[i, 0], macro[i, 1] = flexibility[i, 0], flexibility[i, 1]


@compiled
def _wave_right(
    radius: FloatArray, owner: IntArray, stiff: FloatArray, bent: FloatArray, is_flexure: bool, right: FloatArray
) -> None:
    """Right-hand side of unit curvature, or of the correction when curvature grows by one a metre."""
    shapes, given, pull = np.empty((2, NODES)), np.zeros(6), np.empty(6)
    strain, body = np.empty(6), np.zeros(6)
    for e in range(radius.size - 1):
        c, start = stiff[owner[e]], e * (NODES - 1)
        for g in range(POINTS):
            r, w = gauss(radius[e], radius[e + 1], g, shapes)
            if is_flexure:
                _wave_strain(bent, start, shapes, r, strain)
                strain[0] = r
                _stress(c, strain, body)
                given[0], given[4], given[5] = 0.0, 0.0, 0.0
                _add_carried(bent, start, shapes, given)
            else:
                given[0] = r
            _stress(c, given, pull)
            for a in range(NODES):
                k, n, d = 3 * (start + a), w * shapes[0, a], w * shapes[1, a] * r
                right[k] += n * (body[4] * r - pull[1] + pull[3]) - d * pull[2]
                right[k + 1] += n * (-body[5] * r - pull[1] + pull[3]) - d * pull[3]
                right[k + 2] += n * (-body[0] * r - pull[5]) - d * pull[4]
    right[0] = 0.0


@compiled
def _wave_strains(
    bent: FloatArray, shear: FloatArray, curve: FloatArray, start: int, shapes: FloatArray, r: float, strain: FloatArray
) -> None:
    """Strain amplitudes of the moment, strain[0], and of the shear force, strain[1]; curve holds their curvatures."""
    _wave_strain(bent, start, shapes, r, strain[0])
    strain[0, 0] += curve[0] * r
    _wave_strain(shear, start, shapes, r, strain[1])
    _add_carried(bent, start, shapes, strain[1])
    strain[1, 0] += curve[1] * r


@compiled
def _wave_moment(
    radius: FloatArray, owner: IntArray, stiff: FloatArray, bent: FloatArray, shear: FloatArray, curve: FloatArray
) -> FloatArray:
    """Moments (2,) of the two waves, then their mutual energies (3,): bent-bent, bent-shear, shear-shear."""
    shapes, strain, stress, out = np.empty((2, NODES)), np.empty((2, 6)), np.empty((2, 6)), np.zeros(5)
    for e in range(radius.size - 1):
        for g in range(POINTS):
            r, w = gauss(radius[e], radius[e + 1], g, shapes)
            w *= math.pi * r
            _wave_strains(bent, shear, curve, e * (NODES - 1), shapes, r, strain)
            for i in range(2):
                _stress(stiff[owner[e]], strain[i], stress[i])
                out[i] += w * r * stress[i, 0]
            for k in range(6):
                out[2] += w * stress[0, k] * strain[0, k]
                out[3] += w * stress[0, k] * strain[1, k]
                out[4] += w * stress[1, k] * strain[1, k]
    return out


@compiled
def _grid(edges: FloatArray, parts: IntArray, radius: FloatArray, owner: IntArray) -> None:
    """Element edges in equal steps of the logarithm, and the layer that owns each."""
    count = 0
    for k in range(parts.size):
        for i in range(parts[k]):
            radius[count] = edges[k] * (edges[k + 1] / edges[k]) ** (i / parts[k])
            owner[count] = k
            count += 1
            radius[count] = edges[k + 1]


@compiled
def _read(
    edges: FloatArray,
    parts: IntArray,
    points: FloatArray,
    radius: FloatArray,
    plain: FloatArray,
    macro: FloatArray,
    wave: FloatArray,
    curve: FloatArray,
    strain: FloatArray,
) -> None:
    """Total strain of every unit load at every point of every layer, (n_layer, n_point, 7, 6)."""
    shapes = np.empty((2, NODES))
    first = 0
    for k in range(parts.size):
        for p in range(points.size):
            # a layer of no thickness is read at the end of the element before it, or the start of the first
            e, r = max(first - 1, 0), radius[first]
            if parts[k] > 0:
                e, r = first, edges[k] + points[p] * (edges[k + 1] - edges[k])
            while e < first + parts[k] - 1 and r > radius[e + 1]:
                e += 1
            half, start = 0.5 * (radius[e + 1] - radius[e]), e * (NODES - 1)
            shapes_at((r - radius[e]) / half - 1.0, half, shapes)
            _wave_strains(wave[0], wave[1], curve, start, shapes, r, strain[k, p, 2:4])
            for i in range(5):
                _plain_strains(plain[i], macro[i], start, shapes, r, strain[k, p, i if i < 2 else i + 2])
        first += parts[k]


@compiled
def _solve_plain(
    radius: FloatArray,
    owner: IntArray,
    stiff: FloatArray,
    heat: FloatArray,
    band: FloatArray,
    macro: FloatArray,
    flexibility: FloatArray,
) -> FloatArray:
    """Constant fields (5, n_node) for unit axial force, torque, inner and outer pressure and rise."""
    field, total = np.zeros((5, band.shape[0])), np.zeros((5, 2))
    _plain_right(radius, owner, stiff, heat, field)
    macro[0, 0], macro[1, 1] = 1.0, 1.0
    factor(band)
    for i in range(5):
        solve(band, field[i])
    _plain_loads(radius, owner, stiff, heat, field, macro, total)
    _to_unit_loads(field, macro, total, flexibility)
    return field


@compiled
def _solve_wave(
    radius: FloatArray, owner: IntArray, stiff: FloatArray, band: FloatArray, curve: FloatArray, flexibility: FloatArray
) -> FloatArray:
    """First waves (2, 3 n_node) of a unit moment and of a unit shear force where the moment is zero."""
    field = np.zeros((2, band.shape[0]))
    factor(band)
    _wave_right(radius, owner, stiff, field[0], False, field[0])
    solve(band, field[0])
    curve[0], curve[1] = 1.0, 0.0
    _wave_right(radius, owner, stiff, field[0], True, field[1])
    solve(band, field[1])
    moment = _wave_moment(radius, owner, stiff, field[0], field[1], curve)
    curve[0], curve[1] = 1.0 / moment[0], -moment[1] / moment[0] ** 2
    for k in range(band.shape[0]):
        field[0, k] /= moment[0]
        field[1, k] = (field[1, k] - moment[1] * field[0, k]) / moment[0]
    energy = _wave_moment(radius, owner, stiff, field[0], field[1], curve)
    flexibility[2, 2], flexibility[3, 3] = energy[2], energy[4]
    flexibility[2, 3] = flexibility[3, 2] = energy[3]
    return field


@compiled
def solve_walls(
    edges: FloatArray,
    parts: IntArray,
    stiff: FloatArray,
    heat: FloatArray,
    points: FloatArray,
    strain: FloatArray,
    motion: FloatArray,
    flexibility: FloatArray,
) -> None:
    """Solve a batch of walls under every unit load.

    edges (n_case, n_layer + 1) [m]; parts (n_case, n_layer) elements to a layer, 0 for one of no thickness; stiff
    (n_case, n_layer, 6, 6) [Pa]; heat (n_case, n_layer, 6) [1/K]; points (n_point,) from 0 inner to 1 outer face.
    Fills strain (n_case, n_layer, n_point, 7, 6), a layer of no thickness as its inner neighbour; motion
    (n_case, 5, 4) with axial strain, twist, hoop strain at bore and at skin of axial force, torque, inner and outer
    pressure, rise; flexibility (n_case, 4, 4) of axial force, torque, moment in one plane, shear a quarter turn on.
    """
    for n in range(edges.shape[0]):
        count = parts[n].sum()
        radius, owner = np.empty(count + 1), np.empty(count, dtype=np.int64)
        _grid(edges[n], parts[n], radius, owner)
        plain = np.zeros((count * (NODES - 1) + 1, NODES))
        wave = np.zeros((3 * plain.shape[0], 3 * NODES))
        _assemble(radius, owner, stiff[n], plain, wave)
        macro, curve = np.zeros((5, 2)), np.zeros(2)
        ring = _solve_plain(radius, owner, stiff[n], heat[n], plain, macro, flexibility[n])
        bent = _solve_wave(radius, owner, stiff[n], wave, curve, flexibility[n])
        for i in range(5):
            motion[n, i, 0], motion[n, i, 1] = macro[i, 0], macro[i, 1]
            motion[n, i, 2], motion[n, i, 3] = ring[i, 0] / radius[0], ring[i, -1] / radius[-1]
        _read(edges[n], parts[n], points, radius, ring, macro, bent, curve, strain[n])
