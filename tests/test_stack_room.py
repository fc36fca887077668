"""Room on the interpreter's stack: the same answer from every depth, without a piece of stack taken for every call."""

import resource

import pytest

from polewright.stack_room import with_room


def busy(a: int) -> int:
    """A call with a frame wide enough to meet the end of every piece of stack."""
    b, c, d, e, f, g, h, i, j, k = a, a, a, a, a, a, a, a, a, a
    return b + (c + (d + (e + (f + (g + (h + (i + (j + k))))))))


def faults_of_busy_loop(depth: int) -> int:
    """Pages of memory the system hands out while a loop calls again and again, from so many calls down."""
    if depth:
        return faults_of_busy_loop(depth - 1)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_minflt
    for _ in range(300):
        busy(1)
    return resource.getrusage(resource.RUSAGE_SELF).ru_minflt - before


def test_a_busy_loop_takes_no_memory_from_any_depth():
    if max(faults_of_busy_loop(depth) for depth in range(400)) < 150:
        pytest.skip("this interpreter keeps its pieces of stack: at no depth does every call take a page")
    roomy = with_room(faults_of_busy_loop)
    assert max(roomy(depth) for depth in range(400)) < 150


def test_wide_calls_inside_each_other_keep_their_room():
    def inner(depth: int) -> int:
        return with_room(faults_of_busy_loop)(depth)

    assert max(with_room(inner)(depth) for depth in range(400)) < 150


def test_arguments_answers_and_refusals_pass_through():
    @with_room
    def shared(bars: float, *, by: float = 2.0) -> float:
        """How much each has."""
        return bars / by

    assert shared(3.0, by=4.0) == 0.75
    assert shared.__doc__ == "How much each has."
    with pytest.raises(ZeroDivisionError):
        shared(1.0, by=0.0)
