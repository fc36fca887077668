"""Sections nested into a pole: droop, feel, modes and limits."""

from polewright.pole.beam import Bent, Reaction, bent, bent_small
from polewright.pole.droop import Flex, Split, droop_split, flex
from polewright.pole.layout import lay_out
from polewright.pole.pole import Joint, Pole, Tube
from polewright.pole.state import Bench, Clamped, Foot, Hands, Lifted, Over, State, WindLoad

__all__ = ["Bench", "Bent", "Clamped", "Flex", "Foot", "Hands", "Joint", "Lifted", "Over", "Pole", "Reaction", "Split",
           "State", "Tube", "WindLoad", "bent", "bent_small", "droop_split", "flex", "lay_out"]
