"""A pytest plugin: collect once, then run the tests asked for in forks, each with one fault put into its functions.

One line of JSON asks, one answers. Only functions get other code here; a fault in what runs when a file is loaded is
tried in a fresh process.
"""

import contextlib
import gc
import json
import os
import select
import signal
import sys
from collections.abc import Iterator
from pathlib import Path
from types import CodeType, FrameType, FunctionType
from typing import Any

import pytest

from tests.mutants.collect_names import CPU_PER_TEST, NO_END, NOT_HERE, WAITS

ASKS, ANSWERS = (int(n) for n in os.environ["POLEWRIGHT_MUTANT_WARM"].split(","))
FAILED: list[str] = []
AT_LOAD: set[CodeType] = set()
"""Code that ran while files were loaded: what it left behind is not made again in a fork."""


def _note(frame: FrameType, event: str, _: object) -> None:
    if event == "call":
        AT_LOAD.add(frame.f_code)


sys.setprofile(_note)


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """Note what failed."""
    if report.failed:
        FAILED.append(report.nodeid)


@pytest.hookimpl(tryfirst=True)
def pytest_runtestloop(session: pytest.Session) -> bool:
    """Answer until nothing more is asked."""
    sys.setprofile(None)
    items = {item.nodeid: item for item in session.items}
    gc.freeze()
    os.write(ANSWERS, b"ready\n")
    with os.fdopen(ASKS, encoding="utf-8") as asks:
        for line in asks:
            answer = json.dumps(_in_a_fork(json.loads(line), items))
            os.write(ANSWERS, f"{answer}\n".encode())
    return True


def _in_a_fork(asked: dict[str, Any], items: dict[str, pytest.Item]) -> dict[str, Any]:
    reads, writes = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reads)
        with contextlib.suppress(BaseException):
            os.setpgid(0, 0)  # not a session of its own: that would lose the priority given to a campaign
            answer = _run(asked, [items[name] for name in asked["tests"] if name in items])
            os.write(writes, json.dumps(answer).encode())
        os._exit(0)
    os.close(writes)
    found, is_ended, used = b"", False, -1.0
    while not is_ended:
        if select.select([reads], [], [], asked["longest"])[0]:
            part = os.read(reads, 65536)
            found, is_ended = found + part, not part
        elif _seconds_of(child) <= used + 1.0:  # else it works on, if slowly on a busy machine
            break
        else:
            used = _seconds_of(child)
    os.close(reads)
    with contextlib.suppress(ProcessLookupError):
        os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    if not found:
        return {"failed": NO_END if is_ended else WAITS, "ran": 0, "is_cut_short": False}
    return dict(json.loads(found))


def _seconds_of(group: int) -> float:
    """Processor time that the processes of a group have taken so far."""
    used = 0
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):
            fields = stat.read_text(encoding="utf-8").rpartition(")")[2].split()
            used += sum(map(int, fields[11:15])) if int(fields[2]) == group else 0
    return used / os.sysconf("SC_CLK_TCK")


def _run(asked: dict[str, Any], items: list[pytest.Item]) -> dict[str, Any]:
    changed = put(Path(asked["path"]), asked["before"], asked["after"]) if asked["path"] else []
    if changed is None:
        return {"failed": NOT_HERE, "ran": 0, "is_cut_short": False}
    signal.signal(signal.SIGPROF, signal.SIG_DFL)
    for i, item in enumerate(items):
        if sum(os.times()[:4]) > asked["seconds"]:
            return {"failed": None, "ran": i, "is_cut_short": True}
        longest = asked["patience"] * (CPU_PER_TEST[0] + CPU_PER_TEST[1] * asked["times"][item.nodeid])
        signal.setitimer(signal.ITIMER_PROF, longest)
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=items[i + 1] if i + 1 < len(items) else None)
        if FAILED:
            return {"failed": FAILED[0], "ran": i + 1, "is_cut_short": False}
    failed = NOT_HERE if AT_LOAD & set(changed) else None
    return {"failed": failed, "ran": len(items), "is_cut_short": False}


def put(path: Path, before: str, after: str) -> list[CodeType] | None:
    """Give the functions of a file the code of its changed text; what they had before, None where none was found."""
    news = _codes(compile(after, str(path), "exec", dont_inherit=True))
    olds = _codes(compile(before, str(path), "exec", dont_inherit=True))
    changed = {code: news[name] for name, code in olds.items() if name in news and news[name] != code}
    gc.unfreeze()
    found: list[CodeType] = []
    for each in gc.get_objects():
        if type(each) is FunctionType and each.__code__ in changed and each.__code__.co_filename == str(path):
            old, new = each.__code__, changed[each.__code__]
            if len(new.co_freevars) != len(old.co_freevars):
                return None
            each.__code__ = new
            found.append(old)
        elif type(each).__name__ == "_lru_cache_wrapper" and str(each.__module__).startswith("polewright"):
            each.cache_clear()
    return found or None


def _codes(top: CodeType) -> dict[tuple[str, int], CodeType]:
    """Every piece of code inside another by its name, and its number among those of one name."""
    found: dict[tuple[str, int], CodeType] = {}

    def walk(code: CodeType) -> Iterator[CodeType]:
        for each in code.co_consts:
            if isinstance(each, CodeType):
                yield each
                yield from walk(each)

    for code in walk(top):
        number = 0
        while (code.co_qualname, number) in found:
            number += 1
        found[code.co_qualname, number] = code
    return found
