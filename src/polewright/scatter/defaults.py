"""The spreads to begin with: the shipped tables', until the shop's own tests replace them."""

import numpy as np

from polewright.materials.library import library
from polewright.scatter.spread import Figure, Spread, Spreads

__all__ = ["default_spreads"]

HALVES = "; half of the variance taken between lots, half between plies"


def default_spreads() -> Spreads:
    """One spread a figure, each with its source and how far to trust it.

    The tables give the scatter of single coupons or flags. They do not say how much of it lies between lots: half of
    the variance is taken as shared by a lot, until own tests of several lots say better. Plus-or-minus tolerances count
    as two standard deviations.
    """
    return Spreads.of(
        _halved("E1", "E1"),
        _halved("across", "G12"),
        _halved("areal_mass", "FAW"),
        _halved("resin", "resin_content"),
        _angle(),
        _width(),
        _mandrel(),
        _finish(),
        *_assumed(),
    )


def _halved(figure: Figure, name: str) -> Spread:
    row = library().scalar(name, "cov")
    part = row.value / np.sqrt(2.0)
    return Spread(
        figure,
        lot=part,
        ply=part,
        shape="truncated",
        cut=4.0,
        source=row.provenance.source + HALVES,
        confidence=row.provenance.confidence,
    )


def _angle() -> Spread:
    cut, rolled = library().scalar("ply_angle_tolerance_template"), library().scalar("ply_angle_tolerance_rolled")
    return Spread(
        "angle",
        tube=cut.value / 2.0,
        ply=rolled.value / 2.0,
        confidence=rolled.provenance.confidence,
        source=f"cutting, alike for a tube's flags, and rolling, flag by flag: {rolled.provenance.source}",
    )


def _width() -> Spread:
    row = library().scalar("ply_length_tolerance")
    return Spread(
        "width",
        ply=row.value / 2.0,
        source=f"as cut to length: {row.provenance.source}",
        confidence=row.provenance.confidence,
    )


def _mandrel() -> Spread:
    row = library().scalar("diameter_tolerance")
    return Spread(
        "mandrel",
        tube=row.value / 2.0,
        source=f"ground bar, {row.note}: {row.provenance.source}",
        confidence=row.provenance.confidence,
    )


def _finish() -> Spread:
    row = library().scalar("outer_diameter_mm_sd")
    return Spread(
        "finish",
        tube=row.low,
        confidence=row.provenance.confidence,
        source="low end of the scatter of outside diameters, what is left when areal weight, resin and "
        f"mandrel are counted by themselves: {row.provenance.source}",
    )


def _assumed() -> tuple[Spread, ...]:
    """Inputs for which the tables have no row."""
    said = "assumed; no table has it, measure your own"
    length, overlap = library().scalar("ply_length_tolerance"), library().scalar("ply_length_tolerance")
    return (
        Spread("length", tube=length.value / 2.0, source="trimmed as flags are cut: " + said, confidence="low"),
        Spread("overlap", tube=overlap.high / 2.0, source="as drawn out by hand: " + said, confidence="low"),
        Spread(
            "joint",
            lot=0.15,
            tube=0.15,
            shape="lognormal",
            confidence="very low",
            source="joint stiffness is the weakest figure of all: " + said,
        ),
        Spread("clamp", lot=0.02, tube=0.02, source=said, confidence="low"),
    )
