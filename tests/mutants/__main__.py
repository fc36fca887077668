"""`python -m tests.mutants`: plant faults one at a time and count those that the tests notice.

The exit code is 1 when too few are noticed, or one of the named faults is not.
"""

import argparse
import os
import sys
import time
from functools import cache, partial
from pathlib import Path

from tests.mutants.cover_parts import cover_map
from tests.mutants.drawing import ROOMS, all_faults, drawn
from tests.mutants.fault import Fault, read
from tests.mutants.kept_outcomes import keep, noticed
from tests.mutants.named import named_faults
from tests.mutants.report import ENOUGH, as_entry, reasons, report, share
from tests.mutants.trial import Bench, Outcome

ROOT = Path(__file__).parents[2]
KNOWN = Path(__file__).parent / "known.toml"
SEED = 20260


def main(words: list[str] | None = None) -> int:
    """Run a campaign over random faults, or over the named ones."""
    asked = _asked(words)
    cache_folder = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "polewright-mutants"
    cache_folder.mkdir(parents=True, exist_ok=True)
    begun = time.monotonic()
    faults, kept = _faults(asked), cache_folder / "outcomes.json"
    before = noticed(kept, ROOT, faults) if asked.again else []
    seen = {outcome.fault for outcome in before}
    cover = cover_map(ROOT, cache_folder, asked.workers, with_slow=asked.slow, only=asked.tests)
    told = f"seed {asked.seed}: {len(faults)} faults, {len(seen)} noticed before, {len(cover.tests)} tests"
    print(f"{told}; map {_minutes(begun)}", flush=True)  # noqa: T201
    if asked.map:
        return 0
    bench = Bench.set_up(ROOT, cache_folder, cover, asked.workers, asked.seconds)
    outcomes = bench.try_all([fault for fault in faults if fault not in seen], partial(_tell, kept))
    bench.end()
    return _conclude([*before, *outcomes], bench, begun)


def _faults(asked: argparse.Namespace) -> list[Fault]:
    """What is to be tried: the named ones first, where no part of the tree is asked for, then those drawn."""
    is_whole = not asked.rooms and not asked.files
    found = list(named_faults(ROOT).values()) if asked.named or is_whole else []
    if not asked.named:
        rooms = tuple(asked.rooms.replace(",", " ").split()) or ROOMS
        found += drawn(all_faults(ROOT, rooms, asked.files), asked.count, asked.seed, cache(partial(read, ROOT)))
    return found


def _asked(words: list[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("--count", type=int, default=400, help="random faults to draw")
    parser.add_argument("--seed", type=int, default=SEED, help="of the draw")
    parser.add_argument("--workers", type=int, default=2, help="faults tried at once")
    parser.add_argument("--seconds", type=float, default=90.0, help="longest time for the tests of one fault")
    parser.add_argument("--named", action="store_true", help="the named faults alone")
    parser.add_argument("--again", action="store_true", help="try only those of the draw that were not noticed so far")
    parser.add_argument("--rooms", default="", help="only faults of these rooms, such as web,cli")
    parser.add_argument("--files", default="", help="only faults of files whose path has this regular expression")
    parser.add_argument("--tests", default="", help="ask only tests whose path has this regular expression")
    parser.add_argument("--slow", action="store_true", help="ask the slow tests too, not only the quick ones")
    parser.add_argument("--map", action="store_true", help="only make the map of tests and lines")
    return parser.parse_args(words)


def _tell(file: Path, outcome: Outcome) -> None:
    """Show how a fault fared, one that was not noticed in full, and keep it: a campaign may be stopped at any time."""
    keep(file, ROOT, [outcome])
    fault = outcome.fault
    how = outcome.by if outcome.is_noticed else f"NOT NOTICED\n{fault.told(read(ROOT, fault.path))}"
    print(f"{outcome.seconds:6.1f} s {outcome.tests:4}  {fault.path}:{fault.line}  {how}", flush=True)  # noqa: T201


def _conclude(outcomes: list[Outcome], bench: Bench, begun: float) -> int:
    named = [o for o in outcomes if o.fault.kind == "named"]
    random = [o for o in outcomes if o.fault.kind != "named"]
    known = reasons(KNOWN)
    print("\n" + report(ROOT, outcomes, known))  # noqa: T201
    fresh = [o.fault for o in random if not o.is_noticed and o.fault.key(read(ROOT, o.fault.path)) not in known]
    if fresh:
        print("\nsurvivors without a reason, as known.toml wants them:\n")  # noqa: T201
        print("\n".join(as_entry(ROOT, fault) for fault in fresh))  # noqa: T201
    unsound = [name for name, is_unsound in bench.unsound.items() if is_unsound]
    if unsound:
        print("\nleft out, for they fail without a fault:", *unsound, sep="\n  ")  # noqa: T201
    print(f"\n{len(outcomes)} faults in {_minutes(begun)}")  # noqa: T201
    return 0 if share(random) >= ENOUGH and all(o.is_noticed for o in named) else 1


def _minutes(begun: float) -> str:
    return f"{(time.monotonic() - begun) / 60:.1f} min"


if __name__ == "__main__":
    sys.exit(main())
