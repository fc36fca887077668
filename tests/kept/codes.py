"""What is kept in the language made of codes, by name."""

from collections.abc import Callable
from functools import partial

from tests.kept.coded import papers_in_codes
from tests.kept.coded_commands import answered_in_codes, printed_in_codes, told_in_codes
from tests.kept.coded_further import commands_about_further_poles, pages_of_further_poles, pictures_of_further_poles
from tests.kept.coded_pages import answers_in_codes, pages_in_codes, pictures_in_codes
from tests.kept.drawn_papers import pictures_of_papers
from tests.kept.figures import Place, Row
from tests.kept.odd import ODD
from tests.kept.told import told_in_every_state

PAPERS_OF = ("reedlight-7", "peerglass-8", ODD, "drawn-3", "drawn-10")

ANSWERS_IN_CODES: dict[str, Callable[[], dict[str, Place]]] = {
    **{f"papers of {pole} in codes": partial(papers_in_codes, pole) for pole in PAPERS_OF},
    "answers of commands in codes": answered_in_codes,
    "commands told in codes": told_in_codes,
    "answers of pages in codes": answers_in_codes,
    "texts of every state": told_in_every_state,
}
"""Texts by their place."""

PICTURES: dict[str, Callable[[], dict[str, Place]]] = {
    "pictures of pages": pictures_in_codes,
    "pictures of further poles": pictures_of_further_poles,
    **{f"pictures of papers of {pole}": partial(pictures_of_papers, pole) for pole in PAPERS_OF},
}
"""Places of the shapes of drawings."""

ROWS_IN_CODES: dict[str, Callable[[], list[Row]]] = {
    "commands in codes": printed_in_codes,
    "pages in codes": pages_in_codes,
    "pages of further poles in codes": pages_of_further_poles,
    "commands about further poles in codes": commands_about_further_poles,
}
"""Rows of texts and figures."""
