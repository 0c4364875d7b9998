# SPDX-License-Identifier: GPL-3.0-or-later
"""Holding the tool's results against the reference's.

The rule: a number agrees when it differs by at most 1e-9 of the size of the terms that make it
up (terms.py). Without cancellation that is 1e-9 of the number itself; near the neutral angle it
is 1e-9 of the part moments, for rounding scales with those. An angle found from moments is a
ratio of such sums and is held to 1e-9 of (sum of the sizes / what is left), in radians. NaN and
infinity never agree; null agrees with null only; keys, names and order must be the same. What is
searched for or integrated (drive, brake, wind) is held to 1e-6; a result at a worst angle is compared at
the angle that the tool found, if it is as bad there to 1e-6.
"""

import csv
import io
import math

from terms import Term

TOLERANCE = 1e-9


def is_number(value):
    return isinstance(value, (int, float)) and not isinstance(value, bool)


class Comparison:
    """Collects what differs, and the largest difference relative to size among what agrees."""

    def __init__(self, tolerance=TOLERANCE):
        self.tolerance = tolerance
        self.faults = []
        self.worst = 0.0
        self.worst_at = ""

    def fault(self, place, got, want, more=""):
        self.faults.append(f"{place}: the tool has {got!r}, the reference {want!r}{more}")

    def number(self, got, want, place):
        if not is_number(got):
            return self.fault(place, got, want.value)
        difference = abs(got - want.value)
        share = difference / want.size if want.size else math.inf if difference else 0.0
        if not share <= self.tolerance:
            return self.fault(place, got, want.value, f", off by {share:.2g} of its size")
        if share > self.worst:
            self.worst, self.worst_at = share, place
        return None

    def tree(self, got, want, place=""):
        if hasattr(want, "row_for"):
            want = want.row_for(got)
        if isinstance(want, Term):
            self.number(got, want, place)
        elif isinstance(want, dict):
            if not isinstance(got, dict) or list(got) != list(want):
                return self.fault(place, list(got) if isinstance(got, dict) else got, list(want))
            for key, value in want.items():
                self.tree(got[key], value, f"{place}.{key}".lstrip("."))
        elif isinstance(want, list):
            if not isinstance(got, list) or len(got) != len(want):
                return self.fault(place + " length", len(got) if isinstance(got, list) else got, len(want))
            for index, (one, other) in enumerate(zip(got, want)):
                self.tree(one, other, f"{place}[{index}]")
        elif got != want:
            self.fault(place, got, want)
        return None


def csv_table(text):
    """Header and rows of RFC 4180 text."""
    if text.replace("\r\n", "").count("\n") or not text.endswith("\r\n"):
        raise ValueError("lines do not end in CR LF")
    header, *rows = csv.reader(io.StringIO(text, newline=""), strict=True)
    if any(len(row) != len(header) for row in rows):
        raise ValueError("rows are not as long as the header")
    return header, rows


def cell_agrees(cell, value):
    """Text and null as they are, numbers to the last bit."""
    if value is None or isinstance(value, str):
        return cell == (value or "")
    try:
        number = float(cell)
    except ValueError:
        return False
    return number == value


def csv_faults(text, records):
    """How the CSV differs from the records (dicts) that the JSON gives."""
    try:
        header, rows = csv_table(text)
    except (ValueError, csv.Error) as reason:
        return [f"csv: {reason}"]
    if header != list(records[0]):
        return [f"csv header: {header} where the JSON has {list(records[0])}"]
    if len(rows) != len(records):
        return [f"csv: {len(rows)} rows where the JSON has {len(records)}"]
    return [
        f"csv line {line}, {key}: {cell!r} where the JSON has {value!r}"
        for line, (row, record) in enumerate(zip(rows, records), start=2)
        for cell, (key, value) in zip(row, record.items())
        if not cell_agrees(cell, value)
    ]


def weigh_records(result):
    """The leaf's totals under an empty name, then its parts, of which the other columns say nothing."""
    header = [key for key in result if key != "parts"]
    header.insert(1, "name")
    whole = {"name": "", **result}
    parts = [{"leaf": result["leaf"], **part} for part in result["parts"]]
    return [{key: record.get(key) for key in header} for record in (whole, *parts)]


def curve_records(result):
    return [{"case": case["name"], **row} for case in result["cases"] for row in case["rows"]]
