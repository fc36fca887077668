"""Measured beside predicted, and what probably happened to a tube that is off."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from polewright.bench import Estimate, compare, exactly, likely_causes, signatures
from polewright.bench.compare import BLIND_BEND
from polewright.bench.signature import AS_DESIGNED
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.ply import Elastic, Ply
from polewright.wall.stack import Stack, StackPly
from polewright.words import default_reader

NOTES = "reference pole of the workshop notes, section 3"
BORE = 0.02693


def section_3():
    axial = Ply(
        "SM150",
        0.1476e-3,
        Elastic.unidirectional(E1=132.7e9, E2=7.61e9, G12=3.44e9, nu12=0.264, density=1540.0),
        0.2273,
    )
    hoop = Ply(
        "TH55", 0.0585e-3, Elastic.unidirectional(E1=122.9e9, E2=7.14e9, G12=3.13e9, nu12=0.271, density=1516.0), 0.0887
    )
    return Stack((StackPly(hoop, np.pi / 2), StackPly(axial, 0.0, 5.0), StackPly(hoop, np.pi / 2)))


KNOWN = signatures(section_3(), BORE, resin_content=0.34)


@pytest.mark.parametrize(
    ("measured", "standard", "verdict", "within"),
    [
        (834.0, 10.0, "agrees", True),
        (760.0, 10.0, "reads_low", False),
        (900.0, 10.0, "reads_high", False),
        (800.0, 10.0, "reads_low", True),
        (760.0, 50.0, "cannot_tell", False),
        (834.0, 50.0, "cannot_tell", True),
    ],
)
def test_the_verdict_says_whether_the_test_could_tell(measured, standard, verdict, within):
    found = compare(Estimate(measured, standard), Estimate(834.0, 4.0))
    assert found.verdict == verdict
    assert found.is_within_tolerance == within
    assert found.relative == pytest.approx(measured / 834.0 - 1.0)
    assert found.normalised_error == pytest.approx((measured - 834.0) / (2.0 * np.hypot(standard, 4.0)))
    assert found.blur == pytest.approx(2.0 * np.hypot(standard, 4.0) / 834.0)


@settings(derandomize=True, max_examples=60, deadline=None)
@given(measured=st.floats(1.0, 1e6), predicted=st.floats(1.0, 1e6), u=st.floats(0.0, 1e4), scale=st.floats(1e-6, 1e6))
def test_the_verdict_does_not_hang_on_the_unit(measured, predicted, u, scale):
    one = compare(Estimate(measured, u), Estimate(predicted, u))
    other = compare(Estimate(measured * scale, u * scale), Estimate(predicted * scale, u * scale))
    if abs(abs(one.normalised_error) - 1.0) > 1e-9 and abs(one.blur - 0.05) > 1e-9:
        assert one.verdict == other.verdict
    back = compare(Estimate(predicted, u), Estimate(measured, u))
    assert back.normalised_error == pytest.approx(-one.normalised_error)


def test_true_differences_are_called_false_as_rarely_as_covered():
    rng = np.random.default_rng(31)
    n = 4000
    wrong = sum(compare(Estimate(rng.normal(834.0, 8.0), 8.0), exactly(834.0)).verdict != "agrees" for _ in range(n))
    assert wrong / n == pytest.approx(0.0455, abs=3.5 * np.sqrt(0.0455 * 0.9545 / n))


def test_figures_known_exactly_differ_or_agree():
    assert compare(exactly(834.0), exactly(834.0)).verdict == "agrees"
    assert compare(exactly(833.0), exactly(834.0)).verdict == "reads_low"
    with pytest.raises(DesignError, match=r"want\.prediction_not_zero"):
        compare(exactly(1.0), exactly(0.0))
    with pytest.raises(DesignError, match=r"want\.tolerance_above_zero"):
        compare(exactly(1.0), exactly(1.0), tolerance=0.0)


def test_the_difference_keeps_its_degrees_of_freedom():
    found = compare(Estimate(830.0, 10.0, 4.0), Estimate(834.0, 10.0, 4.0)).difference
    assert found.standard == pytest.approx(np.sqrt(200.0))
    assert found.freedom == pytest.approx(8.0)  # equal parts of equal freedom add up


CAUSES = {
    "resin content of the axial plies +1 point": Message("bench.cause.resin.more", points=1),
    "areal weight of the axial plies 2 % high": Message("bench.cause.heavier", share=0.02),
    "one turn of ply 2 (axial SM150) missing": Message(
        "bench.cause.turn_missing.inside", ply=2, angle_class="axial", material="SM150"
    ),
    "one turn of ply 3 (outermost hoop TH55) missing": Message(
        "bench.cause.turn_missing.outermost", ply=3, angle_class="hoop", material="TH55"
    ),
    "one turn of ply 1 (innermost hoop TH55) missing": Message(
        "bench.cause.turn_missing.innermost", ply=1, angle_class="hoop", material="TH55"
    ),
    **{f"axial flags cut {n}° off": Message("bench.cause.cut_off_angle", off=float(np.deg2rad(n))) for n in (2, 3, 5)},
}

# mass and bending per cent, outside diameter mm; tolerances are half the last digit printed, plus the rounded plies
TABLE = [
    ("resin content of the axial plies +1 point", 1.4, 0.029, 0.2, 3.0, 0.9),
    ("areal weight of the axial plies 2 % high", 1.8, 0.030, 2.1, None, None),
    ("one turn of ply 2 (axial SM150) missing", -17.8, -0.295, -21.0, None, None),
    ("one turn of ply 3 (outermost hoop TH55) missing", -6.9, -0.117, -0.5, -70.0, 3.0),
    ("one turn of ply 1 (innermost hoop TH55) missing", -6.9, -0.117, -1.7, -70.0, 3.0),
    ("axial flags cut 2° off", 0.0, 0.0, -3.7, None, None),
    ("axial flags cut 3° off", 0.0, 0.0, -7.9, None, None),
    ("axial flags cut 5° off", 0.0, 0.0, -19.0, None, None),
]


@pytest.mark.parametrize(("cause", "mass", "outside", "bending", "ring", "ring_within"), TABLE)
def test_signatures_are_those_of_the_workshop_notes(cause, mass, outside, bending, ring, ring_within, verified):
    found = next(s for s in KNOWN if s.cause == CAUSES[cause])
    verified("bench", f"mass, {cause}", NOTES, mass, 100.0 * found.mass, 0.0, 0.1, "%", kind="notes")
    verified("bench", f"outside diameter, {cause}", NOTES, outside, 1e3 * found.outside, 0.0, 6e-4, "mm", kind="notes")
    verified("bench", f"EI, {cause}", NOTES, bending, 100.0 * found.bending, 0.0, 0.15, "%", kind="notes")
    if ring is not None:
        verified("bench", f"ring, {cause}", NOTES, ring, 100.0 * found.ring, 0.0, ring_within, "%", kind="notes")


def test_a_bend_test_alone_cannot_see_a_missing_hoop_ply():
    bend_only = likely_causes({"bending": Estimate(-0.01, 0.015)}, KNOWN)
    hoops = {s.cause for s in KNOWN if s.cause.values.get("angle_class") == "hoop"}
    assert len(hoops) == 2
    assert hoops <= set(bend_only.unseen)
    assert bend_only.verdict == "cannot_tell"
    assert bend_only.missing == ("mass", "outside", "ring")
    assert [m.code for m in bend_only.told] == [
        f"bench.diagnosis.{code}" for code in ("cannot_tell", "unseen", "missing")
    ]
    everything = likely_causes(
        {"bending": Estimate(-0.01, 0.015), "mass": Estimate(-0.069, 0.01), "outside": Estimate(-0.117e-3, 0.02e-3)},
        KNOWN,
    )
    assert everything.causes[0].cause in hoops
    assert not hoops & set(everything.unseen)
    warned = compare(Estimate(825.0, 10.0), Estimate(834.0, 4.0))
    assert warned.verdict == "agrees"
    assert warned.notes == (BLIND_BEND,)
    assert not compare(exactly(1.0), exactly(1.0), is_bend=False).notes


def test_each_fault_is_found_from_its_own_signature():
    blur = {"mass": 0.004, "outside": 0.008e-3, "bending": 0.006, "ring": 0.03}
    for true in KNOWN:
        found = {name: Estimate(getattr(true, name), u) for name, u in blur.items()}
        told = likely_causes(found, KNOWN)
        best = next(s for s in KNOWN if s.cause == told.causes[0].cause)
        assert best.cause == true.cause
        assert sum(c.weight for c in told.causes) == pytest.approx(1.0)


def test_every_cause_and_diagnosis_can_be_formatted():
    reader = default_reader()
    texts = [reader.text(s.cause) for s in KNOWN]
    assert len(set(texts)) == len(KNOWN)
    told = likely_causes({"bending": Estimate(-0.01, 0.015)}, KNOWN)
    assert all(reader.text(message) for message in told.told)


def test_weights_are_those_of_normal_densities():
    blur = {"mass": 0.01, "bending": 0.02}
    found = {"mass": Estimate(-0.03, blur["mass"]), "bending": Estimate(-0.02, blur["bending"])}
    told = {c.cause: c.weight for c in likely_causes(found, KNOWN).causes}
    density = {
        s.cause: np.prod([norm.pdf(x.value, getattr(s, name), blur[name]) for name, x in found.items()]) for s in KNOWN
    }
    density[AS_DESIGNED] = np.prod([norm.pdf(x.value, 0.0, blur[name]) for name, x in found.items()])
    total = sum(density.values())
    assert told == pytest.approx({cause: d / total for cause, d in density.items()}, rel=1e-9)


def test_a_good_tube_is_diagnosed_as_good():
    told = likely_causes(
        {"mass": Estimate(0.001, 0.004), "outside": Estimate(0.0, 0.008e-3), "bending": Estimate(-0.003, 0.006)}, KNOWN
    )
    assert told.causes[0].cause == AS_DESIGNED


def test_figures_that_no_single_fault_explains_are_left_unexplained():
    told = likely_causes({"mass": Estimate(0.3, 0.01), "bending": Estimate(-0.4, 0.02)}, KNOWN)
    assert told.verdict == "none"
    assert [m.code for m in told.told] == ["bench.diagnosis.none", "bench.diagnosis.missing"]


def test_a_tube_of_any_plies_has_its_signatures():
    metal = Ply("tube", 1e-3, Elastic.isotropic(E=70e9, nu=0.33, density=2700.0), 2.7, family="metal")
    causes = {s.cause for s in signatures(Stack((StackPly(metal, 0.0),)), 0.02)}
    assert CAUSES["axial flags cut 2° off"] in causes
    assert not any("missing" in c.code for c in causes)
    hoop_only = {s.cause for s in signatures(Stack((StackPly(metal, np.pi / 2, 2.5),)), 0.02, resin_content=0.3)}
    assert hoop_only == {Message("bench.cause.turn_missing.innermost", ply=1, angle_class="hoop", material="tube")}


@pytest.mark.parametrize(
    ("found", "field"),
    [({}, "found"), ({"colour": Estimate(0.0, 1.0)}, "found"), ({"mass": Estimate(0.0, 0.0)}, "found.mass")],
)
def test_a_diagnosis_from_nothing_is_refused(found, field):
    with pytest.raises(DesignError) as refusal:
        likely_causes(found, KNOWN)
    assert refusal.value.field == field


@pytest.mark.parametrize("content", [0.0, 1.0, -0.2, np.nan, 34.0])
def test_an_impossible_resin_content_is_refused(content):
    with pytest.raises(DesignError, match=r"want\.resin_share"):
        signatures(section_3(), BORE, resin_content=content)
