"""The relations a ply's figures come from, by code, each with unit and source, for the answer to "why"."""

from collections.abc import Mapping

from polewright.codes import Message
from polewright.materials.frozen_map import FrozenMap
from polewright.materials.ledger import Formula

__all__ = ["CONTENT", "ELASTIC", "EXPANSION", "FIBRE_MIX", "STRENGTH", "WEAVE"]

MASS = Message("origin.conservation")
MIXTURE = Message("origin.mixture")
CHAMIS = "Chamis, Simplified Composite Micromechanics Equations for Hygral, Thermal, and Mechanical Properties, 1983"
HALPIN = "Halpin, Kardos, The Halpin-Tsai Equations: A Review, 1976"
HASHIN = "Hashin, Rosen, The Elastic Moduli of Fiber-Reinforced Materials, 1964"
HILL = "Hill, Theory of Mechanical Properties of Fibre-Strengthened Materials: I, 1964"
LO = "Christensen, Lo, Effective Shear Properties in Three Phase Sphere and Cylinder Models, 1979"
SCHAPERY = "Schapery, Thermal Expansion Coefficients of Composite Materials Based on Energy Principles, 1968"
ROSEN = "Rosen, Hashin, Effective Thermal Expansion Coefficients and Specific Heats of Composite Materials, 1970"
ALIKE = Message("origin.alike_across")
PACK = Message("origin.shipped_table")
STACK = "Sun, Li, Three-Dimensional Effective Elastic Constants for Thick Laminates, 1988"
JONES = "Jones, Mechanics of Composite Materials, 2nd ed., 1999, cross-ply laminate"

Formulas = Mapping[str, Formula]
Row = tuple[str, str, Message | str]
"""Code, SI unit and source."""


def _table(**rows: Row) -> Formulas:
    return FrozenMap({name: Formula(*row) for name, row in rows.items()})


FIBRE_MIX = _table(
    density=("formula.fibre_mix.density", "kg/m3", MASS),
    volume_share=("formula.fibre_mix.volume_share", "-", MASS),
    by_volume=("formula.fibre_mix.by_volume", "", PACK),
    alpha1=("formula.fibre_mix.alpha1", "1/K", SCHAPERY),
)

CONTENT = _table(
    resin_share=("formula.content.resin_share", "-", Message("origin.weighed_square")),
    fibre_area_mass=("formula.content.fibre_area_mass", "kg/m2", MASS),
    area_mass=("formula.content.area_mass", "kg/m2", MASS),
    cured_resin_share=("formula.content.cured_resin_share", "-", MASS),
    Vf=("formula.content.Vf", "-", MASS),
    Vf_of_thickness=("formula.content.Vf_of_thickness", "-", MASS),
    thickness=("formula.content.thickness", "m", MASS),
    density=("formula.content.density", "kg/m3", MASS),
)

_COMMON: dict[str, Row] = {
    "E1": ("formula.elastic.E1", "Pa", MIXTURE),
    "nu12": ("formula.elastic.nu12", "-", MIXTURE),
    "nu23": ("formula.elastic.nu23", "-", HILL),
    "G23": ("formula.elastic.G23", "Pa", ALIKE),
    "E3": ("formula.elastic.E3", "Pa", ALIKE),
    "G13": ("formula.elastic.G13", "Pa", ALIKE),
    "nu13": ("formula.elastic.nu13", "-", ALIKE),
    "alpha3": ("formula.elastic.alpha3", "1/K", ALIKE),
}

ELASTIC: Mapping[str, Formulas] = FrozenMap(
    {
        "square_root": _table(
            **_COMMON,
            E2=("formula.elastic.square_root.E2", "Pa", CHAMIS),
            G12=("formula.elastic.square_root.G12", "Pa", CHAMIS),
        ),
        "halpin_tsai": _table(
            **_COMMON,
            E2=("formula.elastic.halpin_tsai.E2", "Pa", HALPIN),
            G12=("formula.elastic.halpin_tsai.G12", "Pa", HALPIN),
        ),
        "cylinders": _table(
            **{
                **_COMMON,
                "E1": ("formula.elastic.cylinders.E1", "Pa", HASHIN),
                "nu12": ("formula.elastic.cylinders.nu12", "-", HILL),
                "nu23": ("formula.elastic.cylinders.nu23", "-", HILL),
                "E2": ("formula.elastic.cylinders.E2", "Pa", LO),
                "G12": ("formula.elastic.cylinders.G12", "Pa", HASHIN),
            }
        ),
    }
)

_ALONG: Row = ("formula.expansion.alpha1", "1/K", SCHAPERY)
EXPANSION: Mapping[str, Formulas] = FrozenMap(
    {
        "square_root": _table(alpha1=_ALONG, alpha2=("formula.expansion.square_root.alpha2", "1/K", CHAMIS)),
        "schapery": _table(alpha1=_ALONG, alpha2=("formula.expansion.schapery.alpha2", "1/K", SCHAPERY)),
        "cylinders": _table(
            alpha1=("formula.expansion.cylinders.alpha1", "1/K", ROSEN),
            alpha2=("formula.expansion.cylinders.alpha2", "1/K", ROSEN),
        ),
    }
)

STRENGTH = _table(
    Xt=("formula.strength.Xt", "Pa", PACK),
    Xt_mixed=("formula.strength.Xt_mixed", "Pa", PACK),
    Xc=("formula.strength.Xc", "Pa", PACK),
    Yt=("formula.strength.Yt", "Pa", PACK),
    Yc=("formula.strength.Yc", "Pa", PACK),
    S=("formula.strength.S", "Pa", PACK),
    design=("formula.strength.design", "Pa", Message("origin.knockdown_factor")),
)

WEAVE = _table(
    E1=("formula.weave.E1", "Pa", JONES),
    E2=("formula.weave.E2", "Pa", JONES),
    nu12=("formula.weave.nu12", "-", JONES),
    G12=("formula.weave.G12", "Pa", PACK),
    E3=("formula.weave.E3", "Pa", STACK),
    nu13=("formula.weave.nu13", "-", STACK),
    nu23=("formula.weave.nu23", "-", STACK),
    G13=("formula.weave.G13", "Pa", STACK),
    G23=("formula.weave.G23", "Pa", STACK),
    alpha1=("formula.weave.alpha1", "1/K", JONES),
    alpha2=("formula.weave.alpha2", "1/K", JONES),
    alpha3=("formula.weave.alpha3", "1/K", STACK),
    Xt=("formula.weave.Xt", "Pa", PACK),
    Xc=("formula.weave.Xc", "Pa", PACK),
    Yt=("formula.weave.Yt", "Pa", PACK),
    Yc=("formula.weave.Yc", "Pa", PACK),
    S=("formula.weave.S", "Pa", PACK),
)
