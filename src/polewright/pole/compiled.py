"""How the inner loops are compiled: once, kept on disk, and again whenever any of the room's files changes."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast

from numba import njit

__all__ = ["compiled"]

Loop = TypeVar("Loop", bound=Callable[..., Any])


def _stamp() -> tuple[tuple[str, float, int], ...]:
    files = sorted(Path(__file__).parent.glob("*.py"))
    return tuple((f.name, f.stat().st_mtime, f.stat().st_size) for f in files)


_STAMP = _stamp()


def compiled(loop: Loop) -> Loop:
    """The same function, compiled when first called and kept beside its source; it lets other threads run.

    The compiler by itself keeps a loop as long as that loop's own file is unchanged, though loops of other files are
    built into it; so the mark of all the room's files is kept instead.
    """
    fast = njit(cache=True, nogil=True)(loop)
    kept = getattr(getattr(fast, "_cache", None), "_cache_file", None)
    if kept is not None and hasattr(kept, "_source_stamp"):
        kept._source_stamp = _STAMP
    return cast(Loop, fast)
