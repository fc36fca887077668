"""A brief document as the values of the search, and a pole design as a brief document with its own options."""

from polewright.answers.options.own_options import brief_of
from polewright.answers.options.rack import bar_of
from polewright.answers.options.search_plies import option_of
from polewright.answers.options.search_values import SearchValues, search_values

__all__ = ["SearchValues", "bar_of", "brief_of", "option_of", "search_values"]
