"""Rules, wishes, tests, the whole workshop's search and revisions, as edited on pages."""

import json
import re
from types import SimpleNamespace
from typing import Any

import pytest
from tests.said import refused, said
from tests.web.page_text import plain, words

from polewright.codes import Message
from polewright.words import Reader, default_reader
from polewright.words.faults import field_name
from polewright.words.findings import finding_text
from polewright.workshop import Workshop
from polewright.workshop.searches import Searches

REED = "/poles/reedlight-7"
RULES = ("around-both-sides", "balance", "block", "carbon-on-aluminium", "least-wall", "loose-joint", "neighbours")
RULES += ("no-bare-axial", "sanding", "seams-apart", "whole-turns", "woven-skin")
NOTHING = Message("given.nothing")


def said_of(workshop: Workshop, rule: str, verdict: str, reader: Reader | None = None) -> str:
    """What a rule says of the pole as it is on the table, as the pages say it."""
    opened = workshop.designs.open("reedlight-7")
    check = workshop.check(opened.saved.design if opened.draft is None else opened.draft.design)
    found = next(f for f in check.findings if f.subjects.rule == rule and f.verdict == verdict)
    return words(finding_text(found, reader or default_reader()).says)


def changed(field: str, before: str | Message, after: str | Message) -> str:
    """A change of a field as the revisions say it."""
    reader = default_reader()
    return words(f"{field_name(reader, field)}: {reader.text(before)} → {reader.text(after)}")


@pytest.mark.slow
def test_a_rule_is_switched_off_changed_and_judged_at_once(ask: Any, client: Any, workshop: Workshop) -> None:
    guard = said_of(workshop, "woven-skin", "look")
    assert f"{guard[:1].upper()}{guard[1:]}" in words(client.get(f"{REED}/rules").text)
    text = words(ask("rules", edit="set_field", path="rule:woven-skin:is_on", text="off").text)
    assert said("place.rules.of_rules_are_on_they", is_on=10, count=12) in text
    assert guard[1:] not in text
    text = words(ask("rules", edit="set_field", path="rule:block:limit", text="0.7").text)
    block = said_of(workshop, "block", "look")
    assert f"{said('verdict.look')} {block[:1].upper()}{block[1:]}" in text
    assert "0.738 mm" in block
    wall = words(client.get(f"{REED}/wall?section=2").text)
    assert block in wall
    assert said("rule.title.woven_skin") not in wall


def test_a_rule_of_ones_own_comes_goes_and_is_undone(ask: Any, workshop: Workshop) -> None:
    own = {"judge": "block", "title": "Less SM150", "limit": "0.6", "ply": "SM150", "reason": "", "remedy": ""}
    remove = said("place.rules.remove_the_rule", title="Less SM150")
    assert remove in ask("rules", edit="add_rule", **own).text
    assert plain(workshop)["setting"]["rules"][0]["id"] == "less-sm150"
    ask("rules", edit="remove_rule", rule="less-sm150")
    assert workshop.designs.open("reedlight-7").draft is None
    assert remove in ask("rules", edit="undo").text
    faults = ask("rules", edit="add_rule", **{**own, "limit": "much"}).json()["faults"]
    assert [f["field"] for f in faults] == ["title", "limit"]


def test_a_limit_on_an_inch_page_is_in_inches(ask: Any, client: Any, workshop: Workshop) -> None:
    client.cookies["units"] = "inch"
    text = ask("rules", edit="set_field", path="rule:block:limit", text="0.03").text
    assert plain(workshop)["setting"]["rules"][0]["limit"] == pytest.approx(0.03 * 0.0254, rel=1e-12)
    assert 'data-path="rule:block:limit" value="0.03"' in text
    block = said_of(workshop, "block", "holds", Reader(default_reader().language, "inch"))
    assert f"{block[:1].upper()}{block[1:]}" in words(text)
    assert "0.0291 in" in block
    assert "0.03 in" in block


@pytest.mark.slow
@pytest.mark.parametrize(
    ("place", "form"),
    [
        ("shelf", {"edit": "take_stock", "entry": "9999"}),
        ("shelf", {"edit": "take_stock"}),
        ("shelf", {"edit": "give_figure", "material": "x"}),
        ("shelf", {"edit": "remove_prepreg", "material": "0"}),
        ("shelf", {"edit": "remove_mandrel", "mandrel": "77"}),
        ("shelf", {"edit": "add_own_prepreg"}),
        ("rules", {"edit": "add_rule"}),
        ("rules", {"edit": "remove_rule"}),
        ("rules", {"edit": "remove_rule", "rule": "x"}),
        ("rules", {"edit": "set_field", "path": "rule:none:limit", "text": "1"}),
        ("pole", {"edit": "remove_section", "section": "9"}),
        ("pole", {"edit": "remove_section"}),
        ("pole", {"edit": "add_section"}),
    ],
)
def test_a_form_that_cannot_be_is_refused_and_nothing_kept(
    ask: Any, workshop: Workshop, place: str, form: dict[str, str]
) -> None:
    answer = ask(place, **form)
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["says"]
    assert workshop.designs.open("reedlight-7").draft is None


def test_what_is_typed_as_words_is_shown_as_words(ask: Any, client: Any) -> None:
    ask("rules", edit="set_field", path="rule:block:title", text="<img src=x>")
    ask("shelf", edit="set_field", path="materials[0].lot", text="<b>L1</b>")
    for place in ("rules", "shelf", "wall"):
        assert "<img src=x>" not in client.get(f"{REED}/{place}").text
        assert "<b>L1</b>" not in client.get(f"{REED}/{place}").text


def test_every_wrong_figure_of_a_test_is_reported_at_once_in_its_own_words(client: Any) -> None:
    form = {
        "kind": "two-load bend",
        "serial": "",
        "section": "4",
        "span_mm": "long",
        "load_g-0": "500",
        "reading_mm-0": "one",
        "load_g-1": "",
        "reading_mm-1": "3",
    }
    faults = client.post(f"{REED}/tests", data=form, headers={"accept": "application/json"}).json()["faults"]
    assert [f["field"] for f in faults] == ["serial", "span_mm", "reading_mm-0", "load_g-1"]
    assert faults[2]["says"] == refused("reading_mm-0", "'one'", "want.number_such_as")
    odd = client.post(f"{REED}/tests", data={**form, "serial": "R7 31!"}, headers={"accept": "application/json"})
    assert odd.json()["faults"][0]["says"] == refused("serial", "'R7 31!'", "want.serial_letters")


def test_a_window_that_is_just_shut_shows_by_how_little(ask: Any) -> None:
    text = words(ask("pole", edit="set_field", path="setting.clamp_hold_N", text="186 N").text)
    shut = re.escape(said("headline.window.closed.0", least=1.0, most=2.0).replace("\u00a0", " "))
    found = re.search(re.sub(r"[12]", r"([\\d.]+)", shut), text)
    assert found is not None
    assert float(found[1]) > float(found[2])


def test_a_wanted_flex_begins_as_the_pole_is_now(ask: Any, workshop: Workshop) -> None:
    text = words(ask("brief", edit="add_flex_wish").text)
    wish = plain(workshop)["brief"]["droop"][-1]
    assert wish["wanted_mm_per_100g"] == pytest.approx(100.0, abs=0.6)
    check = workshop.check(workshop.designs.open("reedlight-7").draft.design)
    says = finding_text(check.finding("wish.flex"), default_reader()).says
    assert f"{said('verdict.holds')} {words(says[:1].upper() + says[1:])}" in text


def test_how_it_is_cured_cut_and_clamped_is_an_edit_too(ask: Any, workshop: Workshop) -> None:
    assert ask("brief", edit="set_field", path="setting.trim_mm", text="9 cm").status_code == 200
    assert ask("pole", edit="set_field", path="joints[0].clamp_material", text="aluminium").status_code == 200
    assert plain(workshop)["setting"]["trim_mm"] == 90.0
    text = words(ask("rules", edit="set_field", path="rule:woven-skin:is_on", text="off").text)
    says = said_of(workshop, "carbon-on-aluminium", "look")
    assert f"{said('verdict.look')} {says[:1].upper()}{says[1:]}" in text


def test_the_search_of_the_whole_workshop_takes_its_shelf_and_rack_too(
    ask: Any, client: Any, workshop: Workshop
) -> None:
    ask(
        "shelf",
        edit="add_mandrel",
        mandrel="M33",
        metal="aluminium_6000",
        small_end_mm="33.2",
        big_end_mm="33.2",
        length_mm="2200",
    )
    ask("shelf", edit="add_prepreg", name="SM150-B", like="SM150", lot="B17")
    for kind, name in (("mandrel", "M33"), ("material", "SM150-B")):
        assert client.post(f"{REED}/shelf/keep", data={"kind": kind, "name": name}).status_code == 303
    started = []
    jobs = SimpleNamespace(start=lambda kind, document, **more: started.append(document))
    searches = Searches(jobs, workshop.designs, workshop.shelf)
    for whole in (True, False):
        searches.start("crookbough-5", workshop.designs.revision("crookbough-5").design, is_whole_shop=whole)
    whole_shop, own = started
    assert "M33" in [mandrel.id for mandrel in whole_shop.mandrels]
    assert "SM150-B" in [material.id for material in whole_shop.materials]
    assert "M33" not in [mandrel.id for mandrel in own.mandrels]


@pytest.mark.parametrize("begins_mm", [0.0, 200.0])
def test_a_search_of_the_whole_shop_leaves_out_bars_shorter_than_its_tubes(
    workshop: Workshop, begins_mm: float
) -> None:
    design = workshop.designs.revision("crookbough-5").design
    longest = max(s.place_mm + s.length_mm for s in design.sections)
    first = design.mandrels[0].profile[0]
    bars = tuple(
        design.mandrels[0].model_copy(
            update={"id": name, "profile": tuple(first.model_copy(update={"at_mm": at}) for at in (begins_mm, end))}
        )
        for name, end in (("fits", begins_mm + longest), ("short", begins_mm + longest - 1.0))
    )
    started = []
    jobs = SimpleNamespace(start=lambda kind, document, **more: started.append(document))
    shelf = SimpleNamespace(kept_materials=lambda: (), kept_mandrels=lambda: bars)
    Searches(jobs, workshop.designs, shelf).start("crookbough-5", design, is_whole_shop=True)
    offered = {mandrel.id for mandrel in started[0].mandrels}
    assert "fits" in offered
    assert "short" not in offered


@pytest.mark.parametrize(
    ("field", "value", "says"),
    [
        (
            "sections",
            40,
            refused(
                "sections[0].outside",
                Message("bound.diameter", value=0.034995),
                Message("want.below_bore_of_next", bore=0.024812, section=2),
            ),
        ),
        (
            "setting",
            [{"id": "no-such"}],
            refused("setting.rules[0].id", "'no-such'", "want.known_rule_or_judge", choices=RULES),
        ),
    ],
)
def test_a_file_that_cannot_be_built_is_refused_and_not_kept(
    client: Any, workshop: Workshop, field: str, value: Any, says: str
) -> None:
    broken = {**workshop.designs.revision("reedlight-7").design.plain(), "name": "Broken"}
    if field == "sections":
        broken["sections"][0]["stack"][1]["turns"] = value
    else:
        broken["setting"]["rules"] = value
    answer = client.post(
        "/files", files={"file": ("broken.json", json.dumps(broken))}, headers={"accept": "application/json"}
    )
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["says"] == says
    assert "broken" not in [card.slug for card in workshop.designs.all()]


@pytest.mark.slow
def test_revisions_say_in_words_what_came_and_went(ask: Any, client: Any) -> None:
    ask("shelf", edit="add_prepreg", name="guard", like="w_eg_plain_105", lot="")
    ask("shelf", edit="give_figure", material="0", figure="E1_GPa", value="130", kind="measured", lot="L1")
    ask(
        "shelf",
        edit="add_mandrel",
        mandrel="M21",
        metal="aluminium_6000",
        small_end_mm="21.3",
        big_end_mm="21.3",
        length_mm="2000",
    )
    ask("shelf", edit="add_mandrel_place", mandrel="5", at_mm="500", diameter_mm="21.2")
    ask("pole", edit="add_section", end="tip")
    ask("wall", edit="add_ply", section="2", prepreg="guard", angle_deg="0", turns="1", end="bore")
    ask("rules", edit="set_field", path="rule:block:limit", text="1")
    ask("brief", edit="add_wish")
    ask("brief", edit="set_field", path="tip_fitting_g", text="80")
    ask("brief", edit="set_field", path="brief.reach_at_least_mm", text="6 m")
    ask("wall", edit="set_field", path="sections[5].stack[1].angle_deg", text="5")
    page = client.get(f"{REED}/revisions")
    assert page.status_code == 200
    text = words(page.text)
    first = Message("change.section", length_mm="1\u202f650 mm", mandrel="M21")
    for change in (
        changed("materials[2]", NOTHING, Message("change.material", id="guard")),
        changed("mandrels[5]", NOTHING, Message("change.mandrel", id="M21")),
        changed("sections[0]", NOTHING, first),
        changed("joints[4]", NOTHING, Message("change.joint", overlap_mm="200 mm", clamp_g="45 g")),
        changed("sections[2].stack[0]", NOTHING, Message("change.ply", angle_deg="0°", prepreg="guard", turns="1")),
        changed("brief.droop[1]", NOTHING, Message("change.wish", tip_total_g="560 g")),
        changed("tip_fitting_g", "60 g", "80 g"),
        changed("brief.reach_at_least_mm", "7\u202f400 mm", "6\u202f000 mm"),
        changed("sections[5].stack[1].angle_deg", "0°", "5°"),
    ):
        assert change in text
    ask("revisions", edit="save")
    ask("pole", edit="remove_section", section="0")
    ask("rules", edit="set_field", path="rule:block:limit", text="")
    ask("shelf", edit="remove_mandrel_place", mandrel="5", place="1")
    ask("shelf", edit="remove_given", material="0", given="0")
    text = words(client.get(f"{REED}/revisions").text)
    for change in (
        changed("sections[0]", first, NOTHING),
        changed("mandrels[5].profile[1]", Message("change.place", diameter_mm="21.2 mm", at_mm="500 mm"), NOTHING),
        changed(
            "materials[0].given[0]",
            Message(
                "change.given", figure=Message("field.E1_GPa"), value="130 GPa", kind=Message("why.origin.measured")
            ),
            NOTHING,
        ),
        changed("setting.rules[0]", Message("change.rule", id="block"), NOTHING),
    ):
        assert change in text
