"""Limits of the search moved by as much as the whole check reads otherwise than the search's own model."""

from dataclasses import replace
from math import isfinite
from typing import Any

from polewright.answers.check import check_design
from polewright.answers.find.pole import CheckedFigures, checked_figures, design_of
from polewright.answers.options import SearchValues
from polewright.search import Brief, FoundPole

__all__ = ["moved_limits"]


def moved_limits(values: SearchValues, brief: Brief, pole: FoundPole) -> Brief | None:
    """Limits by as much tighter as the check reads above the search; None where every one is met."""
    wanted, read = values.brief, checked_figures(values, check_design(design_of(values, pole)))
    changes: dict[str, Any] = {}
    for name in ("droop", "mass", "cost", "carry"):
        limit, value = getattr(wanted, f"{name}_at_most"), getattr(read, name)
        if isfinite(limit) and value > limit:
            now = getattr(brief, f"{name}_at_most")
            changes[f"{name}_at_most"] = min(now, limit * pole.figure(name) / value) * (1.0 - 1e-4)
    if wanted.flex_wanted is not None and abs(read.flex / wanted.flex_wanted - 1.0) > wanted.flex_within:
        changes["flex_wanted"] = wanted.flex_wanted * pole.flex / read.flex
    changes |= _further(wanted, brief, read, pole)
    return replace(brief, **changes) if changes else None


def _further(wanted: Brief, brief: Brief, read: CheckedFigures, pole: FoundPole) -> dict[str, Any]:
    """The same of the wishes at other loads and reaches, and of the swing."""
    changes: dict[str, Any] = {}
    droops = [
        replace(
            now,
            droop_at_most=min(now.droop_at_most, w.droop_at_most * pole.droop_at(w.tip_mass, w.out) / v) * (1.0 - 1e-4),
        )
        if v > w.droop_at_most
        else now
        for w, now, v in zip(wanted.droops, brief.droops, read.droops, strict=True)
    ]
    flexes = [
        replace(now, wanted=w.wanted * pole.flex_at(w.tip_mass, w.out) / v)
        if abs(v / w.wanted - 1.0) > w.within
        else now
        for w, now, v in zip(wanted.flexes, brief.flexes, read.flexes, strict=True)
    ]
    if tuple(droops) != brief.droops:
        changes["droops"] = tuple(droops)
    if tuple(flexes) != brief.flexes:
        changes["flexes"] = tuple(flexes)
    if read.swing < wanted.swing_at_least:
        changes["swing_at_least"] = max(brief.swing_at_least, wanted.swing_at_least * pole.swing / read.swing) * (
            1.0 + 1e-4
        )
    figures = tuple(
        replace(now, at_most=min(now.at_most, w.at_most * w.figure.value(pole) / v) * (1.0 - 1e-4))
        if v > w.at_most
        else now
        for w, now, v in zip(wanted.figures, brief.figures, read.figures, strict=True)
    )
    return changes | ({"figures": figures} if figures != brief.figures else {})
