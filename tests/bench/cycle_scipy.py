# SPDX-License-Identifier: GPL-3.0-or-later
"""One opening and one closing in SciPy (solve_ivp, DOP853, events), beside the library and CVODE in C.

    cycle_scipy.py BUILD [LEAF [ROUNDS]]

runs BUILD/bench/cycle_cvode on the leaf and SciPy in turn, at equal error, and prints medians (of CPU time) and
ratios; or rows() for another script. Written as one would for one leaf: plain floats, a function of rates for
each stretch.
"""

import json
import math
import pathlib
import statistics
import subprocess
import sys
import time

from scipy.integrate import solve_ivp

ROOT = pathlib.Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "reference"))

from braking import read_brakes  # noqa: E402
from laws import read_seating  # noqa: E402
from leaf import read  # noqa: E402

LATE = 600.0


class Cycle:
    """A leaf on a drive of one ratio within its limits, in still air."""

    def __init__(self, text):
        leaf = read(text)
        self.leaf, self.travel, self.drive, self.journal = leaf, leaf.travel, leaf.drive, leaf.journal
        self.weight = leaf.body.weight().value
        self.a, self.b = (leaf.body.first_moment(axis).value for axis in (0, 1))
        self.inertia, self.rotors = leaf.body.inertia().value, leaf.motors.inertia
        self.ratio, self.efficiency = leaf.drive.turns, leaf.drive.efficiency
        self.brakes, self.seating = read_brakes(leaf), read_seating(leaf)

    def toe(self, angle, speed):
        force = self.seating.force(angle, speed) if self.seating else 0.0
        return force, force * self.leaf.toe * math.cos(angle)

    def followed(self, sense, alpha):
        """Rates of angle, speed, and works of motors, friction, gears while the drive follows its reference."""

        def rates(_, state):
            angle, speed = state[0], state[1]
            force, lift = self.toe(angle, speed)
            load = sense * (self.a * math.cos(angle) - self.b * math.sin(angle) - lift)
            friction = self.journal.friction("moving", abs(self.weight - force))
            demand = load + friction + self.inertia * alpha
            geared = demand / self.efficiency if demand > 0 else demand * self.efficiency
            rate = sense * speed
            motors = (geared + self.rotors * self.ratio**2 * alpha) * rate
            return speed, sense * alpha, motors, friction * rate, (geared - demand) * rate

        return rates

    def coasting(self, sense, tripped):
        whole = self.inertia + self.rotors * self.ratio**2

        def rates(now, state):
            angle, speed = state[0], state[1]
            force, lift = self.toe(angle, speed)
            load = self.a * math.cos(angle) - self.b * math.sin(angle) - lift
            friction = self.journal.friction("moving", abs(self.weight - force))
            brakes = sum(brake.count * brake.one() * brake.share(now - tripped) for brake in self.brakes)
            return speed, -(load + sense * (friction + brakes)) / whole, 0.0, friction * abs(speed), 0.0

        return rates

    def phases(self):
        travel = self.travel
        yield travel.acceleration, travel.speed
        yield 0.0, None
        yield -travel.deceleration, travel.creep
        yield 0.0, None

    def run(self, sense, tolerance):
        """Time to the full switch, end angle, works."""
        travel = self.travel
        marks = (travel.near_open, travel.full_open) if sense > 0 else (travel.near_closed, travel.full_closed)
        small = [tolerance, tolerance * travel.speed] + [tolerance * 1e5] * 3
        options = {"method": "DOP853", "rtol": tolerance, "atol": small}
        now, state, mark = 0.0, [0.0 if sense > 0 else self.leaf.opens_to, 0.0, 0.0, 0.0, 0.0], iter(marks)
        for alpha, target in self.phases():
            if target is None:
                place = next(mark)

                def there(_, at, place=place):
                    return at[0] - place

                there.terminal = True
                solution = solve_ivp(self.followed(sense, alpha), (now, now + LATE), state, events=there, **options)
            else:
                seconds = (target - sense * state[1]) / alpha
                solution = solve_ivp(self.followed(sense, alpha), (now, now + seconds), state, **options)
            now, state = solution.t[-1], solution.y[:, -1]
        switched = now
        return switched, *self.stop(sense, now, state, options)

    def stop(self, sense, tripped, state, options):
        moments = {tripped + LATE}
        for brake in self.brakes:
            moments |= {tripped + brake.delay, tripped + brake.delay + brake.set_time}

        def rest(_, at):
            return sense * at[1]

        rest.terminal, rest.direction = True, -1
        now = tripped
        for moment in sorted(moments):
            solution = solve_ivp(self.coasting(sense, tripped), (now, moment), state, events=rest, **options)
            now, state = solution.t[-1], solution.y[:, -1]
            if len(solution.t_events[0]):
                break
        return state[0], state[2], state[3], state[4]


def error_of(got, truth):
    want = [truth[key] for key in ("time_s", "end_angle_rad", "motors_J", "friction_J", "gears_J")]
    largest = max(abs(work) for work in want[2:])
    works = max(abs(a - b) / largest for a, b in zip(got[2:], want[2:]))
    return max(abs(got[0] / want[0] - 1), abs(got[1] - want[1]), works)


def worst_error(cycle, tolerance, truth):
    return max(error_of(cycle.run(sense, tolerance), truth[name]) for name, sense in (("opening", 1), ("closing", -1)))


def tolerance_for(cycle, truth, goal):
    """The coarsest that, with all finer ones, reaches the goal; and its error."""
    coarsest = tolerance = 1e-13
    while tolerance < 2e-4 and worst_error(cycle, tolerance, truth) <= goal:
        coarsest, tolerance = tolerance, tolerance * math.sqrt(10)
    return coarsest, worst_error(cycle, coarsest, truth)


def milliseconds(cycle, tolerance):
    before = time.process_time()
    cycle.run(1, tolerance)
    cycle.run(-1, tolerance)
    return 1e3 * (time.process_time() - before)


def rows(build, leaf=None, rounds=11):
    """[(name, median ms, tolerance, error)] of the library, CVODE and SciPy, run in turn."""
    path = leaf or str(ROOT / "examples" / "metric.yaml")
    cycle = Cycle(pathlib.Path(path).read_text(encoding="utf-8"))

    def in_c(rounds_in_c):
        done = subprocess.run([f"{build}/bench/cycle_cvode", path, str(rounds_in_c)], check=True, capture_output=True)
        return json.loads(done.stdout)

    first = in_c(1)
    tolerance, error = tolerance_for(cycle, first, first["goal"])
    if not error <= first["goal"]:
        sys.exit(f"{path} is more than this peer can do: it differs by {error:.1e}")
    ours, cvode, scipy = [], [], []
    for _ in range(rounds):
        scipy.append(milliseconds(cycle, tolerance))
        both = in_c(1)
        ours.append(both["library"]["median_ms"])
        cvode.append(both["cvode"]["median_ms"])
    return [
        ("library", statistics.median(ours), first["library"]["tolerance"], first["library"]["error"]),
        ("CVODE in C", statistics.median(cvode), first["cvode"]["tolerance"], first["cvode"]["error"]),
        ("SciPy DOP853", statistics.median(scipy), tolerance, error),
    ]


def main():
    build, leaf = sys.argv[1], sys.argv[2] if len(sys.argv) > 2 else None
    table = rows(build, leaf, int(sys.argv[3]) if len(sys.argv) > 3 else 11)
    for name, median, tolerance, error in table:
        print(f"cycle, {name:14} {median:9.3f} ms   {median / table[0][1]:8.1f} times the library's"
              f"   error {error:.1e} at tolerance {tolerance:.1e}")  # fmt: skip


if __name__ == "__main__":
    main()
