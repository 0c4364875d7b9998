# SPDX-License-Identifier: GPL-3.0-or-later
"""Peers: the work of spread and wind as one writes it with NumPy and SciPy, each timed without its imports."""
import sys
import time

import numpy as np
from scipy.optimize import bisect

ANGLES = 181
G0 = 9.80665


def clocks():
    """The clock, and that of the processors."""
    return time.perf_counter(), time.process_time()


def since(before):
    return tuple(now - then for now, then in zip(clocks(), before))


def leaf_of_parts(parts):
    """Weights, places and relative standard deviations; the same as in compare.py's leaf."""
    i = np.arange(parts)
    return (1 + i % 7 * 5 + 0.5) * 1e3, i % 34 - 11 + 0.25, i % 5 + 0.1, (1 + i % 5) / 100


def whole_matrix(samples, parts=64):
    """As one would write it: every curve in one matrix, np.quantile down its columns."""
    rng = np.random.default_rng(1)
    weight, x, y, sd = leaf_of_parts(parts)
    angle = np.radians(np.linspace(0, 76, ANGLES))
    before = clocks()
    drawn = weight * (1 + sd * rng.standard_normal((samples, parts)))
    a, b, w = drawn @ x, drawn @ y, drawn.sum(axis=1)
    demand = a[:, None] * np.cos(angle) - b[:, None] * np.sin(angle) + (0.12 * 0.23 * w + 1500)[:, None]
    quantiles = np.quantile(demand, [0.05, 0.5, 0.95], axis=0)
    torque = np.where(demand >= 0, demand / (1320 * 0.83), demand * 0.83 / 1320) / 2
    over = np.mean(np.abs(torque).max(axis=1) > 500)
    return since(before), samples * ANGLES, quantiles[1, 0] + over


def tuned(samples, parts=64):
    """A low-rank product by BLAS, and partition in place, angle by angle."""
    rng = np.random.default_rng(1)
    weight, x, y, sd = leaf_of_parts(parts)
    angle = np.radians(np.linspace(0, 76, ANGLES))
    ranks = [samples // 20, samples // 2, samples * 19 // 20]
    effects = np.stack([weight * sd * x, weight * sd * y, weight * sd], axis=1)
    means = np.array([(weight * x).sum(), (weight * y).sum(), weight.sum()])
    basis = np.stack([np.cos(angle), -np.sin(angle), np.full(ANGLES, 0.12 * 0.23)])
    before = clocks()
    reduced = np.empty((samples, 3))
    for first in range(0, samples, 65536):
        block = slice(first, min(first + 65536, samples))
        reduced[block] = rng.standard_normal((block.stop - first, parts)) @ effects + means
    largest = np.full(samples, -np.inf)
    middle = 0.0
    for row in basis.T:
        demand = reduced @ row
        np.maximum(largest, np.abs(demand), out=largest)
        demand.partition(ranks)
        middle += demand[ranks[1]]
    over = np.mean(largest > 1e6)
    return since(before), samples * ANGLES, middle + over


def wind_limits(_samples):
    """Bisection at whole degrees for raising, lowering and holding of a leaf of one surface."""
    weight, reach, rise = 1.6e6, 0.03, 0.4
    area, middle = 180.0, (12.4, 0.85)
    arm, allowed, capacity = 0.12 * 0.23, 1.5 * 494 * 2, 3.2e6

    def state(angle, speed, side):
        pressure = 1.2 * 0.625 * speed * speed
        force = pressure * area * abs(np.sin(angle)) * side
        height = middle[0] * np.sin(angle) + middle[1] * np.cos(angle)
        balance = weight * (reach * np.cos(angle) - rise * np.sin(angle))
        return balance + force * height, arm * np.hypot(force, weight)

    def margin(action, angle, speed):
        worst = np.inf
        for side in (1, -1):
            moment, friction = state(angle, speed, side)
            if action == 2:
                worst = min(worst, capacity - 1.5 * abs(moment))
                continue
            demand = (moment if action == 0 else -moment) + friction
            torque = demand / (1320 * 0.83) if demand >= 0 else demand * 0.83 / 1320
            worst = min(worst, allowed - abs(torque))
        return worst

    before = clocks()
    total = 0.0
    for action in range(3):
        for degree in range(77):
            angle = np.radians(degree)
            if margin(action, angle, 0.0) > 0 and margin(action, angle, 100.0) < 0:
                total += bisect(lambda speed: margin(action, angle, speed), 0.0, 100.0)
    return since(before), 3 * 77, total


if __name__ == "__main__":
    seconds, work, mark = {"matrix": whole_matrix, "tuned": tuned, "wind": wind_limits}[sys.argv[1]](int(sys.argv[2]))
    print(f"{seconds[0]:.9f} {seconds[1]:.9f} {work} 0 {mark:.17g}")
