"""Memory of the app's server after many edits of a wall, each to a new wall, against the same server just begun."""

import re
import tempfile
from pathlib import Path

import httpx

from benchmarks.edit_latency import started

BUDGET = 300.0  # [MB] after 10 000 edits
WALL = "/poles/reedlight-7/wall"
ANGLE = "sections[3].stack[1].angle_deg"
SEEN = re.compile(r'data-seen="(\w+)"')


def resident(process: int) -> float:
    """Memory of a process that is in use [MB]; Linux alone tells it."""
    rows = Path(f"/proc/{process}/status").read_text(encoding="utf-8").splitlines()
    return int(next(row for row in rows if row.startswith("VmRSS")).split()[1]) / 1e3


def edit(client: httpx.Client, seen: str, number: int) -> str:
    """Set the angle of a ply to one of 70 000 values; what the server then wants to hear back."""
    fields = {
        "edit": "set_field",
        "path": "sections[3].stack[1].angle_deg",
        "text": f"{10.0 + number % 70_000 / 1e3:.3f}",
        "seen": seen,
    }
    answer = client.post(f"{WALL}/edit?section=4", data=fields)
    answer.raise_for_status()
    found = SEEN.search(answer.text)
    return found[1] if found else seen


def main(quick: bool = False) -> float:
    """Print the table; memory at the end [MB]."""
    counts = (10, 20) if quick else (100, 1_000, 3_000, 10_000)
    with (
        tempfile.TemporaryDirectory() as folder,
        started(Path(folder) / "workshop.sqlite") as (address, process),
        httpx.Client(base_url=address, timeout=60.0) as client,
    ):
        found = SEEN.search(client.get(f"{WALL}?section=4").text)
        assert found is not None
        seen, done, begun = found[1], 0, resident(process.pid)
        print(f"{'memory of the server':42}{'MB':>8}{'x begun':>10}")
        print(f"{'one page shown (baseline)':42}{begun:8.0f}{1:10.2f}")
        for count in counts:
            while done < count:
                seen, done = edit(client, seen, done + 1), done + 1
            used = resident(process.pid)
            print(f"{f'{count} edits':42}{used:8.0f}{used / begun:10.2f}")
    print(f"budget {BUDGET:.0f} MB: {'kept' if used <= BUDGET else 'missed'}")
    return used
