"""Where a figure comes from: its formula in words, the inputs with their origin, and what the formula rests on."""

from dataclasses import dataclass

from polewright.web.page_state import CheckedDesign
from polewright.words import Reader
from polewright.words.form_values import field_text
from polewright.words.terms import terms_of_figure
from polewright.words.why import figure_basis, prop_text
from polewright.workshop import RING_WIDTH, FigureOrigin, MaterialAnswer

__all__ = ["Input", "Why", "resting_on", "why_droop", "why_reaches", "why_section", "whys"]


@dataclass(frozen=True, slots=True)
class Input:
    """One figure that went in: its name, how it reads, and where it comes from."""

    name: str
    value: str
    origin: str


@dataclass(frozen=True, slots=True)
class Why:
    """The answer to "why this number"; terms : codes of the terms that it explains first."""

    words: str
    source: str
    inputs: tuple[Input, ...]
    terms: tuple[str, ...] = ()


_INPUTS: dict[str, tuple[str, ...]] = {
    "along": ("E1", "E2", "G12", "thickness"),
    "twist": ("G12", "E1", "thickness"),
    "ring": ("E1", "E2", "G12", "thickness"),
    "wall": ("thickness", "Vf", "area_mass"),
    "mass": ("density", "thickness"),
    "clear": ("thickness",),
    "release": ("alpha1", "alpha2", "E1", "E2"),
    "window": ("E1", "E2", "G12", "thickness"),
    "cost": ("price",),
}
"""Figures of a material that go into each figure of a section."""


def why_section(checked: CheckedDesign, section: int, figure: str, reader: Reader) -> Why:
    """Why a figure of a section is what it is; sections count from 1 at the tip."""
    used = {ply.prepreg for ply in checked.design.sections[section - 1].stack}
    inputs = [
        _input(material, origin, checked.check.pole.currency, reader)
        for material in checked.check.materials
        if material.id in used
        for origin in material.figures
        if origin.figure in _INPUTS[figure]
    ]
    return Why(
        reader.say(f"why.section.{figure}", width=RING_WIDTH),
        figure_basis(f"section.{figure}", reader),
        tuple(inputs),
        terms_of_figure(f"section.{figure}"),
    )


def why_droop(checked: CheckedDesign, reader: Reader) -> Why:
    """Why the pole droops as it does."""
    inputs = [
        _prop(checked, reader),
        *(
            Input(
                reader.say("share.joint", number=j.between[0], outer=j.between[1]),
                reader.quantity(j.stiffness, "turning_stiffness"),
                reader.say("why.origin.measured_here" if j.stiffness_from == "measured" else "why.origin.default"),
            )
            for j in checked.check.joints
        ),
        *(
            Input(
                reader.say("why.input.along", section=s.number),
                reader.quantity(s.bending_EI, "bending", 0),
                reader.say("why.origin.wall"),
            )
            for s in checked.check.sections
        ),
    ]
    return Why(
        reader.say("why.pole.droop"),
        figure_basis("pole.droop", reader),
        tuple(inputs),
        terms_of_figure("headline.droop"),
    )


def whys(checked: CheckedDesign, reader: Reader) -> tuple[tuple[str, str, Why], ...]:
    """(key, figure, why) of the four figures beside the drawing."""
    return (
        ("droop", reader.say("headline.droop"), why_droop(checked, reader)),
        ("mass", reader.say("headline.mass"), _why_mass(checked, reader)),
        ("window", reader.say("headline.window"), _why_window(checked, reader)),
        ("cost", reader.say("headline.cost"), _why_cost(checked, reader)),
    )


def _why_mass(checked: CheckedDesign, reader: Reader) -> Why:
    design, wall, entered = checked.design, reader.say("why.origin.wall"), reader.say("why.origin.entered")
    inputs = [
        *(
            Input(reader.say("part.section", number=s.number), reader.quantity(s.mass, "mass", 0), wall)
            for s in checked.check.sections
        ),
        *(
            Input(
                reader.say("why.input.clamp", number=i, outer=i + 1), field_text("clamp_g", j.clamp_g, reader), entered
            )
            for i, j in enumerate(design.joints, 1)
        ),
        Input(reader.say("why.input.tip_fitting"), field_text("tip_fitting_g", design.tip_fitting_g, reader), entered),
    ]
    return Why(reader.say("why.pole.mass"), "", tuple(inputs))


def _why_window(checked: CheckedDesign, reader: Reader) -> Why:
    inputs = [
        Input(
            reader.say("part.section", number=s.number),
            reader.say("why.window.range", least=s.window.least, most=s.window.most),
            reader.say("why.window.band", width=s.window.width, hold=s.window.hold_needed),
        )
        for s in checked.check.sections
        if s.window is not None
    ]
    words = reader.say("why.pole.window", formula=reader.say("why.section.window"))
    return Why(words, figure_basis("section.window", reader), tuple(inputs), terms_of_figure("headline.window"))


def _why_cost(checked: CheckedDesign, reader: Reader) -> Why:
    currency, flags = checked.check.pole.currency, reader.say("why.origin.flags")
    inputs = [
        Input(
            reader.say("part.section", number=s.number),
            reader.say("why.money", amount=s.material_cost, currency=currency),
            flags,
        )
        for s in checked.check.sections
    ]
    return Why(
        reader.say("why.pole.cost", formula=reader.say("why.section.cost")),
        "",
        tuple(inputs),
        terms_of_figure("headline.cost"),
    )


def why_reaches(checked: CheckedDesign, reader: Reader) -> Why:
    """Why the figures of the reaches are what they are."""
    load = field_text("test_load_g", checked.design.setting.test_load_g, reader)
    test = Input(reader.say("why.input.test_load"), load, reader.say("why.origin.workshop_test"))
    inputs = (test, _prop(checked, reader))
    return Why(
        reader.say("why.pole.reaches", unit=reader.unit("flex")),
        figure_basis("pole.reaches", reader),
        inputs,
        terms_of_figure("pole.reaches"),
    )


def _prop(checked: CheckedDesign, reader: Reader) -> Input:
    place = prop_text(checked.design.setting, reader)
    return Input(reader.say("why.input.prop"), place, reader.say("why.origin.workshop_test"))


def resting_on(checked: CheckedDesign, reader: Reader) -> str:
    """Which figures all others rest on, for the title block."""
    materials, joints = checked.check.materials, checked.check.joints
    measured = sum(m.resting_on != "default" for m in materials)
    known = sum(j.stiffness_from == "measured" for j in joints)
    sections = checked.design.sections
    bores = sum(s.bore_mm is not None for s in sections)
    parts = [
        reader.say("resting.prepregs", count=measured, of=len(materials))
        if measured
        else reader.say("resting.prepregs.default")
    ]
    if bores:
        parts.append(reader.say("resting.bores", count=bores, of=len(sections)))
    if joints:
        parts.append(
            reader.say("resting.joints", count=known, of=len(joints)) if known else reader.say("resting.joints.default")
        )
    return "; ".join(parts)


def _input(material: MaterialAnswer, origin: FigureOrigin, currency: str, reader: Reader) -> Input:
    name = reader.say(f"why.figure.{origin.figure}")
    value = reader.say(f"why.value_of.{origin.figure}", value=origin.value, currency=currency)
    source = ", ".join(filter(None, map(reader.text, (origin.formula, origin.source))))
    kind = "derived_default" if origin.kind == "derived" and origin.is_default else origin.kind
    origin_text = reader.say(f"why.origin.{kind}")
    return Input(
        reader.say("why.input.material", material=material.id, figure=name),
        value,
        reader.say("why.origin.source", kind=origin_text, source=source) if source else origin_text,
    )
