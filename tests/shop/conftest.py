"""The reference pole of the workshop notes as kits: five sections, standard carbon along, thin carbon hoops."""

from dataclasses import dataclass

import numpy as np
import pytest

from polewright.materials.ply import Elastic, Ply
from polewright.shop import CutRules, Kit, section_kit
from polewright.wall.stack import Stack, StackPly


def prepreg(name: str, areal: float, resin: float, fibre: float, E1: float, price: float = 0.0) -> Ply:
    """Cured ply from fibre weight [g/m2], resin share, fibre density; resin 1.22 g/cm3, no voids, no bleed."""
    volume = ((1 - resin) / fibre) / ((1 - resin) / fibre + resin / 1.22)
    elastic = Elastic.unidirectional(E1=E1, E2=7.5e9, G12=3.4e9, nu12=0.26)
    return Ply(name, areal / (fibre * volume) * 1e-6, elastic, areal / (1 - resin) * 1e-3, price=price)


@dataclass(frozen=True)
class Shop:
    sm150: Ply
    th55: Ply
    im125: Ply
    hm125: Ply

    def hooped(self, turns: float, along: Ply | None = None) -> Stack:
        hoop = StackPly(self.th55, np.pi / 2)
        return Stack((hoop, StackPly(along or self.sm150, 0.0, turns), hoop))

    def pole(self, fibres: str = "SSSSS", bore: float = 0.023, overlap: float = 0.006) -> list[Kit]:
        """Kits from the tip: S, I or H along each section, each bore 0.40 mm wider than the tube inside it."""
        kits = []
        for i, letter in enumerate(fibres):
            along, turns = {"S": (self.sm150, 5), "I": (self.im125, 6), "H": (self.hm125, 6)}[letter]
            stack = self.hooped(turns - 1 if i == 0 else turns, along)
            rules = CutRules(overlap=overlap)
            kits.append(section_kit(stack, bore, bore, 1.65, rules=rules, section=f"S{i + 1}"))
            bore += 2 * stack.thickness + 0.0004
        return kits

    def kits(self) -> list[Kit]:
        return self.pole()

    def bores(self) -> list[float]:
        return [kit.flags[0].flag.diameter_butt for kit in self.pole()]


@pytest.fixture(scope="session")
def shop() -> Shop:
    return Shop(
        prepreg("SM150", 150.0, 0.34, 1.78, 132.7e9, price=31.0),
        prepreg("TH55", 55.0, 0.38, 1.78, 122.9e9, price=33.0),
        prepreg("IM125", 125.0, 0.33, 1.79, 172.0e9, price=58.0),
        prepreg("HM125", 125.0, 0.33, 1.83, 225.7e9, price=118.0),
    )
