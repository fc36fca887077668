"""The use cases: open, save a revision, go back, compare, edit, test, stock; the one door to the store."""

from polewright.answers.bench import RECORD_KINDS
from polewright.answers.bench_answer import FormField, RecordKind
from polewright.answers.check import Check
from polewright.answers.find import FindAnswer, FoundDesign
from polewright.answers.findings import Finding
from polewright.answers.joints import JointAnswer
from polewright.answers.materials import FigureOrigin, MaterialAnswer
from polewright.answers.reach import drawn_out
from polewright.answers.reaches import DroopShare, ReachAnswer
from polewright.answers.sections import RING_WIDTH, BandWindow, SectionAnswer
from polewright.answers.wall_changes import PlyShare, ply_shares
from polewright.answers.wishes import WISHES, Wish, wish_limit
from polewright.workshop.chain import add_section, remove_section
from polewright.workshop.compare import Change, changes
from polewright.workshop.demo import demo_designs
from polewright.workshop.designs import read_design
from polewright.workshop.door import Door, refuse_unless_loopback
from polewright.workshop.edit_table import EDITS, Argument, EditKind, edited
from polewright.workshop.edits import Edits, add_ply, move_ply, remove_ply, retype_ply, rotate_ply, set_field, set_turns
from polewright.workshop.jobs import End, Job, JobProgress, LoneJob
from polewright.workshop.jobs.find_values import find_answer
from polewright.workshop.kinds import design_of, record_of, schema_kinds, schema_of, stocked_of
from polewright.workshop.mandrels import (
    add_mandrel,
    add_mandrel_place,
    put_mandrel,
    remove_mandrel,
    remove_mandrel_place,
    rename_mandrel,
)
from polewright.workshop.prepregs import (
    GIVEN,
    GivenFigure,
    add_own_prepreg,
    add_prepreg,
    give_figure,
    put_prepreg,
    remove_given,
    remove_prepreg,
    rename_prepreg,
    set_given,
)
from polewright.workshop.rules import KINDS_OF_RULE, RuleEntry, add_rule, remove_rule, rule_limit, rules_of, set_rule
from polewright.workshop.views import BenchEntry, Draft, OpenPole, PoleCard, RevisionCard, Saved, ShelfEntry
from polewright.workshop.words import address_of
from polewright.workshop.work import Progress, Stopped, Work, executor
from polewright.workshop.workshop import Workshop, open_workshop, utc_now

__all__ = [
    "EDITS",
    "GIVEN",
    "KINDS_OF_RULE",
    "RECORD_KINDS",
    "RING_WIDTH",
    "WISHES",
    "Argument",
    "BandWindow",
    "BenchEntry",
    "Change",
    "Check",
    "Door",
    "Draft",
    "DroopShare",
    "EditKind",
    "Edits",
    "End",
    "FigureOrigin",
    "FindAnswer",
    "Finding",
    "FormField",
    "FoundDesign",
    "GivenFigure",
    "Job",
    "JobProgress",
    "JointAnswer",
    "LoneJob",
    "MaterialAnswer",
    "OpenPole",
    "PlyShare",
    "PoleCard",
    "Progress",
    "ReachAnswer",
    "RecordKind",
    "RevisionCard",
    "RuleEntry",
    "Saved",
    "SectionAnswer",
    "ShelfEntry",
    "Stopped",
    "Wish",
    "Work",
    "Workshop",
    "add_mandrel",
    "add_mandrel_place",
    "add_own_prepreg",
    "add_ply",
    "add_prepreg",
    "add_rule",
    "add_section",
    "address_of",
    "changes",
    "demo_designs",
    "design_of",
    "drawn_out",
    "edited",
    "executor",
    "find_answer",
    "give_figure",
    "move_ply",
    "open_workshop",
    "ply_shares",
    "put_mandrel",
    "put_prepreg",
    "read_design",
    "record_of",
    "refuse_unless_loopback",
    "remove_given",
    "remove_mandrel",
    "remove_mandrel_place",
    "remove_ply",
    "remove_prepreg",
    "remove_rule",
    "remove_section",
    "rename_mandrel",
    "rename_prepreg",
    "retype_ply",
    "rotate_ply",
    "rule_limit",
    "rules_of",
    "schema_kinds",
    "schema_of",
    "set_field",
    "set_given",
    "set_rule",
    "set_turns",
    "stocked_of",
    "utc_now",
    "wish_limit",
]
