"""Sections nested into a pole: droop, feel, modes and limits."""

from polewright.pole.batch import PoleBatch, Tips, bent_lines, bent_tips
from polewright.pole.beam import Bent, Reaction, bent, bent_small
from polewright.pole.crush import SPREAD, Crush, PressedRing, crush, pressed_ring
from polewright.pole.droop import Flex, Split, droop_split, flex
from polewright.pole.hands import Grip, Heft, grip, heft
from polewright.pole.joint import Contact, contact
from polewright.pole.layout import lay_out
from polewright.pole.margins import Limits, Margin, Margins, Place, margins
from polewright.pole.modes import Modes, is_near_strokes, modes, settling_time
from polewright.pole.pole import Joint, Pole, Tube
from polewright.pole.slip import caught_factor, drop_factor, stop_force
from polewright.pole.stability import (
    buckling_factor,
    heavy_column_length,
    push_limit,
    self_buckling_factor,
    sway_multiplier,
)
from polewright.pole.state import Bench, Clamped, Foot, Hands, Lifted, Over, State, WindLoad
from polewright.pole.wind import SafeReach, drawn_to, safe_reach, side_state, wind_load

__all__ = [
    "SPREAD",
    "Bench",
    "Bent",
    "Clamped",
    "Contact",
    "Crush",
    "Flex",
    "Foot",
    "Grip",
    "Hands",
    "Heft",
    "Joint",
    "Lifted",
    "Limits",
    "Margin",
    "Margins",
    "Modes",
    "Over",
    "Place",
    "Pole",
    "PoleBatch",
    "PressedRing",
    "Reaction",
    "SafeReach",
    "Split",
    "State",
    "Tips",
    "Tube",
    "WindLoad",
    "bent",
    "bent_lines",
    "bent_small",
    "bent_tips",
    "buckling_factor",
    "caught_factor",
    "contact",
    "crush",
    "drawn_to",
    "droop_split",
    "drop_factor",
    "flex",
    "grip",
    "heavy_column_length",
    "heft",
    "is_near_strokes",
    "lay_out",
    "margins",
    "modes",
    "pressed_ring",
    "push_limit",
    "safe_reach",
    "self_buckling_factor",
    "settling_time",
    "side_state",
    "stop_force",
    "sway_multiplier",
    "wind_load",
]
