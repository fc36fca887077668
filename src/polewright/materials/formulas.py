"""The relations a ply's figures come from, in one line each, with unit and source, for the answer to "why"."""

from collections.abc import Mapping

from polewright.materials.frozen_map import FrozenMap
from polewright.materials.ledger import Formula

__all__ = ["CONTENT", "ELASTIC", "EXPANSION", "FIBRE_MIX", "STRENGTH", "WEAVE"]

MASS = "conservation of mass and volume"
MIXTURE = "rule of mixtures"
CHAMIS = "Chamis, Simplified Composite Micromechanics Equations for Hygral, Thermal, and Mechanical Properties, 1983"
HALPIN = "Halpin, Kardos, The Halpin-Tsai Equations: A Review, 1976"
HASHIN = "Hashin, Rosen, The Elastic Moduli of Fiber-Reinforced Materials, 1964"
HILL = "Hill, Theory of Mechanical Properties of Fibre-Strengthened Materials: I, 1964"
LO = "Christensen, Lo, Effective Shear Properties in Three Phase Sphere and Cylinder Models, 1979"
SCHAPERY = "Schapery, Thermal Expansion Coefficients of Composite Materials Based on Energy Principles, 1968"
ROSEN = "Rosen, Hashin, Effective Thermal Expansion Coefficients and Specific Heats of Composite Materials, 1970"
ALIKE = "alike in every direction across the fibre"
PACK = "stated relation of the shipped prepreg table"
STACK = "Sun, Li, Three-Dimensional Effective Elastic Constants for Thick Laminates, 1988"
JONES = "Jones, Mechanics of Composite Materials, 2nd ed., 1999, cross-ply laminate"

Formulas = Mapping[str, Formula]


def _table(**rows: tuple[str, str, str]) -> Formulas:
    return FrozenMap({name: Formula(*row) for name, row in rows.items()})


FIBRE_MIX = _table(
    density=("1/rho_f = sum of mass share / rho", "kg/m3", MASS),
    volume_share=("share by volume = mass share rho_f / rho", "-", MASS),
    by_volume=("average by volume", "", PACK),
    alpha1=("average by volume and modulus", "1/K", SCHAPERY),
)

CONTENT = _table(
    resin_share=("wr = 1 - FAW / areal mass", "-", "weighed square, fibre areal mass as ordered"),
    fibre_area_mass=("FAW = areal mass (1 - wr)", "kg/m2", MASS),
    area_mass=("areal mass = FAW / (1 - wr)", "kg/m2", MASS),
    cured_resin_share=("wr cured = (wr - bleed) / (1 - bleed)", "-", MASS),
    Vf=("Vf = (1 - void) (wf/rho_f) / (wf/rho_f + wr/rho_r)", "-", MASS),
    Vf_of_thickness=("Vf = FAW / (rho_f t)", "-", MASS),
    thickness=("t = FAW / (rho_f Vf)", "m", MASS),
    density=("rho = Vf rho_f + (1 - Vf - void) rho_r", "kg/m3", MASS),
)

_COMMON = {
    "E1": ("E1 = Vf E1f + (1 - Vf - void) Em", "Pa", MIXTURE),
    "nu12": ("nu12 = Vf nuf + (1 - Vf) num", "-", MIXTURE),
    "nu23": ("nu23 = 1 - E2/(2 K) - 2 nu12² E2/E1, K of the cylinder assemblage", "-", HILL),
    "G23": ("G23 = E2 / (2 (1 + nu23))", "Pa", ALIKE),
    "E3": ("E3 = E2", "Pa", ALIKE),
    "G13": ("G13 = G12", "Pa", ALIKE),
    "nu13": ("nu13 = nu12", "-", ALIKE),
    "alpha3": ("alpha3 = alpha2", "1/K", ALIKE),
}

ELASTIC: Mapping[str, Formulas] = FrozenMap(
    {
        "square_root": _table(
            **_COMMON,
            E2=("E2 = Em / (1 - sqrt(Vf) (1 - Em/E2f))", "Pa", CHAMIS),
            G12=("G12 = Gm / (1 - sqrt(Vf) (1 - Gm/G12f))", "Pa", CHAMIS),
        ),
        "halpin_tsai": _table(
            **_COMMON, E2=("Halpin-Tsai with xi = 2", "Pa", HALPIN), G12=("Halpin-Tsai with xi = 1", "Pa", HALPIN)
        ),
        "cylinders": _table(
            **{
                **_COMMON,
                "E1": ("E1 = Vf E1f + Vm Em + 4 Vf Vm (nuf - num)² / (Vm/Kf + Vf/Km + 1/Gm) - void Em", "Pa", HASHIN),
                "nu12": ("nu12 = Vf nuf + Vm num + Vf Vm (nuf - num)(1/Km - 1/Kf) / (Vm/Kf + Vf/Km + 1/Gm)", "-", HILL),
                "nu23": ("nu23 = (K - m G23)/(K + m G23), m = 1 + 4 K nu12²/E1", "-", HILL),
                "E2": ("E2 = 4 K G23 / (K + m G23), G23 of the three-phase cylinder", "Pa", LO),
                "G12": ("G12 = Gm (Gf (1 + Vf) + Gm Vm) / (Gf Vm + Gm (1 + Vf))", "Pa", HASHIN),
            }
        ),
    }
)

_ALONG = ("alpha1 = sum of V E alpha / sum of V E", "1/K", SCHAPERY)
EXPANSION: Mapping[str, Formulas] = FrozenMap(
    {
        "square_root": _table(
            alpha1=_ALONG,
            alpha2=("alpha2 = alpha2f sqrt(Vf) + (1 - sqrt(Vf)) (1 + Vf num E1f/E1) alpham", "1/K", CHAMIS),
        ),
        "schapery": _table(
            alpha1=_ALONG, alpha2=("alpha2 = (1 + nuf) alpha2f Vf + (1 + num) alpham Vm - nu12 alpha1", "1/K", SCHAPERY)
        ),
        "cylinders": _table(
            alpha1=("exact for the cylinder assemblage, along", "1/K", ROSEN),
            alpha2=("exact for the cylinder assemblage, across", "1/K", ROSEN),
        ),
    }
)

STRENGTH = _table(
    Xt=("Xt = transfer Vf strand strength", "Pa", PACK),
    Xt_mixed=("Xt = E1 times the least transfer strand strength / E1f of the fibres", "Pa", PACK),
    Xc=("Xc = Xc_ref Vf / 0.60", "Pa", PACK),
    Yt=("Yt as listed for the fibre", "Pa", PACK),
    Yc=("Yc as listed for the fibre", "Pa", PACK),
    S=("S as listed for the fibre", "Pa", PACK),
    design=("design value = lab mean times knock-down", "Pa", "process, scatter and environment, see its factor"),
)

WEAVE = _table(
    E1=("E1 = crimp (A - Q12²/A), A = (Q11 + Q22)/2", "Pa", JONES),
    E2=("E2 = E1, balanced", "Pa", JONES),
    nu12=("nu12 = Q12/A", "-", JONES),
    G12=("G12 of the unidirectional ply", "Pa", PACK),
    E3=("E3 of the 0/90 stack, through it", "Pa", STACK),
    nu13=("nu13 of the 0/90 stack, times crimp", "-", STACK),
    nu23=("nu23 = nu13, balanced", "-", STACK),
    G13=("2/G13 = 1/G13 + 1/G23 of the unidirectional ply", "Pa", STACK),
    G23=("G23 = G13, balanced", "Pa", STACK),
    alpha1=("alpha = (a1 (Q11 + Q12) + a2 (Q22 + Q12)) / (Q11 + Q22 + 2 Q12)", "1/K", JONES),
    alpha2=("alpha2 = alpha1, balanced", "1/K", JONES),
    alpha3=("alpha3 of the 0/90 stack, plies held in the plane", "1/K", STACK),
    Xt=("Xt = crimp_Xt Xt Ex/E1 of the pair", "Pa", PACK),
    Xc=("Xc = crimp_Xc Xc Ex/E1 of the pair", "Pa", PACK),
    Yt=("Yt = Xt, balanced", "Pa", PACK),
    Yc=("Yc = Xc, balanced", "Pa", PACK),
    S=("S of the unidirectional ply", "Pa", PACK),
)
