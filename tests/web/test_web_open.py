"""`polewright open`, as a process of its own."""

import errno
import os
import signal
import socket
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest
from tests.said import refused, said

from polewright.cli.open import listen
from polewright.errors import DesignError

COMMAND = [sys.executable, "-c", "from polewright.cli.app import main; main()", "open", "--no-browser"]


def run(*more: str, timeout: float = 300.0) -> subprocess.CompletedProcess[str]:
    return subprocess.run([*COMMAND, *more], capture_output=True, text=True, timeout=timeout, check=False)


@pytest.mark.slow
@pytest.mark.parametrize("host", ["0.0.0.0", "192.168.1.5", "example.org"])
def test_any_other_host_is_refused_with_the_reason(host: str, tmp_path: Path) -> None:
    ended = run("--host", host, "--store", str(tmp_path / "w.sqlite"))
    assert ended.returncode == 2
    assert said("want.own_address") in ended.stderr
    assert not (tmp_path / "w.sqlite").exists()


@pytest.mark.slow
def test_a_port_that_is_taken_is_shown(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as held:
        port = held.getsockname()[1]
        ended = run("--port", str(port), "--store", str(tmp_path / "w.sqlite"))
    assert ended.returncode == 2
    assert refused("port", str(port), "want.free_port", reason="EADDRINUSE", option="--port") in ended.stderr


def test_an_answer_leaves_at_once_and_does_not_wait_for_the_other_end_to_nod() -> None:
    with listen("127.0.0.1", 0) as listening, socket.create_connection(listening.getsockname()[:2]):
        taken, _ = listening.accept()
        with taken:
            assert taken.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY)


@pytest.mark.slow
def test_it_says_where_it_is_shows_the_demo_and_closes_on_ctrl_c(tmp_path: Path) -> None:
    store = tmp_path / "new" / "w.sqlite"
    with socket.create_server(("127.0.0.1", 0)) as held:
        port = held.getsockname()[1]
    process = subprocess.Popen(
        [*COMMAND, "--port", str(port), "--store", str(store)],
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},
    )
    try:
        assert process.stdout is not None
        line = process.stdout.readline()
        assert f"http://127.0.0.1:{port}" in line
        assert str(store) in line
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=300) as answer:
            assert "Reedlight 7" in answer.read().decode()
        process.send_signal(signal.SIGINT)
        rest, _ = process.communicate(timeout=300)
        assert said("cli.open.closed") in rest
        assert process.returncode == 0
    finally:
        process.kill()
        process.communicate()


def test_where_every_port_is_taken_the_first_and_the_last_tried_are_named(monkeypatch):
    tried = []

    def taken(address, **_):
        tried.append(address[1])
        raise OSError(errno.EADDRINUSE, "taken")

    monkeypatch.setattr(socket, "create_server", taken)
    with pytest.raises(DesignError) as refusal:
        listen("127.0.0.1", None)
    ((field, given, _),) = refusal.value.faults
    assert tried[0] == 8420
    assert tried == list(range(tried[0], tried[-1] + 1))
    assert (field, given.values["least"], given.values["most"]) == ("port", str(tried[0]), str(tried[-1]))
