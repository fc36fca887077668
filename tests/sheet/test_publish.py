"""Modest figures, and the check that no recipe leaves the workshop."""

from dataclasses import dataclass

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polewright.errors import DesignError
from polewright.sheet import may_be_published, modest, modest_figure, modest_in
from polewright.words import Reader

PLAIN = Reader()

finite = st.floats(1e-6, 1e6)
percents = st.floats(0.1, 50.0)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(finite, percents)
def test_a_modest_figure_never_promises_more_and_gives_away_no_more_than_its_step(value, percent):
    up, down = modest(value, "up", percent), modest(value, "down", percent)
    slack = 1e-9 * value
    assert value - slack <= up <= value * (1 + percent / 100) + slack
    assert value * (1 - percent / 100) - slack <= down <= value + slack


@settings(derandomize=True, deadline=None, max_examples=100)
@given(finite, percents)
def test_rounding_again_changes_nothing(value, percent):
    once = modest(value, "up", percent)
    again = modest(once, "up", percent)
    # a figure that has grown may take the next wider step, never more than one such step
    assert once <= again <= once * (1 + percent / 100) * (1 + 1e-12)
    assert float(modest_figure(value, "up", percent, PLAIN).replace("\u202f", "")) == pytest.approx(once, rel=1e-12)


@pytest.mark.parametrize(
    ("value", "worse", "percent", "shown"),
    [
        (383.0, "up", 3, "390"),
        (894.0, "up", 3, "900"),
        (102.0, "up", 3, "102"),
        (1.159, "up", 1, "1.16"),
        (0.54, "down", 2, "0.54"),
        (7.4499, "down", 0.2, "7.44"),
        (0.1 + 0.2, "up", 50, "0.3"),
        (-12.3, "up", 10, "-12"),
    ],
)
def test_figures_of_the_reference_pole(value, worse, percent, shown):
    assert modest_figure(value, worse, percent, PLAIN) == shown.replace("-", "\u2212")


def test_no_step_is_finer_than_the_tape_can_read():
    assert modest_figure(12.3, "up", 3, PLAIN, least=1.0) == "13"
    assert modest_figure(0.0, "up", 3, PLAIN, least=1.0) == "0"
    assert modest_figure(0.0, "up", 3, PLAIN) == "0"


def test_a_figure_is_rounded_up_or_down():
    with pytest.raises(DesignError) as found:
        modest_figure(1.0, "sideways", 3, PLAIN)
    assert (found.value.field, found.value.value, found.value.want.code) == ("worse", "sideways", "want.up_or_down")


@pytest.mark.parametrize(("value", "percent"), [(float("nan"), 3), (float("inf"), 3), (1.0, 0.0), (1.0, 60.0)])
def test_what_cannot_be_rounded_is_refused(value, percent):
    with pytest.raises(DesignError):
        modest(value, "up", percent)


@pytest.mark.parametrize(
    "name",
    [
        "EI",
        "section_EI",
        "stack",
        "ply_count",
        "fibre",
        "resin_content",
        "bore",
        "wall",
        "mass_per_length_g_m",
        "g_m",
        "section_masses",
        "bending_stiffness",
        "GJ",
        "cure",
        "material",
    ],
)
def test_every_field_of_the_recipe_is_refused_wherever_it_stands(name):
    assert may_be_published({name: 1.0})
    assert may_be_published({"pole": {"rows": [{"reach": 3.2, name: 1.0}]}})


@pytest.mark.parametrize(
    "words",
    [
        "made of SM150 throughout",
        "six plies",
        "wall 0.86 mm",
        "132 g/m",
        "EI 835",
        "835 N\u00b7m\u00b2",
        "high modulus",
        "a carbon pole",
    ],
)
def test_words_of_the_recipe_are_refused_in_any_text(words):
    found = may_be_published({"method": words}, secrets=["SM150"])
    assert [f.field for f in found] == ["method"] * len(found)
    assert found


@pytest.mark.parametrize("label", ["bore 26.9, wall 0.86", "SM150"])
def test_a_recipe_hidden_in_a_drawing_is_found(label):
    assert may_be_published({"drawing": f'<svg aria-label="{label}"><style>.ply{{}}</style></svg>'}, secrets=["SM150"])
    titled = f"<svg><style>.wall{{}}</style><title>{label}</title></svg>"
    assert may_be_published({"drawing": titled}, secrets=["SM150"])
    assert not may_be_published({"drawing": "<svg><style>.wall{} .ply{}</style><text>5 \u00f832.9</text></svg>"})


def test_words_that_only_look_like_the_recipe_pass():
    assert not may_be_published({"maker": "Plywick and Wallace", "method": "their weight, Cornwall", "wind_limit": 8.0})


def rows(count: int) -> tuple[dict[str, float], ...]:
    return tuple({"reach": 1.0 + i, "droop": 0.1 * i, "flex": 0.01} for i in range(count))


def test_as_many_droops_as_sections_are_refused_unless_rounded():
    assert not may_be_published({"sections": 5, "reaches": rows(4)})
    told = {"extensions": 5, "sections": 5, "most": 4, "rounding": 3.0}
    assert may_be_published({"sections": 5, "reaches": rows(5)})[0].reason.values == told
    assert not may_be_published({"sections": 5, "reaches": rows(5), "rounding_percent": 3.0})
    assert may_be_published({"sections": 5, "reaches": rows(5), "rounding_percent": 1.0})
    assert may_be_published({"card": {"sections": 2, "reaches": rows(2)}})
    assert not may_be_published({"sections": "two", "reaches": rows(5)})
    assert not may_be_published({"sections": 2, "reaches": 5})
    lengths = [{"out": n, "reach_mm": 1000.0 * n} for n in range(1, 9)]
    assert not may_be_published({"sections": 5, "reaches": lengths})
    assert not may_be_published({"sections": 5, "reaches": [*lengths, *rows(4)]})
    assert may_be_published({"sections": 5, "reaches": [*lengths, *rows(5)]})[0].reason.values["extensions"] == 5


def test_a_value_is_looked_through_like_a_mapping():
    @dataclass(frozen=True)
    class Inner:
        wall: float = 0.86

    @dataclass(frozen=True)
    class Outer:
        inner: Inner = Inner()

    assert [r.field for r in may_be_published(Outer())] == ["inner.wall"]


def test_a_rounded_card_keeps_the_tip_section_to_itself():
    # A cantilever of five equal spans, tip load: each row of the table is a flex at one extension, and the table as
    # rounded is the same for two poles whose tip sections differ by a third.
    def card(tip_stiffness: float) -> list[str]:
        stiffness, out = [1275.0, 1039.0, 834.0, 658.0, tip_stiffness], []
        for drawn in range(2, 6):
            length = 1.45 * drawn
            flex = sum(
                ((length - 1.45 * i) ** 3 - (length - 1.45 * (i + 1)) ** 3) / 3 / stiffness[i] for i in range(drawn)
            )
            out.append(modest_figure(flex * 1000.0 * 0.980665, "up", 3, PLAIN, least=1.0))
        return out

    assert card(416.0) == card(416.0 * 4 / 3)
    assert card(416.0) != card(416.0 / 4)


def test_a_unit_without_a_step_of_its_own_is_told_in_hundredths():
    assert modest_in(0.1234, "N", PLAIN, "up", 3) == "0.13"
    assert modest_in(0.1234, "N", PLAIN, "down", 3) == "0.12"
