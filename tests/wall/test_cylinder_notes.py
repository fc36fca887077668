"""The exact tube on the reference pole of the workshop's notes, which were computed another way."""

import numpy as np
import pytest

from polewright.materials.ply import Elastic
from polewright.wall.cylinder import exact_tube
from polewright.wall.stack import Wall

SOURCE = "workshop notes, reference pole, recomputed there a second way"
HOOP = {"E1": 122.9e9, "E2": 7.14e9, "G12": 3.13e9, "nu12": 0.271}
AXIAL = {"E1": 132.7e9, "E2": 7.61e9, "G12": 3.44e9, "nu12": 0.264}
LIGHT = {"E1": 130.2e9, "E2": 7.49e9, "G12": 3.36e9, "nu12": 0.266}


def stiffness(bore_mm, rows):
    """Rows of (constants, degrees, thickness [mm]) from the bore outward."""
    elastic = Elastic.unidirectional(**{n: np.array([r[0][n] for r in rows]) for n in HOOP})
    wall = Wall(
        bore=np.array(bore_mm * 1e-3),
        angle=np.radians([r[1] for r in rows]),
        thickness=np.array([r[2] for r in rows]) * 1e-3,
        elastic=elastic,
    )
    return exact_tube(wall).stiffness()


def section(turns=5, degrees=0.0, *, inside=True, outside=True):
    hoop = [(HOOP, 90, 0.0585)]
    return hoop * inside + [(AXIAL, degrees, 0.1476)] * turns + hoop * outside


@pytest.mark.parametrize(
    ("bore", "turns", "bending", "twist"),
    [(23.00, 4, 416, 25), (24.81, 5, 658, 39), (26.93, 5, 834, 49), (29.04, 5, 1039, 61), (31.15, 5, 1275, 75)],
)
def test_sections_of_the_reference_pole(bore, turns, bending, twist, verified):
    found = stiffness(bore, section(turns))
    verified(
        "wall",
        f"EI of the section on a bore of {bore} mm",
        SOURCE,
        bending,
        found.bending,
        1e-3,
        unit="N m2",
        kind="notes",
    )
    # printed in whole newton square metres
    verified(
        "wall",
        f"GJ of the section on a bore of {bore} mm",
        SOURCE,
        twist,
        found.twist,
        0.0,
        tolerance_abs=0.5,
        unit="N m2",
        kind="notes",
    )


@pytest.mark.parametrize(
    ("cause", "rows", "change", "room"),
    [
        ("axial flag cut 2 degrees off", section(degrees=2.0), -0.037, 5e-4),
        ("axial flag cut 3 degrees off", section(degrees=3.0), -0.079, 5e-4),
        ("axial flag cut 5 degrees off", section(degrees=5.0), -0.19, 5e-3),
        ("one axial turn missing", section(4), -0.21, 5e-3),
        ("outer hoop missing", section(outside=False), -0.005, 5e-4),
        ("inner hoop missing", section(inside=False), -0.017, 5e-4),
    ],
)
def test_what_a_fault_takes_from_bending_stiffness(cause, rows, change, room, verified):
    seen = stiffness(26.93, rows).bending / stiffness(26.93, section()).bending - 1.0
    # the room is half of the last digit printed
    verified("wall", f"loss of EI, {cause}", SOURCE, change, seen, 0.0, tolerance_abs=room, kind="notes")


def test_one_pair_of_45s_trebles_the_twist_stiffness(verified):
    pair = [(LIGHT, 45, 0.1003), (LIGHT, -45, 0.1003)]
    rows = [*section()[:1], *pair, *section()[1:]]
    verified(
        "wall",
        "GJ with one pair of 45s under the axial turns",
        SOURCE,
        124,
        stiffness(24.81, rows).twist,
        0.0,
        tolerance_abs=0.5,
        unit="N m2",
        kind="notes",
    )
