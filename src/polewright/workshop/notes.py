"""Notes that the program itself keeps with an entry: written once, in the language of the workshop, as if typed."""

from polewright.words import default_reader

__all__ = ["program_note"]


def program_note(code: str, /, **values: object) -> str:
    """The text of a note by its code."""
    return default_reader().say(code, **values)
