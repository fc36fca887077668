"""Where a figure comes from: its formula in words, the inputs with their origin, and the source of the formula."""

import inspect
import re
from dataclasses import dataclass

from polewright.documents.report import FigureOrigin, MaterialFigures
from polewright.pole import elastica
from polewright.pole.droop import flex
from polewright.pole.hands import heft
from polewright.pole.section import bore_after_cure
from polewright.units import format_quantity
from polewright.wall.clamp import band_hold
from polewright.wall.membrane import reduced_stiffness, tube_flexibility
from polewright.wall.ring import collapse_pressure, ring_stiffness
from polewright.web.sight import Checked

__all__ = ["Input", "Why", "resting_on", "why_droop", "why_reaches", "why_section", "whys"]


@dataclass(frozen=True, slots=True)
class Input:
    """One figure that went in: its name, how it reads, and where it comes from."""

    name: str
    value: str
    origin: str


@dataclass(frozen=True, slots=True)
class Why:
    """The answer to "why this number"."""

    words: str
    source: str
    inputs: tuple[Input, ...]


_WORDS: dict[str, tuple[str, tuple[object, ...], tuple[str, ...]]] = {
    "along": (
        (
            "Each turn's stiffness along the tube at its own radius, times r² and its area, with the pull around "
            "free and the twist free: a closed tube cannot curl."
        ),
        (tube_flexibility, reduced_stiffness),
        ("E1", "E2", "G12", "thickness"),
    ),
    "twist": (
        "Each turn's shear stiffness round the tube at its own radius, times r² and its area.",
        (tube_flexibility, reduced_stiffness),
        ("G12", "E1", "thickness"),
    ),
    "ring": (
        (
            "A ring 20 mm wide squeezed between two plates: bending stiffness of the wall around, with shear through "
            "the wall."
        ),
        (ring_stiffness,),
        ("E1", "E2", "G12", "thickness"),
    ),
    "wall": (
        ("Cured thickness of each ply times its turns: fibre weight, fibre density and fibre share of the cured ply."),
        (),
        ("thickness", "Vf", "area_mass"),
    ),
    "mass": ("Area of the wall times density, over the length, with the clear coat.", (), ("density", "thickness")),
    "clear": (
        "Bore of the next section less the outside of this one, where they come closest on the way out.",
        (),
        ("thickness",),
    ),
    "release": (
        ("Bore after cure less the cold mandrel: the tube sets on the hot bar and both cool by their own expansion."),
        (bore_after_cure,),
        ("alpha1", "alpha2", "E1", "E2"),
    ),
    "window": (
        ("From the band tension that holds the pole wet, up to the tension whose pressure makes the wall give way."),
        (band_hold, collapse_pressure),
        ("E1", "E2", "G12", "thickness"),
    ),
    "cost": (
        "Area of each flag with its trim, over the share of the roll that is used, times the price.",
        (),
        ("price",),
    ),
}
_NAMES = {
    "E1": ("stiffness along the fibre", "modulus", "GPa", 1),
    "E2": ("across the fibre", "modulus", "GPa", 2),
    "G12": ("in shear", "modulus", "GPa", 2),
    "thickness": ("cured thickness", "length", "mm", 4),
    "Vf": ("fibre share", "share", "%", 1),
    "area_mass": ("weight", "area_mass", "g/m2", 1),
    "density": ("density", "density", "g/cm3", 3),
    "alpha1": ("expansion along", "expansion", "µ/K", 2),
    "alpha2": ("expansion across", "expansion", "µ/K", 1),
    "price": ("price a square metre", "", "", 2),
}


def why_section(checked: Checked, section: int, figure: str) -> Why:
    """Why a figure of a section is what it is; sections count from 1 at the tip."""
    words, behind, wanted = _WORDS[figure]
    used = {wrap.prepreg for wrap in checked.design.sections[section - 1].stack}
    inputs = [
        _input(material, origin, checked.report.pole.currency)
        for material in checked.report.materials
        if material.id in used
        for origin in material.figures
        if origin.figure in wanted
    ]
    return Why(words, _sources(*behind), tuple(inputs))


def why_droop(checked: Checked) -> Why:
    """Why the pole droops as it does."""
    words = (
        "The pole as one stepped beam, bent in true shape by its own weight and the load: tubes in an overlap "
        "bend as one, each joint tilts by its play and its spring."
    )
    setting = checked.design.setting
    inputs = [
        Input("prop", f"{setting.prop_mm:g} mm from the butt", "how this workshop tests"),
        *(
            Input(
                f"joint {j.between[0]}/{j.between[1]}",
                f"{j.stiffness_kN_m_rad:g} kN·m/rad",
                "measured here" if j.stiffness_from == "measured" else "default, not measured here",
            )
            for j in checked.report.joints
        ),
        *(
            Input(f"section {s.number}, stiffness along", f"{s.bending_EI_N_m2:.0f} N·m²", "from its wall")
            for s in checked.report.sections
        ),
    ]
    return Why(words, _sources(elastica), tuple(inputs))


def whys(checked: Checked) -> tuple[tuple[str, str, Why], ...]:
    """(key, figure, why) of the four figures beside the drawing."""
    report, design = checked.report, checked.design
    masses = [
        *(Input(f"section {s.number}", f"{s.mass_g:.0f} g", "from its wall") for s in report.sections),
        *(Input(f"clamp {i + 1}/{i + 2}", f"{j.clamp_g:g} g", "as entered") for i, j in enumerate(design.joints)),
        Input("tip fitting", f"{design.tip_fitting_g:g} g", "as entered"),
    ]
    costs = [
        Input(f"section {s.number}", f"{s.material_cost:.2f} {report.pole.currency}", "from its flags")
        for s in report.sections
    ]
    windows = [
        Input(
            f"section {s.number}",
            f"{s.window.least_N:.0f} to {s.window.most_N:.0f} N",
            f"a band {s.window.width_mm:g} mm wide that must hold {s.window.hold_needed_N:g} N wet",
        )
        for s in report.sections
        if s.window is not None
    ]
    return (
        ("droop", "Droop at the tip", why_droop(checked)),
        (
            "mass",
            "Ready to work",
            Why("Tubes with their coats, clamps and the tip fitting together.", "", tuple(masses)),
        ),
        (
            "window",
            "Clamp window",
            Why(
                f"The tightest of all sections that carry a clamp. {_WORDS['window'][0]}",
                _sources(band_hold, collapse_pressure),
                tuple(windows),
            ),
        ),
        ("cost", "Material", Why("Prepreg alone, all sections together. " + _WORDS["cost"][0], "", tuple(costs))),
    )


def why_reaches(checked: Checked) -> Why:
    """Why the figures of the reaches are what they are."""
    setting = checked.design.setting
    words = (
        "Droop: the pole as one stepped beam in its true bent shape. Added droop: what the test load adds, for "
        "each 100 g. Balance and carry moment: all masses and their distances from the butt. Swing: the lowest "
        "tone with the load at the tip, held as on the bench. Play: what the clearance of every joint lets the "
        "tip fall."
    )
    inputs = (
        Input("test load", f"{setting.test_load_g:g} g", "how this workshop tests"),
        Input("prop", f"{setting.prop_mm:g} mm from the butt", "how this workshop tests"),
    )
    return Why(words, _sources(elastica, flex, heft), inputs)


def resting_on(checked: Checked) -> str:
    """Which figures all others rest on, for the title block."""
    materials = checked.report.materials
    measured = sum(m.resting_on != "default" for m in materials)
    joints = checked.report.joints
    known = sum(j.stiffness_from == "measured" for j in joints)
    bores, sections = sum(s.bore_mm is not None for s in checked.design.sections), len(checked.design.sections)
    said = [f"{measured} of {len(materials)} prepregs measured" if measured else "default ply values"]
    said += [f"{bores} of {sections} bores measured"] if bores else []
    said += [f"{known} of {len(joints)} joints measured" if known else "joints not measured here"] if joints else []
    return "; ".join(said)


def _input(material: MaterialFigures, origin: FigureOrigin, currency: str) -> Input:
    name, quantity, unit, digits = _NAMES[origin.figure]
    shown = (
        f"{origin.value:.{digits}f} {currency}"
        if not quantity
        else format_quantity(origin.value, quantity, unit, digits)
    )
    source = ", ".join(part for part in (origin.formula, origin.source) if part)
    kind = {
        "default": "default, not measured here",
        "derived": "derived from default figures" if origin.is_default else "derived",
        "certificate": "supplier's certificate",
        "measured": "measured here",
    }[origin.kind]
    return Input(f"{material.id}, {name}", shown, f"{kind}: {source}" if source else kind)


def _sources(*behind: object) -> str:
    """What the core cites for the formulas of functions or modules, from their own descriptions."""
    found = (re.search(r"^Source\n-+\n(.+?)(?:\n\n|\Z)", inspect.getdoc(each) or "", re.S | re.M) for each in behind)
    cited = (" ".join(match.group(1).replace("`", "").split()) for match in found if match is not None)
    kept = (words.removesuffix(".").removesuffix(", condensed as said above") for words in cited)
    return "; ".join(dict.fromkeys(kept))
