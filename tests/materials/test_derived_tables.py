"""Tables of the shelf that follow from their own columns: each row worked out again from the formula beside it."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from polewright.materials.library import library

SHELF = library()
GAS = 8.314


@pytest.mark.parametrize("hose", [r["id"] for r in SHELF.table("hose")])
def test_a_hose_weighs_its_wall_and_its_water(hose, verified):
    row = SHELF.row("hose", hose)
    wall = np.pi / 4.0 * (row["OD"] ** 2 - row["ID"] ** 2) * row["wall_density"]
    full = wall + np.pi / 4.0 * row["ID"] ** 2 * 998.0
    for name, expected, found in (("empty", wall, row["mass_dry"]), ("full", full, row["mass_full"])):
        verified(
            "materials",
            f"hose {hose}, {name}",
            "area times density, water 998 kg/m3",
            1e3 * expected,
            1e3 * found,
            0.01,
            unit="g/m",
            kind="closed form",
        )


@pytest.mark.parametrize(("bore", "water"), [(0.004, 12.6), (0.005, 19.6), (0.006, 28.3), (0.008, 50.3)])
def test_water_in_a_hose_of_the_shelf_is_what_the_notes_say(bore, water, verified):
    rows = [r for r in SHELF.table("hose") if abs(r["ID"] - bore) < 1e-9]
    assert rows
    for row in rows:
        verified(
            "materials",
            f"water in hose {row['id']}",
            "workshop notes",
            water,
            1e3 * (row["mass_full"] - row["mass_dry"]),
            0.005,
            0.05,
            "g/m",
            kind="notes",
        )


@pytest.mark.parametrize("i", range(len(SHELF.table("tape_pressure"))))
def test_tape_presses_as_a_thin_ring_says(i, verified):
    """Wound n T/(w R), shrunk n s t/R, at gel the wound part relaxed."""
    row = SHELF.table("tape_pressure")[i]
    wound = row["n_layers"] * row["tension"] / (row["width"] * row["R"])
    shrunk = row["n_layers"] * row["shrink_stress"] * row["thickness"] / row["R"]
    for name, expected in (("p_wound", wound), ("p_shrink", shrunk), ("p_gel", row["k_relax"] * wound + shrunk)):
        verified(
            "materials",
            f"tape on a radius of {1e3 * row['R']:g} mm, {name}",
            "thin ring by hand",
            expected / 1e6,
            row[name] / 1e6,
            0.015,
            unit="MPa",
            kind="closed form",
        )


@pytest.mark.parametrize("name", sorted(SHELF.mandrel_materials))
def test_a_mandrel_shrinks_by_its_expansion_over_110_kelvin(name, verified):
    metal = SHELF.mandrel_material(name)
    verified(
        "materials",
        f"free shrink of {name}",
        "expansion times 110 K",
        1e3 * metal.alpha * 110.0,
        1e3 * metal.more["free_shrink"],
        0.02,
        0.006,
        "mm/m",
        kind="closed form",
    )


@pytest.mark.parametrize(
    ("name", "formula", "expected", "close"),
    [
        ("exotherm_adiabatic_rise", "resin share x heat over heat capacity", 0.36 * 350.0 / 1.125, 0.01),
        ("h_radiation_130C", "4 e sigma T3, 0.9 at 400 K", 4.0 * 0.9 * 5.670e-8 * 400.0**3, 0.02),
        ("lacquer_areal_mass", "35 um of 1150 kg/m3", 35e-6 * 1150.0, 0.01),
    ],
)
def test_single_figures_of_the_workshop_follow_from_theirs(name, formula, expected, close, verified):
    verified(
        "materials", name.replace("_", " "), formula, expected, SHELF.scalar(name).value, close, kind="closed form"
    )


@pytest.mark.parametrize("force", range(13))
def test_wind_forces_follow_the_scale(force, verified):
    """0.836 B^1.5 m/s, its pressure in standard air."""
    row = next(r for r in SHELF.table("beaufort") if r["force"] == force)
    verified(
        "materials",
        f"wind force {force}, middle speed",
        "0.836 B^1.5",
        0.836 * force**1.5,
        row["v_mid"],
        0.02,
        0.06,
        "m/s",
        kind="closed form",
    )
    verified(
        "materials",
        f"wind force {force}, pressure of the middle speed",
        "half rho v squared, 1.225 kg/m3",
        0.6125 * (0.836 * force**1.5) ** 2,
        row["q_mid"],
        0.02,
        0.1,
        "Pa",
        kind="closed form",
    )


def cured(name, kelvin, seconds, *, until=None):
    """Degree of cure after a time at one temperature, or the seconds to a degree, endless if it is not reached."""
    row = SHELF.row("kinetics", name)
    one, two = (row[f"A{i}"] * np.exp(-row[f"E{i}"] / (GAS * kelvin)) for i in (1, 2))

    def rate(_, degree):
        x = np.clip(degree, 0.0, 1.0)
        return (one + two * x ** row["m"]) * (1.0 - x) ** row["n"]

    def there(_, degree):
        return degree[0] - (until or 2.0)

    there.terminal = True
    found = solve_ivp(rate, (0.0, seconds), [row["alpha0"]], method="LSODA", rtol=1e-9, atol=1e-12, events=there)
    if until is None:
        return float(found.y[0, -1])
    return float(found.t_events[0][0]) if found.t_events[0].size else np.inf


@pytest.mark.parametrize("name", sorted(SHELF.resins))
def test_every_cycle_of_a_resin_cures_it_as_far_as_it_says(name):
    resin = SHELF.resin(name)
    for cycle in resin.cure_cycles:
        assert cured(resin.kinetics_id, cycle["T"], cycle["dwell"]) >= cycle["alpha_min"]
        assert cured(resin.kinetics_id, cycle["T"], cycle["dwell"], until=resin.gel_conversion) < cycle["dwell"]


@pytest.mark.parametrize("name", sorted(SHELF.resins))
def test_a_roll_advances_little_within_its_out_life_and_shelf_life(name):
    resin = SHELF.resin(name)
    assert cured(resin.kinetics_id, 293.15, resin.more["out_life_20C"]) < 0.12
    assert cured(resin.kinetics_id, 255.15, resin.more["shelf_life_minus18C"]) < 0.03
