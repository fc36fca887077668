"""The bent line against closed forms, published values, balance, energy and symmetry."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.special import ellipe, ellipeinc, ellipk, ellipkinc

from polewright.errors import DesignError, NotConverged
from polewright.pole import (
    Bench,
    Clamped,
    Foot,
    Hands,
    Joint,
    Lifted,
    Over,
    Pole,
    State,
    Tube,
    WindLoad,
    bent,
    bent_small,
)

# tip of a cantilever under a tip load of fixed direction: P L2/EI, droop/L, shortening/L, tip turn; five digits
MATTIASSON = (
    (1, 0.30172, 0.05643, 0.46135),
    (2, 0.49346, 0.16064, 0.78175),
    (3, 0.60325, 0.25442, 0.98602),
    (4, 0.66996, 0.32894, 1.12124),
    (5, 0.71379, 0.38763, 1.21537),
    (6, 0.74457, 0.43459, 1.28370),
    (7, 0.76737, 0.47293, 1.33496),
    (8, 0.78498, 0.50483, 1.37443),
    (9, 0.79906, 0.53182, 1.40547),
    (10, 0.81061, 0.55500, 1.43029),
)
GRAVITY = 9.80665


def by_elliptic_integrals(load: float) -> tuple[float, float, float]:
    """Droop, shortening and turn of the tip, all over L, for P L2/EI."""

    def short(turn: float) -> float:
        m = (1.0 + np.sin(turn)) / 2.0
        return ellipk(m) - ellipkinc(np.arcsin(1.0 / np.sqrt(2.0 * m)), m) - np.sqrt(load)

    turn = brentq(short, 1e-6, np.pi / 2 - 1e-12, xtol=1e-15)
    m = (1.0 + np.sin(turn)) / 2.0
    droop = 1.0 - 2.0 / np.sqrt(load) * (ellipe(m) - ellipeinc(np.arcsin(1.0 / np.sqrt(2.0 * m)), m))
    return droop, 1.0 - np.sqrt(2.0 * np.sin(turn) / load), turn


@pytest.mark.parametrize(("load", "droop", "short", "turn"), MATTIASSON)
def test_a_tip_load_gives_the_published_elastica(plain, verified, load, droop, short, turn):
    b = bent(plain(1.0, 1.0, 0.0), State(drawn=[], support=Clamped(), tip_force=[0.0, -load]))
    source = "K. Mattiasson, Int. J. Numer. Meth. Eng. 17 (1981) 145-153"
    for name, expected, computed in (
        ("droop", droop, -b.z[-1]),
        ("shortening", short, 1.0 - b.x[-1]),
        ("turn", turn, -b.rotation[-1, 0]),
    ):
        # published to five digits; half a unit of the last digit besides
        verified(
            "pole", f"elastica, P L2/EI = {load}, {name}", source, expected, computed, 1e-5, 6e-6, kind="published"
        )


@pytest.mark.parametrize("load", [1.0, 3.0, 10.0])
def test_a_tip_load_gives_the_elastica_of_elliptic_integrals(plain, load):
    b = bent(plain(1.0, 1.0, 0.0), State(drawn=[], support=Clamped(), tip_force=[0.0, -load]), pieces=64)
    assert_allclose((-b.z[-1], 1.0 - b.x[-1], -b.rotation[-1, 0]), by_elliptic_integrals(load), rtol=3e-8)


def test_the_error_falls_with_the_fourth_power_of_the_element(plain):
    exact = by_elliptic_integrals(5.0)[0]
    pieces = np.array([4, 8, 16])
    error = [
        abs(
            -bent(plain(1.0, 1.0, 0.0), State(drawn=[], support=Clamped(), tip_force=[0.0, -5.0]), pieces=int(n)).z[-1]
            - exact
        )
        for n in pieces
    ]
    assert np.polyfit(np.log(pieces), np.log(error), 1)[0] == pytest.approx(-4.0, abs=0.3)


@pytest.mark.parametrize("heavy", [1.0, 5.0, 20.0])
def test_a_heavy_cantilever_matches_shooting(plain, verified, heavy):
    """w L3/EI; th'' = (w/EI)(1 - s) cos th, shot from the tip."""

    def run(tip: float):
        return solve_ivp(
            lambda s, y: [y[1], heavy * (1.0 - s) * np.cos(y[0]), np.cos(y[0]), np.sin(y[0])],
            (1.0, 0.0),
            [tip, 0.0, 0.0, 0.0],
            rtol=1e-11,
            atol=1e-13,
            method="DOP853",
        ).y[:, -1]

    root = brentq(lambda tip: run(tip)[0], -np.pi / 2 + 1e-9, 0.0, xtol=1e-13)
    b = bent(plain(1.0, 1.0, heavy / GRAVITY), State(drawn=[], support=Clamped()))
    verified(
        "pole",
        f"heavy cantilever, w L3/EI = {heavy:g}, droop",
        "shooting, DOP853, 1e-11",
        run(root)[3],
        -b.z[-1],
        1e-6,
        kind="solver",
    )


def test_a_stepped_cantilever_matches_virtual_work(stepped, verified):
    """Two lengths, a butt of four times the stiffness: F [(L3 - b3)/(3.4EI) + b3/(3EI)] with L = 3, b = 1."""
    pole = stepped((1.0, 2.0), (1.0, 4.0), (0.0, 0.0))
    b = bent_small(pole, State(drawn=[1.0], support=Clamped(), tip_force=[0.0, -1.0]))
    verified(
        "pole", "stepped cantilever, tip load", "virtual work by hand", 2.5, b.tip_droop, 1e-12, kind="closed form"
    )


def test_shear_adds_force_times_length_over_stiffness(plain):
    pole = Pole(
        (Tube.uniform(bore=0.028, outside=0.030, length=2.0, bending=10.0, mass_per_length=0.0, shear=50.0),), ()
    )
    b = bent_small(pole, State(drawn=[], support=Clamped(), tip_force=[0.0, -1.0]))
    assert b.tip_droop == pytest.approx(8.0 / 30.0 + 2.0 / 50.0, rel=1e-12)


def test_a_pull_along_stretches_by_force_over_stiffness():
    pole = Pole(
        (Tube.uniform(bore=0.028, outside=0.030, length=2.0, bending=10.0, mass_per_length=0.0, axial=1e4),), ()
    )
    b = bent(pole, State(drawn=[], support=Clamped(), tip_force=[100.0, 0.0]))
    assert b.x[-1] == pytest.approx(2.0 * 1.01, rel=1e-12)


def test_a_following_force_across_matches_walking_back_from_the_tip(plain):
    """In the tip's own frame the force is known, so th'' = -P cos th from the free tip needs no guess."""
    end = solve_ivp(lambda _, y: [y[1], 3.0 * np.cos(y[0])], (0.0, 1.0), [0.0, 0.0], rtol=1e-11, atol=1e-13).y[:, -1]
    b = bent(plain(1.0, 1.0, 0.0), State(drawn=[], support=Clamped(), tip_force=[0.0, -3.0], following=True))
    assert -b.rotation[-1, 0] == pytest.approx(end[0], rel=1e-6)


STATES = (
    State(drawn=np.full(4, 1.45), support=Clamped(), head_mass=0.6),
    State(drawn=np.full(4, 1.45), support=Clamped(0.4), lean=0.8, head_mass=2.0, hose=0.055),
    State(drawn=np.full(4, 1.45), support=Bench(), head_mass=0.6),
    State(drawn=[1.45, 0.4, 0.035, 1.0], support=Hands(0.2, 1.1), lean=-0.7, tip_force=[-3.0, 8.0], following=True),
    State(drawn=np.full(4, 1.45), support=Foot(slide="up"), lean=1.1, head_mass=0.6),
    State(drawn=np.full(4, 1.45), support=Lifted(0.0, 1.0, "grounded"), head_mass=0.6),
    State(drawn=np.full(4, 1.45), support=Over(3.0), lean=0.9, head_mass=0.6),
    State(
        drawn=np.full(4, 1.45), support=Clamped(), lean=1.5, wind=WindLoad(np.array([0.0, 5.0]), np.array([20.0, 60.0]))
    ),
)


@pytest.mark.parametrize("state", STATES, ids=lambda s: type(s.support).__name__)
def test_every_posture_is_in_balance_to_a_hundred_millionth_of_the_weight(reedlight, state):
    b = bent(reedlight(), state)
    load = np.array([b.loads.px.sum(), b.loads.pz.sum()])
    width = np.array([5.0, 8.0, 5.0]) / 18.0 * b.mesh.h[:, None]
    load += [(width * b.loads.qx).sum(), (width * b.loads.qz).sum()]
    if state.following:
        turn = b.rotation[-1, 0]
        load += [-8.0 * np.sin(turn) - 3.0 * np.cos(turn), 8.0 * np.cos(turn) - 3.0 * np.sin(turn)]
    weight = GRAVITY * (reedlight().mass + state.head_mass + state.hose * b.station[-1])
    force = sum(np.array([r.level, r.upright]) for r in b.reactions) + load
    assert np.abs(force).max() < 1e-8 * weight


def test_moments_about_the_clamp_balance(reedlight):
    """With lumps alone: the moment of the clamp is that of the lumps at their true places."""
    tubes = tuple(
        Tube.uniform(bore=0.028, outside=0.030, length=1.65, bending=e, mass_per_length=0.0)
        for e in (416.0, 658.0, 834.7)
    )
    pole = Pole(tubes, (Joint(overlap=0.2, stiffness=9000.0, clearance=0.4e-3, mass=0.3),) * 2, 1.0)
    b = bent(pole, State(drawn=[1.45, 1.45], support=Clamped(), lean=0.3))
    moment = sum(-GRAVITY * m * x for m, x in zip(b.mesh.lump, b.x, strict=True))
    assert b.reactions[0].moment == pytest.approx(-moment, abs=1e-8 * GRAVITY * 1.6)


def test_a_clamp_in_the_middle_holds_the_difference_of_both_sides(plain):
    """3 m held at 1 m: w (2 x 2 - 1 x 1)/2."""
    b = bent(plain(3.0, 1e9, 0.2), State(drawn=[], support=Clamped(1.0)))
    assert b.reactions[0].moment == pytest.approx(0.2 * GRAVITY * 1.5, rel=1e-6)


@pytest.mark.parametrize(("axial", "shear"), [(30.0, 8.0), (1e9, 5.0), (12.0, 1e9)])
def test_soft_shear_and_stretch_at_large_rotation_match_shooting(axial, shear):
    """r' = (1 + N/EA) e1 + (Q/S) e2 and M' = -r' x F, shot from the tip."""
    load = 4.0

    def rates(_, y):
        c, s = np.cos(y[0]), np.sin(y[0])
        along, across = 1.0 + load * -s / axial, -load * c / shear
        x, z = along * c - across * s, along * s + across * c
        return [y[1], load * x, x, z]

    def run(tip):
        return solve_ivp(rates, (1.0, 0.0), [tip, 0.0, 0.0, 0.0], rtol=1e-11, atol=1e-13, method="DOP853").y[:, -1]

    root = run(brentq(lambda tip: run(tip)[0], -1.5, 0.0, xtol=1e-13))
    pole = Pole(
        (
            Tube.uniform(
                bore=0.028, outside=0.030, length=1.0, bending=1.0, mass_per_length=0.0, axial=axial, shear=shear
            ),
        ),
        (),
    )
    b = bent(pole, State(drawn=[], support=Clamped(), tip_force=[0.0, -load]), pieces=64)
    assert_allclose((b.x[-1], b.z[-1]), (-root[2], -root[3]), rtol=1e-6)


def test_the_work_of_a_growing_load_is_the_energy_stored(plain):
    """Work = D(1) - integral of D over the load factor, D the tip's way; energy = integral of M2/2EI."""
    pole, load = plain(1.0, 1.0, 0.0), 6.0

    def way(factor: float) -> float:
        return -bent(pole, State(drawn=[], support=Clamped(), tip_force=[0.0, -load * factor]), pieces=64).z[-1]

    at, weight = np.polynomial.legendre.leggauss(16)
    work = load * (way(1.0) - sum(w / 2.0 * way((1.0 + x) / 2.0) for x, w in zip(at, weight, strict=True)))
    b = bent(pole, State(drawn=[], support=Clamped(), tip_force=[0.0, -load]), pieces=64)
    simpson = np.ones(b.station.size)
    simpson[1:-1:2], simpson[2:-1:2] = 4.0, 2.0
    energy = (simpson * b.moment[:, 1] ** 2 / 2.0).sum() / 64.0 / 3.0
    assert work == pytest.approx(energy, rel=1e-6)


@pytest.mark.parametrize("lean", [-1.2, 0.4, 1.5])
def test_without_weight_a_turned_pole_gives_the_turned_shape(reedlight, lean):
    pole, force = reedlight(), [-4.0, -30.0]
    level = bent(pole, State(drawn=pole.full_draw, gravity=0.0, tip_force=force))
    turned = bent(pole, State(drawn=pole.full_draw, gravity=0.0, tip_force=force, lean=lean))
    c, s = np.cos(lean), np.sin(lean)
    assert_allclose(turned.x, c * level.x - s * level.z, atol=1e-9)
    assert_allclose(turned.z, s * level.x + c * level.z, atol=1e-9)


def test_weight_upward_gives_the_mirrored_shape(reedlight):
    pole = reedlight()
    down = bent(pole, State.out(pole, head_mass=0.6))
    up = bent(pole, State.out(pole, head_mass=0.6, gravity=-GRAVITY))
    assert_allclose(up.z, -down.z, atol=1e-10)
    assert_allclose(up.tilt, -down.tilt, atol=1e-12)


def test_wind_from_the_other_side_gives_the_mirrored_shape(reedlight):
    pole = reedlight()
    sides = [
        bent(pole, State.out(pole, support=Clamped(), lean=np.pi / 2, wind=WindLoad(np.array([0.0]), np.array([p]))))
        for p in (40.0, -40.0)
    ]
    assert sides[0].x[-1] > 0.05
    assert_allclose(sides[0].x, -sides[1].x, atol=1e-9)


def test_small_loads_bend_alike_by_both_theories(reedlight):
    pole = reedlight(clearance=0.0)
    state = State.out(pole, gravity=0.0, tip_force=[0.0, -0.01])
    assert bent(pole, state).tip_droop == pytest.approx(bent_small(pole, state).tip_droop, rel=1e-6)


# edges: right, or refused in words


@pytest.mark.parametrize("head", [0.0, 0.6, 20.0])
def test_straight_down_a_pole_hangs_straight(reedlight, head):
    pole = reedlight()
    b = bent(pole, State.out(pole, support=Clamped(), lean=-np.pi / 2, head_mass=head))
    assert np.abs(b.x).max() < 1e-9
    assert b.z[-1] == pytest.approx(-7.45, rel=1e-4)


@pytest.mark.parametrize("head", [2.0, 10.0, 40.0])
def test_a_head_heavier_than_the_pole_is_carried(reedlight, head):
    pole = reedlight()
    b = bent(pole, State.out(pole, support=Clamped(), head_mass=head, lean=0.5))
    assert 0.0 < b.tip_droop < 7.45
    assert np.hypot(*b.tip) < 7.45


def test_ten_sections_and_one_section_are_poles_too(plain):
    tube = Tube.uniform(bore=0.028, outside=0.030, length=1.2, bending=800.0, mass_per_length=0.1)
    ten = Pole((tube,) * 10, (Joint(overlap=0.15, stiffness=9000.0, clearance=0.3e-3),) * 9)
    assert 0.0 < bent(ten, State.out(ten)).tip_droop < 10.65
    one = plain(1.5, 800.0, 0.1)
    assert bent(one, State.out(one, support=Clamped())).tip_droop == pytest.approx(
        0.1 * GRAVITY * 1.5**4 / (8 * 800.0), rel=1e-4
    )


def test_no_clearance_means_no_play(reedlight):
    pole = reedlight(clearance=0.0, stiffness=np.inf)
    assert np.all(bent(pole, State.out(pole)).tilt == 0.0)


def test_clearance_without_overlap_is_refused(reedlight):
    pole = reedlight(overlap=0.0)
    with pytest.raises(DesignError, match=r"want\.above_zero_where_there_clearance"):
        bent(pole, State.out(pole))


@pytest.mark.parametrize(
    ("drawn", "text"),
    [
        ([1.5, 1.45, 1.45, 1.45], r"drawn\[0\].*want\.between_pushed_fully_out"),
        ([1.45, 0.0, 1.45, 1.45], r"drawn\[1\].*want\.between_pushed_fully_out"),
        ([1.45], r"drawn.*want\.one_joint_tip_first"),
    ],
)
def test_a_section_drawn_too_far_is_refused(reedlight, drawn, text):
    with pytest.raises(DesignError, match=text):
        bent(reedlight(), State(drawn=drawn))


@pytest.mark.parametrize(
    ("given", "text"),
    [
        ({"lean": 45.0}, r"want\.between_pi_2_straight_down_pi"),
        ({"lean": np.nan}, "lean"),
        ({"head_mass": -1.0}, "head_mass"),
        ({"gravity": np.inf}, "gravity"),
        ({"tip_force": [0.0, np.nan]}, "tip_force"),
        ({"hose": np.nan}, "hose"),
    ],
)
def test_numbers_that_mean_nothing_are_refused(given, text):
    with pytest.raises(DesignError, match=text):
        State(drawn=[], **given)


def test_a_support_beyond_the_tip_is_refused(plain):
    with pytest.raises(DesignError, match=r"want\.within_pole_as_drawn_out_long"):
        bent(plain(0.8, 10.0, 0.1), State(drawn=[]))


def test_a_pole_level_against_an_upright_wall_is_refused(reedlight):
    pole = reedlight()
    with pytest.raises((NotConverged, DesignError), match=r"want\.lean_towards_wall_or_pole_hands"):
        bent(pole, State.out(pole, support=Foot(), lean=0.0))


def test_a_push_far_above_buckling_bends_an_upright_pole_right_round(plain, chain):
    b = bent(plain(1.0, 1.0, 0.0), State(drawn=[], support=Clamped(), lean=np.pi / 2, tip_force=[-10.0, 0.0]))
    heavy = chain(length=1.0, bending=1.0, mass=0.0, tip_mass=10.0 / GRAVITY, lean=np.pi / 2)
    heavy.settle(np.linspace(np.pi / 2, -1.0, heavy.n))
    assert b.buckled
    assert b.x[-1] == pytest.approx(heavy.tip_place()[0], rel=2e-3)
    assert b.z[-1] == pytest.approx(heavy.tip_place()[1], rel=2e-3)
