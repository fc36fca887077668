"""The verification report tells apart what is independent from what agrees with our own notes."""

import pytest
from tests.verification import INDEPENDENT, KINDS, NOT_INDEPENDENT, says_where_it_is_from, table


def row(kind: str, source: str, case: str = "a case") -> dict[str, object]:
    figures = {"expected": 2.0, "computed": 2.1, "error": 0.05, "tolerance": 0.1, "tolerance_abs": 0.0, "unit": "m"}
    return {"room": "wall", "case": case, "source": source, "kind": kind, **figures}


def test_the_report_marks_each_row_and_counts_the_independent_ones():
    rows = [row("closed form", "by hand"), row("solver", "shooting"), row("notes", "workshop notes")]
    text = table(rows)
    assert "| a case | workshop notes | notes | 2 m | 2.1 m | +5.00% | 10.00% |" in text
    assert "2 of 3 rows are independent" in text
    assert f"| notes | {NOT_INDEPENDENT['notes']} | no | 1 |" in text
    assert f"| solver | {INDEPENDENT['solver']} | yes | 1 |" in text


def test_a_case_that_runs_twice_is_counted_once():
    text = table([row("published", "a book"), row("published", "a book"), row("recalled", "recalled", "another")])
    assert "1 of 2 rows are independent" in text


@pytest.mark.parametrize("kind", KINDS)
def test_notes_and_recalled_figures_cannot_pass_for_independent(kind: str):
    assert says_where_it_is_from(kind, "workshop notes, section 3") == (kind == "notes")
    assert says_where_it_is_from(kind, "a table, recalled, not re-read") == (kind == "recalled")
    assert says_where_it_is_from(kind, "a book, 1961, table 3") == (kind in INDEPENDENT)
