"""How long a name, a note and the like may be: as long as the documents say that hold them, and no letter more."""

import pytest

from polewright.errors import DesignError
from polewright.workshop import schema_of
from polewright.workshop.words import words


@pytest.mark.parametrize(
    ("field", "kind", "path"),
    [
        ("name", "pole-design", "name"),
        ("id", "material", "$defs.Material.id"),
        ("mandrel", "pole-design", "$defs.SectionData.mandrel"),
        ("serial", "test-record", "serial"),
        ("who", "test-record", "tester"),
    ],
)
def test_a_text_is_as_long_as_the_document_that_holds_it_may_be(field, kind, path):
    schema = schema_of(kind)
    *part, name = path.split(".")
    for step in part:
        schema = schema[step]
    _holds(field, schema["properties"][name]["maxLength"])


@pytest.mark.parametrize(
    ("field", "most"), [("note", 2000), ("title", 80), ("reason", 400), ("remedy", 400), ("lot", 80)]
)
def test_a_text_that_no_document_holds_is_as_long_as_its_place_on_paper(field, most):
    _holds(field, most)


def _holds(field, most):
    assert words(f"  {'x' * most} ", field) == "x" * most
    with pytest.raises(DesignError) as refused:
        words("x" * (most + 1), field)
    assert refused.value.field == field
    assert refused.value.value.values == {"count": most + 1}
    assert refused.value.want.values == {"limit": most}
