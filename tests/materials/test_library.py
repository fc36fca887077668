"""The shipped library: complete, in SI, sourced, and kind to a misspelling."""

import tomllib
from importlib import resources
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polewright.errors import DesignError
from polewright.materials import library
from polewright.materials.file_units import KEY_UNITS, WORD_UNITS, in_si, si_name, word_factor

FOLDER = resources.files("polewright.materials") / "data"
FILES = ("fibres", "hazards", "mandrels", "prepregs", "process", "resins", "sources", "tests", "use")


def raw(name: str) -> dict[str, Any]:
    return tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))


def test_library_is_read_once() -> None:
    assert library() is library()


@pytest.mark.parametrize(
    ("file", "table", "shelf", "count"),
    [
        ("fibres", "fibre", "fibres", 15),
        ("resins", "resin", "resins", 4),
        ("prepregs", "prepreg", "prepregs", 28),
        ("mandrels", "mandrel", "mandrel_materials", 7),
        ("hazards", "hazard", "hazards", 18),
    ],
)
def test_every_row_of_the_tables_is_on_the_shelf_with_its_source(file: str, table: str, shelf: str, count: int) -> None:
    entries = getattr(library(), shelf)
    rows = raw(file)[table]
    assert len(rows) == len(entries) == count
    for row in rows:
        entry = entries[row["id"]]
        assert entry.provenance.source == row["source"]
        assert entry.provenance.refs == tuple(row["refs"])
        assert entry.provenance.confidence == row["confidence"]


def test_every_other_table_is_there_in_full() -> None:
    shelf = library()
    for file in FILES:
        for table, rows in raw(file).items():
            if isinstance(rows, list):
                kept = (
                    shelf.scalars.get(table)
                    or shelf.tables.get(table)
                    or {
                        "fibre": shelf.fibres,
                        "resin": shelf.resins,
                        "prepreg": shelf.prepregs,
                        "mandrel": shelf.mandrel_materials,
                        "hazard": shelf.hazards,
                    }[table]
                )
                assert len(kept) == len(rows), table


def test_figures_are_in_si() -> None:
    shelf = library()
    assert shelf.fibre("pan_sm_230").E1 == 230e9
    assert shelf.fibre("pan_sm_230").Xc_ref == 1450e6
    assert shelf.fibre("pan_sm_230").diameter == pytest.approx(7e-6)
    assert shelf.fibre("pan_sm_230").ranges["alpha2"] == pytest.approx((7e-6, 15e-6))
    resin = shelf.resin("ep120_tough")
    assert resin.Tg_wet == pytest.approx(92.0 + 273.15)
    assert resin.heat_of_reaction == 350e3
    assert resin.ranges["Tg_dry"] == pytest.approx((378.15, 403.15))
    assert resin.cure_cycles[0] == {"T": pytest.approx(393.15), "dwell": 3600.0, "alpha_min": 0.93}
    assert resin.more["visc_min"] == 5.0
    assert resin.more["out_life_20C"] == 30 * 86400.0
    assert shelf.mandrel_material("aluminium_6000").alpha == pytest.approx(23.4e-6)
    assert shelf.prepreg("ud_sm_150").roll_width == pytest.approx((0.3, 0.6, 1.0))
    assert shelf.scalar("ply_angle_tolerance_template").value == pytest.approx(0.0174533, rel=1e-5)
    assert shelf.scalar("workshop_climate").value == pytest.approx(293.15)
    assert shelf.scalar("outer_diameter_mm_sd").value == pytest.approx(5e-5)
    assert shelf.scalar("E1", "cov").value == pytest.approx(0.03)
    assert shelf.scalar("push_pull_start_men").value == pytest.approx(20 * 9.80665)
    assert shelf.row("hose", "pole_4x6")["mass_full"] == pytest.approx(0.0314)
    assert shelf.row("published_ply", "pub_carbon_230")["f_E1"] == 230e9
    assert shelf.row("kinetics", "kin_ep120_cal")["E1"] == 89000.0
    assert shelf.table("beaufort")[6]["v_mid"] == pytest.approx(raw("use")["beaufort"][6]["v_mid_m_s"])


def test_grip_in_kilogram_force_is_the_median_in_newton() -> None:
    for row in library().table("grip"):
        assert row["mean"] == pytest.approx(row["P50"], rel=1e-3)


def test_kinetics_of_every_resin_are_there() -> None:
    for resin in library().resins.values():
        heat = library().row("kinetics", resin.kinetics_id)["H_total"]
        assert heat == pytest.approx(resin.heat_of_reaction, rel=1e-3)


def test_every_reference_key_leads_to_a_source() -> None:
    shelf = library()
    known = {r.id for r in shelf.table("source")}
    for entries in (
        shelf.fibres,
        shelf.resins,
        shelf.prepregs,
        shelf.mandrel_materials,
        shelf.hazards,
        *shelf.scalars.values(),
    ):
        for entry in entries.values():
            assert set(entry.provenance.refs) <= known


def test_values_lie_in_their_bands() -> None:
    for table in library().scalars.values():
        for scalar in table.values():
            assert scalar.low <= scalar.value <= scalar.high, scalar.id
    for fibre in library().fibres.values():
        for figure, (low, high) in fibre.ranges.items():
            assert low <= getattr(fibre, figure) <= high, (fibre.id, figure)


def test_hazards_close_with_the_competent_person() -> None:
    for hazard in library().hazards.values():
        assert "local codes" in hazard.closing
        assert hazard.actions


def test_knockdowns_are_the_product_of_their_reasons() -> None:
    for k in library().knockdowns.values():
        if k.id != "E1":
            assert k.total == pytest.approx(k.process * k.scatter * k.environment, rel=5e-3)


def test_an_unknown_id_names_the_closest_spellings() -> None:
    shelf = library()
    with pytest.raises(DesignError, match=r"fibre is 'pan_sm230'.*pan_sm_230"):
        shelf.fibre("pan_sm230")
    with pytest.raises(DesignError, match=r"prepreg is 'ud_sm_15'.*ud_sm_150"):
        shelf.prepreg("ud_sm_15")
    with pytest.raises(DesignError, match="mandrel material"):
        shelf.mandrel_material("brass")
    with pytest.raises(DesignError, match="air_density"):
        shelf.scalar("air_densty")
    for call in (
        lambda: shelf.resin(""),
        lambda: shelf.hazard("x"),
        lambda: shelf.table("hoses"),
        lambda: shelf.row("hose", "pole_4x7"),
        lambda: shelf.scalar("E1", "covs"),
    ):
        with pytest.raises(DesignError, match=r"want\.known_id"):
            call()
    with pytest.raises(DesignError, match="mass_full"):
        shelf.row("hose", "pole_4x6")["mass"]


def test_nothing_on_the_shelf_can_be_changed() -> None:
    shelf = library()
    with pytest.raises(AttributeError):
        shelf.fibre("e_glass").E1 = 1.0  # type: ignore[misc]
    with pytest.raises(TypeError):
        shelf.fibre("e_glass").ranges["E1"] = (0.0, 1.0)  # type: ignore[index]
    with pytest.raises(TypeError):
        shelf.fibres["mine"] = shelf.fibre("e_glass")  # type: ignore[index]


def test_every_unit_in_words_is_known() -> None:
    for file, table in (
        ("process", "value"),
        ("use", "load"),
        ("use", "ergonomics"),
        ("use", "scalar"),
        ("mandrels", "mandrel_quality"),
    ):
        for row in raw(file)[table]:
            unit = row["unit"]
            known = any(unit == u or unit.startswith((f"{u} ", f"{u},")) for u in WORD_UNITS if u != "-")
            assert known or unit == "-", unit


@settings(derandomize=True, max_examples=60, deadline=None)
@given(st.sampled_from(sorted(KEY_UNITS)), st.floats(-1e6, 1e6))
def test_a_key_loses_its_unit_and_its_value_takes_it(unit: str, value: float) -> None:
    key = f"figure_{unit}"
    assert si_name(key) == "figure"
    if unit != "C":
        assert in_si(key, value) == value * KEY_UNITS[unit]
    assert in_si(key, [value, value]) == (in_si(key, value),) * 2


def test_texts_and_switches_pass_unchanged() -> None:
    assert in_si("use_note_C", "keep at 20 C") == "keep at 20 C"
    assert in_si("conductive", True) is True
    assert word_factor("mm diameter per m length") == (1e-3, 0.0, "-")
