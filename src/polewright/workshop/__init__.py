"""The use cases: open, save a revision, go back, compare, edit, test, stock; the one door to the store."""

from polewright.workshop.compare import Change, changes
from polewright.workshop.demo import demo_designs
from polewright.workshop.door import Door, refuse_unless_loopback
from polewright.workshop.edits import (
    Edits,
    add_ply,
    edited,
    move_ply,
    remove_ply,
    retype_ply,
    set_field,
    set_turns,
    turn_ply,
)
from polewright.workshop.kinds import design_of, record_of, schema_kinds, schema_of, stocked_of
from polewright.workshop.views import BenchEntry, Draft, OpenPole, PoleCard, RevisionCard, Saved, ShelfEntry
from polewright.workshop.words import address_of
from polewright.workshop.work import Progress, Stopped, Work, executor
from polewright.workshop.workshop import Workshop, open_workshop, utc_now

__all__ = ["BenchEntry", "Change", "Door", "Draft", "Edits", "OpenPole", "PoleCard", "Progress", "RevisionCard",
           "Saved", "ShelfEntry", "Stopped", "Work", "Workshop", "add_ply", "address_of", "changes", "demo_designs",
           "design_of", "edited", "executor", "move_ply", "open_workshop", "record_of", "refuse_unless_loopback",
           "remove_ply", "retype_ply", "schema_kinds", "schema_of", "set_field", "set_turns", "stocked_of",
           "turn_ply", "utc_now"]
