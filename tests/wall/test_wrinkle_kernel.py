"""The compiled loops of wrinkling beside the same sums in arrays."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from polewright.wall.wrinkle_kernel import joined_waves, softness

RADIUS, ALONG = 0.016, np.geomspace(20.0, 3000.0, 7)


def random_shell(seed, *, is_balanced):
    """(8, 8) a positive definite stiffness of the size of a thin wall's, with or without coupling of shear."""
    rng = np.random.default_rng(seed)
    size = np.sqrt([3e7, 2e7, 1e7, 2.0, 1.5, 0.7, 3e6, 2e6])
    part = rng.uniform(-0.3, 0.3, (8, 8))
    stiffness = np.outer(size, size) * (np.eye(8) + part @ part.T)
    stiffness[:6, 6:] = stiffness[6:, :6] = 0.0
    if is_balanced:
        for rows in ([0, 1, 3, 4], [2, 5]):
            others = [k for k in range(6) if k not in rows]
            stiffness[np.ix_(rows, others)] = 0.0
        stiffness[6, 7] = stiffness[7, 6] = 0.0
    return stiffness


def plain_softness(stiffness, radius, along, waves):
    a, b = np.broadcast_arrays(along[:, None], waves[None, :] / radius)
    strain = np.zeros(a.shape + (8, 5))
    curve = 1.0 / radius
    strain[..., 0, 0] = strain[..., 2, 1] = strain[..., 3, 3] = strain[..., 5, 4] = strain[..., 6, 2] = a
    strain[..., 1, 1] = strain[..., 2, 0] = strain[..., 4, 4] = strain[..., 5, 3] = strain[..., 7, 2] = b
    strain[..., 1, 2] = strain[..., 7, 1] = curve
    strain[..., 5, 0], strain[..., 5, 1] = -b * curve / 2.0, a * curve / 2.0
    strain[..., 6, 3] = strain[..., 7, 4] = -1.0
    energy = strain.swapaxes(-1, -2) @ (stiffness @ strain)
    return np.linalg.inv(energy)[..., 1:3, 1:3]


def plain_joined(stiffness, radius, along, waves, is_balanced):
    """The whole table of waves against waves, each joined to its neighbours; rows 1st, 3rd, ..., columns 2nd, 4th."""
    root = np.linalg.cholesky(plain_softness(stiffness, radius, along, waves))
    whole = np.zeros((along.size, waves.size, 2, waves.size, 2))
    for j in range(waves.size - 1):
        share = np.diag([0.0, np.sqrt(0.5)] if is_balanced and j == 0 else [0.5, 0.5])
        pair = root[:, j].swapaxes(-1, -2) @ share @ root[:, j + 1]
        whole[:, j, :, j + 1, :], whole[:, j + 1, :, j, :] = pair, pair.swapaxes(-1, -2)
    odd = whole[:, ::2, :, 1::2, :]
    return odd.reshape(along.size, 2 * odd.shape[1], 2 * odd.shape[3]), root


@pytest.mark.parametrize("is_balanced", [True, False])
@pytest.mark.parametrize("most", [4, 5])
@pytest.mark.parametrize("seed", range(4))
def test_waves_are_joined_as_by_arrays(seed, most, is_balanced):
    stiffness = random_shell(seed, is_balanced=is_balanced)
    waves = np.arange(0 if is_balanced else -most, most + 1, dtype=np.float64)
    ours, root = joined_waves(stiffness, RADIUS, ALONG, waves, is_balanced)
    plain, plain_root = plain_joined(stiffness, RADIUS, ALONG, waves, is_balanced)
    assert ours.shape == plain.shape
    assert_allclose(ours, plain, rtol=1e-8, atol=1e-9 * np.abs(plain).max())
    assert_allclose(root, plain_root, rtol=1e-8, atol=1e-9 * np.abs(plain_root).max())


@pytest.mark.parametrize("seed", range(4))
def test_softness_is_that_of_arrays(seed):
    stiffness, waves = random_shell(seed, is_balanced=False), np.array([-7.0, -2.0, 0.0, 3.0, 11.0])
    ours, plain = softness(stiffness, RADIUS, ALONG, waves), plain_softness(stiffness, RADIUS, ALONG, waves)
    assert_allclose(ours, plain, rtol=1e-8, atol=1e-9 * np.abs(plain).max())
