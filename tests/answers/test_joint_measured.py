"""A joint measured at the bench: readings of a pole with another joint give that joint back, and the check uses it."""

import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from polewright.answers.bench import bench_answer
from polewright.answers.check import check_design
from polewright.conventions.gravity import GRAVITY
from polewright.documents.files import DocumentError, document_of
from polewright.documents.values import workpiece
from polewright.pole import Bench, State, flex

PLAIN = tomllib.loads((Path(__file__).parents[1] / "workshop" / "small-pole.toml").read_text("utf-8"))
DESIGN = document_of(PLAIN)
POLE = workpiece(DESIGN).pole
TRUE = 6500.0  # [N m/rad] of the joint as built, at its overlap of 180 mm; the design has 9000


def tip(k: float, overlap: float = 0.18) -> float:
    """[m/N] by the beam of the core, with a joint of that stiffness and overlap."""
    pole = replace(POLE, joints=(replace(POLE.joints[0], stiffness=k, overlap=overlap),))
    return flex(pole, State.out(pole, 1, support=Bench(distance=0.8))).flex


def rows(give: float) -> list[dict[str, float]]:
    return [{"load_g": g, "reading_mm": round(give * g * GRAVITY, 9)} for g in (100.0, 300.0)]


def record(kind: str, **test: Any) -> Any:
    plain = {"kind": kind, "joint": 1, "prop_mm": 800.0, **test}
    return document_of({"document": "test-record", "schema_version": 1, "serial": "R2-1", "test": plain})


def overlaps(first: float = 180.0, second: float = 300.0) -> Any:
    k = [TRUE * (overlap / 180.0) ** 2 for overlap in (first, second)]
    return record(
        "joint overlaps",
        overlap_mm=first,
        second_overlap_mm=second,
        readings=rows(tip(k[0], first / 1e3)),
        second=rows(tip(k[1], second / 1e3)),
    )


def test_two_overlaps_give_the_joint_as_built():
    found = bench_answer(overlaps(), DESIGN)
    assert found.measured.value == pytest.approx(TRUE, rel=1e-6)
    assert found.predicted.value == pytest.approx(9000.0)
    keep = found.causes[0].values
    assert (keep["joint"], keep["overlap"]) == (1, pytest.approx(0.18))
    assert keep["stiffness"] == pytest.approx(TRUE, rel=1e-6)


def test_a_sleeve_gives_the_joint_as_built():
    """A sleeve of 300 N m2 and 160 mm within the overlap: it and the tubes under it by two beams side by side."""
    inner, outer = (float(t.bending[0]) for t in POLE.tubes)
    covered, own, L = inner + outer, 300.0, 0.16
    arm = tip(TRUE) - tip(1e12)
    arm_square = arm * TRUE
    tubes = L / covered
    soft, beside = tubes + 1.0 / TRUE, L / own
    lost = arm_square * (soft - soft * beside / (soft + beside))
    lost += L**3 / 12.0 * (1.0 / covered - 1.0 / (covered + own))
    test = record(
        "joint sleeve", sleeve_mm=160.0, sleeve_EI_N_m2=own, readings=rows(tip(TRUE)), sleeved=rows(tip(TRUE) - lost)
    )
    found = bench_answer(test, DESIGN)
    assert found.measured.value == pytest.approx(TRUE, rel=1e-3)  # the tubes' 1/EI is summed in short steps
    assert {s.name for s in found.budget} == {"free", "sleeved", "sleeve"}
    assert found.measured.standard > 0.0


def with_joint(**values: Any) -> Any:
    plain = {**PLAIN, "joints": [{**PLAIN["joints"][0], **values}]}
    return check_design(document_of(plain))


def test_the_check_uses_a_stiffness_measured_at_another_overlap_by_the_square():
    kept = {"stiffness_kN_m_rad": 6.5, "stiffness_from": "measured", "stiffness_overlap_mm": 180.0}
    same, longer = with_joint(**kept), with_joint(**kept, overlap_mm=270.0)
    assert same.joints[0].stiffness == pytest.approx(6500.0)
    assert longer.joints[0].stiffness == pytest.approx(6500.0 * 1.5**2)
    typed = with_joint(stiffness_kN_m_rad=6.5 * 1.5**2, stiffness_from="measured", overlap_mm=270.0)
    assert longer.reaches[-1].droop_loaded == pytest.approx(typed.reaches[-1].droop_loaded, rel=1e-12)
    without = with_joint(stiffness_kN_m_rad=6.5, stiffness_from="measured", overlap_mm=270.0)
    assert longer.reaches[-1].droop_loaded < without.reaches[-1].droop_loaded


@pytest.mark.parametrize(
    ("change", "want"),
    [({"joint": 2}, "want.joint_number"), ({"second_overlap_mm": 1300.0}, "want.overlap_in_tubes"),
     ({"second_overlap_mm": 181.0}, "want.other_overlap")],
)  # fmt: skip
def test_a_joint_test_that_cannot_be_is_refused(change, want):
    plain = overlaps().plain()
    plain["test"] = {**plain["test"], **change}
    with pytest.raises(DocumentError, match=want.replace(".", r"\.")):
        bench_answer(document_of(plain), DESIGN)
