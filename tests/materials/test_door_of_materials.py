"""Whatever a public function of the room is given, it answers in finite numbers or refuses in words."""

import inspect
from dataclasses import fields, is_dataclass, replace
from typing import Any

import numpy as np
import pytest
from numpy.testing import assert_allclose

from polewright import materials as room
from polewright.errors import PolewrightError
from polewright.materials import Elastic, FibreConstants, Ply, PlyRecord, ResinConstants, Strength

NO_NUMBERS: list[Any] = [
    float("nan"),
    float("inf"),
    -float("inf"),
    0.0,
    -1.0,
    1e308,
    1e-308,
    None,
    "x",
    [1.0, np.nan],
    [],
    True,
    10**400,
]
PLY = {
    "E1": 1e11,
    "E2": 1e10,
    "E3": 1e10,
    "G12": 5e9,
    "G13": 5e9,
    "G23": 4e9,
    "nu12": 0.3,
    "nu13": 0.3,
    "nu23": 0.3,
    "alpha1": 0.0,
    "alpha2": 4e-5,
    "alpha3": 4e-5,
    "density": 1500.0,
}
UD = {name: PLY[name] for name in ("E1", "E2", "G12", "nu12", "nu23", "alpha1", "alpha2", "density")}
ISO = {"E": 1e9, "nu": 0.3, "alpha": 0.0, "density": 1200.0}
STRENGTH = {"Xt": 1.8e9, "Xc": 0.9e9, "Yt": 40e6, "Yc": 160e6, "S": 75e6}
FIBRE = {
    "E1": 230e9,
    "E2": 15e9,
    "G12": 15e9,
    "nu12": 0.2,
    "nu23": 0.25,
    "alpha1": 0.0,
    "alpha2": 1e-5,
    "density": 1780.0,
}
RESIN = {"E": 3e9, "nu": 0.3, "alpha": 5e-5, "density": 1200.0}
SHEET, ANY = {"thickness": 1e-4, "area_mass": 0.2, "price": 1.0}, Elastic.isotropic(**ISO)
CURE = {"Tg0": 250.0, "Tg_inf": 420.0, "dibenedetto": 0.4}
RHO = {"fibre_density": 1780.0, "resin_density": 1200.0}
HEAT = {"temperature": 320.0, "Tg_dry": 400.0, "Tg_wet": 370.0, "tested_at": 296.0}
SUN = {"air": 300.0, "sun": 900.0, "film": 12.0, "absorbed": 0.9}
STOCK = room.stock_prepreg("ud_sm_150")
CURED = STOCK.ply().ply
fibre, resin = FibreConstants(**FIBRE), ResinConstants(**RESIN)

# (function, keyword figures that are sound); each is spoiled in turn
CALLS: dict[str, tuple[Any, dict[str, Any]]] = {
    "Elastic": (Elastic, PLY),
    "unidirectional": (Elastic.unidirectional, UD),
    "isotropic": (Elastic.isotropic, ISO),
    "Strength": (Strength, STRENGTH),
    "FibreConstants": (FibreConstants, FIBRE),
    "ResinConstants": (ResinConstants, RESIN),
    "Ply": (lambda **v: Ply("p", elastic=ANY, **v), SHEET),
    "cured_density": (room.cured_density, {"vf": 0.5, "void": 0.01, **RHO}),
    "cured_thickness": (room.cured_thickness, {"fibre_area_mass": 0.15, "vf": 0.5, "fibre_density": 1780.0}),
    "cure_of_glass_transition": (room.cure_of_glass_transition, {"Tg": 330.0, **CURE}),
    "fibre_share_of_thickness": (
        room.fibre_share_of_thickness,
        {"thickness": 1.5e-4, "fibre_area_mass": 0.15, "fibre_density": 1780.0},
    ),
    "fibre_volume_share": (room.fibre_volume_share, {"resin_share": 0.35, "void": 0.01, **RHO}),
    "glass_transition_of_cure": (room.glass_transition_of_cure, {"degree": 0.8, **CURE}),
    "lot_resin_share": (room.lot_resin_share, {"area_mass": 0.23, "fibre_area_mass": 0.15}),
    "matrix_retention": (room.matrix_retention, HEAT),
    "prepreg_area_mass": (room.prepreg_area_mass, {"fibre_area_mass": 0.15, "resin_share": 0.35}),
    "resin_share_after_bleed": (room.resin_share_after_bleed, {"resin_share": 0.35, "bleed": 0.01}),
    "resin_share_of": (room.resin_share_of, {"vf": 0.5, "void": 0.01, **RHO}),
    "service_limit": (room.service_limit, {"Tg_wet": 370.0}),
    "softened": (lambda **v: room.softened(CURED, **v), {"retention": 0.7, "push_share": 0.5}),
    "sun_warmed": (room.sun_warmed, SUN),
    "woven": (lambda **v: room.woven(Elastic.unidirectional(**UD), **v), {"crimp": 0.9}),
    "wet_glass_transition": (room.wet_glass_transition, {"moisture": 0.5, "Tg_dry": 400.0, "Tg_wet": 370.0}),
    **{
        f"ply_elastic {m}": (
            lambda m=m, **v: room.ply_elastic(fibre, resin, model=m, **v),
            {"vf": 0.5, "void": 0.01, "nu23": 0.4},
        )
        for m in ("square_root", "halpin_tsai", "cylinders")
    },
    **{
        f"ply_expansion {m}": (
            lambda m=m, **v: room.ply_expansion(fibre, resin, model=m, **v),
            {"vf": 0.5, "void": 0.01},
        )
        for m in ("square_root", "schapery", "cylinders")
    },
    "stock_prepreg": (room.stock_prepreg, {"id": "ud_sm_150"}),
    "Models": (room.Models, {"elastic": "cylinders"}),
    "Prepreg": (
        lambda **v: replace(STOCK, **v).ply(),
        {"fibre_area_mass": 0.15, "resin_share": 0.36, "nu23": 0.4, "void_share": 0.01, "bleed": 0.01},
    ),
    "with_measured": (
        lambda **v: STOCK.with_measured(v, source="test").ply(),
        {"area_mass": 0.2344, "thickness": 1.5e-4, "E1": 1e11, "Xt": 1.8e9, "nu12": 0.3},
    ),
}
SPOILED = [(name, figure) for name, (_, sound) in CALLS.items() for figure in sound]


def numbers(value: Any) -> Any:
    """Every number of an answer."""
    if isinstance(value, PlyRecord):
        value = value.ply
    if is_dataclass(value):
        for f in fields(value):
            yield from numbers(getattr(value, f.name))
    elif isinstance(value, tuple | list):
        for part in value:
            yield from numbers(part)
    elif isinstance(value, float | np.ndarray | np.floating):
        yield from np.ravel(value)


@pytest.mark.parametrize("name", CALLS)
def test_sound_figures_are_answered(name: str) -> None:
    call, sound = CALLS[name]
    assert np.all(np.isfinite(list(numbers(call(**sound)))))


@pytest.mark.parametrize(("name", "figure"), SPOILED)
def test_spoiled_figure_gives_finite_numbers_or_a_refusal_that_says_what_would_be_right(name: str, figure: str) -> None:
    call, sound = CALLS[name]
    refused = 0
    for spoiled in NO_NUMBERS:
        try:
            found = call(**{**sound, figure: spoiled})
        except PolewrightError as refusal:
            assert refusal.field  # noqa: PT017
            assert refusal.want  # noqa: PT017
            refused += 1
            continue
        assert np.all(np.isfinite(list(numbers(found)))), spoiled
    assert refused >= 6  # what is no number at all, and infinity


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"nu12": 3.2}, r"want\.below_root_of_moduli_ratio"),
        ({"nu23": 1.01}, r"want\.below_root_of_moduli_ratio"),
        ({"nu12": 0.9, "nu13": 0.9, "nu23": 0.9, "E1": 1e10}, r"want\.positive_strain_energy"),
        ({"E1": [1e11, 1e11], "E2": [1e10, 1e10, 1e10]}, r"want\.shapes_that_fit_each_other"),
    ],
)
def test_ply_that_no_material_can_be_is_refused_with_a_message(change: Any, words: str) -> None:
    with pytest.raises(PolewrightError, match=words):
        Elastic(**{**PLY, **change})


@pytest.mark.parametrize("share", [0.9070, 0.95, [0.5, 0.92]])
def test_fibre_share_above_the_closest_packing_is_refused_by_its_number(share: Any) -> None:
    for call in (
        lambda: room.ply_elastic(fibre, resin, share),
        lambda: room.cured_density(share, **RHO),
        lambda: room.cured_thickness(0.15, vf=share, fibre_density=1780.0),
    ):
        with pytest.raises(PolewrightError, match=r"want\.at_most_hexagonal_packing"):
            call()


@pytest.mark.parametrize(
    ("name", "figure"),
    [
        (n, f)
        for n, f in SPOILED
        if n.split()[0] in room.__all__ and n not in ("Ply", "Prepreg", "Models", "stock_prepreg")
    ],
)
def test_each_figure_of_a_batch_is_answered_as_alone(name: str, figure: str) -> None:
    call, sound = CALLS[name]
    several = sound[figure] * np.array([1.0, 0.99, 0.97])
    batch = call(**{**sound, figure: several})
    for i, one in enumerate(several):
        single = call(**{**sound, figure: one})
        assert_same(batch, single, i)


def assert_same(batch: Any, single: Any, i: int) -> None:
    """Case i of a batch is the single answer."""
    if is_dataclass(single) and isinstance(batch, tuple):
        batch = batch[i]
    if is_dataclass(single):
        for f in fields(single):
            assert_same(getattr(batch, f.name), getattr(single, f.name), i)
    elif isinstance(single, tuple):
        for many, one in zip(batch, single, strict=True):
            assert_same(many, one, i)
    elif isinstance(single, float | np.ndarray):
        assert_allclose(np.asarray(batch)[i] if np.ndim(batch) else batch, single, rtol=1e-13)


def test_ints_and_lists_serve_as_well_as_arrays() -> None:
    whole = Elastic(**{name: [1] if name.startswith("E") else 1 if name.startswith(("G", "d")) else 0 for name in PLY})
    assert whole.E1.shape == (1,)
    assert room.cured_thickness([1, 2], vf=0.5, fibre_density=1000).tolist() == [0.002, 0.004]


def test_several_retentions_soften_into_a_ply_each() -> None:
    several = room.softened(CURED, np.array([0.5, 1.0]))
    assert len(several) == 2
    assert several[0].elastic.G12 == room.softened(CURED, 0.5).elastic.G12
    assert several[1].elastic.E2 == CURED.elastic.E2


def test_no_public_function_was_left_out() -> None:
    functions = {name for name in room.__all__ if inspect.isfunction(getattr(room, name))}
    assert functions - {name.split()[0] for name in CALLS} <= {"library"}


@pytest.mark.parametrize(
    ("name", "one", "other"),
    [
        ("ply_elastic cylinders", "vf", "void"),
        ("ply_elastic square_root", "vf", "nu23"),
        ("ply_expansion schapery", "vf", "void"),
        ("cured_density", "vf", "resin_density"),
        ("cured_thickness", "vf", "fibre_area_mass"),
        ("fibre_volume_share", "resin_share", "void"),
        ("fibre_share_of_thickness", "thickness", "fibre_area_mass"),
        ("lot_resin_share", "area_mass", "fibre_area_mass"),
        ("prepreg_area_mass", "fibre_area_mass", "resin_share"),
        ("resin_share_after_bleed", "resin_share", "bleed"),
        ("resin_share_of", "vf", "fibre_density"),
        ("matrix_retention", "temperature", "Tg_wet"),
        ("sun_warmed", "air", "film"),
        ("wet_glass_transition", "moisture", "Tg_dry"),
        ("cure_of_glass_transition", "Tg", "Tg0"),
        ("FibreConstants", "E1", "nu12"),
        ("isotropic", "E", "nu"),
        ("unidirectional", "E2", "nu23"),
        ("Strength", "Xt", "S"),
    ],
)
def test_figures_of_shapes_that_do_not_fit_are_refused_by_name(name: str, one: str, other: str) -> None:
    call, sound = CALLS[name]
    with pytest.raises(PolewrightError, match=r"want\.shapes_that_fit_each_other"):
        call(**{**sound, one: np.full(2, sound[one]), other: np.full(3, sound[other])})
