"""Which program has a job: a name for this one, and whether another one is still there."""

import os
import secrets
import socket
from datetime import datetime, timedelta

__all__ = ["is_alive", "owner_name", "release"]

_HERE: set[str] = set()  # owners in this very process, for its number may have been another program's before

SILENT = timedelta(seconds=30)
"""A program that has written nothing for so long is taken for gone; one that works writes each second."""


def owner_name() -> str:
    """A name for this program's hold on its jobs: machine, process, and a mark that no other has."""
    name = f"{socket.gethostname()[:100]} {os.getpid()} {secrets.token_hex(8)}"
    _HERE.add(name)
    return name


def release(owner: str) -> None:
    """Take a name of this program for gone."""
    _HERE.discard(owner)


def is_alive(owner: str, written: datetime, now: datetime) -> bool:
    """Whether the program of this name is still there; `written` is when it last wrote how its job stands."""
    host, pid, _ = owner.rsplit(" ", 2) if owner.count(" ") >= 2 else ("", "0", "")
    if host == socket.gethostname()[:100] and os.name == "posix":
        if int(pid) == os.getpid():
            return owner in _HERE
        return _has_process(int(pid)) and now - written < SILENT
    return now - written < SILENT


def _has_process(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True
