"""Material used and its cost against the reference pole's priced list."""

import pytest

from polewright.errors import DesignError
from polewright.shop import material_cost, material_use

SOURCE = "workshop notes, priced options of the reference pole at 86 % utilisation, seams not counted"


@pytest.mark.parametrize(
    ("option", "fibres", "bore", "price"),
    [
        ("all standard", "SSSSS", 0.023, 189),
        ("intermediate in 4 and 5", "SSSII", 0.023, 264),
        ("intermediate in 3 to 5", "SSIII", 0.023, 297),
        ("intermediate in 1 and 2", "IISSS", 0.023, 245),
        ("high in 4 and 5", "SSSHH", 0.023, 403),
        ("all standard, bores 2 mm up", "SSSSS", 0.025, 202),
    ],
)
def test_material_of_the_reference_pole(option, fibres, bore, price, shop, verified):
    use = material_use(shop.pole(fibres, bore, overlap=0.0), utilisation=0.86)
    verified(
        "shop", f"prepreg, {option}", SOURCE, price, sum(u.cost for u in use), 0.005, unit="currency", kind="notes"
    )


def test_seam_overlaps_cost_three_percent_more(shop):
    bare, whole = (sum(u.cost for u in material_use(shop.pole("SSSSS", 0.023, overlap=o))) for o in (0.0, 0.006))
    # 6 mm on 15 flags whose widths add up to 3 m
    assert whole / bare == pytest.approx(1.03, abs=0.002)


def test_materials_are_listed_in_order_of_use(shop):
    assert [u.material for u in material_use(shop.kits())] == ["TH55", "SM150"]


def test_use_adds_up_to_the_kits(shop):
    kits = shop.kits()
    use = material_use(kits)
    assert sum(u.mass for u in use) == pytest.approx(sum(k.mass for k in kits))
    assert sum(u.area for u in use) == pytest.approx(sum(p.area for k in kits for f in k.flags for p in f.pieces))
    assert all(u.rolled_off == u.area for u in use)


def test_waste_is_paid_for():
    assert material_cost(2.0, 30.0, utilisation=0.8) == pytest.approx(75.0)


@pytest.mark.parametrize("share", [0.0, 1.2, -1.0, float("nan")])
def test_an_impossible_utilisation_is_refused(share):
    with pytest.raises(DesignError, match="utilisation"):
        material_cost(1.0, 1.0, utilisation=share)
