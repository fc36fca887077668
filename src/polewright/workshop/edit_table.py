"""The table of edits: name, function, arguments with their kinds, and an example on the demo pole Reedlight 7.

Forms of the pages, the JSON API with its OpenAPI document, and tests read this table. A new edit is one row here, its
function, and its text "edit.<name>" in the catalogue. Sections count from 0 at the tip, plies from 0 at the bore.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, Literal

from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.files import DocumentError
from polewright.workshop.chain import add_section, remove_section
from polewright.workshop.edits import (
    add_ply,
    move_ply,
    remove_ply,
    retype_ply,
    rotate_ply,
    set_field,
    set_joint_stiffness,
    set_turns,
    take_stock,
)
from polewright.workshop.mandrels import (
    add_mandrel,
    add_mandrel_place,
    remove_mandrel,
    remove_mandrel_place,
    rename_mandrel,
)
from polewright.workshop.prepregs import (
    add_own_prepreg,
    add_prepreg,
    give_figure,
    remove_given,
    remove_prepreg,
    rename_prepreg,
    set_given,
)
from polewright.workshop.rules import add_rule, remove_rule, set_rule
from polewright.workshop.wishes import add_flex_wish, add_wish, remove_wish

__all__ = ["EDITS", "Argument", "ArgumentKind", "EditKind", "edited"]

ArgumentKind = Literal["index", "text", "figure", "value", "choice", "table", "supplied"]


@dataclass(frozen=True, slots=True)
class Argument:
    """One argument of an edit.

    kind : index, counted from 0; text; figure, a number or what was typed, in the unit that its name ends with; value,
    anything that a field of a document may hold; one of `choices`; a table of `fields`; or supplied by the workshop, so
    that no caller gives it. is_needed : without it the edit is refused.
    """

    name: str
    kind: ArgumentKind
    is_needed: bool = True
    choices: tuple[str, ...] = ()
    fields: tuple["Argument", ...] = ()


@dataclass(frozen=True, slots=True)
class EditKind:
    """One edit: its function, its arguments, and an example on Reedlight 7 after the examples of the edits `after`."""

    name: str
    apply: Callable[..., Design]
    arguments: tuple[Argument, ...] = ()
    example: Mapping[str, Any] = field(default_factory=dict)
    after: tuple[str, ...] = ()

    @property
    def caller_arguments(self) -> tuple[Argument, ...]:
        """The arguments that a caller gives."""
        return tuple(each for each in self.arguments if each.kind != "supplied")


def _optional(name: str, kind: ArgumentKind = "text", choices: tuple[str, ...] = ()) -> Argument:
    return Argument(name, kind, is_needed=False, choices=choices)


_SECTION, _PLY = Argument("section", "index"), Argument("ply", "index")
_MATERIAL, _MANDREL, _GIVEN = Argument("material", "index"), Argument("mandrel", "index"), Argument("given", "index")
_NAME, _LOT = Argument("name", "text"), Argument("lot", "text")
_RACK = Argument("rack", "supplied", is_needed=False)
_NEW_PLY = Argument(
    "ply", "table", fields=(Argument("prepreg", "text"), Argument("angle_deg", "figure"), Argument("turns", "figure"))
)
_ROLL = Argument(
    "roll",
    "table",
    fields=(
        _NAME,
        Argument("fibre", "text"),
        Argument("resin", "text"),
        Argument("fibre_areal_g_m2", "figure"),
        Argument("resin_content_pct", "figure"),
        _optional("architecture", "choice", ("ud", "weave")),
        _optional("price_per_m2", "figure"),
        _optional("roll_width_mm", "figure"),
        _optional("lot"),
    ),
)
_BAR = Argument(
    "bar",
    "table",
    fields=(
        Argument("mandrel", "text"),
        _optional("metal"),
        Argument("small_end_mm", "figure"),
        Argument("big_end_mm", "figure"),
        Argument("length_mm", "figure"),
    ),
)
_RULE = Argument(
    "rule",
    "table",
    fields=(
        Argument("judge", "text"),
        Argument("title", "text"),
        Argument("limit", "text"),
        _optional("ply"),
        _optional("reason"),
        _optional("remedy"),
    ),
)
_FIRST_PLY = {"section": 0, "ply": 0}

_ROWS = (
    EditKind(
        "add_ply",
        add_ply,
        (_SECTION, _optional("at", "index"), _optional("end", "choice", ("bore", "skin")), _NEW_PLY),
        {"section": 0, "end": "bore", "ply": {"prepreg": "TH55", "angle_deg": 90.0, "turns": 1.0}},
    ),
    EditKind("remove_ply", remove_ply, (_SECTION, _PLY), _FIRST_PLY),
    EditKind("move_ply", move_ply, (_SECTION, _PLY, Argument("to", "index")), {**_FIRST_PLY, "to": 1}),
    EditKind(
        "retype_ply", retype_ply, (_SECTION, _PLY, Argument("prepreg", "text")), {**_FIRST_PLY, "prepreg": "SM150"}
    ),
    EditKind(
        "rotate_ply", rotate_ply, (_SECTION, _PLY, Argument("angle_deg", "figure")), {**_FIRST_PLY, "angle_deg": 45.0}
    ),
    EditKind("set_turns", set_turns, (_SECTION, _PLY, Argument("turns", "figure")), {**_FIRST_PLY, "turns": "1,5"}),
    EditKind(
        "set_field",
        set_field,
        (Argument("path", "text"), Argument("value", "value")),
        {"path": "joints[0].overlap_mm", "value": "22 cm"},
    ),
    EditKind(
        "set_joint_stiffness",
        set_joint_stiffness,
        (Argument("joint", "index"), Argument("stiffness_kN_m_rad", "figure"), Argument("overlap_mm", "figure")),
        {"joint": 1, "stiffness_kN_m_rad": "7.4", "overlap_mm": "190 mm"},
    ),
    EditKind(
        "add_section",
        add_section,
        (_optional("end", "choice", ("tip", "butt", "grip")), _optional("at", "index"), _RACK),
        {"end": "butt"},
    ),
    EditKind("remove_section", remove_section, (_SECTION,), {"section": 0}),
    EditKind("add_wish", add_wish),
    EditKind("add_flex_wish", add_flex_wish, (Argument("flex", "supplied"),)),
    EditKind("remove_wish", remove_wish, (Argument("place", "index"),), {"place": 0}, ("add_wish",)),
    EditKind(
        "add_prepreg",
        add_prepreg,
        (_NAME, Argument("like", "text"), _LOT),
        {"name": "SM150-B", "like": "SM150", "lot": "B17"},
    ),
    EditKind(
        "add_own_prepreg",
        add_own_prepreg,
        (_ROLL,),
        {
            "roll": {
                "name": "own",
                "fibre": "pan_sm_230",
                "resin": "ep120_tough",
                "fibre_areal_g_m2": 125.0,
                "resin_content_pct": 36.0,
            }
        },
    ),
    EditKind("remove_prepreg", remove_prepreg, (_MATERIAL,), {"material": 2}, ("add_prepreg",)),
    EditKind("rename_prepreg", rename_prepreg, (_MATERIAL, _NAME), {"material": 0, "name": "SM150 lot 7"}),
    EditKind(
        "give_figure",
        give_figure,
        (
            _MATERIAL,
            Argument("figure", "text"),
            Argument("value", "text"),
            Argument("kind", "choice", choices=("measured", "certificate")),
            _LOT,
        ),
        {"material": 0, "figure": "total_g_m2", "value": "235,1", "kind": "measured", "lot": "B17"},
    ),
    EditKind(
        "set_given",
        set_given,
        (_MATERIAL, _GIVEN, Argument("value", "text")),
        {"material": 0, "given": 0, "value": "236"},
        ("give_figure",),
    ),
    EditKind("remove_given", remove_given, (_MATERIAL, _GIVEN), {"material": 0, "given": 0}, ("give_figure",)),
    EditKind(
        "add_mandrel",
        add_mandrel,
        (_BAR,),
        {"bar": {"mandrel": "M21", "small_end_mm": 21.3, "big_end_mm": 21.3, "length_mm": "2 m"}},
    ),
    EditKind("remove_mandrel", remove_mandrel, (_MANDREL,), {"mandrel": 5}, ("add_mandrel",)),
    EditKind("rename_mandrel", rename_mandrel, (_MANDREL, _NAME), {"mandrel": 0, "name": "old bar"}),
    EditKind(
        "add_mandrel_place",
        add_mandrel_place,
        (_MANDREL, Argument("at_mm", "figure"), Argument("diameter_mm", "figure")),
        {"mandrel": 0, "at_mm": 500.0, "diameter_mm": 23.1},
    ),
    EditKind(
        "remove_mandrel_place",
        remove_mandrel_place,
        (_MANDREL, Argument("place", "index")),
        {"mandrel": 0, "place": 1},
        ("add_mandrel_place",),
    ),
    EditKind("take_stock", take_stock, (Argument("entry", "index"), Argument("stocked", "supplied")), {"entry": 1}),
    EditKind(
        "set_rule",
        set_rule,
        (
            Argument("rule", "text"),
            Argument("field", "choice", choices=("is_on", "limit", "title", "reason", "remedy")),
            Argument("value", "text"),
        ),
        {"rule": "block", "field": "limit", "value": "1 mm"},
    ),
    EditKind(
        "add_rule",
        add_rule,
        (_RULE,),
        {"rule": {"judge": "block", "title": "Less SM150", "limit": "0.6", "ply": "SM150"}},
    ),
    EditKind("remove_rule", remove_rule, (Argument("rule", "text"),), {"rule": "less-sm150"}, ("add_rule",)),
)
EDITS: Mapping[str, EditKind] = MappingProxyType({row.name: row for row in _ROWS})


def edited(design: Design, edit: str, **fields: Any) -> Design:
    """The design after one edit by its name, with the arguments of its row; what the workshop supplies is given too.

    Raises
    ------
    DocumentError : no such edit, an argument missing or too many, or the design cannot be so.
    """
    kind = EDITS.get(edit)
    if kind is None:
        raise DocumentError.at("edit", repr(edit), Message("want.one", choices=tuple(EDITS)))
    wanted = {each.name for each in kind.arguments}
    needed = {each.name for each in kind.arguments if each.is_needed}
    names = tuple(each.name for each in kind.caller_arguments)
    if not needed <= set(fields) <= wanted:
        raise DocumentError.at(edit, ", ".join(fields), Message("want.arguments", choices=names))
    left_out: dict[str, Any] = dict.fromkeys(names)
    return kind.apply(design, **(left_out | fields))
