"""Shelf, rules and sections as the page's script asks: kept, undone, refused in words, default told from measured."""

import html
import re
from typing import Any

from tests.said import refused, said, sentence
from tests.web.page_text import plain, words

from polewright.codes import Message
from polewright.workshop import Workshop

REED = "/poles/reedlight-7"
ALL_OUT = said("scene.state.loaded", reach=Message("drawn_out.all"), load=0.6)
LOT_B17 = said("place.shelf.of_lot", lot="B17")


def modulus(value: float) -> Message:
    """A bound of a modulus [Pa], as a refusal has it."""
    return Message("bound.modulus", value=value)


def test_a_section_at_the_grip_comes_from_the_workshops_rack_with_the_ghost_of_before(
    ask: Any, client: Any, workshop: Workshop
) -> None:
    answer = ask("pole", edit="add_section", end="grip")
    assert answer.status_code == 200
    assert [s["mandrel"] for s in plain(workshop)["sections"]][-1] == "P5-33.5"
    assert said(
        "drawing.pole.ghost", name=said("scene.revision", revision=1), droop=Message("scene.droop", droop=0.924)
    ) in html.unescape(answer.text)
    assert ALL_OUT in answer.text
    assert said("change.amount.more", by="616") in answer.text
    new = client.get(f"{REED}/wall?section=6")  # nothing as saved to hold it against
    assert new.status_code == 200
    assert 'class="was"' not in new.text
    assert ask("pole", edit="undo").status_code == 200
    assert workshop.designs.open("reedlight-7").draft is None


def test_figures_of_a_wall_are_held_against_the_same_section_as_saved(ask: Any, client: Any) -> None:
    ask(
        "shelf",
        edit="add_mandrel",
        mandrel="M21",
        metal="aluminium_6000",
        small_end_mm="21.3",
        big_end_mm="21.3",
        length_mm="2000",
    )
    ask("pole", edit="add_section", end="tip")
    old = re.findall(r'<td class="chg">(.*?)</td>', client.get(f"{REED}/wall?section=5").text)
    new = re.findall(r'<td class="chg">(.*?)</td>', client.get(f"{REED}/wall?section=1").text)
    assert set(old) == {said("change.none")}
    assert set(new) == {""}


def test_a_tip_that_nothing_on_the_rack_fits_is_refused_with_the_mandrel_that_would(ask: Any) -> None:
    says = ask("pole", edit="add_section", end="tip").json()["faults"][0]["says"]
    wanted = said("want.mandrel_inside_first", most=0.0214, length=1.65)
    assert says == wanted[:1].upper() + wanted[1:]


def test_a_section_goes_and_the_drawing_stays_all_out(ask: Any, client: Any) -> None:
    assert ask("pole", edit="remove_section", section="4").status_code == 200
    text = client.get(f"{REED}/pole").text
    assert ALL_OUT in text
    assert 'hx-post="/poles/reedlight-7/pole/edit?section=3&amp;out=0"' in text
    assert len(re.findall(r'id="remove-section-\d+"', text)) == 4


def test_a_measured_bore_is_shown_beside_what_the_mandrel_gives_and_clearing_it_removes_it(
    ask: Any, workshop: Workshop
) -> None:
    text = words(ask("pole", edit="set_field", path="sections[0].bore_mm", text="23,05").text)
    assert words(said("page.pole.bore.measured", bore=0.023)) in text
    assert said("resting.bores", count=1, of=5) in text
    given = Message("page.pole.bore.by_mandrel")
    tube = words(said("page.pole.tube", outside=1.0, mass=1.0, bore=0.02481, origin=given))
    assert tube[tube.index("24.81") :] in text
    ask("pole", edit="set_field", path="sections[0].bore_mm", text="")
    assert workshop.designs.open("reedlight-7").draft is None


def test_a_lots_figure_is_distinguished_from_the_defaults_everywhere(ask: Any, client: Any) -> None:
    assert sentence("place.shelf.rests_default") in words(client.get(f"{REED}/shelf").text)
    ask("shelf", edit="give_figure", material="0", figure="total_g_m2", value="235,1", kind="measured", lot="B17")
    text = words(client.get(f"{REED}/shelf").text)
    assert sentence("place.shelf.rests_known", known=2, of=18) in text
    assert f"{said('why.origin.measured_here')} , {LOT_B17}" in text
    assert said("resting.prepregs", count=1, of=2) in text
    assert f"{said('ply_figure.resin_share')} 36.2 % {said('why.origin.measured_here')}" in text
    assert said("resting.prepregs", count=1, of=2) in words(client.get(f"{REED}/wall").text)


def test_a_given_figure_is_changed_in_its_row_and_taken_back(ask: Any, workshop: Workshop) -> None:
    ask("shelf", edit="give_figure", material="0", figure="E1_GPa", value="130", kind="certificate", lot="")
    assert ask("shelf", edit="set_field", path="materials[0].given[0].value", text="128 GPa").status_code == 200
    assert plain(workshop)["materials"][0]["given"][0]["value"] == 128.0
    wrong = ask("shelf", edit="set_field", path="materials[0].given[0].value", text="-5")
    want = Message("want.between", least=modulus(1e8), most=modulus(1e12))
    assert wrong.json()["faults"][0]["says"] == refused("materials[0].given[0].value", "'-5'", want)
    ask("shelf", edit="remove_given", material="0", given="0")
    assert workshop.designs.open("reedlight-7").draft is None


def test_faults_of_a_form_name_its_own_fields(ask: Any) -> None:
    faults = ask(
        "shelf",
        edit="add_mandrel",
        mandrel="",
        metal="aluminium_6000",
        small_end_mm="-1",
        big_end_mm="wide",
        length_mm="",
    ).json()["faults"]
    assert [f["field"] for f in faults] == ["mandrel", "small_end_mm", "big_end_mm", "length_mm"]
    assert faults[1]["says"] == refused("small_end_mm", "'-1'", "limit.ge", limit=Message("bound.length", value=0.002))
    assert faults[3]["says"] == refused("length_mm", None, "want.still_empty")


def test_a_mandrel_on_an_inch_page_is_in_inches(ask: Any, client: Any, workshop: Workshop) -> None:
    client.cookies["units"] = "inch"
    ask(
        "shelf",
        edit="add_mandrel",
        mandrel="inch bar",
        metal="steel_carbon",
        small_end_mm="1",
        big_end_mm="1 1/64",
        length_mm="70",
    )
    bar = plain(workshop)["mandrels"][-1]
    assert [p["diameter_mm"] for p in bar["profile"]] == [25.4, 25.796875]
    assert bar["profile"][1]["at_mm"] == 1778.0
    ask("shelf", edit="add_mandrel_place", mandrel="5", at_mm="35", diameter_mm="1.01")
    assert plain(workshop)["mandrels"][-1]["profile"][1] == {"at_mm": 889.0, "diameter_mm": 25.654}


def test_a_thing_kept_for_the_workshop_can_be_taken_by_another_pole(ask: Any, client: Any, workshop: Workshop) -> None:
    ask("shelf", edit="give_figure", material="0", figure="E1_GPa", value="130", kind="measured", lot="L1")
    assert client.post(f"{REED}/shelf/keep", data={"kind": "material", "name": "SM150"}).status_code == 303
    there = client.get("/poles/tallreed-11/shelf").text
    take = re.escape(html.escape(said("place.shelf.take_into_this_pole", id="SM150")))
    found = re.search(rf'id="take-(\d+)" data-edit="take_stock" data-entry="\1" aria-label="{take}"', there)
    assert found is not None
    assert said("place.shelf.state.differs") in there
    answer = client.post("/poles/tallreed-11/shelf/edit", data={"edit": "take_stock", "entry": found[1]})
    assert answer.status_code == 200
    taken = workshop.designs.open("tallreed-11").draft
    assert taken is not None
    assert next(m for m in taken.plain["materials"] if m["id"] == "SM150")["given"][0]["value"] == 130.0
    assert client.post(f"{REED}/shelf/off", data={"entry": found[1]}).status_code == 303
    assert "SM150" not in {entry.document.material.id for entry in workshop.shelf.materials()}
    assert client.post(f"{REED}/shelf/keep", data={"kind": "material", "name": "none"}).status_code == 404
    assert client.post(f"{REED}/shelf/off", data={"entry": "999"}).status_code == 404
    assert client.post(f"{REED}/shelf/back", data={"entry": "999"}).status_code == 404
    assert client.post(f"{REED}/shelf/off", data={"entry": "x"}).status_code == 422
