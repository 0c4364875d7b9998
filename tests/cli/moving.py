# SPDX-License-Identifier: GPL-3.0-or-later
"""A leaf whose motion is known in closed form, and what the tests of cycle ask of every answer."""

import math

from harness import expect, expect_equal, run
from machinery import DEGREE, WHEEL_INERTIA, wheel, written

EVENTS = (
    "brakes released", "broke away", "drive at its limit", "caught up", "full speed", "near switch", "creep", "full switch",
    "fault", "power off", "brake set", "stopped", "stalled", "ran back", "buffer met", "seated", "left the travel",
)
ENDS = ("arrived", "stopped", "stalled", "seated", "left", "moving")
DIRECTIONS = ("opening", "closing")
SPEED, CREEP, CLIMB, FALL = 1.2, 0.18, 6.0, 5.0  # degree/s, s: TRAVEL of machinery.py
OPENS_TO, NEAR_OPEN, NEAR_CLOSED = 60.0, 52.0, 8.0
BRAKE = {"name": "brake", "torque": "100 N m", "ratio": 1000, "delay": "0.3 s", "set_time": "0.5 s"}
DELAY, SET_TIME, BRAKE_NM = 0.3, 0.5, 100e3
RATIO, EFFICIENCY, ROTORS = 1000, 0.8, 2 * 0.5  # of the wheel's drive and motors
INERTIA = WHEEL_INERTIA + RATIO**2 * ROTORS  # with the rotors, power off

STEPS = [
    {"name": "warn", "takes": "10 s", "gives": "warned"},
    {"name": "stop the traffic", "takes": "5 s", "needs": "warned", "gives": "stopped", "road": "closes"},
    {"name": "raise", "motion": "raise", "needs": ["stopped"], "gives": "open"},
    {"name": "hold open", "takes": "3 min", "needs": "open"},
    {"name": "lower", "motion": "lower", "needs": "open", "ends": "open", "gives": "closed"},
    {"name": "free the traffic", "takes": "4 s", "needs": "closed", "ends": ["stopped"], "road": "opens"},
]


HOLD_KEYS = {
    "ran_back_deg", "past_end_deg", "hold_factor", "hold_wind_Pa", "hold_demand_Nm", "hold_capacity_Nm", "safe", "met",
}


def across(path):
    """An example's leaf with its motors across the line."""
    text = path.read_text(encoding="utf-8")
    expect("control: reference" in text, path)
    return text.replace("control: reference", "control: line").encode()


def balanced(**changes):
    """A wheel with a brake: no balance, no friction, only inertia."""
    return written(wheel(brakes=[BRAKE], **changes))


def motion_of(name_of_run, leaf, *arguments):
    """What cycle answers of a leaf, an example's path or bytes."""
    source, data = ("-", leaf) if isinstance(leaf, bytes) else (leaf, None)
    return name_of_run("cycle", source, *arguments, stdin=data)


def travel_time(near=8.0):
    """From rest to the full switch by the trapezoid of the reference; near is how far before the end it slows down."""
    climbed = SPEED * CLIMB / 2
    fallen = FALL * (SPEED + CREEP) / 2
    return CLIMB + (OPENS_TO - near - climbed) / SPEED + FALL + (near - fallen) / CREEP


def stopped(speed):
    """Time, run and hardest deceleration of the wheel from a speed at which the power goes off, in degrees."""
    whole = BRAKE_NM / INERTIA / DEGREE
    ramp = min(SET_TIME, math.sqrt(2 * SET_TIME * speed / whole))
    left = speed - whole * ramp**2 / (2 * SET_TIME)
    run_deg = speed * (DELAY + ramp) - whole * ramp**3 / (6 * SET_TIME) + left**2 / (2 * whole)
    return DELAY + ramp + left / whole, run_deg, whole * ramp / SET_TIME


def events_of(whole, direction, *names):
    return [event for event in whole["events"] if event["direction"] == direction and (not names or event["event"] in names)]


def at_event(whole, direction, name):
    found = events_of(whole, direction, name)
    expect(len(found) == 1, f"{name}, {direction}: {len(found)} times", whole["events"])
    return found[0]


def not_met(leaf, *arguments):
    """The sentences of a run that did not do what it must."""
    source, data = ("-", leaf) if isinstance(leaf, bytes) else (leaf, None)
    result = run("cycle", source, *arguments, stdin=data)
    expect_equal(result.status, 1, result)
    return result
