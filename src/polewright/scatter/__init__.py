"""Spread of every figure from the spread of material and making."""

from polewright.scatter.chunks import Stopped, Watch, in_chunks, pieces_of
from polewright.scatter.copies import Copies, copies_of, figures_of, pole_of_copy, poles_drawn
from polewright.scatter.defaults import default_spreads
from polewright.scatter.draw import Plan, points_of
from polewright.scatter.home_test import HomeFigure, HomeTest, home_figures, home_figures_of
from polewright.scatter.interval import FigureSpread, Sampled, figure_spread
from polewright.scatter.matters import Index, LineShare, line_shares, lot_correlation, sobol_indices
from polewright.scatter.order import chance_of_filling, pole_yield, poles_to_make, tubes_to_start
from polewright.scatter.problem import Build, Content, CopyFigure, Nest, Problem, Reach, Rolled
from polewright.scatter.promise import Chance, Miss, Promise, chance_of, misses, passed
from polewright.scatter.scatter import Sample, nominal_figures, sampled
from polewright.scatter.spread import FIGURES, Spread, Spreads, spread_of_tests

__all__ = [
    "FIGURES",
    "Build",
    "Chance",
    "Content",
    "Copies",
    "CopyFigure",
    "FigureSpread",
    "HomeFigure",
    "HomeTest",
    "Index",
    "LineShare",
    "Miss",
    "Nest",
    "Plan",
    "Problem",
    "Promise",
    "Reach",
    "Rolled",
    "Sample",
    "Sampled",
    "Spread",
    "Spreads",
    "Stopped",
    "Watch",
    "chance_of",
    "chance_of_filling",
    "copies_of",
    "default_spreads",
    "figure_spread",
    "figures_of",
    "home_figures",
    "home_figures_of",
    "in_chunks",
    "line_shares",
    "lot_correlation",
    "misses",
    "nominal_figures",
    "passed",
    "pieces_of",
    "points_of",
    "pole_of_copy",
    "pole_yield",
    "poles_drawn",
    "poles_to_make",
    "sampled",
    "sobol_indices",
    "spread_of_tests",
    "tubes_to_start",
]
