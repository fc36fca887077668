"""From fibre to buyer's sheet: telescopic composite poles as one live model.

`load(path)` reads a document, `evaluate(design)` gives every figure of a pole design, `find(brief)` searches for the
best poles. Each is imported when first asked for, so that the command line starts quickly.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from polewright.documents.files import load
    from polewright.words.reports.check import evaluate
    from polewright.words.reports.find import find

__all__ = ["evaluate", "find", "load"]
__version__ = "0.1.0"

_HOME = {
    "evaluate": ("polewright.words.reports.check", "evaluate"),
    "find": ("polewright.words.reports.find", "find"),
    "load": ("polewright.documents.files", "load"),
}


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'polewright' has no attribute {name!r}")
    module, function = _HOME[name]
    return getattr(import_module(module), function)
