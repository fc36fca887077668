"""Published laminates to all their printed digits; closed forms of rings, flattening and buckling. From data files."""

import tomllib
from pathlib import Path

import numpy as np
import pytest
from tests.wall.walls_of_the_notes import isotropic

from polewright.materials.ply import Elastic, Strength
from polewright.wall import (
    CRITERIA,
    TubeLoads,
    Wall,
    axisymmetric_force,
    bending_knock_down,
    bending_wrinkle,
    collapse_pressure,
    collapse_pressure_thick,
    last_failure,
    maximum_strain_reserve,
    maximum_stress_reserve,
    oval_moment_brazier,
    ply_reserve,
    push_knock_down,
    push_wrinkle,
    reduced_stiffness,
    ring_response,
    ring_stiffness,
    rotated_stiffness,
    thin_stress,
    tsai_wu_reserve,
    wall_matrices,
)
from polewright.wall.solid import ply_stress
from polewright.wall.squeeze import pad_pressure

DATA = Path(__file__).parent / "data"
BOOK = tomllib.loads((DATA / "textbook_laminates.toml").read_text(encoding="utf-8"))
FORMS = tomllib.loads((DATA / "closed_forms.toml").read_text(encoding="utf-8"))
PLY = Elastic.unidirectional(
    E1=BOOK["ply"]["E1"] * 1e9, E2=BOOK["ply"]["E2"] * 1e9, G12=BOOK["ply"]["G12"] * 1e9, nu12=BOOK["ply"]["nu12"]
)
STRENGTH = Strength(**{name: BOOK["ply"][name] * 1e6 for name in ("Xt", "Xc", "Yt", "Yc", "S")})
UPPER = ((0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2))


def holds(verified, entry, what, text, value, unit):
    """To the last digit printed."""
    mantissa, _, _ = text.partition("e")
    digits = len(mantissa.replace("-", "").replace(".", ""))
    assert float(f"{value:.{digits - 1}e}") == float(text), what
    verified(
        "wall",
        f"{what}, {entry['where']}",
        BOOK["book"],
        float(text),
        value,
        10.0 ** (1 - digits),
        unit=unit,
        kind="published",
    )


def test_lamina_in_its_own_axes_and_turned(verified):
    own, turned = reduced_stiffness(PLY) / 1e9, rotated_stiffness(PLY, np.radians(BOOK["turned"]["degrees"])) / 1e9
    for text, (i, j) in zip(BOOK["own"]["printed"], ((0, 0), (0, 1), (1, 1), (2, 2)), strict=True):
        holds(verified, BOOK["own"], f"Q{i + 1}{j + 1}", text, own[i, j], "GPa")
    for text, (i, j) in zip(BOOK["turned"]["printed"], UPPER, strict=True):
        holds(verified, BOOK["turned"], f"Q{i + 1}{j + 1}", text, turned[i, j], "GPa")


def test_lamina_under_load_and_how_far_from_breaking(verified):
    entry, tube = BOOK["loaded"], np.zeros(6)
    tube[[0, 1, 5]] = np.array(entry["stress"]) * 1e6
    stress = ply_stress(tube, np.radians(entry["degrees"]))[[0, 1, 5]]
    for text, name, value in zip(entry["printed"], ("fibre", "across", "shear"), stress, strict=True):
        holds(verified, entry, f"{name} stress", text, value / 1e6, "MPa")
    for name, found in (
        ("maximum_stress", maximum_stress_reserve(stress, STRENGTH)),
        ("maximum_strain", maximum_strain_reserve(stress, STRENGTH, elastic=PLY)),
        ("tsai_wu", tsai_wu_reserve(stress, STRENGTH)),
    ):
        holds(verified, entry, f"strength ratio, {name.replace('_', ' ')}", entry[name], float(found.factor), "-")


def flat(entry, bore=1.0):
    count = len(entry["degrees"])
    return Wall(
        bore=bore, angle=np.radians(entry["degrees"]), thickness=np.full(count, entry["thickness"]), elastic=PLY
    )


def test_laminate_as_a_plate_and_what_a_pull_does_to_it(verified):
    entry, pulled = BOOK["laminate"], BOOK["pulled"]
    A, B, D = wall_matrices(flat(entry))
    for name, matrix, unit in (("A", A, "N/m"), ("B", B, "N"), ("D", D, "N m")):
        for text, (i, j) in zip(entry[name], UPPER, strict=True):
            holds(verified, entry, f"{name}{i + 1}{j + 1}", text, matrix[i, j], unit)
            assert matrix[j, i] == pytest.approx(matrix[i, j])
    strain = np.linalg.solve(np.block([[A, B], [B, D]]), [pulled["force"]] * 2 + [0.0] * 4)
    for text, name, value in zip(
        pulled["printed"], ("strain x", "strain y", "shear", "curvature x", "curvature y", "twist"), strain, strict=True
    ):
        holds(verified, pulled, name, text, value, "-")


def test_first_and_last_ply_failure_of_a_pulled_laminate(verified):
    """A tube of a kilometre's radius stands for the flat plate: its curvature moves the seventh digit."""
    entry = BOOK["failing"]
    wall = flat(entry, bore=2000.0)
    pull = TubeLoads(axial=np.pi * (wall.bore + wall.total_thickness))  # one newton a metre
    every = ply_reserve(wall, thin_stress(wall, pull), STRENGTH, criterion="tsai_wu").factor.min(axis=(0, 2))
    assert "tsai_wu" in CRITERIA
    holds(verified, entry, "cross ply", entry["cross_ply"], every[1], "N/m")
    for ply in (0, 2):
        holds(verified, entry, f"ply {ply + 1}", entry["along_plies"], every[ply], "N/m")
    holds(verified, entry, "last ply", entry["last"], last_failure(wall, pull, STRENGTH, keep=1e-6).factor, "N/m")


def _plates(wall):
    half = float(2.0 * wall.total_thickness / wall.outside)
    return 1.0 / ring_response(wall, pad_pressure(wall, half_angle=half)).closure()


ASKED = {
    "ring between plates, N/m a metre of width": lambda w: ring_stiffness(w).between_plates,
    "solid ring between plates, N/m a metre of width": _plates,
    "collapse by even pressure at the middle, Pa": collapse_pressure,
    "solid ring's collapse by even pressure outside, Pa": collapse_pressure_thick,
    "flattening moment, N m": oval_moment_brazier,
    "ring-wrinkling push, N": axisymmetric_force,
    "wrinkling push of a long tube, N": lambda w: push_wrinkle(w).load,
    "wrinkling moment, N m": lambda w: bending_wrinkle(w).load,
    "knock-down under push": lambda w: push_knock_down(w).factor,
    "knock-down in bending": lambda w: bending_knock_down(w).factor,
}


@pytest.mark.parametrize("case", FORMS["case"], ids=lambda c: c["figure"])
def test_closed_form_of_a_metal_tube(case, verified):
    wall = isotropic(case["radius"], case["thickness"], E=FORMS["E"], nu=FORMS["nu"])
    what = f"{case['figure']}, R/t {case['radius'] / case['thickness']:.0f}"
    verified(
        "wall",
        what,
        case["source"],
        case["expected"],
        ASKED[case["figure"]](wall),
        case["tolerance"],
        kind="closed form",
    )
