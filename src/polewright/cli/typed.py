"""Figures typed after an option: read, or refused with what stands there and what would be right."""

import math
from collections.abc import Callable

import typer

__all__ = ["count", "figure"]


def figure(example: str, *, least: float = -math.inf) -> Callable[[str | float], float]:
    """A reader of numbers for an option, `example` being one that would be right."""

    def read(text: str | float) -> float:
        try:
            value = float(text)
        except ValueError:
            value = math.nan
        if not math.isfinite(value) or value < least:
            bound = "" if least == -math.inf else f" from {least:g} up"
            raise typer.BadParameter(f"{_clipped(text)} is no number{bound} such as {example}, point for decimals")
        return value

    return read


def count(example: str, *, least: int, most: int | None = None) -> Callable[[str | int], int]:
    """A reader of whole numbers for an option."""

    def read(text: str | int) -> int:
        try:
            value = int(str(text))
        except ValueError:
            value = least - 1
        if value < least or (most is not None and value > most):
            bound = f"from {least} up" if most is None else f"from {least} to {most}"
            raise typer.BadParameter(f"{_clipped(text)} is no whole number {bound}, such as {example}")
        return value

    return read


def _clipped(text: object) -> str:
    shown = repr(text)
    return shown if len(shown) <= 60 else f"{shown[:60]}..."
