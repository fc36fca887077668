"""Values in, SVG out, for screen and paper alike."""

from polewright.drawings.centreline import Span
from polewright.drawings.clock import clock_drawing
from polewright.drawings.curve import Curve, CurveScene, Strip, curve_drawing
from polewright.drawings.flag import flag_drawing
from polewright.drawings.hold import Band, HoldScene, SplitPart, hold_drawing, split_drawing
from polewright.drawings.home_test import home_test_drawing
from polewright.drawings.pole import Ghost, PoleScene, pole_drawing
from polewright.drawings.style import DARK, LIGHT, PRINT, embedded_style, screen_css
from polewright.drawings.wall import wall_drawing

__all__ = [
    "DARK",
    "LIGHT",
    "PRINT",
    "Band",
    "Curve",
    "CurveScene",
    "Ghost",
    "HoldScene",
    "PoleScene",
    "Span",
    "SplitPart",
    "Strip",
    "clock_drawing",
    "curve_drawing",
    "embedded_style",
    "flag_drawing",
    "hold_drawing",
    "home_test_drawing",
    "pole_drawing",
    "screen_css",
    "split_drawing",
    "wall_drawing",
]
