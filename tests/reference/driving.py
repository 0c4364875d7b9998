# SPDX-License-Identifier: GPL-3.0-or-later
"""What `drive` answers: the worst angle of every case, one motor out, duty."""

import math

from scipy import integrate

from located import Located
from moments import acceleration, directed, ice_parts, motor_torque
from shapes import number
from terms import Term
from units import quantity
from wind import breaks

SENSES = (("opening", 1), ("closing", -1))
R20 = (1, 1.12, 1.25, 1.4, 1.6, 1.8, 2, 2.24, 2.5, 2.8, 3.15, 3.55, 4, 4.5, 5, 5.6, 6.3, 7.1, 8, 9)


def asked(leaf, case, ice, sense, running, angle):
    """Demand, motor torque, force and pressure."""
    alpha = acceleration(leaf, case)
    _, standing, demand, _ = directed(leaf, case, ice, angle, sense, alpha)
    pressure = leaf.drive.pressure(standing.force, demand) if leaf.drive.pressed else None
    return demand, motor_torque(leaf, demand, alpha, angle, running), standing.force, pressure


def rating(leaf, case, way, running, full=None):
    """Fewer motors share the same torque: they are worst at the angle found for all of them."""
    sense_name, sense = way
    ice = ice_parts(leaf, case)
    pressed = leaf.drive.pressed
    rated = None if pressed else leaf.motors.rated
    allowed = case.motor_limit * (leaf.drive.most if pressed else rated)

    def badness(angle):
        _, motor, _, pressure = asked(leaf, case, ice, sense, running, angle)
        return abs((pressure if pressed else motor).value)

    def row_at(angle):
        demand, motor, force, pressure = asked(leaf, case, ice, sense, running, angle)
        use = abs((pressure if pressed else motor).value) / allowed
        row = {
            "name": case.name,
            "direction": sense_name,
            "worst_angle_deg": Term(math.degrees(angle)),
            "leaf_Nm": demand,
            "motor_Nm": motor,
            "rated_Nm": None if pressed else Term(rated),
            "allowed_Nm": None if pressed else Term(allowed),
        }
        if "ratio" not in leaf.description["drive"]:
            row.update(force_N=force)
        if pressed:
            row.update(pressure_Pa=pressure, allowed_Pa=Term(allowed))
        else:
            row.update(power_W=motor * (leaf.travel.speed * leaf.drive.ratio(angle)) if leaf.travel else None)
        row.update(use=Term(use), met=bool(use <= 1))
        return row

    found = full and (full.angle, badness(full.angle))
    jumps = breaks(leaf.surfaces, case.wind, leaf.opens_to)
    return Located(row_at, badness, leaf.opens_to, jumps, found=found)


def drive(leaf):
    leaf.check()
    result = {"leaf": leaf.name}
    running = None if leaf.drive.pressed else leaf.motors.running
    ways = [(case, way) for case in leaf.cases for way in SENSES]
    result["cases"] = [rating(leaf, case, way, running) for case, way in ways]
    left = 0 if leaf.drive.pressed else min(running, leaf.motors.installed - 1)
    result["one_motor_out"] = [
        rating(leaf, case, way, left, full) for (case, way), full in zip(ways, result["cases"]) if left
    ]
    result["duty"] = duty(leaf) if has_duty(leaf) else None
    result["next_sizes_W"] = [] if leaf.drive.pressed else next_sizes(leaf, result)
    return result


def next_sizes(leaf, result):
    """Three powers of the R20 series (ISO 3), in W or hp: the first that does for all cases and the duty, and on."""
    uses = [located.row()["use"].value for located in result["cases"]]
    needed = max(uses + ([result["duty"]["use"].value] if result["duty"] else [])) * leaf.motors.power
    unit = quantity("1 hp", "power") if leaf.description.get("units") == "us" else 1.0
    series = [Term(unit * figure * 10.0**decade) for decade in range(-3, 12) for figure in R20]
    first = next(index for index, power in enumerate(series) if power.value >= needed * (1 - 1e-12))
    return series[first : first + 3]


# duty


def has_duty(leaf):
    return "duty" in leaf.description and leaf.travel and leaf.motors and not leaf.drive.pressed


class Stretch:
    """A stretch of the speed reference with one acceleration, from a run and a speed on."""

    def __init__(self, run, speed, acceleration, seconds):
        self.run, self.speed, self.acceleration, self.seconds = run, speed, acceleration, seconds

    def run_at(self, time):
        return self.run + self.speed * time + self.acceleration * time**2 / 2

    def end(self):
        return self.run_at(self.seconds), self.speed + self.acceleration * self.seconds


def time_to(distance, speed, acceleration):
    """The first time at which a motion has gone a distance; endless where it turns round before."""
    if acceleration == 0:
        return distance / speed
    inside = speed**2 + 2 * acceleration * distance
    return math.inf if inside < 0 else 2 * distance / (speed + math.sqrt(inside))


def reference_of(travel, length, near):
    """The speed reference over a travel of a length, whose near switch is passed after near."""
    stretches, run, speed = [], 0.0, 0.0

    def add(acceleration, target, limit):
        nonlocal run, speed
        seconds = time_to(limit - run, speed, acceleration) if limit > run else 0.0
        if acceleration:
            seconds = min(seconds, (target - speed) / acceleration)
        stretch = Stretch(run, speed, acceleration, seconds)
        if seconds > 0:
            stretches.append(stretch)
            run, speed = stretch.end()

    add(travel.acceleration, travel.speed, near)
    if near - run > 1e-12:
        add(0.0, speed, near)
    if speed > travel.creep:
        add(-travel.deceleration, travel.creep, length)
    elif speed < travel.creep:
        add(travel.acceleration, travel.creep, length)
    if length - run > 1e-12:
        add(0.0, speed, length)
    return stretches


def everyday_case(leaf):
    name = leaf.description["duty"].get("case", leaf.cases[0].name)
    return next(case for case in leaf.cases if case.name == name)


def heating(leaf, case, stretches, sense):
    """Integral over time of the square of the torque of each running motor, between the breaks."""
    ice, whole = ice_parts(leaf, case), 0.0
    runs = [angle if sense > 0 else leaf.opens_to - angle for angle in breaks(leaf.surfaces, case.wind, leaf.opens_to)]
    for stretch in stretches:

        def square(time, stretch=stretch):
            run = stretch.run_at(time)
            angle = min(max(run if sense > 0 else leaf.opens_to - run, 0.0), leaf.opens_to)
            turning = (stretch.speed + stretch.acceleration * time) ** 2
            _, _, demand, _ = directed(leaf, case, ice, angle, sense, stretch.acceleration, turning)
            torque = motor_torque(leaf, demand, stretch.acceleration, angle, growing=sense * turning)
            return torque.value ** 2

        end = stretch.run_at(stretch.seconds)
        inside = [time_to(run - stretch.run, stretch.speed, stretch.acceleration)
                  for run in runs if stretch.run < run < end]  # fmt: skip
        marks = [0.0, *sorted(inside), stretch.seconds]
        for low, high in zip(marks, marks[1:]):
            whole += integrate.quad(square, low, high, epsabs=0, epsrel=1e-8, limit=50)[0]
    return whole


def duty(leaf):
    case, travel = everyday_case(leaf), leaf.travel
    opening = reference_of(travel, leaf.opens_to, travel.near_open)
    closing = reference_of(travel, leaf.opens_to, leaf.opens_to - travel.near_closed)
    period = 3600 / number(leaf.description["duty"]["openings_per_hour"])
    rms = math.sqrt((heating(leaf, case, opening, 1) + heating(leaf, case, closing, -1)) / period)
    use = rms / leaf.motors.rated
    busy = 24 - number(leaf.description["duty"].get("hours_without_openings", "0"))
    return {
        "rms_Nm": Term(rms),
        "rated_Nm": Term(leaf.motors.rated),
        "use": Term(use),
        "met": use <= 1,
        "period_s": Term(period),
        "moving_s": Term(sum(stretch.seconds for stretch in opening + closing)),
        "day_rms_Nm": Term(math.sqrt(rms**2 * busy / 24)),
        "openings_per_day": Term(3600 / period * busy),
    }
