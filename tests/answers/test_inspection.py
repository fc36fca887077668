"""Proof load, sight and tap, clamp pull: what passes, what does not, and that nothing is sound without its proof."""

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.answers.drawn_readings import answer_of, least
from tests.said import said

from polewright.answers.bench import RECORD_KINDS
from polewright.answers.inspection import standing_of
from polewright.documents.files import DocumentError, document_of
from polewright.documents.inspection import DEFECTS
from polewright.words import default_reader
from polewright.words.reports.bench import bench_result

DESIGN = document_of(tomllib.loads((Path(__file__).parents[1] / "workshop" / "small-pole.toml").read_text("utf-8")))
REED = document_of(tomllib.loads((Path(__file__).parents[2] / "examples" / "reedlight-7.toml").read_text("utf-8")))
PROOF = {"kind": "proof load", "load_g": 1500.0, "time_s": 12.0, "set_mm": 1.0, "creak": False}
SIGHT = {"kind": "sight and tap", "tapped": True, "defects": []}


def proof(**more: Any) -> dict[str, Any]:
    return {**PROOF, **more}


def pull(*pulls: float, surface: str = "soapy", joint: int = 1) -> dict[str, Any]:
    rows = [{"pull_N": p} for p in pulls]
    return {"kind": "clamp pull", "joint": joint, "surface": surface, "pulls": rows}


def codes(answer: Any) -> list[str]:
    return [reason.code for reason in answer.outcome.reasons]


@pytest.mark.parametrize(
    ("test", "reasons"),
    [(proof(), ["bench.proof.held"]), (proof(set_mm=-1.0), ["bench.proof.held"]),
     (proof(load_g=999.0), ["bench.proof.light"]), (proof(load_g=1000.0), ["bench.proof.held"]),
     (proof(time_s=9.9), ["bench.proof.short"]), (proof(set_mm=3.1), ["bench.proof.set"]),
     (proof(set_mm=2.5), ["bench.proof.set"]), (proof(set_mm=2.0), ["bench.proof.held"]),
     (proof(set_mm=2.5, set_u_mm=0.2), ["bench.proof.held"]), (proof(creak=True), ["bench.proof.creak"]),
     (proof(load_g=200.0, time_s=1.0, set_mm=9.0, creak="yes"),
      ["bench.proof.light", "bench.proof.short", "bench.proof.set", "bench.proof.creak"])],
)  # fmt: skip
def test_a_proof_is_passed_by_load_time_set_and_silence_together(test, reasons):
    found = answer_of(DESIGN, test)
    assert codes(found) == reasons
    assert found.verdict == ("passes" if reasons == ["bench.proof.held"] else "fails")
    assert found.measured.value == pytest.approx(1e-3 * test["set_mm"])
    result = bench_result(found, default_reader())
    assert (result.limit, result.verdict) == (pytest.approx(3.0), found.verdict)
    assert len(result.reasons) == len(reasons)


def test_a_proof_is_no_lighter_than_what_the_pole_is_to_carry():
    wish = REED.brief.droop[0].model_copy(update={"tip_total_g": 1800.0, "out": 0})
    heavy = REED.model_copy(update={"brief": REED.brief.model_copy(update={"droop": (wish,)})})
    assert codes(answer_of(heavy, proof(load_g=1700.0))) == ["bench.proof.light"]
    assert answer_of(heavy, proof(load_g=1800.0)).verdict == "passes"


@pytest.mark.parametrize("load", ["15 N", "1.5 kgf", "3.5 lb"])
def test_a_proof_load_may_be_a_force(load):
    assert answer_of(DESIGN, proof(load_g=load)).verdict == "passes"


@pytest.mark.parametrize("defect", DEFECTS)
def test_an_open_defect_of_the_list_fails_and_an_accepted_one_is_told(defect):
    row = {"defect": defect, "section": 2, "at_mm": 250.0}
    found = answer_of(DESIGN, {**SIGHT, "defects": [row]})
    assert (found.verdict, codes(found)) == ("fails", ["bench.sight.open"])
    text = bench_result(found, default_reader()).reasons[0]
    assert said(f"bench.defect.{defect}") in text
    assert said(f"bench.decision.{defect}") in text
    kept = answer_of(DESIGN, {**SIGHT, "defects": [{**row, "accepted": "sanded; A. B."}]})
    assert (kept.verdict, codes(kept)) == ("passes", ["bench.sight.accepted"])
    assert "sanded; A. B." in bench_result(kept, default_reader()).reasons[0]


def test_a_pole_that_was_only_looked_at_does_not_pass():
    assert codes(answer_of(DESIGN, {**SIGHT, "tapped": "no"})) == ["bench.sight.not_tapped"]
    assert codes(answer_of(DESIGN, SIGHT)) == ["bench.sight.none_found"]


@pytest.mark.parametrize(
    ("row", "field", "code"),
    [({"defect": "crush", "section": 3}, "defects[0].section", "want.section_number"),
     ({"defect": "crush", "at_mm": 20.0}, "defects[0].section", "want.section_of_defect"),
     ({"defect": "crush", "section": 1, "at_mm": 1201.0}, "defects[0].at_mm", "want.place_in_tube")],
)  # fmt: skip
def test_a_defect_is_somewhere_on_the_pole(row, field, code):
    with pytest.raises(DocumentError) as refusal:
        answer_of(DESIGN, {**SIGHT, "defects": [row]})
    ((where, _, want),) = refusal.value.faults
    assert (where, want.code) == (f"test.{field}", code)


@pytest.mark.parametrize(
    ("pulls", "passes"),
    [((200.0, 204.0, 196.0), True), ((151.0, 152.0, 150.0), False), ((160.0, 300.0, 170.0), False), ((140.0,), False)],
)
def test_a_clamp_holds_what_it_must_by_the_least_that_its_pulls_allow(pulls, passes):
    """150 N wanted: the mean less its uncertainty decides, so a mean just above is not enough, nor a scattered one."""
    found = answer_of(DESIGN, pull(*pulls))
    assert found.measured.value == pytest.approx(float(np.mean(pulls)))
    assert (found.verdict == "passes") is passes
    assert found.outcome.limit == pytest.approx(150.0)
    assert ("bench.note.one_pull" in {n.code for n in found.notes}) is (len(pulls) == 1)


def test_a_dry_pull_says_that_a_wet_one_holds_less():
    assert "bench.note.dry_pull" in {n.code for n in answer_of(DESIGN, pull(300.0, 301.0, surface="dry")).notes}
    with pytest.raises(DocumentError, match=r"want\.joint_number"):
        answer_of(DESIGN, pull(300.0, joint=2))


def test_the_uncertainty_of_a_pull_covers_as_often_as_it_says():
    rng, hits = np.random.default_rng(50), 0
    for _ in range(400):
        hold, scale = 200.0 * (1.0 + 0.2 * rng.random()), 1.0 + 0.01 * rng.standard_normal()
        pulls = scale * (hold + rng.normal(0.0, 12.0, 5))
        found = answer_of(DESIGN, pull(*pulls)).measured
        hits += bool(abs(found.value - hold) <= found.expanded)
    assert hits >= least()


def shown(*tests: dict[str, Any]) -> Any:
    return standing_of("R2-1", [(test["kind"], answer_of(DESIGN, test)) for test in tests])


BEND = {"kind": "two-load bend", "section": 2, "span_mm": 1000.0,
        "readings": [{"load_g": 500.0, "reading_mm": 1.0}, {"load_g": 2500.0, "reading_mm": 1.5}]}  # fmt: skip
TIP = {"kind": "tip load", "readings": [{"load_g": 250.0, "reading_mm": 40.0}, {"load_g": 750.0, "reading_mm": 60.0}]}


@pytest.mark.parametrize(
    ("tests", "state", "reasons"),
    [((), "not_proved", ["no_proof", "no_sight"]), ((BEND, TIP, SIGHT), "not_proved", ["no_proof"]),
     ((PROOF,), "not_proved", ["no_sight"]), ((PROOF, SIGHT), "sound", []), ((PROOF, SIGHT, TIP), "sound", []),
     ((proof(creak=True), SIGHT, PROOF), "not_sound", ["failed"]), ((PROOF, SIGHT, proof(creak=True)), "sound", []),
     ((PROOF, {**SIGHT, "tapped": False}), "not_sound", ["failed"]),
     ((PROOF, SIGHT, pull(90.0, 91.0)), "not_sound", ["failed"]),
     ((pull(200.0, 201.0), PROOF, SIGHT, pull(90.0, 91.0)), "sound", [])],
)  # fmt: skip
def test_no_pole_is_declared_sound_without_its_proof(tests, state, reasons):
    """Newest first: a proof repeated after a failed one counts, a failed one after a passed one too."""
    found = shown(*tests)
    assert (found.state, [r.code for r in found.reasons]) == (state, [f"bench.standing.{r}" for r in reasons])


def test_an_entry_that_cannot_be_evaluated_proves_nothing():
    assert (
        standing_of("R2-1", [("proof load", None), ("sight and tap", answer_of(DESIGN, SIGHT))]).state == "not_proved"
    )


def test_only_whole_poles_have_a_standing():
    assert not RECORD_KINDS["two-load bend"].of_pole
    assert RECORD_KINDS["proof load"].of_pole
