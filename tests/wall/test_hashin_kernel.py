"""Hashin's modes as a compiled loop against the same modes in plain arrays."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from polewright.materials.ply import Strength
from polewright.wall.criteria import Mode, hashin_reserve, modes_reserve


def _hashin_modes(strength, T):
    """The four modes by their names; T [Pa] shear strength across the fibre."""
    along_shear = 1.0 / strength.S**2

    def sheared(a, b):
        return np.asarray(along_shear * (a[..., 5] * b[..., 5] + a[..., 4] * b[..., 4]))

    def matrix(a, b):
        cross = (a[..., 1] * b[..., 2] + a[..., 2] * b[..., 1]) / 2.0
        return np.asarray(sheared(a, b) + (a[..., 3] * b[..., 3] - cross) / T**2)

    def both(s):
        return np.asarray(s[..., 1] + s[..., 2])

    def none(s):
        return np.zeros(s.shape[:-1])

    return (
        (
            "fibre_tension",
            Mode(lambda a, b: a[..., 0] * b[..., 0] / strength.Xt**2 + sheared(a, b), none, lambda s: s[..., 0]),
        ),
        ("fibre_compression", Mode(lambda a, b: a[..., 0] * b[..., 0] / strength.Xc**2, none, lambda s: -s[..., 0])),
        ("matrix_tension", Mode(lambda a, b: both(a) * both(b) / strength.Yt**2 + matrix(a, b), none, both)),
        (
            "matrix_compression",
            Mode(
                lambda a, b: both(a) * both(b) / (2.0 * T) ** 2 + matrix(a, b),
                lambda s: ((strength.Yc / (2.0 * T)) ** 2 - 1.0) * both(s) / strength.Yc,
                lambda s: -both(s),
            ),
        ),
    )


SEEDS = range(6)


def _drawn(seed):
    draw = np.random.default_rng(seed)
    load = draw.normal(0.0, 1.0, (400, 6)) * 10.0 ** draw.uniform(3.0, 9.0, (400, 1))
    load[:60, 2:5] = 0.0  # in the plane alone
    load[60:80] = 0.0
    load[80:120, :3] *= draw.integers(0, 2, (40, 3))
    cure = draw.normal(0.0, 1.0, (400, 6)) * draw.choice([0.0, 1e6, 3e7, 3e8], (400, 1))
    limits = Strength(*(draw.uniform(2e7, 2e9, 400) for _ in range(5)))
    return load, cure, limits, draw.uniform(2e7, 3e8, 400)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_compiled_modes_are_the_plain_ones(seed):
    load, cure, limits, across = _drawn(seed)
    for T in (None, across):
        plain = modes_reserve(load, limits, _hashin_modes(limits, limits.Yc / 2.0 if T is None else T), cure=cure)
        found = hashin_reserve(load, limits, cure=cure, across=T)
        assert found.modes == plain.modes
        assert_allclose(found.every, plain.every, rtol=1e-9)
        assert_allclose(found.factor, plain.factor, rtol=1e-9)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_modes_reach_one_at_their_multiplier(seed):
    load, cure, limits, across = _drawn(seed)
    found = hashin_reserve(load, limits, cure=cure, across=across)
    breaks = np.isfinite(found.factor) & (found.factor > 0.0)
    at = cure + np.where(breaks, found.factor, 0.0)[:, None] * load
    for mode, (_, form) in enumerate(_hashin_modes(limits, across)):
        own = breaks & (found.mode == mode)
        assert own.any()
        value, beyond = (form.square(at, at) + form.linear(at))[own], form.where(at)[own]
        size = np.abs(at).max(axis=-1)[own]
        inside = beyond > 1e-9 * size  # at the border itself the cure stress may be over the limit of the mode at once
        # a load far below the cure stress comes up to the limit by a difference of large figures
        assert_allclose(value[inside], 1.0, rtol=1e-5)
        assert np.all(value > 1.0 - 1e-5)
        assert np.all(beyond >= -1e-9 * size)
