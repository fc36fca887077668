"""Tone of a free tube against an energy method that shares nothing with the frequency equation."""

import numpy as np
import pytest
from numpy.polynomial import legendre
from scipy.linalg import eigh

from polewright.bench import Estimate, TapTest, exactly, first_tone, tap_stiffness
from polewright.errors import DesignError

TUBE = {"outside": 0.02864, "bore": 0.02693}


def tone_by_energy(*, bending, shear, mass, length, outside, bore, terms=22):
    """First bending tone of a free shear-flexible beam: droop and tilt as Legendre series, Rayleigh and Ritz."""
    at, weight = legendre.leggauss(3 * terms)
    value = legendre.legvander(at, terms - 1)
    slope = np.stack([legendre.legval(at, legendre.legder(np.eye(terms)[k])) for k in range(terms)], 1) * 2.0 / length
    weight = weight * length / 2.0
    none = np.zeros_like(value)
    droop, droop_slope = np.hstack([value, none]), np.hstack([slope, none])
    tilt, tilt_slope = np.hstack([none, value]), np.hstack([none, slope])
    shift = droop_slope - tilt
    stiff = bending * (tilt_slope.T * weight) @ tilt_slope + shear * (shift.T * weight) @ shift
    gyration = (outside**2 + bore**2) / 16.0
    inertia = mass / length * ((droop.T * weight) @ droop + gyration * (tilt.T * weight) @ tilt)
    squared = eigh(stiff, inertia, eigvals_only=True)
    return float(np.sqrt(squared[2])) / (2.0 * np.pi)  # after two rigid motions


@pytest.mark.parametrize("length", [0.3, 0.6, 1.2])
@pytest.mark.parametrize("shear", [3e3, 127e3, 1e7])
def test_the_tone_agrees_with_the_energy_method(length, shear, verified):
    tube = {"bending": 834.0, "shear": shear, "mass": 0.1147 * length, "length": length, **TUBE}
    verified(
        "bench",
        f"first free tone, length {length} m, shear {shear:.0f} N",
        "Rayleigh-Ritz, Legendre series",
        tone_by_energy(**tube),
        first_tone(**tube),
        1e-6,
        unit="Hz",
        kind="solver",
    )


def test_a_slender_tube_rings_as_the_slender_formula_says():
    tone = first_tone(bending=834.0, shear=1e12, mass=1.0, length=20.0, **TUBE)
    assert tone == pytest.approx(4.730041**2 / (2 * np.pi) * np.sqrt(834.0 / 20.0**3), rel=1e-5)


@pytest.mark.parametrize(("length", "low"), [(0.3, (1 / 3, 0.6)), (0.6, (0.15, 0.25)), (1.6, (0.0, 0.05))])
def test_a_short_free_specimen_reads_low_and_is_corrected(length, low):
    mass = 0.1147 * length
    heard = tone_by_energy(bending=834.0, shear=127e3, mass=mass, length=length, **TUBE)
    found = tap_stiffness(TapTest(length=length, mass=mass, frequencies=[heard], **TUBE), shear=exactly(127e3))
    assert found.bending.value == pytest.approx(834.0, rel=1e-5)
    assert low[0] < 1.0 - found.slender / 834.0 < low[1]
    assert ("bench.note.short" in {n.code for n in found.notes}) == (found.correction > 1.05)


@pytest.mark.slow
def test_uncertainty_of_the_tone_agrees_with_monte_carlo():
    test = TapTest(
        length=0.6,
        mass=0.0688,
        frequencies=[758.0, 759.0, 760.5, 759.5],
        frequency_share=2e-3,
        length_standard=1e-3,
        mass_standard=3e-4,
        **TUBE,
    )
    said = tap_stiffness(test, shear=Estimate(127e3, 4e3)).bending
    rng = np.random.default_rng(8)
    draws = []
    spread = np.std(test.frequencies, ddof=1) / 2.0
    for _ in range(1500):
        heard = rng.normal(np.mean(test.frequencies), spread) * (1.0 + rng.normal(0.0, 2e-3))
        drawn = TapTest(length=rng.normal(0.6, 1e-3), mass=rng.normal(0.0688, 3e-4), frequencies=[heard], **TUBE)
        draws.append(tap_stiffness(drawn, shear=exactly(rng.normal(127e3, 4e3))).bending.value)
    assert said.standard == pytest.approx(np.std(draws), rel=0.08)  # four standard errors of 1500 draws
    assert said.freedom > 3.0


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"length": 0.0}, "length"),
        ({"mass": np.nan}, "mass"),
        ({"bore": 0.03}, "bore"),
        ({"frequencies": []}, "frequencies"),
        ({"frequencies": [-1.0]}, "frequencies"),
        ({"frequencies": [np.nan]}, "frequencies"),
        ({"frequencies": [50_000.0]}, "frequencies"),
    ],
)
def test_a_tap_that_cannot_be_is_refused_by_the_field(change, field):
    plain = {"length": 0.6, "mass": 0.0688, "frequencies": [759.0], **TUBE}
    with pytest.raises(DesignError) as refusal:
        tap_stiffness(TapTest(**(plain | change)), shear=exactly(127e3))
    assert refusal.value.field == field


def test_a_shear_stiffness_that_cannot_be_is_refused():
    test = TapTest(length=0.6, mass=0.0688, frequencies=[759.0], **TUBE)
    with pytest.raises(DesignError, match=r"want\.shear_above_zero"):
        tap_stiffness(test, shear=exactly(0.0))


@pytest.mark.parametrize("field", ["bending", "shear", "mass", "length", "outside"])
@pytest.mark.parametrize("value", [0.0, -1.0, np.nan, np.inf])
def test_a_tone_of_nonsense_is_refused_by_name(field, value):
    plain = {"bending": 834.0, "shear": 127e3, "mass": 0.07, "length": 0.6, **TUBE}
    with pytest.raises(DesignError) as refusal:
        first_tone(**(plain | {field: value}))
    assert refusal.value.field == field
