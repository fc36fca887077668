"""How the inner loops are compiled: once, kept on disk, and again whenever a file with such loops changes."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast

from numba import njit

__all__ = ["compiled", "compiled_inside"]

# every file of the room that holds compiled loops; a test keeps the list
KEPT = ("batch.py", "compiled.py", "correct.py", "elastica.py", "layout.py", "settle.py", "sway.py")
Loop = TypeVar("Loop", bound=Callable[..., Any])


def _stamp() -> tuple[tuple[str, float, int], ...]:
    files = [Path(__file__).with_name(name) for name in KEPT]
    return tuple((f.name, f.stat().st_mtime, f.stat().st_size) for f in files)


_STAMP = _stamp()


def compiled(loop: Loop) -> Loop:
    """The same function, compiled when first called and kept beside its source; it lets other threads run.

    The compiler by itself keeps a loop as long as that loop's own file is unchanged, though loops of other files are
    built into it; so the mark of all those files is kept instead.
    """
    return cast(Loop, _kept(njit(cache=True, nogil=True, error_model="numpy")(loop)))


def compiled_inside(loop: Loop) -> Loop:
    """The same for a loop that only other loops call, which spares the door to Python and half the compiler's time."""
    return cast(
        Loop,
        _kept(njit(cache=True, nogil=True, error_model="numpy", no_cpython_wrapper=True, no_cfunc_wrapper=True)(loop)),
    )


def _kept(fast: Any) -> Any:
    kept = getattr(getattr(fast, "_cache", None), "_cache_file", None)
    if kept is not None and hasattr(kept, "_source_stamp"):
        kept._source_stamp = _STAMP
    return fast
