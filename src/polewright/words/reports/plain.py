"""Texts of published answers: plain spaces, points and signs, as programs that read them expect."""

__all__ = ["plain_text"]

_PLAIN = str.maketrans({"\u00a0": " ", "\u202f": "", "\u00b7": " ", "\u2212": "-"})


def plain_text(text: str) -> str:
    """A text as it is published: its units written as in files ("N m"), no space inside a number."""
    return text.translate(_PLAIN)
