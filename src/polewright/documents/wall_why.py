"""Why each group of a wall's figures is what it is: the reasoning in words, and what the core cites for it."""

import inspect
import re
from collections.abc import Callable
from typing import Any

from polewright.documents.wall_shown import WhyWall
from polewright.shop.seam_clock import extra_harmonics
from polewright.wall.clamp import band_hold
from polewright.wall.criteria import hashin_reserve, tsai_wu_reserve
from polewright.wall.cylinder import exact_tube
from polewright.wall.failure import last_failure
from polewright.wall.flattening import oval_moment_brazier
from polewright.wall.membrane import tube_flexibility
from polewright.wall.ring import collapse_pressure, ring_stiffness
from polewright.wall.seam import uneven_section
from polewright.wall.sensitivity import earnings, slopes
from polewright.wall.squeeze import plates_squeeze
from polewright.wall.wrinkling import bending_knock_down, bending_wrinkle

__all__ = ["why_wall"]

_WHY: tuple[tuple[str, str, tuple[Callable[..., Any], ...]], ...] = (
    (
        "stiffness, thin",
        (
            "every turn's membrane stiffness at its own radius, the hoop free: a closed tube cannot curl; "
            "the free plate's compliance would read EA about a fifth low"
        ),
        (tube_flexibility,),
    ),
    (
        "stiffness, exact",
        (
            "the layered tube as a solid: every layer's stress and strain through its thickness, in "
            "equilibrium, nothing assumed of the wall"
        ),
        (exact_tube,),
    ),
    (
        "ring and collapse",
        ("bending of the wall round its own hoop neutral axis; exact: the layered ring with shear through the wall"),
        (ring_stiffness, collapse_pressure),
    ),
    (
        "band",
        "least tension holds when wet, most is half of what makes the wall collapse: real clamps press unevenly",
        (band_hold,),
    ),
    (
        "squeezes",
        (
            "the layered ring's stress at every face, up to the first broken ply; a short load is helped by the "
            "tube beside it"
        ),
        (plates_squeeze,),
    ),
    ("flattening", "a bent tube goes oval, loses depth, and at some moment the oval runs away", (oval_moment_brazier,)),
    (
        "wrinkling",
        (
            "least over all waves along and round the clock, times a published lower bound; below a radius of "
            "50 walls that bound is read on toward thick walls"
        ),
        (bending_wrinkle, bending_knock_down),
    ),
    (
        "reserves",
        "only the load is scaled; the stress that cooling left stays as it is",
        (tsai_wu_reserve, hashin_reserve),
    ),
    ("last ply", "broken plies lose their stiffness one after the other until the wall gives way", (last_failure,)),
    (
        "release",
        (
            "the bore starts at the hot mandrel's size and both cool by their own expansion; the wall strains "
            "unlike at bore and skin"
        ),
        (exact_tube,),
    ),
    (
        "seams",
        "each flag laps one layer more over a strip of the clock; the shop's start positions spread them",
        (extra_harmonics, uneven_section),
    ),
    ("what each ply earns", "its share of the strain energy when the tube is bent, squeezed or twisted", (earnings,)),
    ("slopes", "exact derivatives of the thin figures, every thickness moving the plies outside it", (slopes,)),
)


def why_wall() -> tuple[WhyWall, ...]:
    """Words and sources of every group of figures."""
    return tuple(
        WhyWall(figures=figures, words=words, source="; ".join(map(_source, functions)) + ".")
        for figures, words, functions in _WHY
    )


def _source(function: Callable[..., Any]) -> str:
    """What the core cites for a formula, from its own description."""
    found = re.search(r"^Source\n-+\n(.+?)(?:\n\n|\Z)", inspect.getdoc(function) or "", re.S | re.M)
    return " ".join(found.group(1).replace("`", "").split()).rstrip(".") if found else ""
