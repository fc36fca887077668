"""What a test expects to read, by its code: so a test of behaviour holds in every language and after any rewording."""

from polewright.words import Reader, default_reader

__all__ = ["said", "said_in"]


def said(code: str, /, **values: object) -> str:
    """The text of a code as the suite's reader sees it; POLEWRIGHT_LANGUAGE sets the language of a whole run."""
    return default_reader().say(code, **values)


def said_in(reader: Reader, code: str, /, **values: object) -> str:
    """The text of a code for another reader, such as one who sees inches."""
    return reader.say(code, **values)
