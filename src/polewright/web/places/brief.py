"""The brief place: each wish as a field, with what the check says of it."""

from dataclasses import dataclass
from typing import Any

from polewright.web.page_state import PageState
from polewright.web.place_kind import PlaceKind
from polewright.words import Reader
from polewright.words.findings import FindingText, finding_text
from polewright.words.form_values import field_stem, field_unit, field_value
from polewright.workshop import NAMING_CRITERIA, OVERLAPS, WISHES, Check, drawn_out

__all__ = ["PLACE", "BriefView", "Field", "Wish", "brief_view", "field_of"]


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a document on a page: its path, label, text as kept, unit, and the check that speaks of it."""

    path: str
    label: str
    text: str
    unit: str
    finding: FindingText | None = None
    choices: tuple[tuple[str, str], ...] = ()
    empty: str = ""  # what holds while nothing is typed


@dataclass(frozen=True, slots=True)
class Wish:
    """One wish on droop or flex."""

    place: int
    fields: tuple[Field, ...]
    finding: FindingText | None


@dataclass(frozen=True, slots=True)
class BriefView:
    """All that the brief place shows."""

    words: tuple[Field, ...]
    limits: tuple[Field, ...]
    wishes: tuple[Wish, ...]
    test: tuple[Field, ...]
    made: tuple[Field, ...]
    shape: str


def brief_view(state: PageState) -> BriefView:
    """The brief of the pole at hand."""
    design, reader = state.design, state.reader
    plain = design.plain()
    chosen = {
        name: getattr(design.setting, name) for name in ("criterion", "overlaps")
    }  # a usual choice is not written
    plain["setting"] = plain.get("setting", {}) | chosen
    limits = tuple(
        field_of(
            plain,
            f"brief.{wish.field}",
            reader.say(f"page.brief.limit.{wish.code}"),
            reader,
            finding=_said(state.check, reader, wish.code),
            unit=design.setting.currency if wish.quantity == "money" else None,
        )
        for wish in WISHES
    )
    wishes = tuple(_wish(plain, i, state) for i in range(len(design.brief.droop)))
    hold = "brief.clamp_hold_N" if design.brief.clamp_hold_N is not None else "setting.clamp_hold_N"
    choices = {
        "setting.criterion": tuple((code, reader.say(f"criterion.{code}")) for code in NAMING_CRITERIA),
        "setting.overlaps": tuple((code, reader.say(f"overlaps.{code}")) for code in OVERLAPS),
    }
    words, test, made = (
        tuple(
            field_of(
                plain, path, reader.say(f"page.brief.{field_stem(_name(path))}"), reader, choices=choices.get(path, ())
            )
            for path in paths
        )
        for paths in (_WORDS, (*_TEST, hold), _MADE)
    )
    shape = ":".join(",".join(f.path for f in w.fields) for w in wishes) + f"|{len(design.joints)}"
    return BriefView(words, limits, wishes, test, made, shape)


def field_of(
    plain: dict[str, Any],
    path: str,
    label: str,
    reader: Reader,
    *,
    unit: str | None = None,
    finding: FindingText | None = None,
    choices: tuple[tuple[str, str], ...] = (),
    empty: str = "",
) -> Field:
    """A field by its path in a plain document, in the unit in which its reader sees it."""
    value: Any = plain
    for step in path.replace("[", ".[").split("."):
        value = _inside(value, step)
    name = _name(path)
    shown = field_unit(name, reader) if unit is None else unit
    return Field(path, label, field_value(name, value, reader), shown, finding, choices, empty)


def _name(path: str) -> str:
    """The name of a field without its place."""
    return path.rsplit(".", 1)[-1]


def _inside(value: Any, step: str) -> Any:
    if step.startswith("["):
        return value[int(step[1:-1])]
    return value.get(step) if isinstance(value, dict) else None


_WORDS = ("name", "maker", "brief.use", "note")
_TEST = (
    "tip_fitting_g",
    "setting.test_load_g",
    "setting.prop_mm",
    "setting.clearance_least_mm",
    "setting.swing_load_g",
)
_MADE = tuple(
    f"setting.{name}"
    for name in (
        "stress_free_C",
        "room_C",
        "trim_mm",
        "seam_overlap_mm",
        "utilisation",
        "friction_wet",
        "criterion",
        "overlaps",
        "currency",
    )
)


def _said(check: Check, reader: Reader, code: str, place: int | None = None) -> FindingText | None:
    """What the check says of a wish, or of the one at a place in the list of droop wishes."""
    own = (f for f in check.findings if f.code == code and f.subjects.wish == place)
    found = next(own, None)
    return None if found is None else finding_text(found, reader)


def _wish(plain: dict[str, Any], place: int, state: PageState) -> Wish:
    joints, reader = len(state.design.joints), state.reader
    path, is_flex = f"brief.droop[{place}]", "wanted_mm_per_100g" in plain["brief"]["droop"][place]
    outs = tuple((str(n % joints if joints else n), reader.text(drawn_out(n, joints))) for n in _outs(joints))
    own = ("wanted_mm_per_100g", "within_pct") if is_flex else ("at_most_mm",)
    fields = (
        field_of(plain, f"{path}.out", reader.say("page.brief.wish.out"), reader, choices=outs),
        *(
            field_of(plain, f"{path}.{name}", reader.say(f"page.brief.wish.{field_stem(name)}"), reader)
            for name in ("tip_total_g", *own)
        ),
    )
    return Wish(place, fields, _said(state.check, reader, "wish.flex" if is_flex else "wish.droop", place))


def _outs(joints: int) -> tuple[int, ...]:
    """How many sections may be drawn out in a wish, all of them first."""
    return (joints, *range(1, joints))


PLACE = PlaceKind("design", 1, lambda request: {"view": brief_view(request.state)})
