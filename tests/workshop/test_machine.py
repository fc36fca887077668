"""Any order of edits, undoing, saving, going back and reopening agrees with a plain list of what was done."""

import tempfile
from datetime import UTC, datetime
from pathlib import Path
from types import SimpleNamespace

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule, run_state_machine_as_test

from polewright.documents.files import load
from polewright.store import Overtaken, open_store, store_faults
from polewright.workshop import Edits, Workshop, add_ply, remove_ply, rotate_ply, set_turns

SMALL = load(Path(__file__).parent / "small-pole.toml")
NOW = datetime(2026, 3, 1, tzinfo=UTC)


def _unasked(design):
    """What is kept is asked about here, not whether it can be built."""
    return SimpleNamespace(misfits=())


class OnePole(RuleBasedStateMachine):
    """The workshop beside a model: a list of saved designs, and lists of what can be undone and redone."""

    def __init__(self):
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.open()
        self.workshop.designs.start(SMALL)
        self.edits, self.parent = Edits(SMALL), 1
        self.saved, self.past, self.now, self.future = [SMALL], [], SMALL, []

    def open(self):
        self.workshop = Workshop(open_store(Path(self.folder.name) / "workshop.db"), lambda: NOW, check=_unasked)

    def teardown(self):
        assert store_faults(self.workshop.store) == []
        self.workshop.close()
        self.folder.cleanup()

    def edit(self, design):
        self.edits = self.edits.with_edit(design)
        if design != self.now:
            self.past, self.now, self.future = [*self.past, self.now], design, []

    @rule(at=st.integers(0, 1), deg=st.sampled_from([-45.0, 0.0, 45.0, 90.0]))
    def put_in(self, at, deg):
        self.edit(add_ply(self.now, 0, at, {"prepreg": "axial", "angle_deg": deg, "turns": 1.0}))

    @precondition(lambda self: len(self.now.sections[0].stack) > 1)
    @rule()
    def take_out(self):
        self.edit(remove_ply(self.now, 0, 0))

    @rule(turns=st.integers(1, 3), deg=st.sampled_from([0.0, 30.0]))
    def change(self, turns, deg):
        self.edit(set_turns(rotate_ply(self.now, 0, 0, deg), 0, 0, turns))

    @rule()
    def undo(self):
        self.edits = self.edits.undone()
        if self.past:
            self.future, self.now, self.past = [self.now, *self.future], self.past[-1], self.past[:-1]

    @rule()
    def redo(self):
        self.edits = self.edits.redone()
        if self.future:
            self.past, self.now, self.future = [*self.past, self.now], self.future[0], self.future[1:]

    @rule()
    def save(self):
        kept = self.workshop.designs.save("reedlight-2", self.edits.now, parent=self.parent)
        if self.now != self.saved[-1]:
            self.saved.append(self.now)
        self.parent = kept.card.number

    @rule(share=st.floats(0, 1))
    def go_back(self, share):
        number = 1 + int(share * (len(self.saved) - 1))
        kept = self.workshop.designs.go_back("reedlight-2", number, parent=self.parent)
        if self.saved[number - 1] != self.saved[-1]:
            self.saved.append(self.saved[number - 1])
        self.parent = kept.card.number

    @precondition(lambda self: len(self.saved) > 1)
    @rule()
    def somebody_saves_onto_an_older_one(self):
        late = set_turns(SMALL, 1, 0, 50)
        with pytest.raises(Overtaken):
            self.workshop.designs.save("reedlight-2", late, parent=self.parent - 1)

    @rule()
    def close_and_open(self):
        self.workshop.designs.keep_draft("reedlight-2", self.edits.now.plain(), parent=self.parent)
        self.workshop.close()
        self.open()
        pole = self.workshop.designs.open("reedlight-2")
        assert pole.draft.design == self.now
        self.workshop.designs.drop_draft("reedlight-2")

    @invariant()
    def the_history_is_what_was_saved(self):
        cards = self.workshop.designs.revisions("reedlight-2")
        assert [card.number for card in cards] == list(range(len(self.saved), 0, -1))
        assert [card.content_hash for card in reversed(cards)] == [design.content_hash() for design in self.saved]
        assert self.edits.now == self.now


@pytest.mark.slow
def test_any_order_of_work_keeps_the_history_and_the_undo():
    run_state_machine_as_test(
        OnePole,
        settings=settings(
            max_examples=12,
            stateful_step_count=20,
            deadline=None,
            derandomize=True,
            suppress_health_check=[HealthCheck.too_slow],
        ),
    )
