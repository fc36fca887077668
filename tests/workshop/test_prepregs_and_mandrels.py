"""A lot's own figures beside the defaults, a mandrel as measured, and both put aside for the whole workshop."""

import pytest
from tests.said import said

from polewright.documents.files import DocumentError
from polewright.documents.stock import MandrelDocument, MaterialDocument
from polewright.words.reports.check import evaluate as check
from polewright.workshop import (
    GIVEN,
    Workshop,
    add_mandrel,
    add_mandrel_place,
    add_own_prepreg,
    add_prepreg,
    demo_designs,
    edited,
    give_figure,
    put_mandrel,
    put_prepreg,
    remove_given,
    remove_mandrel,
    remove_mandrel_place,
    remove_prepreg,
    retype_ply,
    set_given,
)

ROLL = {"name": "own", "fibre": "e_glass", "resin": "ep120_tough", "fibre_areal_g_m2": "150", "resin_content_pct": "32"}
BAR = {"mandrel": "M40", "small_end_mm": "40", "big_end_mm": "40,2", "length_mm": "2 m"}


@pytest.fixture(scope="module")
def reedlight():
    return next(design for design in demo_designs() if design.name == "Reedlight 7")


def origin(design, material, figure):
    return next(f for f in check(design).materials[material].figures if f.figure == figure)


def test_a_weighed_square_gives_the_resin_content_of_the_workshop_notes(reedlight):
    """Lot B of the notes: 235.1 g/m² over 150 g/m² of fibre is 36.2 % of resin by weight."""
    lot = give_figure(add_prepreg(reedlight, "SM150-B", "SM150", "B"), 2, "total_g_m2", "235.1", "measured", "B")
    weight, resin = origin(lot, 2, "area_mass"), origin(lot, 2, "resin_share")
    assert (weight.kind, weight.is_default) == ("measured", False)
    assert weight.source == said("origin.of_lot", source=said("origin.given.measured"), lot="B")
    assert resin.value == pytest.approx(0.362, abs=5e-4)
    assert resin.value == pytest.approx(1.0 - 150.0 / 235.1, rel=1e-12)
    assert origin(lot, 0, "area_mass").kind == "derived"


def test_a_measured_stiffness_moves_the_pole_and_taken_back_moves_it_back(reedlight):
    softer = give_figure(reedlight, 0, "E1_GPa", "100 GPa", "measured", "L1")
    assert check(softer).pole.droop_mm > check(reedlight).pole.droop_mm
    assert check(softer).materials[0].resting_on == "mixed"
    assert check(reedlight).materials[0].resting_on == "default"
    assert remove_given(softer, 0, 0) == reedlight
    again = set_given(softer, 0, 0, "132,7")
    assert again.materials[0].given[0].value == 132.7
    assert again.materials[0].given[0].lot == "L1"


def test_a_figure_given_twice_appears_once_in_its_place(reedlight):
    design = give_figure(reedlight, 0, "E1_GPa", "120", "certificate", "")
    design = give_figure(design, 0, "nu12", "0.27", "measured", "")
    design = give_figure(design, 0, "E1_GPa", "125", "measured", "")
    assert [(g.figure, g.value, g.kind) for g in design.materials[0].given] == [
        ("E1_GPa", 125.0, "measured"),
        ("nu12", 0.27, "measured"),
    ]


def test_a_figure_may_carry_another_unit(reedlight):
    """1 msi is 6.894757 GPa."""
    design = give_figure(reedlight, 0, "E1_GPa", "20 msi", "measured", "")
    assert design.materials[0].given[0].value == pytest.approx(20 * 6.894757, rel=1e-6)


@pytest.mark.parametrize(
    ("figure", "value", "says"),
    [
        ("E1_GPa", "-3", r"want\.between .*bound\.modulus \(value 1000000000000\.0\)\)"),
        ("E1_GPa", "1e9", r"want\.between .*bound\.modulus \(value 1000000000000\.0\)\)"),
        ("E1_GPa", "", r"want\.number_in_unit"),
        ("E1_GPa", "stiff", r"want\.number_such_as"),
        (
            "thickness_mm",
            "0",
            r"want\.between \(least bound\.length \(value 1e\-05\), most bound\.length \(value 0\.003\)\)",
        ),
        ("total_g_m2", "100", r"want\.at_least_fibre_area_mass"),
        ("nu12", "3", r"want\.between \(least \-1\.0, most 1\.0\)"),
        ("E9", "1", r"want\.one"),
        (
            "resin_content_pct",
            "99",
            r"want\.between \(least bound\.share \(value 0\.1\), most bound\.share \(value 0\.8\)\)",
        ),
    ],
)
def test_a_figure_no_prepreg_has_is_refused_at_the_field_it_was_typed_in(reedlight, figure, value, says):
    with pytest.raises(DocumentError, match=says) as fault:
        give_figure(reedlight, 0, figure, value, "measured", "")
    assert fault.value.faults[0][0] == ("figure" if figure == "E9" else "value")
    if figure in GIVEN and figure != "total_g_m2":
        held = give_figure(reedlight, 0, "E1_GPa", "130", "measured", "")
        with pytest.raises(DocumentError) as at_row:
            set_given(held, 0, 0, "-1")
        assert at_row.value.faults[0][0] == "materials[0].given[0].value"


@pytest.mark.parametrize(
    ("edit", "says"),
    [
        (lambda d: give_figure(d, 7, "E1_GPa", "1", "measured", ""), r"want\.no_such_prepreg"),
        (lambda d: give_figure(d, 0, "E1_GPa", "100", "guessed", ""), r"want\.measured_or_certificate"),
        (lambda d: give_figure(d, 0, "E1_GPa", "100", "measured", "x" * 81), r"want\.at_most_characters \(limit 80\)"),
        (lambda d: remove_given(d, 0, 0), r"want\.no_such_figure"),
        (lambda d: set_given(d, 0, 3, "1"), r"want\.no_such_figure"),
        (lambda d: add_prepreg(d, "SM150", "TH55", ""), r"want\.own_name_on_shelf|want\.own_name_on_rack"),
        (lambda d: add_prepreg(d, " ", "TH55", ""), r"want\.still_empty"),
        (lambda d: add_prepreg(d, "a\x00b", "TH55", ""), r"want\.printable_characters"),
        (lambda d: add_prepreg(d, "x", "ud_nothing", ""), r"want\.known_prepreg"),
        (lambda d: remove_prepreg(d, 0), r"want\.prepreg_not_used \(ply 2, section 1\)"),
        (lambda d: remove_prepreg(d, -1), r"want\.no_such_prepreg"),
        (lambda d: remove_mandrel(d, 2), r"want\.mandrel_not_used \(section 3\)"),
        (lambda d: remove_mandrel_place(d, 0, 0), r"want\.two_measured_places"),
        (lambda d: remove_mandrel_place(d, 0, 5), r"want\.no_such_place"),
        (lambda d: remove_mandrel(d, 9), r"want\.no_such_mandrel"),
        (lambda d: add_mandrel(d, {**BAR, "mandrel": "M23-A"}), r"want\.own_name_on_shelf|want\.own_name_on_rack"),
        (lambda d: add_mandrel(d, {**BAR, "metal": "cheese"}), r"want\.one"),
        (lambda d: add_mandrel(d, {**BAR, "big_end_mm": "39"}), r"want\.big_end"),
        (lambda d: add_mandrel_place(d, 0, "0", "23"), r"want\.place_not_measured_yet"),
        (lambda d: add_mandrel_place(d, 0, "-5", "23"), r"limit\.ge \(limit bound\.length \(value 0\.0\)\)"),
    ],
)
def test_what_cannot_be_is_refused_with_a_message(reedlight, edit, says):
    with pytest.raises(DocumentError, match=says):
        edit(reedlight)


def test_every_fault_of_a_form_is_reported_at_once_by_the_forms_own_names(reedlight):
    with pytest.raises(DocumentError) as bar:
        add_mandrel(reedlight, {"mandrel": "", "small_end_mm": "-1", "big_end_mm": "wide", "length_mm": ""})
    assert [fault[0] for fault in bar.value.faults] == ["mandrel", "small_end_mm", "big_end_mm", "length_mm"]
    with pytest.raises(DocumentError) as roll:
        add_own_prepreg(reedlight, {"name": "x", "fibre": "", "fibre_areal_g_m2": "0", "resin_content_pct": "x"})
    assert [fault[0] for fault in roll.value.faults] == ["fibre", "resin", "fibre_areal_g_m2", "resin_content_pct"]
    with pytest.raises(DocumentError, match=r"want\.one"):
        add_own_prepreg(reedlight, {**ROLL, "fibre": "wool"})


def test_a_new_prepreg_can_be_rolled_and_once_unused_taken_off(reedlight):
    for design in (add_prepreg(reedlight, "guard", "w_eg_plain_105", ""), add_own_prepreg(reedlight, ROLL)):
        assert check(design).pole.droop_mm == check(reedlight).pole.droop_mm
        skinned = retype_ply(design, 3, 2, design.materials[2].id)
        assert check(skinned).sections[3].wall_mm != check(reedlight).sections[3].wall_mm
        assert remove_prepreg(design, 2) == reedlight


def test_a_mandrel_measured_at_a_further_place_bends_its_bore_there(reedlight):
    flat = check(reedlight).sections[2]
    worn = add_mandrel_place(reedlight, 2, "2199", "26,9")
    assert check(worn).sections[2].bore_mouth_mm == flat.bore_mouth_mm
    waisted = add_mandrel_place(reedlight, 2, "200", "26.85")
    now = check(waisted).sections[2]
    assert now.bore_mouth_mm == pytest.approx(flat.bore_mouth_mm * 26.85 / 26.9, rel=1e-9)
    assert [p.at_mm for p in waisted.mandrels[2].profile] == [0.0, 200.0, 2200.0]
    assert remove_mandrel_place(waisted, 2, 1) == reedlight
    assert now.bore_butt_mm < flat.bore_butt_mm + 1e-9


def test_what_another_pole_has_comes_by_its_name_or_takes_its_place(reedlight):
    material, mandrel = reedlight.materials[0], reedlight.mandrels[0]
    dearer = material.model_copy(update={"price_per_m2": 40.0})
    assert put_prepreg(reedlight, dearer).materials[0].price_per_m2 == 40.0
    assert len(put_prepreg(reedlight, dearer.model_copy(update={"id": "new"})).materials) == 3
    wider = mandrel.model_copy(update={"material": "steel_carbon"})
    assert put_mandrel(reedlight, wider).mandrels[0].material == "steel_carbon"
    assert len(put_mandrel(reedlight, wider.model_copy(update={"id": "new"})).mandrels) == 6


def test_a_thing_kept_for_the_workshop_replaces_the_entry_of_its_name(workshop: Workshop, reedlight):
    first = workshop.shelf.keep(MaterialDocument(material=reedlight.materials[0]), who="Ann")
    assert workshop.shelf.keep(MaterialDocument(material=reedlight.materials[0])) == first
    measured = give_figure(reedlight, 0, "E1_GPa", "130", "measured", "L1").materials[0]
    second = workshop.shelf.keep(MaterialDocument(material=measured))
    assert second.corrects == first.number
    assert [entry.document.material.given for entry in workshop.shelf.materials()] == [measured.given]
    workshop.shelf.keep(MandrelDocument(mandrel=reedlight.mandrels[0]))
    assert len(workshop.shelf.history()) == 3
    workshop.shelf.take_off(second.number)
    third = workshop.shelf.keep(MaterialDocument(material=measured))
    assert third.corrects is None
    assert len(workshop.shelf.materials()) == 1


def test_all_are_edits_by_name(reedlight):
    assert edited(reedlight, "add_mandrel", bar=BAR) == add_mandrel(reedlight, BAR)
    assert edited(reedlight, "add_own_prepreg", roll=ROLL).materials[2].id == "own"
    assert edited(
        reedlight, "give_figure", material=0, figure="E1_GPa", value="130", kind="measured", lot=""
    ) == give_figure(reedlight, 0, "E1_GPa", "130", "measured", "")


@pytest.mark.parametrize("field", ["name", "fibre", "resin"])
@pytest.mark.parametrize("letters", [80, 81])
def test_a_name_has_eighty_letters_at_most(reedlight, letters, field):
    named = {**ROLL, field: "x" * letters}
    try:
        add_own_prepreg(reedlight, named)
        wants = {}
    except DocumentError as refusal:
        wants = {each: str(want) for each, _, want in refusal.faults}
    assert ("want.at_most_characters" in wants.get(field, "")) is (letters > 80), wants
