"""How the inner loops of the wall are compiled, and what the compiler is kept from loading for every room's loops."""

import importlib
from collections.abc import Callable
from typing import Any, TypeVar, cast

from numba import njit

__all__ = ["compiled"]

Loop = TypeVar("Loop", bound=Callable[..., object])


def _spare_linear_algebra() -> None:
    """Let the compiler's array functions load without the linear algebra of scipy, a tenth of a second and 20 MB.

    They ask once whether it is there, by loading it, so that a product of matrices may be compiled. Here it always is,
    and no loop of ours multiplies matrices; one that did would load it when it is compiled.
    """
    rooms: Any = importlib.import_module("numba.np.linalg")
    asked = getattr(rooms, "ensure_blas", None)
    if asked is None:
        return
    rooms.ensure_blas = _taken_as_there
    try:
        importlib.import_module("numba.np.arraymath")
    finally:
        rooms.ensure_blas = asked


def _taken_as_there() -> None:
    """The answer without the question: scipy is one of our own requirements."""


_spare_linear_algebra()


def compiled(loop: Loop) -> Loop:
    """The same function, compiled when first called and kept beside its source; it lets other threads run."""
    return cast(Loop, njit(cache=True, nogil=True, error_model="numpy")(loop))
