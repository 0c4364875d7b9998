# SPDX-License-Identifier: GPL-3.0-or-later
"""The worst angle of a travel, and results that belong to it."""

import math

from scipy import optimize

STEP = math.radians(1)
EQUALLY = 1e-6
BESIDE = 1e-9
CANDIDATES = 6


def angles(opens_to, step=STEP):
    """0, step, 2 step … and opens_to; a multiple that is opens_to but for rounding is not given twice."""
    whole = math.ceil(opens_to / step * (1 - 1e-9))
    return [index * step for index in range(whole)] + [opens_to]


def largest(function, opens_to, jumps=()):
    """Angle and value of the largest value in the travel: the best rows, each searched between its neighbours.

    On both sides of what may be a jump there is a row, too.
    """
    besides = [jump + side for jump in jumps for side in (-BESIDE, BESIDE)]
    marks = sorted(angles(opens_to) + [angle for angle in besides if 0 < angle < opens_to])
    heights = [function(angle) for angle in marks]
    peaks = [
        index for index, height in enumerate(heights)
        if height >= max(heights[max(index - 1, 0)], heights[min(index + 1, len(marks) - 1)])
    ]  # fmt: skip
    best = max(zip(heights, marks))
    for index in sorted(peaks, key=lambda index: -heights[index])[:CANDIDATES]:
        between = (marks[max(index - 1, 0)], marks[min(index + 1, len(marks) - 1)])
        found = optimize.minimize_scalar(
            lambda angle: -function(angle), bounds=between, method="bounded", options={"xatol": 1e-11}
        )
        best = max(best, (-found.fun, found.x))
    return best[1], best[0]


class Located:
    """A result at the worst angle. An angle at which it is as bad to 1e-6 is as good an answer."""

    def __init__(self, row_at, badness, opens_to, jumps=(), found=None):
        self.row_at, self.badness, self.opens_to = row_at, badness, opens_to
        self.angle, self.worst = found or largest(badness, opens_to, jumps)

    def row(self):
        return self.row_at(self.angle)

    def row_for(self, got):
        """The row at the angle that another calculation found, where that is as bad; else at the own angle."""
        degrees = got.get("worst_angle_deg") if isinstance(got, dict) else None
        if isinstance(degrees, float) and 0 <= degrees <= math.degrees(self.opens_to) * (1 + 1e-15):
            angle = min(math.radians(degrees), self.opens_to)
            if abs(self.badness(angle) - self.worst) <= EQUALLY * abs(self.worst):
                return self.row_at(angle)
        return self.row()
