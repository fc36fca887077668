"""A program that keeps a workshop open with one job under way until it is killed: store, gate, number to hold at."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from polewright.documents.files import load
from polewright.store import open_store
from polewright.workshop.jobs import Jobs, Kind
from polewright.workshop.workshop import utc_now

if __name__ == "__main__":
    store, gate, hold, design = sys.argv[1:]
    jobs = Jobs(
        open_store(store), utc_now, kinds={"count": Kind("count", "tests.workshop.job_works:count", 1)}, every=0
    )
    job = jobs.start("count", load(Path(design)), subject="pole", options={"to": 9, "hold": int(hold), "gate": gate})
    sys.stdout.write(f"{job.number} {jobs.pid(job.number)}\n")
    sys.stdout.flush()
    sys.stdin.read()
    jobs.close()
    sys.stdout.write("closed\n")
