"""The only room with text for people: codes and SI figures become names, numbers with units, and sentences.

`Reader(language, system)` is who reads; `reader.say(code, **values)` and `reader.text(message)` are what they read.
"""

from polewright.words.catalogue import languages
from polewright.words.faults import FaultText, fault_text, field_name
from polewright.words.reader import Reader, default_reader

__all__ = ["FaultText", "Reader", "default_reader", "fault_text", "field_name", "languages"]
