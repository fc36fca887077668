"""The brief place: each wish as a field, with what the check says of it."""

from dataclasses import dataclass
from typing import Any

from polewright.documents.report import Finding
from polewright.units import System, display_unit, si, to
from polewright.web.changes import quantity_of_field
from polewright.web.say import pretty
from polewright.web.sight import Sight

__all__ = ["BriefView", "Field", "Wish", "brief_view", "field_of", "unit_of_field"]


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a document on a page: its path, label, text as kept, unit, and the check that speaks of it."""

    path: str
    label: str
    text: str
    unit: str
    finding: Finding | None = None
    choices: tuple[tuple[str, str], ...] = ()
    empty: str = ""  # what holds while nothing is typed


@dataclass(frozen=True, slots=True)
class Wish:
    """One wish on droop or flex."""

    place: int
    fields: tuple[Field, ...]
    finding: Finding | None


@dataclass(frozen=True, slots=True)
class BriefView:
    """All that the brief place shows."""

    words: tuple[Field, ...]
    limits: tuple[Field, ...]
    wishes: tuple[Wish, ...]
    test: tuple[Field, ...]
    made: tuple[Field, ...]
    shape: str


def brief_view(sight: Sight) -> BriefView:
    """The brief of the pole at hand."""
    design, system = sight.design, sight.system
    plain = design.plain()
    by_name = [f for f in sight.report.findings if f.kind == "brief"]
    limits = tuple(
        field_of(
            plain,
            f"brief.{name}",
            label,
            system,
            finding=_finding(by_name, opening),
            unit=design.setting.currency if unit == "€" else unit,
        )
        for name, label, unit, opening in _LIMITS
    )
    droop = [f for f in by_name if f.name.startswith(("Droop,", "Wanted flex,"))]
    wishes = tuple(
        _wish(plain, i, system, len(design.joints), droop[i] if i < len(droop) else None)
        for i in range(len(design.brief.droop))
    )
    words = tuple(
        field_of(plain, path, label, system)
        for path, label in (("name", "Pole"), ("maker", "Workshop"), ("brief.use", "What it is for"), ("note", "Note"))
    )
    test = tuple(
        field_of(plain, path, label, system)
        for path, label in (
            ("tip_fitting_g", "Tip fitting"),
            ("setting.test_load_g", "Test load"),
            ("setting.prop_mm", "Prop, from the butt"),
            ("setting.clearance_least_mm", "Least clearance"),
            (
                "brief.clamp_hold_N" if design.brief.clamp_hold_N is not None else "setting.clamp_hold_N",
                "Clamp holds, wet",
            ),
            ("setting.swing_load_g", "Load of the swing"),
        )
    )
    made = tuple(
        field_of(plain, f"setting.{name}", label, system)
        for name, label in (
            ("stress_free_C", "Free of stress at"),
            ("room_C", "Room"),
            ("trim_mm", "Longer for trimming"),
            ("seam_overlap_mm", "Seams overlap"),
            ("utilisation", "Share of the roll used"),
            ("friction_wet", "Clamp friction, wet"),
            ("currency", "Currency"),
        )
    )
    shape = ":".join(",".join(f.path for f in w.fields) for w in wishes) + f"|{len(design.joints)}"
    return BriefView(words, limits, wishes, test, made, shape)


def field_of(
    plain: dict[str, Any],
    path: str,
    label: str,
    system: System,
    *,
    unit: str | None = None,
    finding: Finding | None = None,
    choices: tuple[tuple[str, str], ...] = (),
    empty: str = "",
) -> Field:
    """A field by its path in a plain document, shown in the system's unit."""
    value: Any = plain
    for step in path.replace("[", ".[").split("."):
        value = _inside(value, step)
    text, shown = _text(path.rsplit(".", 1)[-1], value, system)
    return Field(path, label, text, shown if unit is None else unit, finding, choices, empty)


def unit_of_field(name: str) -> str:
    """The unit in which a document keeps a figure, as it is printed; nothing for one without."""
    quantity = quantity_of_field(name)
    if quantity is not None:
        return pretty(display_unit(quantity, "metric"))
    return next((unit for ending, unit in _ENDINGS if name.endswith(ending)), "")


def _inside(value: Any, step: str) -> Any:
    if step.startswith("["):
        return value[int(step[1:-1])]
    return value.get(step) if isinstance(value, dict) else None


def _text(name: str, value: Any, system: System) -> tuple[str, str]:
    quantity = quantity_of_field(name)
    if quantity is None:
        text = "" if value is None else f"{value:.10g}" if isinstance(value, float) else str(value)
        return text, unit_of_field(name)
    unit = display_unit(quantity, system)
    if value is None:
        return "", pretty(unit)
    return f"{to(si(name, float(value)), unit):.{8 if system == 'metric' else 5}g}", pretty(unit)


_ENDINGS = (
    ("mm_per_100g", "mm/100 g"),
    ("_kN_m_rad", "kN·m/rad"),
    ("_mrad", "mrad"),
    ("_N_m2", "N·m²"),
    ("_pct", "%"),
    ("_Hz", "Hz"),
    ("_deg", "°"),
    ("_GPa", "GPa"),
    ("_MPa", "MPa"),
    ("_g_m2", "g/m²"),
    ("_kg_m3", "kg/m³"),
    ("_1e6_K", "µ/K"),
)
_LIMITS = (
    ("reach_at_least_mm", "Reach, at least", None, "Extended length"),
    ("closed_at_most_mm", "Closed, at most", None, "Closed length"),
    ("mass_at_most_g", "Mass, at most", None, "Mass"),
    ("carry_at_most_kg_m", "Carry moment, at most", None, "Carry moment"),
    ("base_outside_at_most_mm", "Grip outside, at most", None, "Base outside"),
    ("material_cost_at_most", "Material cost, at most", "€", "Material"),
    ("twist_at_least_N_m2", "Stiffness in twist, at least", None, "Twist stiffness"),
    ("swing_at_least_Hz", "Swing, at least", None, "Swing"),
)


def _finding(found: list[Finding], opening: str) -> Finding | None:
    return next((f for f in found if f.name.startswith(opening)), None)


def _wish(plain: dict[str, Any], place: int, system: System, joints: int, finding: Finding | None) -> Wish:
    outs = (
        ("0", "all out"),
        *((str(n), "section 1 out" if n == 1 else f"sections 1 to {n} out") for n in range(1, joints)),
    )
    path = f"brief.droop[{place}]"
    flex = "wanted_mm_per_100g" in plain["brief"]["droop"][place]
    fields = [
        field_of(plain, f"{path}.out", "With", system, choices=outs),
        field_of(plain, f"{path}.tip_total_g", "At the tip, fitting and all", system),
    ]
    if flex:
        fields += [
            field_of(plain, f"{path}.wanted_mm_per_100g", "Added droop wanted", system),
            field_of(plain, f"{path}.within_pct", "Within", system),
        ]
    else:
        fields.append(field_of(plain, f"{path}.at_most_mm", "Droop, at most", system))
    return Wish(place, tuple(fields), finding)
