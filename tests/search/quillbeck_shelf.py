"""Plies, prices and rack of the reference workshop (workshop notes, ply table and brief of the five-section pole)."""

import numpy as np

from polewright.materials.ply import Elastic, Ply
from polewright.search import Bar, Brief, Build, Option, Options, Rules, Shop


def ply(name, thickness_mm, density, E1, E2, G12, nu12, price):
    elastic = Elastic.unidirectional(
        E1=E1 * 1e9, E2=E2 * 1e9, G12=G12 * 1e9, nu12=nu12, nu23=0.45, density=density * 1e3
    )
    return Ply(name, thickness_mm * 1e-3, elastic, area_mass=density * thickness_mm, price=price)


SM150 = ply("SM150", 0.1476, 1.540, 132.7, 7.61, 3.44, 0.264, 31.0)
SM100 = ply("SM100", 0.1003, 1.534, 130.2, 7.49, 3.36, 0.266, 27.0)
IM125 = ply("IM125", 0.1203, 1.551, 172.0, 7.46, 3.51, 0.263, 58.0)
HM125 = ply("HM125", 0.1188, 1.571, 225.7, 6.53, 3.30, 0.264, 118.0)
TH55 = ply("TH55", 0.0585, 1.516, 122.9, 7.14, 3.13, 0.271, 33.0)
EG150 = ply("EG150", 0.1167, 1.890, 37.9, 10.8, 3.25, 0.274, 9.0)
SHELF = (SM150, SM100, IM125, HM125, TH55, EG150)
HOOP, SM, IM, HM, SKIN = range(5)  # places in the listed options below

BUILD = Build(
    overlap=0.2,
    proud=0.035,
    flag_extra=0.07,
    clamp=0.045,
    fitting=0.06,
    joint_stiffness=9e3,
    clearance_least=0.3e-3,
    clearance_most=0.5e-3,
    prop=1.0,
)
BRIEF = Brief(
    reach=7.45,
    sections=(5,),
    tip_mass=0.6,
    mass_at_most=1.25,
    cost_at_most=280.0,
    closed_at_most=1.85,
    base_at_most=0.0335,
    droop_at_most=0.85,
)
OWNED = (23.00, 24.81, 26.93, 29.04, 31.15)
LARGER = (25.00, 26.81, 28.93, 31.04, 33.15)


def listed(most=8, axial=(SM150, IM125, HM125)):
    """A hoop inside, axial plies, a hoop outside, rolled in that order."""
    plies = (Option(TH55, np.pi / 2), *(Option(m, 0.0) for m in axial), Option(TH55, np.pi / 2))
    return Options(
        plies, most, 0.03, order="listed", rules=Rules(hoop_inside=True, hoop_outside=True), utilisation=0.86
    )


def shop(bores_mm=OWNED + LARGER, options=None):
    return Shop(options or listed(), tuple(Bar(f"{b:.2f}", b * 1e-3) for b in bores_mm), BUILD)


def table_pole(axial, first_bore_mm):
    """Bores [mm] and recipes of one line of the option table: clearance 0.40, one ply less in the tip section."""
    turns = {SM: (4, 5), IM: (5, 6), HM: (5, 6)}
    thick = {SM: 0.1476, IM: 0.1203, HM: 0.1188}
    bore, bores, recipes = first_bore_mm, [], []
    for i, k in enumerate(axial):
        n = turns[k][0 if i == 0 else 1]
        bores.append(bore)
        recipes.append((HOOP, *[k] * n, SKIN))
        bore += 2.0 * (2 * 0.0585 + n * thick[k]) + 0.40
    return bores, recipes


def large(options, most, order="any", **rules):
    """So many options for the tables of growth: every ply of the shelf at one angle after another."""
    plies = [
        Option(p, np.deg2rad(angle), is_pair=0.0 < angle < 90.0)
        for angle in (0.0, 90.0, 45.0, 20.0, 10.0, 30.0, 60.0)
        for p in SHELF
    ]
    return Options(tuple(plies[:options]), most, 0.0269, order=order, rules=Rules(**rules))
