"""The spreads to begin with: the shipped tables', until the shop's own tests replace them."""

import numpy as np

from polewright.codes import Message
from polewright.materials.library import library
from polewright.scatter.spread import Figure, Spread, Spreads

__all__ = ["default_spreads"]


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
        source=Message("scatter.source.halves", source=Message(f"library.source.{name}")),
        confidence=row.provenance.confidence,
    )


def _angle() -> Spread:
    cut, rolled = library().scalar("ply_angle_tolerance_template"), library().scalar("ply_angle_tolerance_rolled")
    return Spread(
        "angle",
        tube=cut.value / 2.0,
        ply=rolled.value / 2.0,
        confidence=rolled.provenance.confidence,
        source=Message("scatter.source.angle", source=Message("library.source.ply_angle_tolerance_rolled")),
    )


def _width() -> Spread:
    row = library().scalar("ply_length_tolerance")
    return Spread(
        "width",
        ply=row.value / 2.0,
        source=Message("scatter.source.width", source=Message("library.source.trade")),
        confidence=row.provenance.confidence,
    )


def _mandrel() -> Spread:
    row = library().scalar("diameter_tolerance")
    return Spread(
        "mandrel",
        tube=row.value / 2.0,
        source=Message("scatter.source.mandrel", low=row.low, high=row.high, source=Message("library.source.trade")),
        confidence=row.provenance.confidence,
    )


def _finish() -> Spread:
    row = library().scalar("outer_diameter_mm_sd")
    return Spread(
        "finish",
        tube=row.low,
        confidence=row.provenance.confidence,
        source=Message("scatter.source.finish", source=Message("library.source.trade")),
    )


def _assumed() -> tuple[Spread, ...]:
    """Inputs for which the tables have no row."""
    length, overlap = library().scalar("ply_length_tolerance"), library().scalar("ply_length_tolerance")
    return (
        Spread("length", tube=length.value / 2.0, source=Message("scatter.source.length"), confidence="low"),
        Spread("overlap", tube=overlap.high / 2.0, source=Message("scatter.source.overlap"), confidence="low"),
        Spread(
            "joint",
            lot=0.15,
            tube=0.15,
            shape="lognormal",
            confidence="very low",
            source=Message("scatter.source.joint"),
        ),
        Spread("clamp", lot=0.02, tube=0.02, source=Message("scatter.source.assumed"), confidence="low"),
    )
