"""From fibre to buyer's sheet: telescopic composite poles as one live model.

`load(path)` reads a document, `evaluate(design)` gives every figure of a pole design, `find(brief)` searches for the
best poles. Each is imported when first asked for, so that the command line starts quickly.

`polewright.find` is a room of the house as well as a function: the room can be called. So `polewright.find(brief)` and
`from polewright.find import best_walls` both hold, whichever is asked for first.
"""

import sys
from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from polewright.documents.check import check as evaluate
    from polewright.documents.files import load
    from polewright.documents.find_of import find

__all__ = ["evaluate", "find", "load"]
__version__ = "0.1.0"

_HOME = {"load": ("polewright.documents.files", "load"), "evaluate": ("polewright.documents.check", "check")}


class _FindRoom(ModuleType):
    """The room `polewright.find`, which answers a brief when it is called."""

    def __call__(self, *words: Any, **asked: Any) -> Any:
        return import_module("polewright.documents.find_of").find(*words, **asked)


class _House(ModuleType):
    """The package; the import system hangs each room on it by name, and this one can then be called."""

    def __setattr__(self, name: str, value: Any) -> None:
        if name == "find" and type(value) is ModuleType:
            value.__class__ = _FindRoom
        super().__setattr__(name, value)


sys.modules[__name__].__class__ = _House


def __getattr__(name: str) -> Any:
    if name == "find":
        return import_module("polewright.find")
    if name not in _HOME:
        raise AttributeError(f"module 'polewright' has no attribute {name!r}")
    module, function = _HOME[name]
    return getattr(import_module(module), function)
