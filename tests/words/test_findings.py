"""Findings as text: figures in the reader's units, sections named as pages or as tables name them."""

from pathlib import Path

import pytest
from tests.said import said_in

from polewright.answers.check import check_design
from polewright.answers.findings import Finding, Subjects
from polewright.documents.files import load
from polewright.words import Reader, default_reader
from polewright.words.findings import finding_text, named_sections

METRIC, INCH = default_reader(), Reader(default_reader().language, "inch")
EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module", params=["reedlight-7", "peerglass-8"])
def check(request):
    return check_design(load(EXAMPLES / f"{request.param}.toml"))


def limit(value: float, most: float, quantity: str = "length", code: str = "wish.closed") -> Finding:
    return Finding(
        code,
        "brief",
        "holds" if value <= most else "look",
        value=value,
        limit=most,
        quantity=quantity,
        details={"is_least": False, "currency": "\u20ac"},
    )


@pytest.mark.parametrize("is_short", [False, True])
@pytest.mark.parametrize("reader", [METRIC, INCH], ids=["metric", "inch"])
def test_every_finding_has_a_name_a_sentence_and_a_reason(check, reader, is_short):
    for finding in check.findings:
        text = finding_text(finding, reader, is_short=is_short)
        assert all((text.name, text.says, text.reason))
        assert len(text.hints) == len(finding.remedies)


@pytest.mark.parametrize(
    ("numbers", "is_short", "code", "values"),
    [
        ((2,), False, "part.section_list", {"count": 1, "numbers": (2,)}),
        ((1, 2), False, "part.section_list", {"count": 2, "numbers": (1, 2)}),
        ((1, 2, 3, 4), False, "part.sections", {"first": 1, "last": 4}),
        ((1, 3, 4), False, "part.section_list", {"count": 3, "numbers": (1, 3, 4)}),
        ((1, 2, 3, 4), True, "part.section_list", {"count": 4, "numbers": (1, 2, 3, 4)}),
    ],
)
def test_a_row_of_sections_is_a_range_on_pages_and_a_list_in_tables(numbers, is_short, code, values):
    assert named_sections(numbers, METRIC, is_short=is_short) == said_in(METRIC, code, **values)


def test_a_limit_that_is_passed_is_reported_by_how_much_in_the_readers_unit():
    passed = limit(1.52, 1.5)  # [m]; 20 mm, 0.79 in
    for reader, by in ((METRIC, "20.0"), (INCH, "0.79")):
        assert by in finding_text(passed, reader).says


def test_mass_is_in_ounces_for_one_who_sees_inches():
    heavy = limit(1.4, 1.3, "mass", "wish.mass")
    assert f"{1.4 / 0.45359237 * 16.0:.1f}" in finding_text(heavy, INCH).says
    assert "1\u202f400" in finding_text(heavy, METRIC).says


def test_a_rule_of_a_workshop_is_reported_in_its_own_words():
    finding = Finding(
        "rule",
        "rule",
        "look",
        Subjects(sections=(2,), rule="ours"),
        value=0.0014,
        limit=0.0012,
        quantity="length",
        details={"title": "Less SM150", "reason": "ours split", "unit": "m"},
        remedies=("a bias ply between",),
    )
    text = finding_text(finding, METRIC)
    assert (text.name, text.reason, text.hints[0].what) == ("Less SM150", "ours split", "a bias ply between")
    assert text.says == said_in(
        METRIC,
        "rule.beside.length",
        sections=named_sections((2,), METRIC),
        title="Less SM150",
        value=0.0014,
        limit=0.0012,
        unit="m",
    )
