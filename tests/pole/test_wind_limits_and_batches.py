"""Wind, the reach still safe, margins, slips, and many poles at once."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from polewright.errors import DesignError
from polewright.pole import (
    Bench,
    Clamped,
    Foot,
    Hands,
    Lifted,
    Limits,
    Place,
    PoleBatch,
    State,
    bent,
    bent_lines,
    bent_small,
    bent_tips,
    caught_factor,
    contact,
    drawn_to,
    drop_factor,
    grip,
    margins,
    safe_reach,
    side_state,
    stop_force,
    wind_load,
)

GRAVITY = 9.80665


def test_wind_square_to_the_pole_counts_where_it_lies_level(reedlight):
    """In the plane of a level pole the wind blows along it; only the sway is left, and it adds at right angles."""
    pole = reedlight()
    still = State.out(pole, head_mass=0.6)
    windy = replace(still, wind=wind_load([0.0], [25.0], drag=1.2))
    limits = np.full(5, 120.0)
    assert safe_reach(pole, still, limits=limits).stopped_by is None
    found = safe_reach(pole, windy, limits=limits)
    at = replace(still, drawn=drawn_to(pole, found.reach))
    both = np.hypot(*(np.abs(bent(pole, s).moment).max() for s in (at, side_state(at, windy.wind))))
    assert found.stopped_by is not None
    assert both == pytest.approx(120.0, rel=5e-3)


def test_more_wind_or_load_never_lengthens_the_safe_reach(reedlight):
    pole = reedlight()
    reaches = [
        safe_reach(
            pole,
            State.out(pole, lean=0.9, head_mass=0.4, wind=wind_load([0.0], [v], drag=1.2)),
            limits=np.full(5, 60.0),
        ).reach
        for v in (0.0, 6.0, 12.0, 18.0)
    ]
    assert np.all(np.diff(reaches) <= 1e-3)
    assert reaches[-1] < reaches[0]


def test_a_pole_that_stands_against_a_wall_has_no_safe_reach_of_its_own(reedlight):
    pole = reedlight()
    with pytest.raises(DesignError, match=r"want\.clamped_bench_hands_or_lifted_tip"):
        safe_reach(pole, State.out(pole, support=Foot(), lean=1.0), limits=np.full(5, 60.0))


def test_margins_tell_the_mouth_from_the_inner_end(reedlight):
    pole = reedlight()
    b = bent(pole, State.out(pole, head_mass=0.6))
    limits = replace(Limits.none(5), contact=np.column_stack([np.full(4, 400.0), np.full(4, 390.0)]))
    found = {m.place: m for m in margins(b, limits).checks}
    assert found[Place("joint", 4, "contact_mouth")].load == pytest.approx(abs(contact(b).front[3]), rel=1e-12)
    assert found[Place("joint", 4, "contact_inner_end")].factor == pytest.approx(390.0 / abs(contact(b).back[3]))


def test_a_slip_loads_two_to_three_times():
    assert drop_factor(0.0, 0.3) == 2.0
    assert drop_factor(0.45, 0.3) == pytest.approx(3.0)
    assert caught_factor(2 * np.pi * 0.5 * 0.4, 0.5, 0.4) == pytest.approx(2.0)
    assert stop_force(2.0, 0.5, 8e4) == pytest.approx(2.0 * 200.0)


def test_a_stopped_head_swings_as_far_as_the_spring_on_a_mass():
    """Time steps of m x'' = -k x from speed v: the greatest way is v/omega."""
    k, m, v, x, dt, most = 40.0, 1.6, 1.0, 0.0, 1e-4, 0.0
    for _ in range(20000):
        v -= dt * k / m * x
        x += dt * v
        most = max(most, x)
    static = m * GRAVITY / k
    assert caught_factor(1.0, np.sqrt(k / m) / (2 * np.pi), static) == pytest.approx(1.0 + most / static, rel=1e-3)


@pytest.mark.parametrize(
    "call",
    [
        lambda: drop_factor(-1.0, 0.1),
        lambda: drop_factor(0.1, 0.0),
        lambda: caught_factor(np.nan, 0.5, 0.1),
        lambda: stop_force(1.0, -1.0, 1.0),
    ],
)
def test_slips_without_meaning_are_refused(call):
    with pytest.raises(DesignError):
        call()


def test_wind_pressure_is_half_rho_v_squared_times_drag(verified):
    load = wind_load([0.0, 5.0], [6.0, -6.0], drag=1.2)
    verified(
        "pole",
        "wind on 28 mm at 6 m/s",
        "workshop notes",
        0.74,
        load.pressure[0] * 0.028,
        0.01,
        unit="N/m",
        kind="notes",
    )
    assert load.pressure[1] == -load.pressure[0]


def test_wind_bends_an_upright_bar_as_a_spread_load(plain):
    """w L4/(8 EI), small."""
    pole = plain(2.0, 1000.0, 0.0)
    state = State(drawn=[], support=Clamped(), lean=np.pi / 2, wind=wind_load([0.0], [5.0], drag=1.2))
    assert bent_small(pole, state).tip_droop == pytest.approx(0.5 * 1.225 * 1.2 * 25 * 0.030 * 16 / 8000.0, rel=1e-6)


def test_safe_reach_stops_where_the_moment_meets_its_limit(reedlight):
    pole = reedlight()
    state = State.out(pole, head_mass=0.6)
    found = safe_reach(pole, state, limits=np.array([200.0, 200, 200, 200, 55.0]))
    assert found.stopped_by == Place("section", 5, "strength")
    assert found.used == pytest.approx(1.0, abs=2e-3)
    assert pole.closed_length < found.reach < pole.extended_length
    assert safe_reach(pole, state, limits=np.full(5, 500.0)).stopped_by is None
    assert safe_reach(pole, state, limits=np.full(5, 500.0), tip_limit=0.5).stopped_by == Place("tip")
    with pytest.raises(DesignError, match=r"want\.higher_or_less_wind_load_not"):
        safe_reach(pole, state, limits=np.full(5, 1.0))


def test_the_weakest_place_is_named(reedlight):
    pole = reedlight()
    b = bent(pole, State.out(pole, head_mass=0.6))
    limits = replace(Limits.none(5), strength=np.array([290.0, 300, 310, 320, 350]), contact=np.full(4, 400.0))
    found = margins(b, limits, load_factor=2.0)
    assert found.weakest.place == Place("joint", 4, "contact")
    assert found.weakest.factor == pytest.approx(400.0 / (2.0 * np.abs(contact(b).front[3])), rel=1e-9)
    hand = next(m for m in found.checks if m.place == Place("section", 5, "strength"))
    # inside the pole at the front hand: what the hands hold, and the first metre's own weight at half a metre
    assert hand.load == pytest.approx(2.0 * (grip(b).moment + 0.1321 * GRAVITY * 0.5), rel=1e-4)


def test_limits_of_another_pole_are_refused(reedlight):
    pole = reedlight()
    with pytest.raises(DesignError, match=r"want\.sections_joints_tip_first"):
        margins(bent(pole, State.out(pole)), Limits.none(3))


@pytest.mark.parametrize("support", [Clamped(0.3), Bench(), Hands(0.2, 1.4)], ids=lambda s: type(s).__name__)
def test_a_batch_gives_each_pole_what_it_gets_alone(reedlight, support):
    rng = np.random.default_rng(7)
    poles = []
    for _ in range(6):
        base = reedlight(clearance=float(rng.uniform(0.1e-3, 0.6e-3)), stiffness=float(rng.uniform(6e3, 12e3)))
        tubes = tuple(replace(t, bending=t.bending * rng.uniform(0.9, 1.1)) for t in base.tubes)
        poles.append(replace(base, tubes=tubes))
    state = State.out(poles[0], head_mass=0.6, lean=0.4, support=support, tip_force=[1.0, -2.0])
    for small, alone in ((False, bent), (True, bent_small)):
        tips = bent_tips(PoleBatch.of(poles, state.drawn), state, pieces=32, small=small)
        one = [alone(p, state) for p in poles]
        assert_allclose(tips.droop, [b.tip_droop for b in one], rtol=1e-9)
        assert_allclose(tips.x, [b.x[-1] for b in one], rtol=1e-9)
        assert np.all(tips.found == 1.0)
    assert_allclose(tips.mass, [p.mass + 0.6 for p in poles], rtol=1e-12)


@pytest.mark.slow
@pytest.mark.parametrize(
    "support", [Clamped(0.3), Bench(), Hands(0.2, 1.4), Lifted(0.1, 1.2)], ids=lambda s: type(s).__name__
)
def test_a_batch_draws_each_pole_as_it_is_alone(reedlight, support):
    """A tip force and a head, so that nothing of one pole may stay behind for the next; places on the nodes' chords."""
    poles = [reedlight(stiffness=k) for k in (4e3, 9e3, 20e3)]
    state = State.out(poles[0], head_mass=0.6, lean=0.4, support=support, tip_force=[1.0, -2.0])
    at = np.linspace(0.0, 1.0, 9)
    found = bent_lines(PoleBatch.of(poles, state.drawn), state, at, pieces=32, threads=1)
    for row, pole in zip(found, poles, strict=True):
        b = bent(pole, state)
        assert_allclose(row, np.interp(at, b.station / b.station[-1], b.droop), atol=1e-10)
    with pytest.raises(DesignError, match=r"want\.rising_shares_length_0_1"):
        bent_lines(PoleBatch.of(poles, state.drawn), state, [0.5, 0.2])


def test_a_batch_is_the_same_on_one_thread_and_on_two(reedlight):
    poles = [reedlight(stiffness=k) for k in np.linspace(6e3, 12e3, 17)]
    state = State.out(poles[0], head_mass=0.6)
    batch = PoleBatch.of(poles, state.drawn)
    one, two = (bent_tips(batch, state, threads=n).droop for n in (1, 2))
    assert np.array_equal(one, two)


def test_a_batch_refuses_what_it_cannot_do(reedlight):
    pole = reedlight()
    batch = PoleBatch.of([pole], np.array(pole.full_draw))
    with pytest.raises(DesignError, match=r"want\.clamped_bench_or_hands_batch"):
        bent_tips(batch, State.out(pole, support=Foot(), lean=1.0))
    with pytest.raises(DesignError, match=r"want\.finite_numbers"):
        replace(batch, bending=np.full_like(batch.bending, np.nan))
    with pytest.raises(DesignError, match=r"want\.above_zero"):
        replace(batch, bending=-batch.bending)
