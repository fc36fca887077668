"""What a test expects to read, by its code: so a test of behaviour holds in every language and after any rewording."""

from polewright.codes import Message
from polewright.words import Reader, default_reader
from polewright.words.faults import addressed

__all__ = ["refused", "refused_in_file", "said", "said_in", "sentence"]


def said(code: str, /, **values: object) -> str:
    """The text of a code as the suite's reader sees it; POLEWRIGHT_LANGUAGE sets the language of a whole run."""
    return default_reader().say(code, **values)


def said_in(reader: Reader, code: str, /, **values: object) -> str:
    """The text of a code for another reader, such as one who sees inches."""
    return reader.say(code, **values)


def sentence(code: str, /, **values: object) -> str:
    """The text of a code where it stands alone, so with a capital letter."""
    text = said(code, **values)
    return text[:1].upper() + text[1:]


def refused(field: str, value: object, want: str | Message, /, **values: object) -> str:
    """One fault of a field as the suite's reader sees it; what would be right: a code with its values, or a message."""
    wanted = want if isinstance(want, Message) else Message(want, **values)
    return default_reader().fault(field, value, wanted)


def refused_in_file(field: str, value: object, want: Message) -> str:
    """One fault of a file, named with its path in the file, without the name of the file."""
    return addressed(default_reader(), field, value, want)
