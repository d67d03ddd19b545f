"""Our bounded, elastic least squares against a general one."""

from __future__ import annotations

import numpy as np
from scipy import optimize

from taperlab.shop.goals.elastic import elastic_least_squares


def size(slopes, values, bottom, top, firm, z):
    at = slopes @ z + values
    off = np.minimum(at - bottom, 0.0) + np.maximum(at - top, 0.0)
    return float(z @ z + ((firm * off) ** 2).sum())


def test_as_small_as_a_general_solver_finds_it():
    for seed in range(60):
        draw = np.random.default_rng(seed)
        k, m = int(draw.integers(1, 25)), int(draw.integers(1, 16))
        slopes = draw.normal(size=(m, k)) * draw.choice([0.0, 1.0, 1.0], size=(m, k))
        values = draw.normal(size=m) * 3.0
        bottom = draw.normal(size=m)
        top = bottom + draw.choice([0.0, 1.0, np.inf], size=m)
        bottom = np.where(np.isinf(top) & (draw.random(m) < 0.3), -np.inf, bottom)
        firm = draw.choice([1.0, 30.0, 100.0], size=m)
        low = -draw.uniform(0.05, 1.5, k)
        high = draw.uniform(0.0, 1.5, k)
        ours = elastic_least_squares(slopes, values, bottom, top, firm, low, high, np.zeros(k))
        assert np.all(ours >= low)
        assert np.all(ours <= high)
        # A row with room is one more unknown, which lies where the row may.
        kept = np.isfinite(bottom) | np.isfinite(top)
        rows = firm[kept, None] * np.hstack((slopes[kept], -np.eye(m)[kept]))
        table = np.vstack((np.hstack((np.eye(k), np.zeros((k, m)))), rows))
        aim = np.concatenate((np.zeros(k), -firm[kept] * values[kept]))
        slack = np.where(bottom == top, 1e-9, 0.0)
        theirs = optimize.lsq_linear(
            table,
            aim,
            (np.concatenate((low, bottom - slack)), np.concatenate((high, top + slack))),
            method="bvls",
            tol=1e-12,
        ).x[:k]
        args = slopes, values, bottom, top, firm
        assert size(*args, ours) <= size(*args, theirs) * (1.0 + 1e-6) + 1e-9
