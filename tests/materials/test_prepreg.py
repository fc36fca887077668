"""Prepreg to ply: the shipped table reproduced, a shop's own figures in place, and every figure's chain."""

import json
import pickle
from dataclasses import replace
from typing import Any

import pytest
from numpy.testing import assert_allclose

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials import Fibre, Models, Prepreg, Resin, library, stock_prepreg

# (relative, absolute) as the table's own check allows for its rounding
TOLERANCE = {
    "nu12": (0.02, 0.002),
    "alpha1": (0.02, 0.02e-6),
    "alpha2": (0.02, 0.06e-6),
    "area_mass": (0.01, 0.6e-3),
    "density": (0.01, 1.0),
    "thickness": (0.01, 0.6e-6),
}
TABLED = (
    "Vf",
    "thickness",
    "area_mass",
    "density",
    "E1",
    "E2",
    "G12",
    "nu12",
    "alpha1",
    "alpha2",
    "Xt",
    "Xc",
    "Yt",
    "Yc",
    "S",
    "Xt_design",
    "Xc_design",
    "Yt_design",
    "Yc_design",
    "S_design",
)


@pytest.mark.parametrize("name", library().prepregs)
def test_every_shipped_prepreg_comes_out_of_its_fibre_and_resin(name: str, verified: Any) -> None:
    entry, record = library().prepreg(name), stock_prepreg(name).ply()
    for figure in TABLED:
        relative, absolute = TOLERANCE.get(figure, (0.01, 0.0))
        verified(
            "materials",
            f"{name} {figure}",
            "shipped prepreg table",
            getattr(entry, figure),
            record.chain(figure).value,
            relative,
            absolute,
            kind="notes",
        )
    inside = "ud." if entry.is_woven else ""  # the table lists the through-ply shear of the plies inside a weave
    for figure in ("G23", "nu23"):
        assert record.chain(inside + figure).value == pytest.approx(getattr(entry, figure), rel=0.01)


@pytest.mark.parametrize("name", library().prepregs)
def test_ply_carries_the_figures_of_its_record(name: str) -> None:
    record = stock_prepreg(name).ply()
    ply = record.ply
    assert ply.strength is not None
    assert ply.design is not None
    for figure in ("E1", "E2", "E3", "G12", "G13", "G23", "nu12", "nu13", "nu23", "alpha1", "alpha3", "density"):
        assert float(getattr(ply.elastic, figure)) == record.chain(figure).value
    for figure in ("Xt", "Xc", "Yt", "Yc", "S"):
        assert float(getattr(ply.strength, figure)) == record.chain(figure).value
        assert float(getattr(ply.design, figure)) == record.chain(f"{figure}_design").value
        assert getattr(ply.design, figure) < getattr(ply.strength, figure)
    assert_allclose(float(ply.elastic.density) * ply.thickness, ply.area_mass, rtol=1e-9)
    assert ply.is_woven == (library().prepreg(name).architecture != "ud")
    assert record.given == {}


def test_glass_insulates_and_a_hybrid_conducts() -> None:
    assert not stock_prepreg("ud_eg_150").ply().ply.is_conductive
    hybrid = stock_prepreg("w_hybrid_ca_twill_190").ply().ply
    assert hybrid.is_conductive
    assert hybrid.family == "aramid-carbon"


@pytest.mark.parametrize("family", ["carbon_pan", "carbon_pitch", "graphene", "steel", "unheard of", ""])
def test_what_may_conduct_keeps_the_caution_whatever_is_declared_of_it(family: str) -> None:
    """Only a family known to insulate is taken at its word; carbon and what nobody knows are not."""
    glass = stock_prepreg("ud_eg_150")
    declared = replace(glass.fibres[0], family=family, conductive=False)
    assert replace(glass, fibres=(declared,)).ply().ply.is_conductive


def test_every_shipped_family_declared_an_insulator_is_one_that_is_known() -> None:
    shipped = tuple(library().fibres.values())
    assert {f.family for f in shipped if not f.conductive} == {"glass", "aramid", "mineral", "natural"}
    insulating = {
        f.family for f in shipped if not replace(stock_prepreg("ud_eg_150"), fibres=(f,)).ply().ply.is_conductive
    }
    assert insulating == {"glass", "aramid", "mineral", "natural"}


def test_a_measured_figure_takes_the_place_of_the_derived_one_and_all_that_follows_from_it() -> None:
    plain = stock_prepreg("ud_sm_150").ply()
    lot = stock_prepreg("ud_sm_150").with_measured({"E2": 8.5e9}, source="transverse coupons", lot="L7").ply()
    assert lot.chain("E2").kind == "measured"
    assert lot.chain("E2").source == Message("origin.of_lot", source="transverse coupons", lot="L7")
    assert float(lot.ply.elastic.E2) == float(lot.ply.elastic.E3) == 8.5e9
    assert_allclose(lot.ply.elastic.G23, 8.5e9 / (2 * (1 + 0.42)), rtol=1e-12)
    assert lot.chain("G23").kind == "derived"
    assert lot.chain("G23").inputs["E2"].kind == "measured"
    assert not lot.chain("G23").is_default
    assert lot.chain("E1").is_default
    assert lot.ply.elastic.E1 == plain.ply.elastic.E1
    assert set(lot.given) == {"E2"}


def test_a_later_measurement_wins_and_other_lots_are_untouched() -> None:
    stock = stock_prepreg("ud_sm_150")
    first = stock.with_measured({"E1": 120e9}, source="supplier", kind="certificate")
    second = first.with_measured({"E1": 123e9}, source="bench")
    assert first.ply().chain("E1").kind == "certificate"
    assert float(second.ply().ply.elastic.E1) == 123e9
    assert stock.ply().chain("E1").kind == "derived"


def test_a_weighed_heavy_lot_is_thicker_and_heavier_but_hardly_stiffer(verified: Any) -> None:
    entry = library().prepreg("ud_sm_150")
    stock = stock_prepreg("ud_sm_150")
    lot = stock.with_measured({"area_mass": 0.2351}, source="weighed square", lot="B").ply()
    verified(
        "materials",
        "lot B of 235.1 g/m2: resin content",
        "workshop notes, resin lots",
        0.362,
        lot.chain("resin_share").value,
        0.0,
        0.0005,
        kind="notes",
    )
    resin = lot.chain("resin_share")
    assert resin.formula == "formula.content.resin_share"
    assert resin.inputs["area_mass"].source == Message("origin.of_lot", source="weighed square", lot="B")
    heavy = stock.with_measured({"resin_share": entry.resin_share + 0.02}, source="burn-off").ply().ply
    plain = stock.ply().ply
    # E1 t, what the fibre gives to the wall, moves by less than half a percent while the ply thickens by four
    assert_allclose(float(heavy.elastic.E1) * heavy.thickness, float(plain.elastic.E1) * plain.thickness, rtol=5e-3)
    assert heavy.thickness / plain.thickness == pytest.approx(1.04, abs=0.005)


def test_a_weighed_square_and_a_burnt_one_give_the_fibre_areal_mass() -> None:
    lot = stock_prepreg("ud_sm_150").with_measured({"area_mass": 0.2400, "resin_share": 0.36}, source="weighed, burnt")
    assert lot.ply().chain("fibre_area_mass").value == pytest.approx(0.24 * 0.64)


def test_a_measured_thickness_tells_the_fibre_share() -> None:
    lot = stock_prepreg("ud_sm_150").with_measured({"thickness": 0.150e-3}, source="ten plies in a press").ply()
    assert lot.ply.thickness == 0.150e-3
    assert lot.chain("Vf").value == pytest.approx(0.150 / 1780 / 0.150e-3)
    assert lot.chain("Vf").formula == "formula.content.Vf_of_thickness"


def test_a_measured_weave_stays_balanced() -> None:
    lot = stock_prepreg("w_sm3k_twill_200").with_measured({"E1": 57e9, "Xt": 600e6}, source="coupons").ply()
    assert float(lot.ply.elastic.E2) == 57e9
    assert lot.chain("Yt").value == 600e6
    assert lot.chain("Yt_design").value == pytest.approx(600e6 * 0.727)


def test_bleed_thins_the_ply_but_not_the_roll() -> None:
    dry = stock_prepreg("ud_sm_150").with_measured({"bleed": 0.02}, source="weighed before and after").ply().ply
    plain = stock_prepreg("ud_sm_150").ply().ply
    assert dry.area_mass == plain.area_mass
    assert_allclose(float(dry.elastic.density) * dry.thickness, plain.area_mass * 0.98, rtol=1e-9)


def test_chain_answers_why_as_data_and_as_lines() -> None:
    record = stock_prepreg("ud_sm_150").ply()
    origin = record.chain("E2")
    assert origin.formula == "formula.elastic.square_root.E2"
    assert "Chamis" in origin.source
    assert set(origin.inputs) == {"Vf", "fibre.E2", "resin.E"}
    assert origin.inputs["fibre.E2"].kind == "default"
    assert "soden1998" in origin.inputs["fibre.E2"].refs
    assert origin.inputs["Vf"].inputs["cured_resin_share"].inputs["resin_share"].value == 0.36
    steps = record.why("E2")
    assert (steps[0].name, steps[0].depth) == ("E2", 0)
    assert {s.name for s in steps} >= {"Vf", "fibre.density", "resin.density", "void_share", "fibre.E2", "resin.E"}


def test_chain_as_data_is_plain_and_whole() -> None:
    data = json.loads(json.dumps(stock_prepreg("w_hybrid_ca_twill_190").ply().chain("E1").as_data()))
    assert data["inputs"]["ud.E1"]["inputs"]["resin.E"]["value"] == 3.5e9


def test_prepreg_and_record_travel_between_processes() -> None:
    roll = stock_prepreg("ud_sm_150").with_measured({"E2": 8.5e9}, source="coupons")
    there = pickle.loads(pickle.dumps(roll))
    assert there.ply().chain("E2").source == "coupons"
    record = pickle.loads(pickle.dumps(roll.ply()))
    assert record.ply.elastic.E2 == 8.5e9
    glass = library().fibre("e_glass")
    assert pickle.loads(pickle.dumps(glass)).ranges["E1"] == glass.ranges["E1"]


@pytest.mark.parametrize("name", ["ud_sm_150", "w_hybrid_ca_twill_190"])
@pytest.mark.parametrize("models", [Models("square_root"), Models("halpin_tsai", "schapery"), Models("cylinders")])
def test_recomputing_a_derived_figure_needs_only_its_listed_inputs(name: str, models: Models) -> None:
    """Move each figure that is not in a chain: the chain's head must stay."""
    base = stock_prepreg(name)
    record = base.ply(models)
    for head in ("E1", "E2", "G12", "nu12", "alpha1", "alpha2", "thickness", "density", "Xt"):
        listed = {s.name for s in record.why(head)}
        for figure in (
            "fibre.E1",
            "fibre.E2",
            "fibre.G12",
            "fibre.nu12",
            "fibre.alpha1",
            "fibre.alpha2",
            "resin.E",
            "resin.nu",
            "resin.alpha",
            "resin.density",
            "void_share",
            "resin_share",
        ):
            moved = base.with_measured({figure: record.chain(figure).value * 1.01}, source="moved").ply(models)
            same = moved.chain(head).value == pytest.approx(record.chain(head).value, rel=1e-12)
            assert same or figure in listed, f"{head} moves with {figure}, which its chain does not list"


@pytest.mark.parametrize("models", [Models("halpin_tsai"), Models("cylinders"), Models("square_root", "schapery")])
def test_every_shipped_prepreg_has_a_ply_by_every_model(models: Models) -> None:
    for name in library().prepregs:
        assert stock_prepreg(name).ply(models).ply.elastic.E1 > 0.0


def test_a_shops_own_fibre_needs_no_strength() -> None:
    fibre = Fibre(id="own", E1=230e9, E2=15e9, G12=15e9, nu12=0.2, density=1780.0, alpha1=-0.5e-6, alpha2=10e-6)
    resin = Resin(id="own", E=3.2e9, nu=0.35, density=1220.0, alpha=60e-6)
    roll = Prepreg(name="SM150", fibres=(fibre,), resin=resin, fibre_area_mass=0.150, resin_share=0.34)
    record = roll.ply(Models("halpin_tsai", "schapery"))
    assert record.ply.strength is None
    assert record.ply.thickness == pytest.approx(0.1476e-3, abs=0.00005e-3)
    assert float(record.ply.elastic.E2) == pytest.approx(7.61e9, abs=0.005e9)
    tested = roll.with_measured({"Xt": 1.9e9, "Xc": 1.2e9, "Yt": 50e6, "Yc": 180e6, "S": 80e6}, source="coupons").ply()
    assert tested.ply.strength is not None
    assert tested.chain("Xc_design").value == pytest.approx(1.2e9 * 0.512)


@pytest.mark.parametrize(
    ("figures", "words"),
    [
        ({"E1_GPa": 120.0}, "E1"),
        ({"E1": float("nan")}, "finite"),
        ({"resin_share": 36.0}, r"want\.share_from_0_below_1_36"),
        ({"E2": -1.0}, "E2"),
        ({"nu12": 9.0}, "nu12"),
        ({"area_mass": 0.1}, r"want\.at_least_fibre_area_mass"),
        ({"thickness": 0.0}, "thickness"),
        ({"Yt": 0.0}, "Yt"),
        ({"Vf": 0.95}, "hexagonal"),
        ({"fibre.E2": -5.0}, "E2"),
        ({"void_share": 1.0}, "void share"),
    ],
)
def test_impossible_measurements_are_refused_with_a_message(figures: dict[str, float], words: str) -> None:
    with pytest.raises(DesignError, match=words):
        stock_prepreg("ud_sm_150").with_measured(figures, source="typing error").ply()


def test_a_kind_of_origin_that_is_not_a_measurement_is_refused() -> None:
    with pytest.raises(DesignError, match=r"want\.measured_or_certificate"):
        stock_prepreg("ud_sm_150").with_measured({"E1": 1e11}, source="guess", kind="derived")


def test_mass_shares_must_add_to_one() -> None:
    shelf = library()
    with pytest.raises(DesignError, match=r"want\.shares_adding_to_1"):
        Prepreg(
            name="mix",
            fibres=(shelf.fibre("pan_sm_230"), shelf.fibre("e_glass")),
            mass_shares=(0.5, 0.6),
            resin=shelf.resin("ep120_tough"),
            fibre_area_mass=0.2,
            resin_share=0.4,
        )
    with pytest.raises(DesignError, match=r"want\.shares_adding_to_1"):
        Prepreg(
            name="mix",
            fibres=(shelf.fibre("pan_sm_230"), shelf.fibre("e_glass")),
            mass_shares=(1.0, 0.0),
            resin=shelf.resin("ep120_tough"),
            fibre_area_mass=0.2,
            resin_share=0.4,
        )
    with pytest.raises(DesignError, match="twice"):
        Prepreg(
            name="mix",
            fibres=(shelf.fibre("e_glass"),) * 2,
            mass_shares=(0.5, 0.5),
            resin=shelf.resin("ep120_tough"),
            fibre_area_mass=0.2,
            resin_share=0.4,
        )
    with pytest.raises(DesignError, match=r"want\.at_least_one_fibre_each_with"):
        Prepreg(name="none", fibres=(), resin=shelf.resin("ep120_tough"), fibre_area_mass=0.2, resin_share=0.4)


def test_unknown_names_come_with_the_closest_spellings() -> None:
    with pytest.raises(DesignError, match="alpha2"):
        stock_prepreg("ud_sm_150").ply().chain("alfa2")
    with pytest.raises(DesignError, match="square_root"):
        Models("square root")  # type: ignore[arg-type]
    with pytest.raises(DesignError, match="cylinders"):
        Models("cylinders", "cilinders")  # type: ignore[arg-type]
