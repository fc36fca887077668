"""Long work: the same answer on every executor, progress to look at, a stop that keeps nothing."""

import subprocess
import threading
from concurrent.futures import ThreadPoolExecutor

import pytest

from polewright.errors import StockError
from polewright.workshop import Progress, Stopped, Work, executor


def test_results_come_in_the_order_of_the_pieces():
    gates = [threading.Event() for _ in range(3)]
    with ThreadPoolExecutor(3) as on:
        work = Work(lambda piece: gates[piece].wait() and piece * piece, range(3), on)
        for piece in (2, 0, 1):
            gates[piece].set()
        assert work.results() == [0, 1, 4]
    assert work.progress() == Progress(3, 3, False)


def test_progress_counts_pieces_up_to_the_last():
    with ThreadPoolExecutor(1) as on:
        seen = list(Work(abs, [-1, 2, -3], on).each_done())
    assert seen == [Progress(1, 3, False), Progress(2, 3, False), Progress(3, 3, False)]


def test_a_stop_begins_no_further_piece_and_gives_no_part():
    begun, go_on, done = threading.Event(), threading.Event(), []

    def piece(number):
        begun.set()
        go_on.wait()
        done.append(number)

    with ThreadPoolExecutor(1) as on:
        work = Work(piece, range(50), on)
        begun.wait()
        work.stop()
        go_on.set()
        with pytest.raises(Stopped, match=r"work\.stopped"):
            work.results()
        assert work.progress().is_stopped
    assert done == [0]


def test_a_stop_after_the_last_piece_gives_nothing_either():
    with ThreadPoolExecutor(1) as on:
        work = Work(abs, [1], on)
        list(work.each_done())
        work.stop()
        with pytest.raises(Stopped):
            work.results()


def test_the_fault_of_a_piece_is_raised_and_ends_the_rest():
    with ThreadPoolExecutor(1) as on:
        work = Work(lambda piece: 1 / piece, [1, 0, *range(1, 500)], on)
        with pytest.raises(ZeroDivisionError):
            work.results()
        assert work.progress().is_stopped


@pytest.mark.slow
def test_processes_and_a_cluster_give_the_same_answer(monkeypatch):
    monkeypatch.delenv("OPENBLAS_NUM_THREADS", raising=False)
    distributed = pytest.importorskip("distributed")
    pieces = [float(number) for number in range(1, 9)]
    with executor(workers=2) as on:
        here = Work(round, pieces, on).results()
        assert on.submit(subprocess.getoutput, "echo $OPENBLAS_NUM_THREADS").result() == "1"
    with (
        distributed.LocalCluster(
            n_workers=1,
            threads_per_worker=1,
            processes=False,
            dashboard_address=None,
            protocol="tcp://",
            host="127.0.0.1",
        ) as cluster,
        executor(cluster.scheduler_address) as on,
    ):
        work = Work(round, pieces, on)
        assert list(work.each_done())[-1] == Progress(8, 8, False)
        assert work.results() == here == list(range(1, 9))


def test_a_cluster_whose_library_is_missing_is_answered_with_the_command(monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "distributed", None)
    with pytest.raises(StockError, match=r"pip install 'polewright\[cluster\]'"), executor("tcp://127.0.0.1:1"):
        pass
