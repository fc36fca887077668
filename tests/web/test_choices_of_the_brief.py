"""The choices in Brief show what the design goes by, said or not, and take another."""

import re
from typing import Any

import pytest

from polewright.workshop import Workshop

CHOICES = {"criterion": ("hashin", "maximum_stress"), "overlaps": ("glued", "touching")}


def shown(text: str, name: str) -> list[str]:
    """What is selected in the choice of a field."""
    select = re.search(rf'<select id="setting-{name}".*?</select>', text, re.DOTALL)
    assert select is not None
    return re.findall(r'value="(\w+)" selected', select[0])


@pytest.mark.parametrize("name", CHOICES)
def test_a_choice_shows_what_the_design_goes_by(name: str, client: Any, ask: Any, workshop: Workshop) -> None:
    usual, other = CHOICES[name]
    assert shown(client.get("/poles/reedlight-7/brief").text, name) == [usual]
    assert ask("brief", edit="set_field", path=f"setting.{name}", text=other).status_code == 200
    assert getattr(workshop.designs.open("reedlight-7").draft.design.setting, name) == other
    assert shown(client.get("/poles/reedlight-7/brief").text, name) == [other]
    assert ask("brief", edit="set_field", path=f"setting.{name}", text=usual).status_code == 200
    assert shown(client.get("/poles/reedlight-7/brief").text, name) == [usual]
