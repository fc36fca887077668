"""Squeezes to first failure: statics of the pads, an independent shell for the helped length, order of the answers."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.integrate import quad
from tests.wall.walls_of_the_notes import AXIAL, BORE, BURIED, S3, isotropic, strength_of

from polewright.errors import DesignError
from polewright.materials.ply import Elastic
from polewright.wall.ring import ring_stiffness, wall_matrices
from polewright.wall.squeeze import (
    fist_squeeze,
    helped_length,
    pad_pressure,
    pinch_stiffness,
    plates_squeeze,
    point_squeeze,
)
from polewright.wall.stack import Wall
from polewright.wall.thick_ring import ClockPressure, ring_response
from polewright.wall.thin_stress import thin_cure_stress


@pytest.mark.parametrize("half", [0.05, 0.4, np.pi / 3.0, np.pi / 2.0])
def test_pads_press_with_one_newton_a_metre_and_nothing_sideways(half):
    wall = S3.wall(BORE)
    load, radius = pad_pressure(wall, half_angle=half, most_waves=4000), float(wall.outside) / 2.0

    def pressure(clock):
        return float(load.pressure @ np.cos(load.waves * clock))

    def profile(clock):
        return (1.0 + np.cos(np.pi * clock / half)) / 2.0 if abs(clock) < half else 0.0

    pressed, _ = quad(lambda a: profile(a) * np.cos(a) * radius, -half, half)
    for clock in np.linspace(0.0, min(1.3 * half, np.pi / 2), 7):
        assert_allclose(pressure(clock) * pressed, profile(clock), atol=1e-3)
    fine = np.linspace(-np.pi / 2, np.pi / 2, 20001)
    down = np.trapezoid([pressure(a) * np.cos(a) * radius for a in fine[::5]], fine[::5])
    assert_allclose(down, 1.0, rtol=1e-3)


def test_first_failure_of_a_pinched_metal_ring_is_that_of_the_curved_beam():
    # thin ring: greatest bending moment P R/pi under the load (Roark, 7th ed., table 9.2 case 1), stress 6 M/t^2
    wall = isotropic(0.1, 0.001)
    strength = strength_of(wall, Xt=300e6, Xc=300e6, Yt=300e6, Yc=300e6, S=173e6)
    found = plates_squeeze(wall, strength, length=0.02, criterion="maximum_stress")
    force = 300e6 * 0.001**2 / 6.0 * np.pi / 0.1 * 0.02
    assert_allclose(found.force, force, rtol=0.03)  # pad two walls wide, wall over radius 1 %
    assert_allclose(found.closure, found.force / found.stiffness)


def test_squeeze_to_failure_scales_and_keeps_cure_stress_apart():
    wall = S3.wall(BORE)
    strength = strength_of(wall)
    plain = plates_squeeze(wall, strength, length=0.02)
    assert_allclose(plates_squeeze(wall, strength, length=0.04).force, 2.0 * plain.force)
    assert_allclose(plain.reserve(50.0), plain.force / 50.0)
    cold = plates_squeeze(wall, strength, length=0.02, cure=thin_cure_stress(wall, -60.0))
    assert cold.force < plain.force
    assert cold.stiffness == plain.stiffness
    assert plain.failure.broken.code == "strength.broken"


def test_hoops_at_both_faces_are_what_bears_a_squeeze():
    forces = [plates_squeeze(s.wall(BORE), strength_of(s.wall(BORE)), length=0.02).force for s in (S3, BURIED, AXIAL)]
    assert forces[0] > 4.0 * forces[1]
    assert forces[0] > 4.0 * forces[2]


def test_a_fist_bears_more_than_plates_of_its_length_and_a_point_less():
    wall = S3.wall(BORE)
    strength = strength_of(wall)
    fist, plates = fist_squeeze(wall, strength, length=0.09), plates_squeeze(wall, strength, length=0.09)
    point = point_squeeze(wall, strength, pad=0.005)
    assert fist.force > plates.force > point.force
    assert fist.stiffness > plates.stiffness


def _shell_point_closure(wall, waves, pad):
    """Closure of an endless isotropic tube under two opposite loads spread over `pad`: Flugge's shell, wave by wave.

    Written here from his membrane and bending energies (Love's kinematics), integrated over all axial wave numbers.
    """
    A, _, D = wall_matrices(wall)
    radius = float(ring_stiffness(wall).middle)
    total = 0.0
    for n in waves:
        b = n / radius

        def give(a, b=b):
            strain = np.array(
                [
                    [1j * a, 0, 0],
                    [0, 1j * b, 1 / radius],
                    [1j * b, 1j * a, 0],
                    [0, 0, a * a],
                    [0, 1j * b / radius, b * b],
                    [0, 2j * a / radius, 2 * a * b],
                ]
            )
            whole = np.zeros((6, 6))
            whole[:3, :3], whole[3:, 3:] = A, D
            energy = strain.conj().T @ whole @ strain
            return np.linalg.inv(energy)[2, 2].real * np.sinc(a * pad / 2.0 / np.pi)

        # amplitude of cos(n clock) of two opposite unit loads: (2/(pi R)) ; displacement at the load: integral over a
        along, _ = quad(give, 0.0, 40.0 * b, limit=400)
        total += 2.0 * (2.0 / (np.pi * radius)) * along / np.pi
    return total


@pytest.mark.parametrize(("thickness", "tolerance"), [(0.001, 0.08), (0.0005, 0.06)])
def test_helped_length_agrees_with_a_full_shell_in_the_lowest_waves(thickness, tolerance, verified):
    wall = isotropic(0.1, thickness)
    waves = np.array([2.0, 4.0, 6.0])
    load = pad_pressure(wall, half_angle=0.02)
    kept = ClockPressure(
        waves, np.array([float(load.pressure[int(n) // 2]) for n in waves]) / helped_length(wall, waves, length=1e-4)
    )
    verified(
        "wall",
        f"pinched endless tube, waves 2 to 6, R/t {0.1 / thickness:.0f}",
        "Love-type shell integrated over all axial waves",
        _shell_point_closure(wall, waves, 1e-4),
        ring_response(wall, kept).closure(),
        tolerance,
        unit="m/N",
        kind="solver",
    )


def test_helped_length_runs_from_a_point_to_the_whole_length():
    wall, waves = S3.wall(BORE), np.array([2.0, 4.0, 10.0])
    far = helped_length(wall, waves, length=100.0)
    assert_allclose(far, 100.0, rtol=1e-6)
    short = helped_length(wall, waves, length=1e-6)
    assert_allclose(short, helped_length(wall, waves, length=1e-7), rtol=1e-4)
    assert np.all(np.diff(short) < 0.0)
    # a point: 2/b, whatever the digits of so short a load
    assert_allclose(helped_length(wall, waves, length=1e-20), helped_length(wall, waves, length=1e-12), rtol=1e-8)


def test_a_long_pad_on_a_long_tube_is_the_ring():
    wall = S3.wall(BORE)
    ring = plates_squeeze(wall, strength_of(wall), length=2.0).stiffness
    assert_allclose(pinch_stiffness(wall, length=2.0), ring, rtol=0.01)
    assert pinch_stiffness(wall, length=0.02) > 0.02 / 2.0 * ring


def test_mirroring_and_a_ply_of_no_thickness_leave_the_squeeze():
    wall = S3.wall(BORE)
    wider = Wall(
        bore=wall.bore,
        angle=np.append(wall.angle, 0.4),
        thickness=np.append(wall.thickness, 0.0),
        elastic=Elastic(
            **{
                n: np.append(getattr(wall.elastic, n), getattr(wall.elastic, n)[0])
                for n in Elastic.__dataclass_fields__
            }
        ),
    )
    force = plates_squeeze(wall, strength_of(wall), length=0.02).force
    assert_allclose(plates_squeeze(wider, strength_of(wider), length=0.02).force, force, rtol=1e-9)
    assert_allclose(plates_squeeze(wall.mirrored(), strength_of(wall), length=0.02).force, force, rtol=1e-9)


@pytest.mark.parametrize(
    "call",
    [
        lambda w, s: plates_squeeze(w, s, length=0.0),
        lambda w, s: fist_squeeze(w, s, length=0.1, half_angle=2.0),
        lambda w, s: point_squeeze(w, s, pad=-1.0),
        lambda w, s: plates_squeeze(w, s, length=0.1, pad=np.inf),
    ],
)
def test_impossible_squeezes_are_refused(call):
    wall = S3.wall(BORE)
    with pytest.raises(DesignError):
        call(wall, strength_of(wall))
