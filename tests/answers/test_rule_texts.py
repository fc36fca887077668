"""A shipped rule is told by code, what a workshop typed as it was typed."""

import pytest
from tests.said import said

from polewright.codes import Message
from polewright.wall.rules import SHIPPED, Rule, with_changes

FIELDS = ("title", "reason", "remedy")


@pytest.mark.parametrize("rule", SHIPPED, ids=lambda rule: rule.id)
@pytest.mark.parametrize("field", FIELDS)
def test_each_text_of_a_shipped_rule_has_a_code_with_its_text(rule: Rule, field: str) -> None:
    message = getattr(rule, field)
    assert isinstance(message, Message)
    assert said(message.code)


@pytest.mark.parametrize("field", FIELDS)
def test_what_a_workshop_typed_stays_as_it_was_typed(field: str) -> None:
    (rule,) = [each for each in with_changes({"block": {field: "ours"}}) if each.id == "block"]
    assert getattr(rule, field) == "ours"
    assert all(isinstance(getattr(rule, other), Message) for other in FIELDS if other != field)


def test_a_rule_of_its_own_takes_the_texts_of_its_model_where_it_has_none() -> None:
    rule = with_changes({"own": {"judge": "block", "title": "Less glass", "limit": 0.001}})[-1]
    assert rule.title == "Less glass"
    assert rule.reason == Message("rule.reason.block")
