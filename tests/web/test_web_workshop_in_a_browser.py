"""What an owner does to a pole and to what it rests on, in a real browser: sections, lots, mandrels, rules."""

import json
import re

import pytest
from playwright.sync_api import Page, expect
from tests.said import said, sentence
from tests.web.pole_pages import saved, unsaved

from polewright.codes import Message

pytestmark = [pytest.mark.browser, pytest.mark.slow]

REED = "/poles/reedlight-7"
NO_BORE = said("limit.ge", limit=Message("bound.length", value=0.002))
BLOCK_BOUNDS = said("want.between", least=0, most=Message("bound.length", value=0.1))
SAVED, UNSAVED = saved(1), unsaved(1)


def labelled(code: str, **values: str) -> str:
    """The selector of what is named by a text of the catalogue."""
    return f"[aria-label={json.dumps(said(code, **values), ensure_ascii=False)}]"


def small_targets(page: Page) -> list[str]:
    """Buttons, fields and summaries in sight that a gloved finger would miss; all read in one breath."""
    found: list[str] = page.evaluate("""() => [...document.querySelectorAll(
        'button, select, summary, nav a, input:not([type=hidden]):not([role=switch]), label.switch')]
        .map(e => [e, e.getBoundingClientRect()]).filter(([e, r]) => r.width && r.left >= 0 && r.height < 43.5)
        .map(([e, r]) => `${e.outerHTML.slice(0, 90)} ${r.height}`)""")
    return found


def test_a_section_is_put_at_the_grip_undone_and_another_taken_out(page: Page) -> None:
    page.goto(f"{REED}/pole")
    page.click("#add-section-grip")
    expect(page.locator("#sections-5-mandrel")).to_have_value("P5-33.5")
    expect(page.locator(".figs")).to_contain_text(said("change.amount.more", by="616"))
    expect(page.locator("[data-part=drawing]")).to_contain_text(
        said("drawing.pole.ghost", name=said("scene.revision", revision=1), droop=Message("scene.droop", droop=0.924))
    )
    expect(page.locator("[data-part=reaches]")).to_contain_text(said("drawn_out.some", out=4))
    page.keyboard.press("Control+z")
    expect(page.locator(".rev")).to_have_text(SAVED)
    expect(page.locator("#sections-5-mandrel")).to_have_count(0)
    page.click("#remove-section-1")
    expect(page.locator("#remove-section-5")).to_have_count(0)
    expect(page.locator("#sections-0-mandrel")).to_have_value("M25-A")
    page.focus("[data-act=save]")
    page.keyboard.press("Enter")
    expect(page.locator(".rev")).to_have_text(saved(2))
    expect(page.locator("#place")).to_be_focused()
    page.reload()
    expect(page.locator("#sections-0-mandrel")).to_have_value("M25-A")


def test_a_tip_too_wide_for_the_rack_gets_its_mandrel_by_the_keyboard_and_then_the_section(page: Page) -> None:
    page.goto(f"{REED}/pole")
    page.focus("#add-section-tip")
    page.keyboard.press("Enter")
    expect(page.locator("#add-section-tip-fault")).to_contain_text(
        sentence("want.mandrel_inside_first", most=0.0214, length=1.65)
    )
    page.focus("#add-section-tip")
    page.keyboard.press("Enter")
    expect(page.locator("#pole-fields .fault")).to_have_count(1)
    page.goto(f"{REED}/shelf")
    for field, text in (("#bar-name", "M21"), ("#bar-small", "21,3"), ("#bar-big", "21,3"), ("#bar-long", "2 m")):
        page.fill(field, text)
    page.keyboard.press("Enter")
    expect(page.locator(labelled("place.shelf.mandrel", id="M21"))).to_contain_text(said("place.shelf.not_rolled"))
    expect(page.locator("#bar-name")).to_have_value("")
    page.goto(f"{REED}/pole")
    page.focus("#add-section-tip")
    page.keyboard.press("Enter")
    expect(page.locator("#sections-0-mandrel")).to_have_value("M21")
    expect(page.locator("#sections-1-mandrel")).to_have_value("M23-A")


def test_a_section_taken_out_between_two_leaves_a_loose_joint_and_is_put_back_by_the_keyboard(page: Page) -> None:
    page.goto(f"{REED}/pole")
    page.focus("#insert-after-2")
    page.keyboard.press("Enter")
    expect(page.locator("#insert-after-2-fault")).to_contain_text(said("part.sections", first=3, last=5))
    page.focus("#remove-section-3")
    page.keyboard.press("Enter")
    expect(page.locator("[data-part=fit-1]")).to_contain_text(said("rule.title.loose_joint"))
    expect(page.locator("#pole-fields .fault")).to_have_count(0)
    page.focus("#insert-after-2")
    page.keyboard.press("Enter")
    expect(page.locator("#sections-2-mandrel")).to_have_value("M27-A")
    expect(page.locator("[data-part=fit-1]")).not_to_contain_text(said("rule.title.loose_joint"))
    expect(page.locator("#insert-after-2")).to_be_focused()


def test_a_prepreg_and_a_mandrel_are_renamed_and_all_their_uses_follow(page: Page) -> None:
    page.goto(f"{REED}/shelf")
    page.fill("#materials-0-id", "TH55")
    page.keyboard.press("Enter")
    expect(page.locator("#materials-0-id-fault")).to_contain_text(said("want.own_name_on_shelf"))
    expect(page.locator("#materials-0-id")).to_have_value("TH55")
    page.fill("#materials-0-id", "SM150 lot B17")
    page.keyboard.press("Enter")
    expect(page.locator(f"{labelled('place.shelf.prepreg', id='SM150 lot B17')} h3")).to_contain_text(
        said("place.shelf.in_section_range", first=1, last=5)
    )
    expect(page.locator("#materials-0-id")).to_be_focused()
    page.click("#mandrel-3-more summary")
    page.fill("#mandrels-3-id", "bar four")
    page.keyboard.press("Enter")
    expect(page.locator(f"{labelled('place.shelf.mandrel', id='bar four')} h3")).to_contain_text(
        said("place.shelf.in_section", section=4)
    )
    page.goto(f"{REED}/wall?section=4")
    expect(page.locator("#ply-1-prepreg")).to_have_value("SM150 lot B17")
    expect(page.locator("[data-part=where]")).to_contain_text("bar four")
    for _ in range(2):
        page.click("[data-act=undo]")
    expect(page.locator(".rev")).to_have_text(SAVED)
    expect(page.locator("#ply-1-prepreg")).to_have_value("SM150")
    expect(page.locator("#add-prepreg")).to_have_value("TH55")


def test_the_flags_fit_a_phone(phone: Page) -> None:
    phone.goto("/poles/peerglass-8/cut?section=4")
    expect(phone.locator(".flag .narrow svg")).to_have_count(7)
    wide = phone.evaluate("""() => [document.documentElement.scrollWidth, ...[...document.querySelectorAll(
        '.flag .narrow text')].map(e => e.getBoundingClientRect()).flatMap(r => [r.right, innerWidth - r.left])]""")
    assert max(wide) <= 390


def test_a_measured_bore_is_typed_wrong_kept_and_typed_right(page: Page) -> None:
    page.goto(f"{REED}/pole")
    page.fill("#sections-1-bore_mm", "-24")
    page.keyboard.press("Enter")
    expect(page.locator("#sections-1-bore_mm-fault")).to_contain_text(NO_BORE)
    expect(page.locator("#sections-1-bore_mm")).to_have_value("-24")
    page.fill("#sections-1-bore_mm", "24.83")
    page.keyboard.press("Enter")
    expect(page.locator("[data-part=tube-2]")).to_contain_text(said("page.pole.bore.measured", bore=0.02481))
    expect(page.locator("[data-part=block]")).to_contain_text(said("resting.bores", count=1, of=5))
    expect(page.locator("#pole-fields .fault")).to_have_count(0)
    page.fill("#sections-1-bore_mm", "")
    page.keyboard.press("Enter")
    expect(page.locator("[data-part=tube-2]")).to_contain_text(said("page.pole.bore.by_mandrel"))
    expect(page.locator(".rev")).to_have_text(SAVED)


def test_a_lot_is_weighed_and_its_figure_distinguished_from_the_defaults(page: Page) -> None:
    page.goto(f"{REED}/shelf")
    page.click("#prepreg-0-give summary")
    page.fill("#prepreg-0-value", "heavy")
    page.fill("#prepreg-0-lot", "B17")
    page.keyboard.press("Enter")
    expect(page.locator("#prepreg-0-value-fault")).to_contain_text(re.compile(r"'heavy'"))
    expect(page.locator("#prepreg-0-value")).to_be_focused()
    expect(page.locator("#prepreg-0-value")).to_have_value("heavy")
    expect(page.locator("#prepreg-0-lot")).to_have_value("B17")
    page.fill("#prepreg-0-value", "235.1")
    page.keyboard.press("Enter")
    expect(page.locator("[data-part=prepreg-0-given-0]")).to_have_text(
        f"{said('why.origin.measured_here')}, {said('place.shelf.of_lot', lot='B17')}"
    )
    expect(page.locator("[data-part=prepreg-0-rests]")).to_contain_text(
        sentence("place.shelf.rests_known", known=2, of=18)
    )
    expect(page.locator(".fault")).to_have_count(0)
    expect(page.locator("#prepreg-0-give")).to_have_attribute("open", "")
    field = page.locator("#materials-0-given-0-value")
    field.fill("-1")
    field.press("Enter")
    expect(page.locator("#materials-0-given-0-value-fault")).to_contain_text(re.compile(r"'-1': 10\b.*\b5.000\b"))
    expect(field).to_have_value("-1")
    page.click("#prepreg-0-derive-0")
    expect(field).to_have_count(0)
    expect(page.locator("[data-part=prepreg-0-rests]")).to_contain_text(sentence("place.shelf.rests_default"))


def test_a_lot_of_its_own_is_chosen_for_a_ply_and_kept_for_the_workshop(page: Page) -> None:
    page.goto(f"{REED}/shelf")
    page.fill("#new-name", "SM150-B")
    page.fill("#new-lot", "B17")
    page.keyboard.press("Enter")
    expect(page.locator(labelled("place.shelf.prepreg", id="SM150-B"))).to_contain_text(said("place.shelf.not_cut"))
    page.click("#prepreg-2-remove")
    expect(page.locator(labelled("place.shelf.prepreg", id="SM150-B"))).to_have_count(0)
    page.click("[data-act=undo]")
    expect(page.locator(labelled("place.shelf.prepreg", id="SM150-B"))).to_have_count(1)
    page.goto(f"{REED}/wall?section=4")
    with page.expect_response(lambda answer: "/edit" in answer.url):
        page.select_option("#ply-1-prepreg", "SM150-B")
    expect(page.locator(".rev")).to_have_text(UNSAVED)
    page.goto(f"{REED}/shelf")
    expect(page.locator("[data-part=prepreg-2-used]")).to_have_text(said("place.shelf.in_section", section=4))
    page.click("#prepreg-2-remove")
    expect(page.locator("#prepreg-2-remove-fault")).to_contain_text(said("want.prepreg_not_used", ply=2, section=4))
    page.click(labelled("place.shelf.keep_for_the_workshop", name="SM150-B"))
    expect(page.locator("#workshop")).to_contain_text("SM150-B")
    page.goto("/poles/crookbough-5/shelf")
    page.click(labelled("place.shelf.take_into_this_pole", id="SM150-B"))
    expect(page.locator(labelled("place.shelf.prepreg", id="SM150-B"))).to_be_visible()


def test_sections_go_one_by_one_by_the_keyboard_down_to_the_last_which_stays(page: Page) -> None:
    page.goto("/poles/crookbough-5/pole")
    page.focus("#remove-section-1")
    for left in (3, 2, 1):
        page.keyboard.press("Enter")
        expect(page.locator("#pole-fields .gridded")).to_have_count(left)
    expect(page.locator("#remove-section-1")).to_be_disabled()
    expect(page.locator("#pole-fields")).to_be_focused()
    expect(page.locator("#joint-fields")).to_contain_text(said("page.pole.no_joint"))
    for _ in range(3):
        page.keyboard.press("Control+z")
    expect(page.locator(".rev")).to_have_text(saved(1))


def test_what_is_taken_off_the_shelf_is_put_back_without_losing_the_place(page: Page) -> None:
    page.goto(f"{REED}/shelf")
    rows = page.locator("#workshop tbody tr")
    before = rows.count()
    page.get_by_role("button", name=said("place.shelf.take_off_the_workshop_shelf", id="SM100")).click()
    expect(rows).to_have_count(before - 1)
    assert page.evaluate("() => scrollY") > 400
    expect(page.locator("[data-part=off]")).to_contain_text("SM100")
    page.get_by_role("button", name=said("place.shelf.put_back_on_the_workshop", id="SM100")).click()
    expect(rows).to_have_count(before)
    expect(page.locator("[data-part=off]")).not_to_contain_text("SM100")


def test_a_rule_is_switched_with_the_space_bar_limited_and_undone(page: Page) -> None:
    page.goto(f"{REED}/rules")
    expect(page.locator("[data-part=rule-woven-skin-now]")).to_contain_text(said("verdict.look"))
    page.focus("#rule-woven-skin-on")
    page.keyboard.press("Space")
    expect(page.locator("[data-part=rule-woven-skin-now]")).to_have_text(said("place.rules.quiet.off"))
    expect(page.locator("[data-part=rule-woven-skin-state]")).to_have_text(said("place.rules.state.off"))
    limit = page.locator("[data-path='rule:block:limit']")
    limit.fill("-1")
    limit.press("Enter")
    expect(page.locator(".fault")).to_have_text(
        said("script.field_is", name=said("field.limit"), value="'-1'", want=BLOCK_BOUNDS)
    )
    expect(limit).to_have_value("-1")
    limit.fill("0,7")
    limit.press("Enter")
    expect(page.locator("[data-part=rule-block-now] .look")).to_contain_text(sentence("part.sections", first=2, last=5))
    expect(page.locator(".fault")).to_have_count(0)
    page.click("[data-act=undo]")
    expect(limit).to_have_value("1.2")
    page.click("[data-act=undo]")
    expect(page.locator("#rule-woven-skin-on")).to_be_checked()
    expect(page.locator(".rev")).to_have_text(SAVED)


def test_undo_keys_take_back_typing_first_and_then_the_edit(page: Page) -> None:
    page.goto(f"{REED}/rules")
    page.click("#rule-woven-skin-on")
    expect(page.locator(".rev")).to_have_text(UNSAVED)
    page.focus("#own-title")
    page.keyboard.type("Less")
    page.keyboard.press("Control+z")
    expect(page.locator("#own-title")).to_have_value("")
    expect(page.locator("#rule-woven-skin-on")).not_to_be_checked()
    page.keyboard.press("Control+z")
    expect(page.locator("#rule-woven-skin-on")).to_be_checked()


def test_a_rule_of_ones_own_is_added_reworded_and_removed(page: Page) -> None:
    least_wall = said("rule.title.least_wall")
    page.goto(f"{REED}/rules")
    page.fill("#own-title", least_wall)
    page.click("#add-rule button")
    expect(page.locator("#own-title-fault")).to_contain_text(repr(least_wall))
    expect(page.locator("#own-limit-fault")).to_be_visible()
    expect(page.locator("#own-title")).to_have_value(least_wall)
    page.fill("#own-title", "Less SM150")
    page.fill("#own-limit", "0.6")
    page.select_option("#own-ply", "SM150")
    page.click("#add-rule button")
    expect(page.locator("[data-part=rule-less-sm150-now] .look")).to_contain_text(
        re.compile(r"ess SM150.*0\.738.mm.*0\.6")
    )
    expect(page.locator("#own-title")).to_have_value("")
    page.click("#rule-less-sm150-words summary")
    reason = page.locator("[data-path='rule:less-sm150:reason']")
    reason.fill("it split twice last winter")
    reason.press("Enter")
    expect(page.locator("[data-part=rule-less-sm150-why]")).to_contain_text("It split twice last winter.")
    page.goto(f"{REED}/wall?section=4")
    expect(page.locator("[data-part=checks]")).to_contain_text("it split twice last winter")
    page.goto(f"{REED}/rules")
    page.click("#rule-less-sm150-remove")
    expect(page.locator("#rule-less-sm150-on")).to_have_count(0)
    expect(page.locator(".rev")).to_have_text(SAVED)


@pytest.mark.parametrize("place", ["pole", "shelf", "rules"])
def test_gloves_can_hit_what_there_is_to_hit_on_a_phone(phone: Page, place: str) -> None:
    phone.goto(f"{REED}/{place}")
    phone.evaluate("() => document.querySelectorAll('#stocked details, #rules details').forEach(d => d.open = true)")
    assert phone.evaluate("() => document.documentElement.scrollWidth") <= 390
    assert small_targets(phone) == []


def test_a_section_and_a_rule_are_changed_on_a_phone(phone: Page) -> None:
    phone.goto(f"{REED}/pole")
    phone.click("#add-section-grip")
    expect(phone.locator("#sections-5-mandrel")).to_have_value("P5-33.5")
    phone.goto(f"{REED}/rules")
    phone.click("label.switch:has(#rule-woven-skin-on)")
    expect(phone.locator("[data-part=rule-woven-skin-now]")).to_have_text(said("place.rules.quiet.off"))
    assert phone.evaluate("() => document.documentElement.scrollWidth") <= 390


@pytest.mark.parametrize("width", [1101, 1280, 1440])
def test_nothing_overlaps_anything_else_at_the_wall(page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    page.goto(f"{REED}/wall?section=4")
    apart = page.evaluate("""() => {
        const [table, told] = ['.ply-table', '.told'].map(e => document.querySelector(e).getBoundingClientRect());
        return table.right <= told.left || table.bottom <= told.top;
    }""")
    assert apart
    assert page.evaluate("() => document.documentElement.scrollWidth") <= width
