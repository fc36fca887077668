"""How inner loops are compiled: once, kept on disk, and again whenever a file that may be built into them changes.

`@compiled` is for a loop that Python calls, `@compiled_inside` for one that only other loops call: it spares the entry
from Python and half of the compiler's time. Both let other threads run, and neither checks for a division by zero.

The compiler keeps a loop on disk as long as the loop's own file is unchanged, though loops of other files are built
into it. A locator of our own, registered by the compiler's setting for locators, therefore marks each loop with the
content of all files of loops of its room and of the rooms below that it calls (`LOOP_FILES`); a test keeps the list.
"""

import hashlib
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any, TypeVar, cast

from numba import config, njit
from numba.core.caching import InTreeCacheLocator, UserWideCacheLocator

__all__ = ["LOOP_FILES", "compiled", "compiled_inside"]

LOOP_FILES: dict[str, tuple[str, ...]] = {
    "wall": (
        "wall/banded.py",
        "wall/hashin_kernel.py",
        "wall/layer_solution.py",
        "wall/membrane_kernel.py",
        "wall/radial_element.py",
        "wall/thin_kernel.py",
        "wall/wrinkle_kernel.py",
    ),
    "pole": (
        "pole/batch.py",
        "pole/correct.py",
        "pole/elastica.py",
        "pole/lanczos.py",
        "pole/layout.py",
        "pole/settle.py",
        "pole/sway.py",
        "pole/sweep.py",
        "pole/tangent.py",
    ),
    "scatter": ("scatter/walls.py", "wall/thin_kernel.py"),
    "search": (
        "search/branch_bound.py",
        "search/local_search.py",
        "search/option_table.py",
        "search/orders.py",
        "search/partial_walls.py",
        "search/ply_sets.py",
        "search/pole_kernel.py",
        "search/pole_step.py",
        "search/pole_table.py",
        "search/unbeaten.py",
        "search/wall_kernel.py",
        "wall/thin_kernel.py",
    ),
}
"""Room -> the files whose loops may be built into a loop of that room."""

_PACKAGE = Path(__file__).parent
_HOW: dict[str, Any] = {"cache": True, "nogil": True, "error_model": "numpy"}
Loop = TypeVar("Loop", bound=Callable[..., Any])


@cache
def _content_of(room: str) -> bytes:
    """One mark for the content of all files of loops of a room, and of this file."""
    mark = hashlib.sha256()
    for name in (*LOOP_FILES[room], Path(__file__).name):
        mark.update((_PACKAGE / name).read_bytes())
    return mark.digest()


def _room_of(file: str) -> str | None:
    """The room of a file of ours that holds loops; None for any other file."""
    folder = Path(file).resolve().parent
    return folder.name if folder.parent == _PACKAGE.resolve() and folder.name in LOOP_FILES else None


class _OfThisContent:
    """Where a compiled loop of ours is kept: under the content it was compiled from.

    What another version of the program kept is never opened; it may name things that are gone.
    """

    _py_file: str
    _lineno: int

    def get_source_stamp(self) -> bytes:
        """What a kept loop must have been compiled from."""
        return _content_of(cast(str, _room_of(self._py_file)))

    def get_disambiguator(self) -> str:
        """Part of the name of a kept loop's file, after the loop's own name."""
        return f"{self._lineno}-{self.get_source_stamp().hex()[:12]}"

    @classmethod
    def from_function(cls, py_func: Any, py_file: str) -> Any:
        """A locator for a loop of ours; None for any other function."""
        return None if _room_of(py_file) is None else super().from_function(py_func, py_file)  # type: ignore[misc]


class BesideSource(_OfThisContent, InTreeCacheLocator):  # type: ignore[misc]  # numba ships no types
    """Keeps loops of ours beside their source."""


class ForUser(_OfThisContent, UserWideCacheLocator):  # type: ignore[misc]  # numba ships no types
    """Keeps loops of ours in the user's cache folder, where the source may not be written beside."""


_DEFAULTS = "UserProvidedCacheLocator,InTreeCacheLocator,UserWideCacheLocator,IPythonCacheLocator,ZipCacheLocator"
config.CACHE_LOCATOR_CLASSES = ",".join(
    [f"{__name__}.BesideSource", f"{__name__}.ForUser", config.CACHE_LOCATOR_CLASSES or _DEFAULTS]
)


def compiled(loop: Loop) -> Loop:
    """The same function, compiled when first called and kept on disk."""
    return cast(Loop, njit(**_HOW)(loop))


def compiled_inside(loop: Loop) -> Loop:
    """The same for a loop that only other loops call."""
    return cast(Loop, njit(**_HOW, no_cpython_wrapper=True, no_cfunc_wrapper=True)(loop))
