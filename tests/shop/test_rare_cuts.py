"""Kits and cut sheets as they rarely are: split plies, labels alike, nothing of a material, sizes that are none."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from tests.kept.whole import design_of

from polewright.documents.values import workpiece
from polewright.errors import DesignError
from polewright.shop.cut_sheet import cut_sheet
from polewright.shop.flag import Flag
from polewright.shop.joints import JointRules, spread_joints
from polewright.shop.kit import CutRules, Kit, section_kit, with_split
from polewright.shop.seam_clock import spread_starts

STACK = workpiece(design_of("reedlight-7")).sections[3].stack
FLAG = Flag(0.02, 0.02, 0.0002, 1.0, 0.0, 1.5, 0.006)


def kit(**other: Any) -> Kit:
    return section_kit(STACK, 0.03, 0.029, 1.2, **other)


@pytest.mark.parametrize(
    ("asked", "field", "value", "want"),
    [
        (lambda: section_kit(STACK, 0.03, 0.03, 0.0), "length", 0.0, "want.length_above_zero"),
        (lambda: section_kit(STACK, 0.03, 0.03, math.inf), "length", math.inf, "want.length_above_zero"),
        (lambda: with_split(STACK, 0, 0.0), "turns", 0.0, "want.turns_below"),
        (lambda: with_split(STACK, 0, STACK.plies[0].turns), "turns", STACK.plies[0].turns, "want.turns_below"),
        (lambda: spread_joints([FLAG], [0.0], JointRules()), "roll_width", 0.0, "want.width_above_zero"),
        (lambda: spread_joints([FLAG], [-math.inf], JointRules()), "roll_width", -math.inf, "want.width_above_zero"),
        (lambda: CutRules(overlap=-1e-9), "cut.overlap", -1e-9, "want.zero_or_more"),
        (lambda: CutRules(trim=math.inf), "cut.trim", math.inf, "want.zero_or_more"),
        (lambda: JointRules(stagger=-0.1), "stagger", -0.1, "want.zero_or_more"),
        (lambda: JointRules(stagger=math.inf), "stagger", math.inf, "want.zero_or_more"),
        (lambda: JointRules(zones=((0.2, 0.1),)), "zones", ((0.2, 0.1),), "want.zone_pairs"),
        (lambda: JointRules(zones=((-math.inf, 0.1),)), "zones", ((-math.inf, 0.1),), "want.zone_pairs"),
        (lambda: JointRules(zones=((0.1, math.inf),)), "zones", ((0.1, math.inf),), "want.zone_pairs"),
        (lambda: cut_sheet([kit()], material="none such"), "material", "none such", "want.material_of_kits"),
        (lambda: cut_sheet([kit(), kit()]), "section", "S1, S1", "want.own_name_of_kit"),
    ],
)
def test_a_size_that_is_none_is_refused(asked: Callable[[], object], field: str, value: object, want: str) -> None:
    with pytest.raises(DesignError) as found:
        asked()
    assert (found.value.field, found.value.value, found.value.want.code) == (field, value, want)  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("kind", "name", "value"),
    [
        (CutRules, "overlap", 0.0),
        (CutRules, "trim", 0.0),
        (JointRules, "stagger", 0.0),
        (JointRules, "zones", ((0.1, 0.1),)),
    ],
)
def test_a_size_that_may_be_none_is_taken(kind: Callable[..., object], name: str, value: object) -> None:
    assert getattr(kind(**{name: value}), name) == value


def test_a_split_ply_keeps_its_turns_and_its_place() -> None:
    place = max(range(len(STACK.plies)), key=lambda i: STACK.plies[i].turns)
    turns = STACK.plies[place].turns
    split = with_split(STACK, place, 0.25 * turns)
    assert [ply.turns for ply in split.plies[place : place + 2]] == [0.25 * turns, 0.75 * turns]
    assert split.plies[:place] == STACK.plies[:place]
    assert split.plies[place + 2 :] == STACK.plies[place + 1 :]
    assert split.thickness == pytest.approx(STACK.thickness)


def test_layers_of_labels_alike_are_told_apart() -> None:
    kits = [kit(section=name) for name in ("Section number one", "Section number two", "Section number three")]
    layers = [cut.layer for cut in cut_sheet(kits).cuts]
    flags = sum(len(each.flags) for each in kits)
    assert len(set(layers)) == flags
    assert sum(layer.endswith("_2") for layer in set(layers)) == sum(layer.endswith("_3") for layer in set(layers)) > 0
    assert max(map(len, layers)) <= 31


@pytest.mark.parametrize(
    ("arc", "weights"),
    [([[0.1]], [[1.0]]), ([0.1, 0.2], [[1.0]]), ([0.1, math.nan], [[1.0, 1.0]]), ([0.1, 0.2], [[1.0, math.inf]])],
)
def test_every_extra_layer_has_its_arc_and_its_weights(arc: Any, weights: Any) -> None:
    with pytest.raises(DesignError) as found:
        spread_starts(arc, weights)
    given, want = found.value.value, found.value.want
    assert (found.value.field, want.code) == ("arc", "want.arc_and_weight_of_each_flag")  # type: ignore[union-attr]
    assert given.values["shape"] == str(np.shape(arc))  # type: ignore[attr-defined]
    assert given.values["shape2"] == str(np.shape(weights))  # type: ignore[attr-defined]
