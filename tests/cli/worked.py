# SPDX-License-Identifier: GPL-3.0-or-later
"""A worked line of `explain`, computed again from the numbers that it prints.

Each printed number stands for the interval of all numbers that round to it, so
that the result is an interval too: the value belongs inside, and a wide
interval means that the line printed too few digits to be worked by hand.
"""

import math
import re

LBF, FT = 4.4482216152605, 0.3048
DEGREE = math.pi / 180

# Units of the display: a number in one of these was rounded to the decimals that it shows.
SHOWN = {
    "kN m": 1e3, "kN": 1e3, "N m": 1, "N/m²": 1, "N": 1, "t m²": 1e3, "kg m²": 1, "m²": 1, "m": 1,
    "kip ft s²": 1e3 * LBF * FT, "kip ft": 1e3 * LBF * FT, "kip": 1e3 * LBF, "lbf ft s²": LBF * FT,
    "lbf ft": LBF * FT, "lbf": LBF, "psf": LBF / FT**2, "ft²": FT**2, "ft": FT, "bar": 1e5, "psi": 144 * LBF / FT**2,
    "km/h": 1 / 3.6, "mph": 0.44704, "%": 0.01,
}
# The others were printed to six figures.
PRINTED = {"kg/m³": 1, "m/s": 1, "rad/s²": 1, "rad/s": 1, "W": 1, "s": 1, "°/s": DEGREE, "": 1}
SIX_FIGURES = 5e-6

UNITS = sorted({**SHOWN, **PRINTED}, key=len, reverse=True)
UNIT = "|".join(re.escape(unit) for unit in UNITS if unit)
TOKEN = re.compile(
    rf"\s*(?:(?P<number>-?\d+(?:\.\d+)?(?:e[+-]?\d+)?)(?:(?P<degree>°)(?!/)|\s*(?P<unit>{UNIT})(?![\w²³/]))?"
    r"|(?P<word>sin|cos)|(?P<sign>[-+×/()√²|½−]))"
)
CYLINDERS = re.compile(r"(.*), (\d+) cylinders?, bore (.*), rod (.*), η (.*)")
# The inertia of rotors is printed to six figures, the leaf's to the decimals of the display.
ROTORS = re.compile(r"( \+ \d+ × \S+) kg m²( × )")
REMARK = re.compile(r" \((mean height factor|Cn at incidence [^)]*)\)")


def of_number(text, unit, degree):
    value = float(text)
    decimals = len(text.partition(".")[2].partition("e")[0])
    if degree:
        # Two decimals are a rounded angle; else the angle is the one that was asked for.
        slack = 0.005 if decimals == 2 else 0
        return ((value - slack) * DEGREE, (value + slack) * DEGREE)
    if unit in SHOWN:
        slack = 0.5 * 10.0**-decimals
        return ((value - slack) * SHOWN[unit], (value + slack) * SHOWN[unit])
    slack = abs(value) * SIX_FIGURES
    return ((value - slack) * PRINTED[unit or ""], (value + slack) * PRINTED[unit or ""])


def hull(*numbers):
    return (min(numbers), max(numbers))


def add(a, b):
    return (a[0] + b[0], a[1] + b[1])


def negative(a):
    return (-a[1], -a[0])


def times(a, b):
    return hull(*(x * y for x in a for y in b))


def over(a, b):
    if b[0] <= 0 <= b[1]:
        raise ZeroDivisionError(f"{b} holds zero")
    return hull(*(x / y for x in a for y in b))


def size(a):
    return a if a[0] >= 0 else negative(a) if a[1] <= 0 else (0.0, max(-a[0], a[1]))


def squared(a):
    low, high = size(a)
    return (low * low, high * high)


def turn(function, a):
    """Sine or cosine over an interval that is short: its ends, and a turning point where it holds one."""
    numbers = [function(a[0]), function(a[1])]
    quarter = math.pi / 2
    for k in range(math.ceil(a[0] / quarter), math.floor(a[1] / quarter) + 1):
        numbers.append(function(k * quarter))
    return hull(*numbers)


class Line:
    """A recursive descent over the signs that explain uses."""

    def __init__(self, text):
        text = REMARK.sub("", text)
        self.tokens = []
        at = 0
        while at < len(text):
            match = TOKEN.match(text, at)
            if not match:
                raise ValueError(f"'{text[at:]}' of '{text}' cannot be read")
            self.tokens.append(match)
            at = match.end()
        self.tokens.append(None)
        self.at = 0

    def sign(self, *wanted):
        token = self.tokens[self.at]
        found = token and (token["sign"] or token["word"])
        if found in wanted:
            self.at += 1
            return found
        return None

    def need(self, wanted):
        if not self.sign(wanted):
            raise ValueError(f"{wanted} is missing")

    def total(self):
        value = self.product()
        while sign := self.sign("+", "−"):
            value = add(value, self.product() if sign == "+" else negative(self.product()))
        return value

    def product(self):
        value = self.power()
        while sign := self.sign("×", "/"):
            value = times(value, self.power()) if sign == "×" else over(value, self.power())
        return value

    def power(self):
        value = self.atom()
        return squared(value) if self.sign("²") else value

    def enclosed(self, end):
        value = self.total()
        self.need(end)
        return value

    def atom(self):
        sign = self.sign("−", "+", "(", "|", "√", "½", "sin", "cos")
        if sign == "−":
            return negative(self.atom())
        if sign == "+":
            return self.atom()
        if sign == "(":
            return self.enclosed(")")
        if sign == "|":
            return size(self.enclosed("|"))
        if sign == "√":
            value = self.atom()
            return (math.sqrt(value[0]), math.sqrt(value[1]))
        if sign == "½":
            return (0.5, 0.5)
        if sign in ("sin", "cos"):
            return turn(getattr(math, sign), self.atom())
        token = self.tokens[self.at]
        if not token or token["number"] is None:
            raise ValueError("a number is missing")
        self.at += 1
        return of_number(token["number"], token["unit"], token["degree"])


def of_cylinders(formula, numbers):
    """The arithmetic of the line that lists the numbers of a pressure beside its formula."""
    found = CYLINDERS.fullmatch(numbers)
    if not found:
        return numbers
    force, count, bore, rod, efficiency = found.groups()
    area = f"(({bore})² − ({rod})²)" if "rod²" in formula else f"({bore})²"
    force = f"|{force}|" if "|S|" in formula else f"({force})"
    loss = f"{force} × {efficiency} /" if "S| η /" in formula or "S η /" in formula else f"{force} / {efficiency} /"
    return f"{loss} ({count} × {math.pi / 4:.15f} × {area})"


def interval(numbers, formula=""):
    """The interval in SI, and radians, of a line's numbers."""
    numbers = ROTORS.sub(r"\1\2", of_cylinders(formula, numbers))
    line = Line(numbers)
    value = line.total()
    if line.tokens[line.at] is not None:
        raise ValueError(f"'{line.tokens[line.at].group()}' is left over in '{numbers}'")
    return value
