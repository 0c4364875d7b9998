# SPDX-License-Identifier: GPL-3.0-or-later
"""A number together with the size of the terms that make it up.

Two right programs differ by rounding, and rounding is in proportion to the terms that were
added, not to what is left of them: near the neutral angle a balance moment of a few N m is the
difference of moments of MN m. So every sum carries the sum of the magnitudes of its terms,
and two results are held against each other relative to that size. Value and size may be arrays.
"""

import numpy


class Term:
    __slots__ = ("value", "size")

    def __init__(self, value, size=None):
        self.value = value
        self.size = abs(value) if size is None else size

    def __add__(self, other):
        return Term(self.value + other.value, self.size + other.size)

    def __sub__(self, other):
        return Term(self.value - other.value, self.size + other.size)

    def __neg__(self):
        return Term(-self.value, self.size)

    def __mul__(self, factor):
        return Term(self.value * factor, self.size * abs(factor))

    __rmul__ = __mul__

    def __truediv__(self, divisor):
        return Term(self.value / divisor, self.size / abs(divisor))

    def __repr__(self):
        return f"Term({self.value!r}, {self.size!r})"


def total(terms):
    result = Term(0.0)
    for term in terms:
        result = result + term
    return result


def product(a, b):
    return Term(a.value * b.value, a.size * b.size)


def resultant(a, b):
    return Term(numpy.hypot(a.value, b.value), numpy.hypot(a.size, b.size))


def plain(tree):
    """The same results with bare numbers, ready for JSON; a result that belongs to a worst angle at that."""
    if isinstance(tree, Term):
        return float(tree.value)
    if hasattr(tree, "row_for"):
        return plain(tree.row())
    if isinstance(tree, dict):
        return {key: plain(value) for key, value in tree.items()}
    if isinstance(tree, list):
        return [plain(value) for value in tree]
    return tree
