"""Subjects of commits: short, and opened by the room they are about."""

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
BEFORE_THE_RULE = "742765e"
TOO_LONG = {"store: version 3 with the tables of long work, and a store of it"}
OPENING = re.compile(r"[A-Z]|[a-z_]+(, [a-z_]+)*: \S")


def subjects() -> list[str]:
    """Subjects since the rule; the test is skipped where the history is missing or cut short."""
    command = ["git", "log", "--no-merges", "--format=%s", f"{BEFORE_THE_RULE}..HEAD"]
    try:
        done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    except FileNotFoundError:
        pytest.skip("no git here")
    if done.returncode:
        pytest.skip("no history here")
    return done.stdout.splitlines()


def faults(subject: str) -> list[str]:
    """What is wrong with a subject."""
    found = [] if len(subject) < 60 else [f"{len(subject)} characters"]
    return found if OPENING.match(subject) else [*found, "not opened by a room or a capital"]


def test_commits_have_short_subjects_opened_by_a_room():
    wrong = {subject: faults(subject) for subject in subjects() if subject not in TOO_LONG and faults(subject)}
    assert not wrong


@pytest.mark.parametrize(
    ("subject", "count"),
    [
        ("wall: free the hoop resultant", 0),
        ("documents, store: give refusals codes", 0),
        ("Format every file with ruff", 0),
        ("wall: " + "x" * 53, 0),
        ("wall: " + "x" * 54, 1),
        ("free the hoop resultant", 1),
        ("wall:free", 1),
        ("more of the things which were left in the wall of the last pole", 2),
    ],
)
def test_a_subject_is_read_by_length_and_opening(subject: str, count: int):
    assert len(faults(subject)) == count
