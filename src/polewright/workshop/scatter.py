"""The spread of the copies of a design, for whoever asks."""

from polewright.answers.scatter import (
    FigureBand,
    MatterShare,
    PromiseChance,
    ScatterAnswer,
    ScatterFigure,
    scatter_answer,
)

__all__ = ["FigureBand", "MatterShare", "PromiseChance", "ScatterAnswer", "ScatterFigure", "scatter_answer"]
