"""Sources as data: the tables of the rooms, beside what the docstrings cite."""

import ast
import re
from pathlib import Path

import pytest

import polewright
from polewright.codes import Message
from polewright.conventions.criteria import CRITERIA
from polewright.conventions.sources import Citation, Source, basis_of, cited, derived
from polewright.conventions.works import WORKS
from polewright.pole.sources import SOURCES as POLE
from polewright.shop.sources import SOURCES as SHOP
from polewright.wall.sources import SOURCES as WALL
from polewright.words import Reader

SOURCE = Path(polewright.__file__).parent
TABLES = {"wall": WALL, "pole": POLE, "shop": SHOP}
KNOWN = WALL | POLE | SHOP
SECTION = re.compile(r"^Source\n-+\n(.+?)(?:\n\n|\Z)", re.S | re.M)
YEAR = re.compile(r"\b(1[89]|20)\d\d\b")


def sections(room):
    """Name -> text of every Source section of a room, blanks as one."""
    found = {}

    def look(node, name):
        match = SECTION.search(ast.get_docstring(node) or "")
        if match:
            found[name] = " ".join(match.group(1).split())
        for child in getattr(node, "body", []):
            if isinstance(child, ast.FunctionDef | ast.ClassDef):
                look(child, f"{name}.{child.name}")

    for path in sorted((SOURCE / room).glob("*.py")):
        look(ast.parse(path.read_text()), f"{room}.{path.stem}")
    return found


CITING = {name: text for room in TABLES for name, text in sections(room).items()}


@pytest.mark.parametrize("room", TABLES)
def test_every_source_section_is_in_the_table_and_no_other(room):
    public = {name for name in sections(room) if "._" not in name}
    assert public == set(TABLES[room])


@pytest.mark.parametrize("name", sorted(KNOWN))
def test_a_docstring_cites_the_works_of_the_table_in_full(name):
    text = CITING[name]
    for citation in KNOWN[name].citations:
        assert citation.work.text in text
        assert citation.at in text


@pytest.mark.parametrize("name", sorted(KNOWN))
def test_a_docstring_cites_no_work_that_the_table_leaves_out(name):
    rest = CITING[name]
    for citation in KNOWN[name].citations:
        rest = rest.replace(citation.work.text, "")
    assert not YEAR.search(rest)


def test_functions_that_sources_are_shared_with_have_sources():
    assert {used for source in KNOWN.values() for used in source.uses} <= set(KNOWN)


def test_every_work_is_cited_and_its_key_tells_author_and_year():
    cited_works = {c.work for source in KNOWN.values() for c in source.citations}
    alone = {c.work for kind in CRITERIA.values() for c in kind.source.citations} - set(WORKS.values())
    assert cited_works == set(WORKS.values()) | alone
    for key, work in WORKS.items():
        author, year = key.split("-")
        assert author in work.author.lower()
        assert year == str(work.year)


def test_every_derivation_has_a_text():
    for source in KNOWN.values():
        for derivation in source.derivations:
            assert Reader().text(derivation) != derivation.code


def test_a_basis_follows_the_functions_that_are_built_on_and_says_everything_once():
    thin, jones = Message("derivation.closed_tube"), cited("jones-1999", "eq. 2.85")
    table = {
        "a.f": Source(uses=("a.g", "a.h")),
        "a.g": jones + derived(thin, "a.h"),
        "a.h": jones + cited("love-1927") + Source(uses=("a.f",)),
    }
    found = basis_of("a.f", "a.g", tables=(table,))
    assert found.citations == (Citation(WORKS["jones-1999"], "eq. 2.85"), Citation(WORKS["love-1927"]))
    assert found.derivations == (thin,)


def test_a_citation_reads_as_a_printed_reference():
    assert (
        Citation(WORKS["jones-1999"], "eq. 2.66").text
        == "R. M. Jones, Mechanics of Composite Materials, 2nd ed., 1999, eq. 2.66"
    )


def test_an_unknown_work_or_function_is_an_error():
    with pytest.raises(KeyError):
        cited("nobody-1900")
    with pytest.raises(KeyError):
        basis_of("wall.nowhere", tables=(WALL,))
