"""Room on the interpreter's stack: long work starts on a fresh, wide piece of it.

The interpreter keeps its call frames in pieces of 16 KB. A call that just does not fit takes a new piece from the
system and gives it back on return: where a busy loop calls from the very end of a piece, every call pays for that, and
the same work takes up to three times as long, by nothing but the depth it was called from. A frame that asks for more
than one piece is given a wide one, and all calls below it share what it leaves.
"""

from collections.abc import Callable
from functools import wraps
from types import FunctionType
from typing import Any, ParamSpec, TypeVar

__all__ = ["with_room"]

# [words] asked for. The piece is the next power of two, 64 K words; what is left of it, room for some eight hundred
# calls, is less than this, so that wide calls inside each other never share a piece. Memory counts where it is used.
_WIDTH = 40_000
_P = ParamSpec("_P")
_R = TypeVar("_R")


def _call(function: Callable[..., Any], args: tuple[Any, ...], named: dict[str, Any]) -> Any:
    return function(*args, **named)


_wide_call = FunctionType(_call.__code__.replace(co_stacksize=_WIDTH), globals(), "_wide_call")


def with_room(function: Callable[_P, _R]) -> Callable[_P, _R]:
    """The same function, all of its calls on one piece of the interpreter's stack."""

    @wraps(function)
    def roomy(*args: _P.args, **named: _P.kwargs) -> _R:
        answer: _R = _wide_call(function, args, named)
        return answer

    return roomy
