"""What an emptied field of a design holds, as its model says."""

import pytest

from polewright.documents.paths import empty_value
from polewright.errors import DocumentError


@pytest.mark.parametrize(
    "path",
    [
        "joints[0].stiffness_overlap_mm",
        "joints[1].play_mrad",
        "sections[2].bore_mm",
        "mandrels[0].cte_1e6_K",
        "materials[0].fibre.strength_MPa",
        "brief.mass_at_most_g",
    ],
)
def test_a_field_that_may_be_left_out_holds_nothing(path):
    assert empty_value(path) is None


@pytest.mark.parametrize("path", ["maker", "note", "brief.use", "materials[0].description", "materials[0].lot"])
def test_a_text_that_may_be_empty_holds_an_empty_text(path):
    assert empty_value(path) == ""


@pytest.mark.parametrize(
    ("path", "want"),
    [
        ("name", "want.name_of_pole"),
        ("setting.currency", "want.currency"),
        ("joints[0].overlap_mm", "want.figure_not_nothing"),
        ("sections[0].stack[1].turns", "want.figure_not_nothing"),
        ("joints[0].colour", "want.field_of_design"),
        ("nowhere.at_all", "want.field_of_design"),
    ],
)
def test_a_field_that_must_say_something_refuses_to_be_empty(path, want):
    with pytest.raises(DocumentError) as refusal:
        empty_value(path)
    assert [fault[2].code for fault in refusal.value.faults] == [want]
