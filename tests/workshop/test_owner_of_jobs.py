"""Whether a program that holds jobs is there: by its process on this machine, by how long it is silent elsewhere."""

import socket
from datetime import UTC, datetime

import pytest

from polewright.workshop.jobs.owner import SILENT, is_alive, owner_name, release

NOW = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)


def test_this_program_is_there_until_it_lets_go_however_long_it_is_silent():
    name = owner_name()
    assert is_alive(name, NOW - 10 * SILENT, NOW)
    release(name)
    assert not is_alive(name, NOW, NOW)


@pytest.mark.parametrize("name", ["elsewhere 12 abcd", "elsewhere 12", "elsewhere", "", "a name of words 12 abcd"])
def test_a_program_elsewhere_is_there_while_it_writes(name):
    assert is_alive(name, NOW - 0.5 * SILENT, NOW)
    assert not is_alive(name, NOW - 2 * SILENT, NOW)


def test_a_process_that_has_ended_on_this_machine_is_gone():
    assert not is_alive(f"{socket.gethostname()[:100]} 999999999 abcd", NOW, NOW)
