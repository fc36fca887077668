"""The table of terms: each has its texts, its fields and figures exist, and no two terms explain one field."""

import json
import re
from collections import Counter
from pathlib import Path

import pytest

from polewright.answers.wishes import WISHES
from polewright.words import Reader
from polewright.words.terms import TERMS, term_of_field, terms_of_figure, terms_text
from polewright.workshop import schema_kinds, schema_of


def field_names(node: object) -> set[str]:
    """Every name of a property in a JSON Schema."""
    if isinstance(node, list):
        return set().union(*map(field_names, node))
    if not isinstance(node, dict):
        return set()
    own = set(node.get("properties", {})) if isinstance(node.get("properties"), dict) else set()
    return own.union(*map(field_names, node.values()))


def test_every_term_has_a_name_and_a_meaning_and_no_name_appears_twice():
    shown = [term for _, terms in terms_text(Reader()) for term in terms]
    assert {term.code for term in shown} == set(TERMS)
    assert all(term.name and len(term.meaning) > len(term.name) for term in shown)
    assert max(Counter(term.name.lower() for term in shown).values()) == 1


def test_no_field_is_explained_by_two_terms():
    fields = Counter(field for term in TERMS.values() for field in term.fields) + Counter(w.field for w in WISHES)
    assert [field for field, times in fields.items() if times > 1] == []


def test_every_field_that_a_term_explains_is_one_of_a_document():
    known = set().union(*(field_names(schema_of(kind)) for kind in schema_kinds()))
    known |= {"reach_mm", "lean_deg"}  # controls of a hold
    assert sorted({field for term in TERMS.values() for field in term.fields} - known) == []


def test_the_term_of_a_wish_is_one_of_the_table_and_is_found_by_its_field():
    assert {wish.term for wish in WISHES} - {""} <= set(TERMS)
    assert term_of_field("brief.tip_play_at_most_mm") == "play"
    assert term_of_field("brief.mass_at_most_g") is None


def test_a_field_is_looked_up_by_the_last_step_of_its_path():
    assert term_of_field("joints[0].overlap_mm") == "overlap"
    assert term_of_field("name") is None


def test_the_why_of_the_reaches_explains_every_column_that_is_a_term():
    assert set(terms_of_figure("pole.reaches")) == {"play", "droop", "added_droop", "balance", "carry_moment", "swing"}


ROOT = Path(__file__).parents[2]
PAGES = [ROOT / "README.md", ROOT / "CONTRIBUTING.md", *sorted((ROOT / "docs").rglob("*.md"))]
OTHER_WORDS = {  # what is not written, and the term that is
    r"\bwraps?\b": "ply",
    r"\blay-?ups?\b": "stack",
    r"\bstocks?\b": "shelf",
    r"\bcollars?\b": "clamp",
    r"\b(?:at|of|to|from|toward) the (?:base|grip)\b": "butt",
    r"\bbase outside\b": "butt",
    r"\bturn(?:ed|ing)? (?:a|the) ply\b": "ply_angle",
}
GENERIC = {
    "brief",
    "droop",
    "joint",
    "joints",
    "mandrels",
    "ply",
    "rolls",
    "section",
    "sections",
    "spreads",
}  # lists and places of a document


def english() -> dict[str, str]:
    texts = json.loads((ROOT / "src/polewright/words/catalogues/en.json").read_text(encoding="utf-8"))
    return {code: re.sub(r"\{\w+", "", str(text)) for code, text in texts.items() if code}


@pytest.mark.parametrize("word", OTHER_WORDS)
def test_a_term_has_no_second_word_in_the_catalogue(word):
    assert OTHER_WORDS[word] in TERMS
    assert [code for code, text in english().items() if re.search(word, text) and code != "field.stock"] == []


@pytest.mark.parametrize("word", OTHER_WORDS)
def test_a_term_has_no_second_word_in_the_docs(word):
    def prose(page: Path) -> str:  # code, and the titles of cited works, keep their own words
        text = re.sub(r"```.*?```|`[^`]*`", "", page.read_text(encoding="utf-8"), flags=re.DOTALL)
        return re.sub(r"Lamina properties, lay-up configurations", "", text)

    assert [page.name for page in PAGES if re.search(word, prose(page))] == []


@pytest.mark.slow
def test_every_label_of_a_field_that_holds_a_term_offers_its_meaning():
    names = {term.name.split(" (")[0].lower() for _, terms in terms_text(Reader()) for term in terms}
    held = re.compile("|".join(rf"\b{re.escape(name)}s?\b" for name in names))
    fields = set().union(*(field_names(schema_of(kind)) for kind in schema_kinds()))
    labels = {field: english().get(f"field.{field}", "") for field in fields - GENERIC}
    assert [field for field, label in labels.items() if held.search(label.lower()) and not term_of_field(field)] == []
