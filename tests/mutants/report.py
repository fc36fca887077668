"""What a campaign found: the share noticed, each survivor with its reason, and named faults that must be noticed."""

import tomllib
from pathlib import Path

from tests.mutants.drawing import room_of
from tests.mutants.fault import KINDS, Fault, read
from tests.mutants.trial import Outcome

ENOUGH = 0.95  # of the faults drawn must be noticed


def reasons(file: Path) -> dict[tuple[str, str, str, str], str]:
    """Why a fault is not noticed, by its file, function, line and what becomes of the line."""
    rows = tomllib.loads(file.read_text(encoding="utf-8")).get("survivor", []) if file.exists() else []
    return {(r["file"], r["function"], r["line"], r["becomes"]): r["reason"] for r in rows}


def share(outcomes: list[Outcome]) -> float:
    """Share of the faults that were noticed."""
    return sum(o.is_noticed for o in outcomes) / len(outcomes) if outcomes else 1.0


def report(root: Path, outcomes: list[Outcome], known: dict[tuple[str, str, str, str], str]) -> str:
    """The campaign as text: survivors with reasons first, then counts by kind and by room, then the share.

    Named faults are counted apart, for they are no part of the draw.
    """
    lines = []
    for outcome in outcomes:
        if not outcome.is_noticed:
            text = read(root, outcome.fault.path)
            lines += [outcome.fault.told(text), f"    {_why(outcome, known.get(outcome.fault.key(text)))}"]
    drawn = [o for o in outcomes if o.fault.kind != "named"]
    lines += ["", f"{'':24}noticed   of  share"]
    for kind in KINDS:
        lines += _counted(kind, [o for o in drawn if o.fault.kind == kind])
    for room in sorted({room_of(o.fault.path) for o in drawn}):
        lines += _counted(room, [o for o in drawn if room_of(o.fault.path) == room])
    lines += _counted("all drawn", drawn)
    lines += _counted("named", [o for o in outcomes if o.fault.kind == "named"])
    return "\n".join(lines)


def _counted(name: str, part: list[Outcome]) -> list[str]:
    return [f"{name:24}{sum(o.is_noticed for o in part):7}{len(part):5}{share(part):7.1%}"] if part else []


def _why(outcome: Outcome, reason: str | None) -> str:
    if reason:
        return f"known: {reason}"
    if outcome.is_uncovered:
        return "no test runs this line"
    return f"{outcome.tests} tests passed" + (", more had no time" if outcome.is_cut_short else "")


def as_entry(root: Path, fault: Fault) -> str:
    """A survivor as known.toml wants it, its reason still to be written."""
    file, scope, line, becomes = fault.key(read(root, fault.path))
    rows = {"file": file, "function": scope, "line": line, "becomes": becomes, "reason": ""}
    return "[[survivor]]\n" + "".join(f"{key} = {_quoted(value)}\n" for key, value in rows.items())


def _quoted(text: str) -> str:
    return f"'{text}'" if "'" not in text else '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
