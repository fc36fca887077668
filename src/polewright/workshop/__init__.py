"""The use cases: open, save a revision, go back, compare, edit, test, stock; the one door of the faces.

A name is imported when it is first asked for: a command that checks one file loads no store and no search.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from polewright.answers.bench import RECORD_KINDS, bench_answer
    from polewright.answers.bench_answer import BenchAnswer, BenchFigure, FormField, ReadingTable, RecordKind
    from polewright.answers.check import Check, check_design
    from polewright.answers.find import FindAnswer, FoundDesign
    from polewright.answers.findings import Finding
    from polewright.answers.hold import HoldAnswer, JointPress
    from polewright.answers.inspection import Standing
    from polewright.answers.joints import JointAnswer
    from polewright.answers.materials import FigureOrigin, MaterialAnswer
    from polewright.answers.ranking import Ranking, rank_designs
    from polewright.answers.reach import drawn_out
    from polewright.answers.reaches import DroopShare, ReachAnswer
    from polewright.answers.same_test import in_the_test_of, is_same_load
    from polewright.answers.sections import RING_WIDTH, BandWindow, SectionAnswer, mandrel_bore
    from polewright.answers.spend import Spending, spendings
    from polewright.answers.wall_changes import PlyShare, ply_shares
    from polewright.answers.wishes import WISHES, Wish, wish_limit
    from polewright.bench.uncertainty import Estimate, Share
    from polewright.conventions.overlaps import OVERLAPS
    from polewright.documents.design import Design, MandrelData
    from polewright.documents.files import dump_json, dump_toml, load, remedy_of
    from polewright.documents.hold import Holding
    from polewright.documents.inspection import DEFECTS
    from polewright.documents.paths import empty_value, with_fields
    from polewright.documents.shelf import FIGURES
    from polewright.documents.stock import MandrelDocument, MaterialDocument
    from polewright.documents.test_record import Reading, TestKind, TestRecord
    from polewright.documents.values import Workpiece, draft_workpiece, workpiece
    from polewright.materials.library import Library, library
    from polewright.scatter import Plan, Watch
    from polewright.shop.kit import KitFlag
    from polewright.store import restore
    from polewright.wall.criteria import NAMING_CRITERIA
    from polewright.workshop.chain import add_section, remove_section
    from polewright.workshop.compare import Change, changes
    from polewright.workshop.demo import demo_designs
    from polewright.workshop.designs import read_design
    from polewright.workshop.edit_table import EDITS, Argument, EditKind, edited
    from polewright.workshop.edits import (
        Edits,
        add_ply,
        move_ply,
        remove_ply,
        retype_ply,
        rotate_ply,
        set_field,
        set_turns,
    )
    from polewright.workshop.jobs import End, Job, JobProgress, LoneJob
    from polewright.workshop.jobs.find_values import find_answer
    from polewright.workshop.kinds import (
        design_in,
        design_of,
        lots_of,
        record_in,
        record_of,
        schema_kinds,
        schema_of,
        stocked_of,
    )
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
    from polewright.workshop.request_guard import RequestGuard, refuse_unless_loopback, wanted_instead
    from polewright.workshop.rules import (
        KINDS_OF_RULE,
        RuleEntry,
        add_rule,
        remove_rule,
        rule_limit,
        rules_of,
        set_rule,
    )
    from polewright.workshop.store_path import default_store_path
    from polewright.workshop.views import BenchEntry, Draft, OpenPole, PoleCard, RevisionCard, Saved, ShelfEntry
    from polewright.workshop.warm import compile_loops
    from polewright.workshop.words import address_of
    from polewright.workshop.work import Progress, Stopped, Work, executor
    from polewright.workshop.workshop import Workshop, open_workshop, utc_now

__all__ = [
    "DEFECTS",
    "EDITS",
    "FIGURES",
    "GIVEN",
    "KINDS_OF_RULE",
    "NAMING_CRITERIA",
    "OVERLAPS",
    "RECORD_KINDS",
    "RING_WIDTH",
    "WISHES",
    "Argument",
    "BandWindow",
    "BenchAnswer",
    "BenchEntry",
    "BenchFigure",
    "Change",
    "Check",
    "Design",
    "Draft",
    "DroopShare",
    "EditKind",
    "Edits",
    "End",
    "Estimate",
    "FigureOrigin",
    "FindAnswer",
    "Finding",
    "FormField",
    "FoundDesign",
    "GivenFigure",
    "HoldAnswer",
    "Holding",
    "Job",
    "JobProgress",
    "JointAnswer",
    "JointPress",
    "KitFlag",
    "Library",
    "LoneJob",
    "MandrelData",
    "MandrelDocument",
    "MaterialAnswer",
    "MaterialDocument",
    "OpenPole",
    "Plan",
    "PlyShare",
    "PoleCard",
    "Progress",
    "Ranking",
    "ReachAnswer",
    "Reading",
    "ReadingTable",
    "RecordKind",
    "RequestGuard",
    "RevisionCard",
    "RuleEntry",
    "Saved",
    "SectionAnswer",
    "Share",
    "ShelfEntry",
    "Spending",
    "Standing",
    "Stopped",
    "TestKind",
    "TestRecord",
    "Watch",
    "Wish",
    "Work",
    "Workpiece",
    "Workshop",
    "add_mandrel",
    "add_mandrel_place",
    "add_own_prepreg",
    "add_ply",
    "add_prepreg",
    "add_rule",
    "add_section",
    "address_of",
    "bench_answer",
    "changes",
    "check_design",
    "compile_loops",
    "default_store_path",
    "demo_designs",
    "design_in",
    "design_of",
    "draft_workpiece",
    "drawn_out",
    "dump_json",
    "dump_toml",
    "edited",
    "empty_value",
    "executor",
    "find_answer",
    "give_figure",
    "in_the_test_of",
    "is_same_load",
    "library",
    "load",
    "lots_of",
    "mandrel_bore",
    "move_ply",
    "open_workshop",
    "ply_shares",
    "put_mandrel",
    "put_prepreg",
    "rank_designs",
    "read_design",
    "record_in",
    "record_of",
    "refuse_unless_loopback",
    "remedy_of",
    "remove_given",
    "remove_mandrel",
    "remove_mandrel_place",
    "remove_ply",
    "remove_prepreg",
    "remove_rule",
    "remove_section",
    "rename_mandrel",
    "rename_prepreg",
    "restore",
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
    "spendings",
    "stocked_of",
    "utc_now",
    "wanted_instead",
    "wish_limit",
    "with_fields",
    "workpiece",
]

_HOME = {
    "answers.bench": ("RECORD_KINDS", "bench_answer"),
    "answers.bench_answer": ("BenchAnswer", "BenchFigure", "FormField", "ReadingTable", "RecordKind"),
    "answers.check": ("Check", "check_design"),
    "answers.find": ("FindAnswer", "FoundDesign"),
    "answers.findings": ("Finding",),
    "answers.hold": ("HoldAnswer", "JointPress"),
    "answers.inspection": ("Standing",),
    "answers.joints": ("JointAnswer",),
    "answers.materials": ("FigureOrigin", "MaterialAnswer"),
    "answers.ranking": ("Ranking", "rank_designs"),
    "answers.reach": ("drawn_out",),
    "answers.reaches": ("DroopShare", "ReachAnswer"),
    "answers.same_test": ("in_the_test_of", "is_same_load"),
    "answers.sections": ("BandWindow", "RING_WIDTH", "SectionAnswer", "mandrel_bore"),
    "answers.spend": ("Spending", "spendings"),
    "answers.wall_changes": ("PlyShare", "ply_shares"),
    "answers.wishes": ("WISHES", "Wish", "wish_limit"),
    "bench.uncertainty": ("Estimate", "Share"),
    "documents.design": ("Design", "MandrelData"),
    "documents.files": ("dump_json", "dump_toml", "load", "remedy_of"),
    "documents.hold": ("Holding",),
    "documents.inspection": ("DEFECTS",),
    "documents.paths": ("empty_value", "with_fields"),
    "documents.shelf": ("FIGURES",),
    "documents.stock": ("MandrelDocument", "MaterialDocument"),
    "documents.test_record": ("Reading", "TestKind", "TestRecord"),
    "documents.values": ("Workpiece", "draft_workpiece", "workpiece"),
    "materials.library": ("Library", "library"),
    "scatter": ("Plan", "Watch"),
    "shop.kit": ("KitFlag",),
    "store": ("restore",),
    "conventions.overlaps": ("OVERLAPS",),
    "wall.criteria": ("NAMING_CRITERIA",),
    "workshop.chain": ("add_section", "remove_section"),
    "workshop.compare": ("Change", "changes"),
    "workshop.demo": ("demo_designs",),
    "workshop.designs": ("read_design",),
    "workshop.request_guard": ("RequestGuard", "refuse_unless_loopback", "wanted_instead"),
    "workshop.edit_table": ("Argument", "EDITS", "EditKind", "edited"),
    "workshop.edits": (
        "Edits",
        "add_ply",
        "move_ply",
        "remove_ply",
        "retype_ply",
        "set_field",
        "set_turns",
        "rotate_ply",
    ),
    "workshop.jobs": ("End", "Job", "JobProgress", "LoneJob"),
    "workshop.jobs.find_values": ("find_answer",),
    "workshop.kinds": (
        "design_in",
        "design_of",
        "lots_of",
        "record_in",
        "record_of",
        "schema_kinds",
        "schema_of",
        "stocked_of",
    ),
    "workshop.mandrels": (
        "add_mandrel",
        "add_mandrel_place",
        "put_mandrel",
        "remove_mandrel",
        "remove_mandrel_place",
        "rename_mandrel",
    ),
    "workshop.store_path": ("default_store_path",),
    "workshop.prepregs": (
        "GIVEN",
        "GivenFigure",
        "add_own_prepreg",
        "add_prepreg",
        "give_figure",
        "put_prepreg",
        "remove_given",
        "remove_prepreg",
        "rename_prepreg",
        "set_given",
    ),
    "workshop.rules": ("KINDS_OF_RULE", "RuleEntry", "add_rule", "remove_rule", "rule_limit", "rules_of", "set_rule"),
    "workshop.views": ("BenchEntry", "Draft", "OpenPole", "PoleCard", "RevisionCard", "Saved", "ShelfEntry"),
    "workshop.warm": ("compile_loops",),
    "workshop.words": ("address_of",),
    "workshop.work": ("Progress", "Stopped", "Work", "executor"),
    "workshop.workshop": ("Workshop", "open_workshop", "utc_now"),
}
_ROOM = {name: room for room, names in _HOME.items() for name in names}

if not TYPE_CHECKING:

    def __getattr__(name: str) -> Any:
        """The name from its room."""
        if name not in _ROOM:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        found = globals()[name] = getattr(import_module(f"polewright.{_ROOM[name]}"), name)
        return found
