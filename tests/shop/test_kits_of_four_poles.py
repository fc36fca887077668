"""Four reference poles on one roll, as the workshop notes lay them: strips, waste, what splitting a flag is worth.

The fewest strips there can be are found beside it by an integer programme over all ways to fill a strip.
"""

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from polewright.shop import CutRules, cut_sheet, hpgl, section_kit, with_split
from polewright.wall.stack import Stack, StackPly

NOTES = "workshop notes, four reference poles on a 990 mm roll"
LENGTH, USABLE, FULL = 1.72, 0.990, 1.0


def kits_of(shop, split=(), poles=4):
    """Kits of some poles; the axial flags of the named sections rolled as two turns and the rest."""
    kits = []
    for pole in range(poles):
        for i, bore in enumerate(shop.bores()):
            stack = shop.hooped(4 if i == 0 else 5)
            stack = with_split(stack, 1, 2.0) if i + 1 in split else stack
            kits.append(section_kit(stack, bore, bore, 1.65, section=f"{pole}S{i + 1}"))
    return kits


def laid(shop, split=()):
    """Strips used and area of the pieces [m2]."""
    sheet = cut_sheet(kits_of(shop, split), material="SM150", gap=0.0)
    return sheet.bands[0].length / LENGTH, sum(c.size[0] * c.size[1] for c in sheet.cuts)


def fillings(widths, room):
    """Every way to fill a strip so that no further piece goes in: pieces of each width."""
    if not widths:
        return [()]
    return [
        (n, *rest)
        for n in range(int((room + 1e-9) / widths[0]) + 1)
        for rest in fillings(widths[1:], room - n * widths[0])
    ]


def fewest(widths, each=4, room=USABLE):
    """Strips of `room` that hold `each` pieces of every width at least, by an integer programme over full strips."""
    ways = [w for w in fillings(widths, room) if room - np.dot(w, widths) < min(widths)]
    table = np.array(ways, dtype=float)
    found = milp(
        np.ones(len(ways)),
        integrality=np.ones(len(ways)),
        bounds=Bounds(0, each * len(widths)),
        constraints=LinearConstraint(table.T, lb=float(each)),
    )
    return round(found.fun)


def widths_of(shop, split=()):
    return [f.flag.width_butt for kit in kits_of(shop, split, poles=1) for f in kit.flags if f.ply.name == "SM150"]


@pytest.mark.parametrize(
    ("split", "strips", "best"),
    [
        ((), 10, 10),
        ((1,), 9, 9),
        ((2,), 10, 9),
        ((3,), 10, 9),
        ((4,), 10, 10),
        ((5,), 10, 10),
        ((1, 2, 3, 4, 5), 10, 9),
    ],
    ids=["none", "S1", "S2", "S3", "S4", "S5", "all"],
)
def test_strips_by_longest_first_and_at_best(shop, verified, split, strips, best):
    name = "no flag split" if not split else "all flags split" if len(split) == 5 else f"S{split[0]} split"
    found, _ = laid(shop, split)
    verified("shop", f"four poles, {name}, strips by longest-first filling", NOTES, strips, found, 1e-9, kind="notes")
    assert fewest(widths_of(shop, split)) == best  # the notes' own, of these widths


def test_length_share_used_and_what_the_split_saves(shop, verified):
    whole, area = laid(shop)
    split, _ = laid(shop, (1,))
    for name, expected, found, digit, unit in (
        ("length of roll", 17.2, whole * LENGTH, 0.05, "m"),
        ("length of roll, S1 split", 15.48, split * LENGTH, 0.005, "m"),
        ("share of the full roll used", 85.6, 100.0 * area / (whole * LENGTH * FULL), 0.05, "%"),
        ("saved by splitting S1", 1.72, (whole - split) * LENGTH * FULL, 0.005, "m2"),
    ):
        verified("shop", f"four poles, {name}", NOTES, expected, found, 0.0, digit, unit, kind="notes")


def test_a_split_adds_one_flag_a_pole_and_five_where_all_are_split(shop):
    plain = len(widths_of(shop))
    assert len(widths_of(shop, (1,))) == plain + 1
    assert len(widths_of(shop, (1, 2, 3, 4, 5))) == plain + 5


def test_an_old_cutter_overflows_at_819_millimetres(shop, verified):
    """16 bit: 32767 units of a fortieth of a millimetre."""
    ply = shop.sm150

    def is_one_tile(length):
        kit = section_kit(Stack((StackPly(ply, 0.0, 1),)), 0.02, 0.02, length - 0.07, rules=CutRules(), section="S")
        assert kit.flags[0].flag.length == pytest.approx(length)
        return len(hpgl(cut_sheet([kit])).tiles) == 1

    low, high = 0.7, 0.9
    while high - low > 1e-6:
        middle = (low + high) / 2.0
        low, high = (middle, high) if is_one_tile(middle) else (low, middle)
    verified(
        "shop",
        "longest flag in plotter units",
        "workshop notes, 40 units a millimetre",
        819.0,
        1e3 * low,
        0.0,
        0.5,
        "mm",
        kind="notes",
    )
