"""The table of terms: the words of the trade that pages, papers and documents use, each for one thing.

A term has its name and its meaning in the catalogue, as `term.<code>.name` and `term.<code>.meaning`. The table says
beside which fields of a document and in the "why" of which figures a page explains it; the page Words and
`docs/glossary.md` list all of them by group.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from polewright.answers.wishes import WISHES
from polewright.words.reader import Reader

__all__ = ["TERMS", "Term", "TermText", "term_of_field", "term_text", "terms_of_figure", "terms_text"]


@dataclass(frozen=True, slots=True)
class Term:
    """One term. fields : last names of document fields; figures : room and key of figures, "section.ring".

    The fields of wishes are not among them: the row of a wish names its term.
    """

    code: str
    group: str
    fields: tuple[str, ...] = ()
    figures: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TermText:
    """A term as a person reads it."""

    code: str
    name: str
    meaning: str


_ROWS = (
    Term("prepreg", "material", fields=("prepreg", "total_g_m2")),
    Term("unidirectional", "material"),
    Term("weave", "material", fields=("woven_skin",)),
    Term("scrim", "material"),
    Term("fibre_areal_weight", "material", fields=("fibre_areal_g_m2",)),
    Term("resin_content", "material", fields=("resin_content_pct",)),
    Term("fibre_fraction", "material", figures=("section.wall",)),
    Term("ply_thickness", "material", fields=("thickness_mm",)),
    Term("lot", "material", fields=("lot", "lots")),
    Term("roll", "material", fields=("roll_width_mm", "left_m")),
    Term("out_time", "material"),
    Term("tack", "material"),
    Term("thaw", "material"),
    Term("life_left", "material", fields=("life_left_h",)),
    Term("glass_transition", "material", fields=("Tg_dry_C", "Tg_wet_C")),
    Term("stress_free_temperature", "material", fields=("stress_free_C",)),
    Term("backing_film", "material"),
    Term("shelf", "material"),
    Term("rack", "material"),
    Term("section", "design", fields=("section_length_mm",)),
    Term("tip", "design", fields=("tip_fitting_g", "tip_total_g"), figures=("hold.push_limit",)),
    Term("butt", "design", fields=("base_mm",)),
    Term("mouth", "design"),
    Term("bore", "design", fields=("bore_mm",)),
    Term("skin", "design"),
    Term("wall", "design", fields=("wall_least_mm", "wall_most_mm"), figures=("section.wall",)),
    Term("ply", "design"),
    Term("stack", "design", fields=("stack",)),
    Term("turn", "design", fields=("turns",)),
    Term("layer", "design"),
    Term("ply_angle", "design", fields=("angle_deg",)),
    Term("axial", "design"),
    Term("hoop", "design", fields=("hoop_inside", "hoop_outside")),
    Term("bias", "design"),
    Term("seam", "design", fields=("seam_overlap_mm", "seam_ridge_mm")),
    Term("clock", "design", fields=("clock_deg",)),
    Term("bending_stiffness", "design", fields=("sleeve_EI_N_m2",), figures=("section.along",)),
    Term("twist_stiffness", "design", figures=("section.twist",)),
    Term("ring_stiffness", "design", fields=("ring_least_N_m",), figures=("section.ring",)),
    Term("nest", "design"),
    Term("fit", "design"),
    Term("clearance", "design", fields=("clearance_least_mm", "clearance_most_mm"), figures=("section.clear",)),
    Term("joint", "design"),
    Term("overlap", "design", fields=("overlap_mm", "second_overlap_mm", "stiffness_overlap_mm", "second", "overlaps")),
    Term("pivot", "design", fields=("pivot_pct",)),
    Term("play", "design", fields=("play_mrad",), figures=("pole.reaches",)),
    Term("clamp", "design", fields=("clamp_g", "clamp_width_mm", "clamp_material", "clamp_kind")),
    Term("clamp_hold", "design", fields=("clamp_hold_N",)),
    Term("band", "design"),
    Term("band_tension", "design", fields=("clamp_least_kPa",)),
    Term("clamp_window", "design", figures=("section.window", "headline.window")),
    Term("squeeze", "design", fields=("hand_squeeze_least_N", "pads_squeeze_least_N", "plates_squeeze_least_N")),
    Term("taper", "design"),
    Term("criterion", "design", fields=("criterion",)),
    Term("reserve", "design", figures=("hold.margins",)),
    Term("cure_stress", "design"),
    Term("design_value", "design"),
    Term("knock_down", "design"),
    Term("thin_wall", "design"),
    Term("exact_tube", "design"),
    Term("stop", "design"),
    Term("extended", "use", fields=("out",)),
    Term("reach", "use", fields=("reach_mm", "reach")),
    Term("closed_length", "use"),
    Term("droop", "use", fields=("at_most_mm", "droops"), figures=("headline.droop", "hold.droop", "pole.reaches")),
    Term("added_droop", "use", fields=("wanted_mm_per_100g",), figures=("pole.reaches",)),
    Term("balance", "use", figures=("hold.balance", "pole.reaches")),
    Term("carry_moment", "use", figures=("hold.carry", "pole.reaches")),
    Term(
        "swing",
        "use",
        fields=("swing_load_g", "swings", "counts"),
        figures=("hold.swing", "hold.swing_propped", "pole.reaches"),
    ),
    Term("lean", "use", fields=("lean_deg",)),
    Term("hold", "use"),
    Term("jerk", "use", figures=("hold.margins", "hold.safe")),
    Term("self_buckling", "use", figures=("hold.self_buckling",)),
    Term("flattening", "use"),
    Term("wrinkling", "use"),
    Term("bow", "use"),
    Term("spine", "use"),
    Term("wish", "use"),
    Term("brief", "use"),
    Term("mandrel", "making", fields=("mandrel",)),
    Term("release_gap", "making", figures=("section.release",)),
    Term("flag", "making"),
    Term("kit", "making"),
    Term("release_agent", "making"),
    Term("tape_tension", "making"),
    Term("tape_pitch", "making"),
    Term("oven_load", "making"),
    Term("extraction", "making"),
    Term("off_cut", "making"),
    Term("cut_layout", "making"),
    Term("utilisation", "making", fields=("utilisation",), figures=("section.cost", "headline.cost")),
    Term("debulk", "making"),
    Term("shrink_tape", "making"),
    Term("trim", "making", fields=("trim_mm",)),
    Term("clear_coat", "making", fields=("coat_mm",), figures=("section.mass",)),
    Term("work_card", "making"),
    Term("serial", "making", fields=("serial",)),
    Term("bend_test", "checking"),
    Term("ring_test", "checking"),
    Term("trestle", "checking"),
    Term("tip_load_test", "checking", fields=("test_load_g",)),
    Term("prop", "checking", fields=("prop_mm",)),
    Term("proof_load", "checking"),
    Term(
        "uncertainty",
        "checking",
        fields=(
            "load_u_g",
            "reading_u_mm",
            "span_u_mm",
            "mass_u_g",
            "outside_u_mm",
            "length_u_mm",
            "bore_u_mm",
            "width_u_mm",
            "pull_u_N",
            "set_u_mm",
            "time_u_s",
        ),
    ),
    Term("spread", "checking"),
    Term("copy", "checking"),
    Term("certificate_of_search", "checking"),
    Term("gap", "checking"),
    Term("trade_off", "checking"),
    Term("mandrel_pair", "checking"),
    Term("revision", "checking"),
)
TERMS: Mapping[str, Term] = MappingProxyType({row.code: row for row in _ROWS})
_OF_FIELD = {field: row.code for row in _ROWS for field in row.fields} | {w.field: w.term for w in WISHES if w.term}


def term_of_field(path: str) -> str | None:
    """Code of the term that a field of a document is about, by the field's path; None where there is none."""
    return _OF_FIELD.get(path.rsplit(".", 1)[-1])


def terms_of_figure(figure: str) -> tuple[str, ...]:
    """Codes of the terms that the "why" of a figure explains, in the order of the table."""
    return tuple(row.code for row in _ROWS if figure in row.figures)


def term_text(code: str, reader: Reader) -> TermText:
    """A term with its name and meaning.

    Raises
    ------
    KeyError : the table has no such term.
    """
    term = TERMS[code]
    return TermText(term.code, reader.say(f"term.{code}.name"), reader.say(f"term.{code}.meaning"))


def terms_text(reader: Reader) -> tuple[tuple[str, tuple[TermText, ...]], ...]:
    """Names of the groups, each with its terms, by name in the order of the reader's alphabet."""
    groups = dict.fromkeys(row.group for row in _ROWS)
    return tuple(
        (
            reader.say(f"term_group.{group}"),
            tuple(sorted((term_text(r.code, reader) for r in _ROWS if r.group == group), key=lambda t: t.name.lower())),
        )
        for group in groups
    )
