# SPDX-License-Identifier: GPL-3.0-or-later
"""Forces and moments on the leaf, and on its linked counterweight, solved as one system.

Each body has three equations, two of forces and one of moments; unknown are the reactions of the
trunnions, the drive's force and the pull of the link. The friction of each trunnion
depends on its reaction, and the spreading force of a rack on its tangential force: these are put in
from the last solution, until nothing changes. Loads may be arrays, for many winds at once.
"""

from typing import NamedTuple

import numpy

from drives import PURE_MOMENT
from linkage import Stuck
from terms import Term, resultant, total

ENOUGH = 1e-14
ROUNDS = 3000


class Load(NamedTuple):
    """Wind and ice on the leaf: closing moment, force along x, force upward; ice adds to the inertia."""

    closing: Term
    along: Term
    upward: Term
    inertia: Term = Term(0.0)


class Motion(NamedTuple):
    """Sense +1 opens; alpha is in the sense of the motion; turning is the speed squared."""

    sense: int
    state: str
    alpha: float = 0.0
    turning: float = 0.0


class Standing(NamedTuple):
    """Demand resists the motion; force is the drive's (an opening moment where its place is not described)."""

    reaction: Term
    demand: Term
    force: Term
    friction: Term
    link: object
    counterweight_reaction: object


def geometry(pose):
    """Columns: the leaf's reaction x, y, the drive's force, the link's pull, the counterweight's reaction x, y."""
    hold = pose.hold or PURE_MOMENT
    size = 6 if pose.link else 3
    matrix = numpy.zeros((size, size))
    matrix[0, 0] = matrix[1, 1] = 1
    matrix[0:3, 2] = [*hold.force, hold.moment]
    if pose.link:
        ux, uy = pose.link.pull_on_leaf
        matrix[:, 3] = [ux, uy, pose.link.moment_on_leaf, -ux, -uy, pose.link.moment_on_counterweight]
        matrix[3, 4] = matrix[4, 5] = 1
    return matrix


def known(leaf, pose, load, motion):
    """The right hand sides without friction."""
    inertia = (leaf.body.inertia() + load.inertia) * (motion.sense * motion.alpha)
    sides = [-load.along, leaf.body.weight() - load.upward, pose.moment + load.closing + inertia]
    if pose.link:
        turn = pose.link.turn
        spin = turn.first * motion.sense * motion.alpha + turn.second * motion.turning
        body = leaf.linked.body
        sides += [Term(0.0), body.weight(), pose.link.moment + body.inertia() * spin]
    return sides


def stacked(terms, shape):
    """Values and sizes as columns, one for each load."""
    if not shape:
        return numpy.array([term.value for term in terms]), numpy.array([term.size for term in terms])
    return (
        numpy.array([numpy.broadcast_to(term.value, shape) for term in terms], dtype=float),
        numpy.array([numpy.broadcast_to(term.size, shape) for term in terms], dtype=float),
    )


class System:
    def __init__(self, leaf, pose, load, motion):
        self.leaf, self.pose, self.motion = leaf, pose, motion
        self.inverse = numpy.linalg.inv(geometry(pose))
        self.shape = numpy.shape(load.closing.value)
        self.sides, self.sizes = stacked(known(leaf, pose, load, motion), self.shape)
        self.spread = (pose.hold or PURE_MOMENT).spread
        self.backwards = bool(pose.link and pose.link.turn.first < 0)

    def frictions(self, answer):
        """Of the leaf's trunnion and of the counterweight's, about their own axes."""
        own = self.leaf.journal.friction(self.motion.state, numpy.hypot(answer[0], answer[1]))
        if not self.pose.link:
            return [own]
        return [own, self.leaf.linked.journal.friction(self.motion.state, numpy.hypot(answer[4], answer[5]))]

    def answer(self, sides, before, inverse, signed):
        """One round: friction and spread from the answer before."""
        sides = sides.copy()
        sense = self.motion.sense if signed else 1
        frictions = self.frictions(before)
        sides[2] += sense * frictions[0]
        if self.pose.link:
            sides[5] += (-sense if self.backwards and signed else sense) * frictions[1]
        push = numpy.abs(before[2])
        for axis in (0, 1):
            sides[axis] += push * (-self.spread[axis] if signed else abs(self.spread[axis]))
        return inverse @ sides

    def solve(self):
        answer = self.inverse @ self.sides
        for _ in range(ROUNDS):
            before, answer = answer, self.answer(self.sides, answer, self.inverse, True)
            if numpy.all(numpy.abs(answer - before) <= ENOUGH * numpy.max(numpy.abs(answer), axis=0)):
                break
        else:
            raise Stuck("friction locks")
        size = numpy.abs(self.inverse) @ self.sizes
        for _ in range(2):
            size = self.answer(self.sizes, size, numpy.abs(self.inverse), False)
        return answer, size


def locks(leaf, pose, state):
    """Whether the line of the drive's force, or of the link's, comes within a trunnion's friction circle."""
    hold, arm = pose.hold or PURE_MOMENT, leaf.journal.arm(state)
    force = numpy.hypot(numpy.hypot(*hold.force), numpy.hypot(*hold.spread))
    if arm * force >= abs(hold.moment):
        return True
    return bool(pose.link and leaf.linked.journal.arm(state) >= abs(pose.link.moment_on_counterweight))


def stand(leaf, pose, load, motion):
    """The leaf in equilibrium while it moves."""
    if locks(leaf, pose, motion.state):
        raise Stuck("friction locks: a force passes within the friction circle")
    system = System(leaf, pose, load, motion)
    answer, size = system.solve()
    each = [Term(value, spread) for value, spread in zip(answer, size)]
    frictions = [
        Term(value, spread) for value, spread in zip(system.frictions(answer), system.frictions(size))
    ]
    friction = frictions[0]
    if pose.link:
        friction = friction + frictions[1] * abs(pose.link.turn.first)
    hold = pose.hold or PURE_MOMENT
    return Standing(
        resultant(each[0], each[1]),
        each[2] * (motion.sense * hold.moment),
        each[2],
        friction,
        each[3] if pose.link else None,
        resultant(each[4], each[5]) if pose.link else None,
    )


def wind_and_ice(leaf, case, ice, angle, sense_of_wind):
    """The load of a case; sense_of_wind +1 from the heel, -1 from the toe, 0 calm."""
    moment, along, upward = (each * sense_of_wind for each in leaf.wind_from_heel(case.wind, angle))
    weight = total(Term(part.weight) for part in ice)
    return moment, Load(
        moment + ice_moment(ice, angle), along, upward - weight, total(Term(part.inertia) for part in ice)
    )


def ice_moment(parts, angle):
    """Weight at the middle of each strip, where its ends stand at the angle."""
    sin, cos = numpy.sin(angle), numpy.cos(angle)
    terms = []
    for part in parts:
        x, y = part.x.value, part.y.value
        stands = (complex(x, y) * complex(cos, sin)).real
        terms.append(Term(stands, abs(x * cos) + abs(y * sin)) * part.weight)
    return total(terms)
