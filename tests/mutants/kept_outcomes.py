"""What became of each fault in the last campaign, so that the survivors alone can be tried again."""

import json
from pathlib import Path

from tests.mutants.fault import Fault, read
from tests.mutants.trial import Outcome

Key = tuple[str, str, str, str]


def keep(file: Path, root: Path, outcomes: list[Outcome]) -> None:
    """Add outcomes to the file; a fault tried again stands there as it fared last."""
    kept = _read(file) | {outcome.fault.key(read(root, outcome.fault.path)): outcome.by for outcome in outcomes}
    rows = [[*key, by] for key, by in kept.items()]
    file.write_text(json.dumps(rows, indent=0, ensure_ascii=False), encoding="utf-8")


def noticed(file: Path, root: Path, faults: list[Fault]) -> list[Outcome]:
    """How those of the faults fared that a campaign of the file has seen noticed."""
    kept = _read(file)
    by = {fault: kept.get(fault.key(read(root, fault.path))) for fault in faults}
    return [Outcome(fault, name, 0, 0.0) for fault, name in by.items() if name is not None]


def _read(file: Path) -> dict[Key, str | None]:
    if not file.exists():
        return {}
    rows = json.loads(file.read_text(encoding="utf-8"))
    return {(path, scope, line, becomes): by for path, scope, line, becomes, by in rows}
