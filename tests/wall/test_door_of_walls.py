"""Whatever a public function of the room is given, it answers in finite numbers or refuses in words."""

from dataclasses import fields, is_dataclass

import numpy as np
import pytest
from tests.wall.walls_of_the_notes import CARBON_STRENGTH, SM150

from polewright import wall as room
from polewright.errors import PolewrightError
from polewright.materials.ply import Elastic, Ply, Strength
from polewright.wall import (
    Arc,
    Band,
    ClockPressure,
    Hold,
    Stack,
    StackPly,
    TubeLoads,
    Wall,
    WallUse,
    exact_tube,
    mandrel_fit,
    part_turns,
    thin_stress,
    uneven_section,
)

NO_NUMBERS = [
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
STRONG = Ply(
    "strong", SM150.thickness, SM150.elastic, area_mass=0.2273, price=40.0, strength=Strength(**CARBON_STRENGTH)
)
ROLLED = Stack((StackPly(STRONG, 1.4, 1.0), StackPly(STRONG, 0.1, 1.25)))
WALL, LIMITS = ROLLED.wall(0.02), Strength(**CARBON_STRENGTH)
TUBE, STRESS = exact_tube(WALL), thin_stress(WALL, TubeLoads(moment=30.0), clock=(0.0, 1.0))
RING = room.ring_response(WALL, ClockPressure([2.0], [1.0]))
UNEVEN = uneven_section(WALL, ())
FIT = mandrel_fit(TUBE, rise=-90.0, mandrel_expansion=23e-6)
INFINITE = ("factor", "every", "force", "closure", "steps", "load", "perfect")  # no multiple of no load ever breaks it


def of_loads(call):
    return lambda **v: call(TubeLoads(**v))


LOADS = dict.fromkeys(("axial", "torque", "moment", "shear", "inner_pressure", "outer_pressure", "rise"), 1.0)
# (function, keyword figures that are sound); each is spoiled in turn
CALLS = {
    "Wall": (
        lambda bore, angle, thickness: Wall(
            bore=bore, angle=[angle, 0.0], thickness=[thickness, 1e-3], elastic=SM150.elastic
        ),
        {"bore": 0.02, "angle": 0.3, "thickness": 1e-3},
    ),
    "StackPly": (lambda **v: StackPly(STRONG, **v), {"angle": 0.2, "turns": 1.5}),
    "Stack": (Stack, {"plies": ROLLED.plies}),
    "Stack.wall": (ROLLED.wall, {"bore": 0.02}),
    "tube_stress": (of_loads(lambda q: room.tube_stress(TUBE, q)), LOADS),
    "beam_strain": (of_loads(lambda q: room.beam_strain(TUBE, q)), LOADS),
    "thin_stress": (of_loads(lambda q: room.thin_stress(WALL, q)), LOADS),
    "clocks": (
        lambda exact, thin, at: (
            room.tube_stress(TUBE, TubeLoads(moment=1.0), clock=exact),
            room.exact_stress(TUBE, TubeLoads(moment=1.0), clock=at),
            room.thin_stress(WALL, TubeLoads(moment=1.0), clock=thin),
        ),
        {"exact": 0.1, "thin": 0.1, "at": 0.1},
    ),
    "thin_cure_stress": (lambda rise: room.thin_cure_stress(WALL, rise), {"rise": -60.0}),
    "exact_tube": (lambda point: exact_tube(WALL, points=[point]), {"point": 0.5}),
    "cool_down": (lambda **v: room.cool_down(TUBE, **v), {"rise": -90.0, "mandrel_expansion": 1e-5}),
    "mandrel_fit": (
        lambda **v: mandrel_fit(TUBE, **v),
        {"rise": -90.0, "mandrel_expansion": 1e-5, "mandrel_give": 0.0},
    ),
    "pull_off": (FIT.pull_off, {"friction": 0.2, "length": 1.6}),
    "ClockPressure": (lambda wave, pressure: ClockPressure([wave], [pressure]), {"wave": 2.0, "pressure": 1.0}),
    "closure": (RING.closure, {"clock": 0.1}),
    "stresses": (RING.stresses, {"clock": 0.1}),
    "scaled": (lambda by: ClockPressure([2.0], [1.0]).scaled(by).pressure, {"by": 2.0}),
    "plates_squeeze": (lambda **v: room.plates_squeeze(WALL, LIMITS, **v), {"length": 0.02, "pad": 0.002, "cure": 0.0}),
    "fist_squeeze": (lambda **v: room.fist_squeeze(WALL, LIMITS, **v), {"length": 0.08, "half_angle": 1.0}),
    "point_squeeze": (lambda **v: room.point_squeeze(WALL, LIMITS, **v), {"pad": 0.01}),
    "pinch_stiffness": (lambda **v: room.pinch_stiffness(WALL, **v), {"length": 0.02, "pad": 0.01}),
    "helped_length": (lambda **v: room.helped_length(WALL, **v), {"waves": 2.0, "length": 0.01}),
    "Band": (Band, {"width": 0.02, "friction": 0.1}),
    "clamp_window": (
        lambda **v: room.clamp_window(WALL, Band(0.02, 0.1), strength=LIMITS, **v),
        {"need": 90.0, "cure": 0.0},
    ),
    "band_hold": (room.band_hold, {"tension": 100.0, "friction": 0.1}),
    "band_twist_hold": (room.band_twist_hold, {"tension": 100.0, "friction": 0.1, "radius": 0.01}),
    "band_pressure": (room.band_pressure, {"tension": 100.0, "radius": 0.01, "width": 0.02}),
    "wall_matrices": (lambda about: room.wall_matrices(WALL, about=about), {"about": 0.01}),
    "flattening_curve": (lambda points: room.flattening_curve(WALL, points=points), {"points": 5}),
    "oval_at_moment": (lambda moment: room.oval_at_moment(WALL, moment), {"moment": 1.0}),
    "rotated_stiffness": (lambda angle: room.rotated_stiffness(SM150.elastic, angle), {"angle": 0.2}),
    "ring words": (
        lambda along, on, along_thick, twist: (
            room.ring_stiffness(WALL, along=along),
            room.collapse_pressure(WALL, on=on),
            room.collapse_pressure_thick(WALL, along=along_thick),
            TUBE.stiffness(twist=twist),
        ),
        {"along": "held", "on": "outside", "along_thick": "free", "twist": "held"},
    ),
    "criteria": (
        lambda stress, cure: (
            room.maximum_stress_reserve([stress, 0, 0], LIMITS, cure=[cure, 0, 0]),
            room.hashin_reserve([stress, 0, 0], LIMITS, cure=[cure, 0, 0]),
            room.maximum_strain_reserve([0, stress, 0], LIMITS, elastic=SM150.elastic),
        ),
        {"stress": 1e6, "cure": 1e6},
    ),
    "tsai_wu_reserve": (
        lambda interaction: room.tsai_wu_reserve([1e8, 1e6, 0], LIMITS, interaction=interaction),
        {"interaction": -0.4},
    ),
    "hashin_reserve": (lambda across: room.hashin_reserve([1e8, 1e6, 0], LIMITS, across=across), {"across": 6e7}),
    "ply_reserve": (
        lambda load, strength, criterion, cure: room.ply_reserve(WALL, load, strength, criterion=criterion, cure=cure),
        {"load": STRESS, "strength": LIMITS, "criterion": "tsai_wu", "cure": 0.0},
    ),
    "last_failure": (
        lambda **v: room.last_failure(WALL, TubeLoads(moment=9.0), LIMITS, **v),
        {"rise": -20.0, "keep": 0.01, "clock": (0.0, 3.0)},
    ),
    "Arc": (
        lambda **v: uneven_section(WALL, (Arc(SM150.elastic, **v),)),
        {"thickness": 1e-4, "angle": 0.1, "start": 0.2, "sweep": 1.0, "after": 1, "middle": 0.0102},
    ),
    "part_turns": (
        lambda **v: uneven_section(*part_turns(ROLLED, **v)),
        {"bore": 0.02, "starts": 0.1, "overlap": 0.003},
    ),
    "seam_variation": (room.seam_variation, {"sweep": 1.0, "plies": 5}),
    "bow_tip_offset": (room.bow_tip_offset, {"bow": 1e-3, "length": 1.6, "arm": 3.0}),
    "bow": (UNEVEN.bow, {"rise": -90.0, "length": 1.6}),
    "stiffness_at": (UNEVEN.stiffness_at, {"clock": 0.3}),
    "earnings": (lambda bore: room.earnings(ROLLED, bore), {"bore": 0.02}),
    "changes": (
        lambda bore, turn, thicken: room.changes(ROLLED, bore, turn=turn, thicken=thicken),
        {"bore": 0.02, "turn": 0.1, "thicken": 0.1},
    ),
    "strength_report": (lambda **v: room.strength_report(TUBE, LIMITS, **v), {"moment": 9.0, "rise": -20.0}),
    "Hold": (Hold, {"ring": 0.02, "fist": 0.08, "pad": 0.01, "need": 150.0}),
    "WallUse": (
        WallUse,
        {
            "length": 1.6,
            "rise": -90.0,
            "mandrel_expansion": 1e-5,
            "moment": 100.0,
            "overlap": 0.0,
            "friction": 0.2,
            "starts": (0.0, 1.0),
        },
    ),
    "wall_report": (lambda bore: room.wall_report(ROLLED, bore), {"bore": 0.02}),
    "Finish": (room.Finish, {"sanding": 1e-5}),
    "rulings": (room.rulings, {"stack": ROLLED}),
    "with_changes": (
        lambda limit: room.rulings(ROLLED, rules=room.with_changes({"least-wall": {"limit": limit}})),
        {"limit": 1e-3},
    ),
}
SPOILED = [(name, figure) for name, (_, sound) in CALLS.items() for figure in sound]


def numbers(value, path=""):
    """Every number of an answer that has to be finite, and none that is not a number."""
    if isinstance(value, Wall | Elastic | Ply | Stack):
        return
    if is_dataclass(value):
        for f in fields(value):
            yield from numbers(getattr(value, f.name), f.name)
    elif isinstance(value, dict):
        for part in value.values():
            yield from numbers(part, path)
    elif isinstance(value, tuple | list):
        for part in value:
            yield from numbers(part, path)
    elif isinstance(value, float | np.ndarray | np.floating):
        found = np.ravel(value)
        yield from np.where(np.isposinf(found), 0.0, found) if path in INFINITE else found


@pytest.mark.slow
@pytest.mark.parametrize("name", CALLS)
def test_sound_figures_are_answered(name):
    call, sound = CALLS[name]
    assert np.all(np.isfinite(list(numbers(call(**sound)))))


@pytest.mark.parametrize(("name", "figure"), SPOILED)
def test_spoiled_figure_gives_finite_numbers_or_a_refusal_that_says_what_would_be_right(name, figure):
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
    assert refused >= 5  # what is no number at all, and infinity


@pytest.mark.parametrize(
    "change", [{"limits": 1.0}, {"limit": -1.0}, {"is_on": "no"}, {"title": 3}, {"judge": []}, None]
)
def test_rule_changed_in_a_way_that_it_has_not_is_refused_with_a_message(change):
    with pytest.raises(PolewrightError, match="least-wall"):
        room.with_changes({"least-wall": change})


TWO, THREE = ROLLED.wall([0.02, 0.03]), np.ones(3)


@pytest.mark.parametrize(
    "call",
    [
        lambda: TubeLoads(axial=np.ones(2), torque=THREE),
        lambda: room.thin_stress(TWO, TubeLoads(moment=THREE)),
        lambda: room.tube_stress(exact_tube(TWO), TubeLoads(moment=THREE)),
        lambda: room.beam_strain(exact_tube(TWO), TubeLoads(moment=THREE)),
        lambda: room.thin_cure_stress(TWO, THREE),
        lambda: room.cool_down(exact_tube(TWO), rise=-THREE),
        lambda: room.oval_at_moment(TWO, THREE),
        lambda: room.clamp_window(TWO, Band(0.02, 0.1), need=THREE),
        lambda: room.helped_length(TWO, [2.0, 4.0], length=THREE),
        lambda: room.last_failure(TWO, TubeLoads(moment=1.0), LIMITS, rise=-THREE),
        lambda: room.hashin_reserve(np.ones((2, 3)), LIMITS, across=THREE),
        lambda: room.tsai_wu_reserve(np.ones((2, 3)), LIMITS, cure=np.ones((3, 3))),
        lambda: room.maximum_strain_reserve(np.ones((2, 3)), LIMITS, elastic=Elastic.isotropic(E=THREE, nu=0.3)),
        lambda: room.ply_reserve(TWO, STRESS, Strength(**{n: np.full(5, v) for n, v in CARBON_STRENGTH.items()})),
        lambda: room.ply_reserve(WALL, STRESS[..., :1, :, :], LIMITS),
        lambda: room.maximum_stress_reserve([1.0, 0.0, 0.0], None),
        lambda: StackPly("ply", 0.1),
        lambda: Wall(bore=0.02, angle=[0.0], thickness=[1e-3], elastic="carbon"),
    ],
)
def test_what_does_not_fit_is_refused_with_a_message(call):
    with pytest.raises(PolewrightError) as refusal:
        call()
    assert refusal.value.want
