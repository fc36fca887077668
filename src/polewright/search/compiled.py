"""How the inner loops of the search are compiled: once, kept on disk, and again whenever a file of them changes."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from numba import njit

__all__ = ["KEPT", "compiled", "compiled_inside"]

# every file of the room that holds compiled loops; a test keeps the list
KEPT = (
    "partial_walls.py",
    "compiled.py",
    "branch_bound.py",
    "orders.py",
    "pole_kernel.py",
    "pole_step.py",
    "pole_table.py",
    "local_search.py",
    "ply_sets.py",
    "option_table.py",
    "wall_kernel.py",
)
# no check for a division by zero: the loops see to that, and the compiler is quicker
_HOW: dict[str, Any] = {"cache": True, "nogil": True, "error_model": "numpy"}
Loop = TypeVar("Loop", bound=Callable[..., Any])


def _stamp() -> tuple[tuple[str, float, int], ...]:
    files = [Path(__file__).with_name(name) for name in KEPT]
    return tuple((f.name, f.stat().st_mtime, f.stat().st_size) for f in files)


_STAMP = _stamp()


def compiled(loop: Loop) -> Loop:
    """The same function, compiled when first called and kept beside its source; it lets other threads run.

    The compiler by itself looks at a loop's own file alone, though loops of other files are built into it; so the
    marks of all these files stand for it instead.
    """
    kept: Loop = _kept(njit(**_HOW)(loop))
    return kept


def compiled_inside(loop: Loop) -> Loop:
    """The same for a loop that only other loops call, which spares the door to Python."""
    kept: Loop = _kept(njit(**_HOW, no_cpython_wrapper=True, no_cfunc_wrapper=True)(loop))
    return kept


def _kept(fast: Any) -> Any:
    kept = getattr(getattr(fast, "_cache", None), "_cache_file", None)
    if kept is not None and hasattr(kept, "_source_stamp"):
        kept._source_stamp = _STAMP
    return fast
