# SPDX-License-Identifier: GPL-3.0-or-later
"""Figures as SVG: lines, arrows and words in styles that suit a light and a dark page, and a chart with two axes."""

import math
from xml.sax.saxutils import escape

LIGHT = {
    "ground": "#ffffff", "ink": "#1d2530", "faint": "#d5dae1", "soft": "#5a6573", "one": "#1d5fa8", "two": "#a34a00",
    "three": "#1c7346", "window": "#dce9f7",
}
DARK = {
    "ground": "#161b22", "ink": "#e8ebf0", "faint": "#39424e", "soft": "#a3adba", "one": "#7db6f2", "two": "#f2ab6b",
    "three": "#79d3a0", "window": "#22374f",
}
RULES = """\
.ground { fill: $ground }
.panel { fill: none; stroke: $faint }
text { fill: $ink; font: 14px sans-serif }
.title { font-weight: bold }
.tick { fill: $soft; font-size: 12px }
path { fill: none; stroke: $ink; stroke-width: 1.6; stroke-linejoin: round; stroke-linecap: round }
.one { stroke: $one; stroke-width: 2.4 }
.two { stroke: $two; stroke-width: 2.4 }
.three { stroke: $three; stroke-width: 2.4 }
.dashed { stroke-dasharray: 8 5 }
.deck { stroke-width: 5 }
.thin { stroke: $soft; stroke-width: 1.1 }
.ghost { stroke: $soft; stroke-dasharray: 4 4 }
.ghost.deck { stroke-width: 2.5 }
.wind { stroke: $three; stroke-width: 2 }
.grid { stroke: $faint; stroke-width: 1 }
.zero { stroke: $soft; stroke-width: 1.6 }
path.window { fill: $window; stroke: none }
circle { stroke-width: 2 }
circle.axis { fill: $ground; stroke: $ink }
circle.one { fill: $one }
circle.two { fill: $two }
circle.three { fill: $three }
circle.hollow { fill: $ground }"""


def rules(colours):
    text = RULES
    for name in sorted(colours, key=len, reverse=True):
        text = text.replace(f"${name}", colours[name])
    return text


def place(value):
    return f"{round(value, 1):g}"


class Figure:
    def __init__(self, width, height, title):
        self.width, self.height, self.title = width, height, title
        self.pieces = []

    def path(self, style, points):
        words = style.split()
        end = "Z" if "closed" in words else ""
        way = " ".join(f"{'ML'[index > 0]}{place(x)} {place(y)}" for index, (x, y) in enumerate(points))
        style = " ".join(word for word in words if word not in ("closed", "body", "force"))
        self.pieces.append(f'<path{f" class={chr(34)}{style}{chr(34)}" if style else ""} d="{way}{end}"/>')

    def text(self, words, at, anchor="start", style=""):
        where = "" if anchor == "start" else f' text-anchor="{anchor}"'
        kind = f' class="{style}"' if style else ""
        self.pieces.append(f'<text x="{place(at[0])}" y="{place(at[1])}"{where}{kind}>{escape(words)}</text>')

    def dot(self, style, at, radius):
        style = style.replace(" fill", "")
        self.pieces.append(f'<circle class="{style}" cx="{place(at[0])}" cy="{place(at[1])}" r="{radius}"/>')

    def box(self, style, corner, width, height):
        self.pieces.append(
            f'<rect class="{style}" x="{corner[0]}" y="{corner[1]}" width="{width}" height="{height}" rx="6"/>'
        )

    def arrow(self, style, start, end):
        angle = math.atan2(end[1] - start[1], end[0] - start[0])
        self.path(style, [start, end])
        self.path(style, [
            (end[0] - 10 * math.cos(angle - 0.4), end[1] - 10 * math.sin(angle - 0.4)), end,
            (end[0] - 10 * math.cos(angle + 0.4), end[1] - 10 * math.sin(angle + 0.4)),
        ])

    def measure(self, start, end):
        """A line with a head at both ends."""
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        self.arrow("thin", middle, start)
        self.arrow("thin", middle, end)

    def arc(self, style, centre, radius, degrees):
        steps = [math.radians(degrees * k / 24) for k in range(25)]
        self.path(style, [(centre[0] + radius * math.cos(a), centre[1] - radius * math.sin(a)) for a in steps])

    def svg(self):
        return "\n".join([
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {self.width} {self.height}" width="{self.width}"'
            f' height="{self.height}" role="img" aria-label="{escape(self.title)}">',
            f"<title>{escape(self.title)}</title>",
            f"<style>\n{rules(LIGHT)}\n@media (prefers-color-scheme: dark) {{\n{rules(DARK)}\n}}\n</style>",
            f'<rect class="ground" width="{self.width}" height="{self.height}" rx="8"/>',
            *self.pieces, "</svg>", "",
        ])


class Chart(Figure):
    """Axes are (name, unit, from, to, step)."""

    LEFT, TOP, BOTTOM = 80, 70, 64

    def __init__(self, title, across, up, right=36, width=760, height=450):
        super().__init__(width, height, title)
        self.across, self.up, self.right = across, up, right
        self.text(title, (self.LEFT, 30), style="title")
        self.grid()

    @staticmethod
    def ticks(axis):
        _, _, low, high, step = axis
        return [low + k * step for k in range(round((high - low) / step) + 1)]

    @staticmethod
    def label(value, step):
        return f"{value:.{0 if step >= 1 else 1}f}".replace("-", "−")

    def grid(self):
        left, right = self.LEFT, self.width - self.right
        bottom = self.height - self.BOTTOM
        for value in self.ticks(self.across):
            x, _ = self.at((value, self.up[2]))
            self.path("grid", [(x, self.TOP), (x, bottom)])
            self.text(self.label(value, self.across[4]), (x, bottom + 20), "middle", "tick")
        for value in self.ticks(self.up):
            _, y = self.at((self.across[2], value))
            self.path("grid", [(left, y), (right, y)])
            self.text(self.label(value, self.up[4]), (left - 8, y + 4), "end", "tick")
        self.text(f"{self.across[0]}, {self.across[1]}", ((left + right) / 2, bottom + 46), "middle")
        self.text(f"{self.up[0]}, {self.up[1]}", (14, self.TOP - 14))

    def at(self, point, up=None):
        _, _, low, high, _ = self.across
        _, _, floor, roof, _ = up or self.up
        wide = self.width - self.right - self.LEFT
        tall = self.height - self.BOTTOM - self.TOP
        return (self.LEFT + wide * (point[0] - low) / (high - low),
                self.height - self.BOTTOM - tall * (point[1] - floor) / (roof - floor))

    def zero(self):
        self.path("zero", [self.at((self.across[2], 0)), self.at((self.across[3], 0))])

    def curve(self, style, points, words=""):
        self.path(style, [self.at(point) for point in points])
        if words:
            x, y = self.at(points[-1])
            self.text(words, (x + 10, y + 5))

    def area(self, style, points):
        self.path(f"{style} closed", [self.at(point) for point in points])

    def second(self, axis):
        """A second axis on the right, for curve_on_second."""
        self.other = axis
        for value in self.ticks(axis):
            x, y = self.at((self.across[3], value), axis)
            self.text(self.label(value, axis[4]), (x + 8, y + 4), style="tick")
        self.text(f"{axis[0]}, {axis[1]}", (self.width - 14, self.TOP - 14), "end")

    def curve_on_second(self, style, points):
        self.path(style, [self.at(point, self.other) for point in points])

    def words(self, point, words, anchor="start"):
        self.text(words, self.at(point), anchor)

    def point(self, style, point):
        self.dot(style, self.at(point), 4)

    def mark(self, style, point, words, shift, anchor="start"):
        x, y = self.at(point)
        self.dot(style, (x, y), 5)
        self.text(words, (x + shift[0], y + shift[1]), anchor)
