"""Figures typed after an option: read, or refused with what stands there and what would be right."""

import math
from collections.abc import Callable

import typer

from polewright.words import default_reader

__all__ = ["count", "figure"]

say = default_reader().say


def figure(example: str, *, least: float = -math.inf) -> Callable[[str | float], float]:
    """A reader of numbers for an option, `example` being one that would be right."""

    def read(text: str | float) -> float:
        try:
            value = float(text)
        except ValueError:
            value = math.nan
        if not math.isfinite(value) or value < least:
            code = "cli.no_number" if least == -math.inf else "cli.no_number_from"
            raise typer.BadParameter(say(code, text=_clipped(text), least=f"{least:g}", example=example))
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
            code = "cli.no_whole_number_from" if most is None else "cli.no_whole_number_between"
            raise typer.BadParameter(say(code, text=_clipped(text), least=str(least), most=str(most), example=example))
        return value

    return read


def _clipped(text: object) -> str:
    shown = repr(text)
    return shown if len(shown) <= 60 else f"{shown[:60]}..."
