"""Tests that a pole passes or not: proof load, sight and tap, clamp pull; and whether a pole may be called sound."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from polewright.answers.bench_answer import BenchAnswer, Outcome, refuse
from polewright.answers.trestles import headline_load
from polewright.bench.uncertainty import Estimate, Share, repeated
from polewright.codes import Message
from polewright.documents import test_record as kept
from polewright.documents.design import Design
from polewright.documents.inspection import Defect
from polewright.documents.test_record import TestRecord
from polewright.documents.values import Workpiece
from polewright.units import si

__all__ = ["Standing", "clamp_measured", "proof_loaded", "seen_and_tapped", "standing_of"]

LEAST_PROOF = 1.0  # [kg] at the tip; workshop rule
LEAST_TIME = 10.0  # [s] workshop rule
MOST_SET = 3e-3  # [m] by which the tip may stay down; workshop rule
SCALE_SHARE = 0.01  # [-] standard uncertainty of a spring balance over all its pulls

SoundState = Literal["sound", "not_sound", "not_proved"]


def proof_loaded(record: TestRecord, design: Design, _: Workpiece) -> BenchAnswer:
    """Whether a pole came through its proof: enough load, long enough, no creak, and the tip back where it was.

    The load is a kilogram or what the pole is to carry at its tip, if that is more; the set with its uncertainty must
    lie within what is allowed.
    """
    test = record.test
    assert isinstance(test, kept.ProofLoad)
    load, time = si("load_g", test.load_g), si("time_s", test.time_s)
    least = max(LEAST_PROOF, headline_load(design))
    stayed = Estimate(si("set_mm", test.set_mm), si("set_u_mm", test.set_u_mm))
    faults = []
    if load < least:
        faults.append(Message("bench.proof.light", load=load, least=least))
    if time < LEAST_TIME:
        faults.append(Message("bench.proof.short", time=time, least=LEAST_TIME))
    if abs(stayed.value) + stayed.expanded > MOST_SET:
        faults.append(Message("bench.proof.set", set=stayed.value, expanded=stayed.expanded, most=MOST_SET))
    if test.creak:
        faults.append(Message("bench.proof.creak"))
    held = Message("bench.proof.held", load=load, time=time, set=stayed.value)
    return BenchAnswer(
        serial=record.serial,
        pole=design.name,
        figure="set",
        quantity="length",
        where={},
        comparison=None,
        uncorrected=None,
        notes=(Message("bench.note.proof"),),
        budget=(Share("tape", 1.0, stayed.standard),),
        outcome=Outcome(not faults, tuple(faults) or (held,), stayed, MOST_SET),
    )


def seen_and_tapped(record: TestRecord, design: Design, work: Workpiece) -> BenchAnswer:
    """Whether a pole was looked over and tapped, and no defect is open."""
    test = record.test
    assert isinstance(test, kept.SightAndTap)
    for number, defect in enumerate(test.defects):
        _place(defect, number, work)
    stays = [d for d in test.defects if not d.accepted]
    faults = [_defect("open", d) for d in stays]
    if not test.tapped:
        faults.append(Message("bench.sight.not_tapped"))
    fine = [_defect("accepted", d) for d in test.defects if d.accepted] or [Message("bench.sight.none_found")]
    return BenchAnswer(
        serial=record.serial,
        pole=design.name,
        figure="sight",
        quantity="",
        where={},
        comparison=None,
        uncorrected=None,
        notes=(Message("bench.note.unseen_defects"),),
        budget=(),
        outcome=Outcome(not faults, tuple(faults or fine)),
    )


def _place(defect: Defect, number: int, work: Workpiece) -> None:
    most = len(work.sections)
    if defect.section > most:
        raise refuse(f"defects[{number}].section", defect.section, Message("want.section_number", most=most))
    if defect.at_mm is None:
        return
    at = si("at_mm", defect.at_mm)
    if defect.section == 0:
        raise refuse(f"defects[{number}].section", 0, Message("want.section_of_defect", most=most))
    length = work.pole.tubes[defect.section - 1].length
    if at > length:
        want = Message("want.place_in_tube", length=length)
        raise refuse(f"defects[{number}].at_mm", Message("bound.length", value=at), want)


def _defect(state: str, defect: Defect) -> Message:
    where = "pole" if defect.section == 0 else "section" if defect.at_mm is None else "place"
    return Message(
        f"bench.sight.{state}",
        defect=Message(f"bench.defect.{defect.defect}"),
        where=Message(f"bench.where.{where}", section=defect.section, at=si("at_mm", defect.at_mm or 0.0)),
        decision=Message(f"bench.decision.{defect.defect}"),
        reason=defect.accepted,
    )


def clamp_measured(record: TestRecord, design: Design, work: Workpiece) -> BenchAnswer:
    """Whether the least that a clamp is likely to hold is what it must: the mean of the pulls less its uncertainty."""
    test = record.test
    assert isinstance(test, kept.ClampPull)
    if test.joint > len(work.pole.joints):
        raise refuse("joint", test.joint, Message("want.joint_number", most=len(work.pole.joints)))
    pulls = repeated(np.array([si("pull_N", p.pull_N) for p in test.pulls]), floor=si("pull_u_N", test.pull_u_N))
    scale = SCALE_SHARE * pulls.value
    hold = Estimate(pulls.value, float(np.hypot(pulls.standard, scale)), pulls.freedom)
    wanted = design.setting.clamp_hold_N if design.brief.clamp_hold_N is None else design.brief.clamp_hold_N
    need = si("clamp_hold_N", wanted)
    passes = hold.value - hold.expanded >= need
    notes = [Message("bench.note.dry_pull")] if test.surface == "dry" else []
    if len(test.pulls) == 1:
        notes.append(Message("bench.note.one_pull"))
    reason = Message(f"bench.pull.{'holds' if passes else 'slips'}", hold=hold.value, least=hold.value - hold.expanded,
                     need=need)  # fmt: skip
    return BenchAnswer(
        serial=record.serial,
        pole=design.name,
        figure="hold",
        quantity="force",
        where={"joint": test.joint, "surface": Message(f"bench.surface.{test.surface}")},
        comparison=None,
        uncorrected=None,
        notes=tuple(notes),
        budget=(Share("readings", 1.0, pulls.standard), Share("scale", 1.0, scale)),
        outcome=Outcome(passes, (reason,), hold, need),
    )


@dataclass(frozen=True, slots=True)
class Standing:
    """What the tests of one pole allow to be said: sound, not sound, or not proved; and the reasons."""

    serial: str
    state: SoundState
    reasons: tuple[Message, ...]


def standing_of(serial: str, tests: Sequence[tuple[str, BenchAnswer | None]]) -> Standing:
    """What may be said of a pole by its tests that stand, newest first: the kind of each and what it shows, None where
    it cannot be evaluated.

    Sound is a pole whose newest proof and newest sight and tap are passed, and of whose clamps no newest pull failed;
    whatever else was measured, without its proof it is not proved.
    """
    newest: dict[str, BenchAnswer | None] = {}
    for kind, answer in tests:
        joint = "" if answer is None or kind != "clamp pull" else str(dict(answer.where)["joint"])
        newest.setdefault(f"{kind}{joint}", answer)
    judged = {key: answer for key, answer in newest.items() if answer is not None and answer.outcome is not None}
    failed = [Message("bench.standing.failed", what=a.what) for a in judged.values() if a.verdict == "fails"]
    missing = [
        Message(f"bench.standing.no_{code}")
        for code, kind in (("proof", "proof load"), ("sight", "sight and tap"))
        if kind not in judged
    ]
    state: SoundState = "not_sound" if failed else "not_proved" if missing else "sound"
    return Standing(serial, state, tuple(failed + missing))
