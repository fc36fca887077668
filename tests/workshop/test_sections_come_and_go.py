"""Sections put in and taken out: the wall of the neighbour on the next mandrel, joints and wishes kept whole."""

import pytest

from polewright.documents.design import Design
from polewright.documents.files import DocumentError
from polewright.units import to
from polewright.words.reports.check import evaluate as check
from polewright.workshop import (
    add_mandrel,
    add_section,
    demo_designs,
    edited,
    remove_mandrel,
    remove_section,
    set_field,
)


@pytest.fixture(scope="module")
def demo() -> dict[str, Design]:
    return {design.name: design for design in demo_designs()}


@pytest.fixture(scope="module")
def reedlight(demo: dict[str, Design]) -> Design:
    return demo["Reedlight 7"]


@pytest.fixture(scope="module")
def rack(demo: dict[str, Design]):
    return tuple(mandrel for design in demo.values() for mandrel in design.mandrels)


def on(design: Design) -> list[str]:
    return [section.mandrel for section in design.sections]


def with_bar(design: Design, diameter: float, length: float = 2000.0) -> Design:
    return add_mandrel(
        design, {"mandrel": "new", "small_end_mm": diameter, "big_end_mm": diameter, "length_mm": length}
    )


def test_a_section_at_the_grip_takes_the_next_mandrel_that_leaves_the_clearance(reedlight, rack):
    longer = add_section(reedlight, "grip", rack)
    assert on(longer) == [*on(reedlight), "P5-33.5"]
    report = check(longer)
    last, inner = report.sections[-1], report.sections[-2]
    assert last.stack == inner.stack
    assert last.length_mm == inner.length_mm
    clear = last.bore_mouth_mm - inner.outside_butt_mm
    assert clear >= reedlight.setting.clearance_least_mm
    narrower = [m for m in rack if m.profile[0].diameter_mm < 33.52]
    with pytest.raises(DocumentError):
        add_section(reedlight, "grip", narrower)
    wider = [m for m in rack if m.profile[0].diameter_mm > 33.52]
    assert on(add_section(reedlight, "grip", wider))[-1] == "T6-33.9"


def test_what_was_there_stays_as_it_was(reedlight, rack):
    longer = add_section(reedlight, "grip", rack)
    assert longer.sections[:-1] == reedlight.sections
    assert longer.joints[:-1] == reedlight.joints
    assert longer.materials == reedlight.materials
    assert longer.mandrels[:-1] == reedlight.mandrels
    assert remove_section(longer, 5).sections == reedlight.sections


@pytest.mark.parametrize("ridge", [0.0, 0.1])
@pytest.mark.parametrize("end", ["grip", "tip"])
def test_the_mandrel_that_a_refusal_names_is_the_one_that_will_do(reedlight, end, ridge):
    reedlight = set_field(reedlight, "setting.seam_ridge_mm", ridge)
    with pytest.raises(DocumentError, match=r"want\.mandrel_(round_last|inside_first)") as refused:
        add_section(reedlight, end)
    wanted = refused.value.faults[0][2].values
    size = to(wanted["least"] if end == "grip" else wanted["most"], "mm")
    made = add_section(with_bar(reedlight, size), end)
    assert "new" in on(made)
    outward = -0.03 if end == "grip" else 0.03
    with pytest.raises(DocumentError, match=r"want\.mandrel_(round_last|inside_first)"):
        add_section(with_bar(reedlight, size + outward), end)
    with pytest.raises(DocumentError, match=r"want\.mandrel_(round_last|inside_first)"):
        add_section(with_bar(reedlight, size, length=1600.0), end)


def test_a_section_at_the_tip_is_number_one_and_slides_in_the_old_tip(reedlight):
    longer = add_section(with_bar(reedlight, 21.3), "tip")
    assert longer.sections[1:] == reedlight.sections
    assert longer.joints[1:] == reedlight.joints
    report = check(longer)
    assert report.joints[0].clearance_least_mm >= reedlight.setting.clearance_least_mm
    assert report.sections[0].outside_butt_mm < report.sections[1].bore_mouth_mm


def test_a_new_section_is_no_measured_one(reedlight, rack):
    known = set_field(set_field(reedlight, "joints[3].stiffness_from", "measured"), "sections[4].bore_mm", 31.2)
    longer = add_section(known, "grip", rack)
    assert longer.joints[3].stiffness_from == "measured"
    assert longer.joints[4].stiffness_from == "default"
    assert longer.sections[4].bore_mm == 31.2
    assert longer.sections[5].bore_mm is None


def test_a_new_section_has_room_on_a_mandrel_shorter_than_its_neighbours_place_asks(reedlight):
    longer = add_section(with_bar(reedlight, 33.5, length=1700.0), "grip")
    assert longer.sections[-1].place_mm == 50.0


@pytest.mark.parametrize(("gone", "joints_left"), [(0, [1, 2, 3]), (1, [1, 2, 3]), (3, [0, 1, 3]), (4, [0, 1, 2])])
def test_a_section_taken_out_leaves_the_others_and_the_outer_joint(reedlight, gone, joints_left):
    marked = reedlight
    for i in range(4):
        marked = set_field(marked, f"joints[{i}].clamp_g", 40 + i)
    shorter = remove_section(marked, gone)
    assert on(shorter) == [m for i, m in enumerate(on(reedlight)) if i != gone]
    assert [joint.clamp_g for joint in shorter.joints] == [40 + i for i in joints_left]
    assert len(check(shorter).sections) == 4


def test_between_two_that_stay_the_joint_is_no_measured_one(reedlight):
    known = set_field(reedlight, "joints[2].stiffness_from", "measured")
    assert remove_section(known, 2).joints[1].stiffness_from == "default"
    assert remove_section(known, 0).joints[1].stiffness_from == "measured"


def test_a_wish_for_more_sections_out_than_are_left_is_a_wish_for_all(reedlight):
    wished = set_field(
        reedlight,
        "brief.droop",
        [{"out": 3, "tip_total_g": 600, "at_most_mm": 400}, {"out": 2, "tip_total_g": 600, "at_most_mm": 400}],
    )
    assert [wish.out for wish in remove_section(wished, 4).brief.droop] == [0, 2]


def test_the_last_section_and_a_thirteenth_are_refused(reedlight):
    one = reedlight
    for _ in range(4):
        one = remove_section(one, 0)
    assert one.joints == ()
    with pytest.raises(DocumentError, match=r"want\.one_section_left"):
        remove_section(one, 0)
    with pytest.raises(DocumentError, match=r"want\.no_such_section_give"):
        remove_section(reedlight, 5)
    many = set_field(one, "joints", [])
    plain = many.plain()
    plain["sections"] = [plain["sections"][0] for _ in range(12)]
    plain["joints"] = [{"overlap_mm": 200} for _ in range(11)]
    with pytest.raises(DocumentError, match=r"want\.at_most_count \(limit 12\)"):
        add_section(Design.model_validate(plain), "grip")


def test_a_pole_of_one_section_gets_a_joint_of_its_own(reedlight):
    one = reedlight
    for _ in range(4):
        one = remove_section(one, 0)
    two = add_section(with_bar(one, 33.5), "grip")
    assert two.joints[0].overlap_mm == 206.0
    assert check(two).joints[0].clearance_least_mm > 0.0


def test_both_are_edits_by_name_like_any_other(reedlight, rack):
    assert edited(reedlight, "add_section", end="grip", rack=rack) == add_section(reedlight, "grip", rack)
    assert edited(reedlight, "remove_section", section=0) == remove_section(reedlight, 0)
    with pytest.raises(DocumentError, match=r"end is 'middle': want\.end_or_place"):
        edited(reedlight, "add_section", end="middle")
    with pytest.raises(DocumentError, match=r"want\.end_or_place \(count 5\)"):
        edited(reedlight, "add_section", rack=rack)
    with pytest.raises(DocumentError, match=r"at is 6: want\.place_of_section \(count 5\)"):
        edited(reedlight, "add_section", at=6)
    with pytest.raises(DocumentError, match=r"want\.place_of_section"):
        edited(reedlight, "add_section", at=2, end="tip")


def test_a_place_at_either_end_is_that_end(reedlight, rack):
    assert add_section(reedlight, rack=rack, at=5) == add_section(reedlight, "grip", rack)
    bars = with_bar(reedlight, 21.3)
    assert add_section(bars, at=0) == add_section(bars, "tip")


@pytest.fixture(scope="module")
def gapped(reedlight):
    """Reedlight 7 without its third section: 2.5 mm between the second and the one that was the fourth."""
    return remove_section(reedlight, 2)


def test_a_section_between_two_goes_back_where_it_came_from(reedlight, gapped):
    whole = add_section(gapped, at=2)
    assert on(whole) == on(reedlight)
    assert whole.sections[2].stack == reedlight.sections[1].stack
    assert [joint.overlap_mm for joint in whole.joints] == [joint.overlap_mm for joint in reedlight.joints]
    assert whole.sections[:2] + whole.sections[3:] == gapped.sections
    assert whole.joints[0] == gapped.joints[0]
    assert whole.joints[3] == gapped.joints[2]


def test_its_two_joints_are_no_measured_ones(gapped):
    known = set_field(set_field(gapped, "joints[1].stiffness_from", "measured"), "joints[2].stiffness_from", "measured")
    assert [j.stiffness_from for j in add_section(known, at=2).joints] == ["default", "default", "default", "measured"]


def test_of_the_mandrels_that_leave_enough_on_both_sides_the_closest_is_taken(gapped):
    """The gap takes 2.5 mm, the wall 1.71 mm, so that about 0.8 mm is shared by the two joints, 0.15 mm at least each:
    bars from 0.15 to 0.65 mm over the inner tube will do, and the middle one has the tightest looser joint."""
    bare = remove_mandrel(gapped, [m.id for m in gapped.mandrels].index("M27-A"))
    inner = check(bare).sections[1].outside_butt_mm
    bars = bare
    for name, gap in (("tight", 0.1), ("near", 0.2), ("middle", 0.39), ("far", 0.6), ("wide", 0.7)):
        bars = add_mandrel(
            bars, {"mandrel": name, "small_end_mm": inner + gap, "big_end_mm": inner + gap, "length_mm": 2000.0}
        )
    made = add_section(bars, at=2)
    assert made.sections[2].mandrel == "middle"
    least = made.setting.clearance_least_mm
    assert all(joint.clearance_least_mm >= least for joint in check(made).joints)
    for name in ("tight", "wide"):
        only = bars
        for mandrel in [m.id for m in bars.mandrels if m.id in {"tight", "near", "middle", "far", "wide"} - {name}]:
            only = remove_mandrel(only, [m.id for m in only.mandrels].index(mandrel))
        with pytest.raises(DocumentError, match=r"want\.mandrel_between"):
            add_section(only, at=2)


@pytest.mark.parametrize("ridge", [0.0, 0.1])
def test_between_two_a_refusal_names_the_diameters_from_least_to_most(gapped, ridge):
    bare = remove_mandrel(gapped, [m.id for m in gapped.mandrels].index("M27-A"))
    bare = set_field(bare, "setting.seam_ridge_mm", ridge)
    with pytest.raises(DocumentError, match=r"want\.mandrel_between \(butt 3, .*, tip 2\)") as refused:
        add_section(bare, at=2)
    wanted = refused.value.faults[0][2].values
    least, most = to(wanted["least"], "mm"), to(wanted["most"], "mm")
    for size in (least, most):
        assert "new" in on(add_section(with_bar(bare, size), at=2))
    for size in (least - 0.03, most + 0.03):
        with pytest.raises(DocumentError, match=r"want\.mandrel_between"):
            add_section(with_bar(bare, size), at=2)


def test_where_the_neighbours_leave_no_room_they_must_move_by_so_much(reedlight, rack):
    """Once the sections outside stand as much wider as is asked for, a mandrel is found."""
    with pytest.raises(DocumentError, match=r"want\.wider_mandrels .*sections \(first 3, last 5\)") as refused:
        add_section(reedlight, at=2, rack=rack)
    wider = to(refused.value.faults[0][2].values["by"], "mm")

    def moved(by):
        plain = reedlight.plain()
        for mandrel in plain["mandrels"][2:]:
            for place in mandrel["profile"]:
                place["diameter_mm"] += by
        return Design.model_validate(plain)

    with pytest.raises(DocumentError, match=r"want\.mandrel_(between|of_size)") as named:
        add_section(moved(wider + 0.05), at=2)
    wanted = named.value.faults[0][2].values
    size = to(wanted.get("least", wanted.get("size")), "mm")
    assert len(add_section(with_bar(moved(wider + 0.05), size), at=2).sections) == 6
    with pytest.raises(DocumentError, match=r"want\.wider_mandrels"):
        add_section(moved(wider - 0.05), at=2)
