"""States that the workshop rarely comes to, each told by what is wrong or by what is asked for."""

import json
from types import SimpleNamespace
from typing import Any

import pytest
from tests.kept.searched import brief_of
from tests.kept.whole import ROOT, design_of
from tests.workshop.test_find_work import Watching

from polewright.codes import Message
from polewright.documents.files import load
from polewright.documents.stock import MandrelDocument
from polewright.documents.values import workpiece
from polewright.errors import DesignError, PolewrightError
from polewright.wall.rules import SHIPPED
from polewright.workshop import records, shelf
from polewright.workshop.chain import _named
from polewright.workshop.demo import demo_designs
from polewright.workshop.edits import take_stock
from polewright.workshop.hold import drawn_by_order, drawn_lengths, hold_bounds, holding_at
from polewright.workshop.jobs.find_work import find_work
from polewright.workshop.jobs.order import Stopped
from polewright.workshop.jobs.process import _died
from polewright.workshop.jobs.scatter_work import scatter_work
from polewright.workshop.jobs.wire import Order, order_from, order_message
from polewright.workshop.request_guard import wanted_instead
from polewright.workshop.rules import rule_limit

REED = design_of("reedlight-7")
BRIEF = {"document": "brief", "schema_version": 1}


def refusal_of(asked: Any) -> tuple[str, object, str]:
    with pytest.raises(PolewrightError) as found:
        asked()
    ((field, value, want),) = found.value.faults
    assert isinstance(want, Message)
    return field, value, want.code


def test_a_search_stops_when_its_time_is_over():
    watch = Watching()
    with pytest.raises(Stopped) as found:
        find_work({**brief_of("lightest"), **BRIEF}, {"seconds": -1.0}, watch=watch, state=None)
    assert (found.value.field, found.value.want.code) == ("search", "find.stopped_early")


def test_a_search_with_time_enough_comes_to_its_end():
    answer = find_work({**brief_of("lightest"), **BRIEF}, {"seconds": 1e6}, watch=Watching(), state=None)
    assert answer.is_complete


def test_only_a_pole_is_sampled():
    brief = {**brief_of("lightest"), **BRIEF}
    with pytest.raises(DesignError) as found:
        scatter_work(brief, {"poles": 64, "order": 1, "seed": 1}, watch=Watching(), state=None)
    assert (found.value.field, found.value.value) == ("document", "brief")


def test_a_worker_that_ended_by_itself_is_told_by_its_status_and_one_that_was_killed_by_the_signal():
    assert _died(3) == Message("job.died", status=3)
    assert _died(-9) == Message("job.killed", signal="SIGKILL")


@pytest.mark.parametrize("state", [None, b"", b"\x00kept"])
def test_an_order_comes_out_of_its_message_as_it_went_in(state):
    order = Order("module:work", {"document": "brief"}, {"seconds": 2.0}, state, 3.5)
    assert order_from(order_message(order)) == order


def test_the_way_that_a_mandrel_of_the_shelf_takes_is_that_of_a_mandrel():
    bar = REED.mandrels[0].model_copy(update={"material": "steel_carbon"})
    taken = take_stock(REED, 5, MandrelDocument(mandrel=bar))
    assert taken.mandrels[0].material == "steel_carbon"
    assert taken.materials == REED.materials


@pytest.mark.parametrize(
    ("reach", "fields"), [(None, {}), ("all", {"out": 0}), (" all ", {"out": 0}), ("2", {"out": 2}), ("0", {"out": 0})]
)
def test_a_reach_is_all_or_a_count_of_sections(reach, fields):
    work = workpiece(REED)
    held = holding_at(work, {"head_g": 300.0}, reach)
    assert (held.head_g, held.out, held.drawn_mm) == (300.0, fields.get("out", 0), ())


def test_a_reach_is_a_length_between_pushed_in_and_fully_out():
    work = workpiece(REED)
    assert holding_at(work, {}, "4000 mm").drawn_mm == drawn_lengths(work, 4.0)
    assert holding_at(work, {}, f"{1e3 * work.pole.extended_length!r}").drawn_mm != ()
    most = len(work.pole.joints)
    for typed in (f"{most + 1}", "1 mm", f"{1e3 * work.pole.extended_length + 1.0}"):
        assert refusal_of(lambda typed=typed: holding_at(work, {}, typed)) == ("reach", typed, "want.reach_between")


def test_a_reach_of_a_slider_is_drawn_out_in_the_order_asked_for():
    work = workpiece(REED)
    assert drawn_by_order(work, None, "thin") == drawn_lengths(work, work.pole.extended_length)
    assert drawn_by_order(work, "4000", "thick") == drawn_lengths(work, 4.0, "thick") != drawn_lengths(work, 4.0)
    field, value, _ = refusal_of(lambda: drawn_by_order(work, "far", "thin"))
    assert (field, value) == ("reach_mm", "'far'")


def test_a_field_of_a_hold_that_has_bounds_tells_both():
    assert hold_bounds("lean_deg") is not None
    assert hold_bounds("push_N") == (Message("bound.force", value=0.0), Message("bound.force", value=500.0))
    assert hold_bounds("support") is None
    assert hold_bounds("no such field") is None


@pytest.mark.parametrize("rule", SHIPPED, ids=lambda rule: rule.id)
def test_a_limit_of_a_rule_is_told_in_the_unit_of_a_workshop(rule):
    factor, unit = {"m": (1e3, "mm"), "rad": (57.29577951308232, "°")}.get(rule.unit, (1.0, rule.unit))
    limit, shown = rule_limit(rule)
    assert shown == (unit if rule.limit is not None else rule.unit)
    assert limit == (None if rule.limit is None else pytest.approx(factor * rule.limit))


@pytest.mark.parametrize(
    ("place", "least", "most", "want"),
    [
        (3, 0.03012, float("inf"), Message("want.mandrel_round_last", section=3, least=0.03013, length=1.5)),
        (0, 0.0, 0.01999, Message("want.mandrel_inside_first", most=0.01999, length=1.5)),
        (1, 0.020004, 0.020016, Message("want.mandrel_of_size", tip=1, butt=2, size=0.02001, length=1.5)),
        (1, 0.0200, 0.0203, Message("want.mandrel_between", tip=1, butt=2, least=0.02, most=0.0203, length=1.5)),
    ],
)
def test_the_mandrel_wanted_is_named_in_hundredths_of_a_millimetre(place, least, most, want):
    told = _named(place, least, most, 1.5, 3)
    assert told.code == want.code
    assert dict(told.values) == pytest.approx(dict(want.values), abs=1.1e-5)


@pytest.mark.parametrize(
    ("status", "code"),
    [(400, "want.whole_request"), (404, "want.known_address"), (405, "want.other_method"), (418, "want.other_request")],
)
def test_a_request_that_the_framework_turns_away_is_told_what_would_be_right(status, code):
    told = wanted_instead(status, "PUT")
    assert told.code == code
    assert dict(told.values) == {405: {"method": "PUT"}, 418: {"status": 418}}.get(status, {})


def test_what_the_store_holds_is_of_the_kind_that_it_should_be():
    text = json.dumps(REED.plain(), sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    row: Any = SimpleNamespace(id=7, content=text, content_hash=REED.content_hash(), revision=1)
    readers = {"tests@7": lambda: records._entry(row, "reedlight-7"), "shelf entry 7": lambda: shelf._document(row)}
    for what, read in readers.items():
        with pytest.raises(PolewrightError) as found:
            read()
        assert found.value.faults[0][0] == "document"
        assert found.value.faults[0][2].code == "want.document_kind"
        assert found.value.where == what


def test_a_folder_without_a_demo_has_no_designs(tmp_path):
    assert demo_designs(tmp_path / "none") == ()
    for name, shown in (("b.toml", "reedlight-7.toml"), ("a.toml", "briefs/reedlight-7.toml")):
        (tmp_path / name).write_bytes((ROOT / "examples" / shown).read_bytes())
    (tmp_path / "c.txt").write_text("no design", encoding="utf-8")
    assert demo_designs(tmp_path) == (load(ROOT / "examples/reedlight-7.toml"),)
