"""A held pole dragged: answer to each new lean on loopback, quiet, and just after a band of copies began to grow."""

import statistics
import sys
import tempfile
import time
import urllib.parse
import urllib.request
from pathlib import Path

from benchmarks.edit_latency import served

BEGIN = 0.25  # [s] after the band began, in the midst of its copies


def asked(address: str, lean: float, depth: int) -> tuple[float, str]:
    """[ms] until the whole answer is there, and the answer."""
    query = urllib.parse.urlencode({"lean_deg": f"{lean:.2f}", "support": "hands", "head_g": "540", "depth": depth})
    start = time.perf_counter()
    with urllib.request.urlopen(f"{address}/poles/reedlight-7/held?{query}", timeout=60) as answer:
        words = answer.read().decode()
    return 1e3 * (time.perf_counter() - start), words


def grown(address: str, lean: float) -> float:
    """[s] until the band of a hold has all its copies."""
    start = time.perf_counter()
    while "data-growing" in asked(address, lean, 2)[1]:
        time.sleep(0.05)
    return time.perf_counter() - start


def main(quick: bool) -> None:
    """Print the table."""
    rounds = 6 if quick else 40
    with tempfile.TemporaryDirectory() as folder, served(Path(folder) / "workshop.sqlite") as address:
        for depth in range(3):
            asked(address, 0.0, depth)
        whole = grown(address, 0.0)
        quiet = [asked(address, 10.0 + 0.5 * k, 0)[0] for k in range(rounds)]
        first, later, begun = [], [], []
        for k in range(rounds // 2):
            begun.append(asked(address, 40.0 + k, 2)[0])
            time.sleep(BEGIN)
            first.append(asked(address, 60.0 + 0.1 * k, 0)[0])
            later += [asked(address, 70.0 + 0.1 * k + 0.01 * j, 0)[0] for j in range(2)]
    base = statistics.median(quiet)
    print(f"{'':58}{'median ms':>10}{'worst ms':>10}{'x quiet':>9}")
    for what, values in (
        ("a new lean, nothing else under way (baseline)", quiet),
        ("the first new lean while 4096 copies are tried", first),
        ("the leans after it", later),
        ("the band's first 64 copies, at once", begun),
    ):
        middle = statistics.median(values)
        print(f"{what:58}{middle:10.1f}{max(values):10.1f}{middle / base:9.2f}")
    print(f"all 4096 copies, large deflection each, drawn anew after 64, 512 and 4096: {whole:.1f} s")


if __name__ == "__main__":
    main("--quick" in sys.argv[1:])
