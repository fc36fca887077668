"""The kinds of answer that are published as JSON, each with the room of its model.

A list of them loads no solver: a model is imported when it is asked for.
"""

from collections.abc import Mapping
from importlib import import_module
from types import MappingProxyType

from polewright.documents.document import Document

__all__ = ["REPORTS", "report_model"]

REPORTS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "check-report": ("check", "CheckReport"),
        "ranking": ("ranking", "Ranking"),
        "bench-result": ("bench", "BenchResult"),
        "find-report": ("find", "FindReport"),
        "wall-figures": ("wall", "WallFigures"),
        "scatter-report": ("scatter", "ScatterReport"),
        "hold-figures": ("hold", "HoldFigures"),
        "hold-band": ("hold", "HoldBand"),
    }
)
"""Kind as a report says it: its module in this room, and its model."""


def report_model(kind: str) -> type[Document]:
    """The model of a kind, one of `REPORTS`."""
    module, name = REPORTS[kind]
    model: type[Document] = getattr(import_module(f"polewright.words.reports.{module}"), name)
    return model
