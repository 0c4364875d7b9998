#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The library from Python, by its standard library alone: a leaf from a YAML text, its balance, its curve, a what-if.

    python3 use_from_python.py [LIBRARY]      LIBRARY: libtrunnion.so.0 unless given

The classes below repeat structs of the C headers. While the first number of the library's version is 0, structs may
grow from one second number to the next, so that a library of another version is refused; the tests of the library hold
every field against what a C compiler says.

The leaf is invented. Caution: computed from the description alone; a licensed engineer decides, local rules govern.
"""

import contextlib
import ctypes
import math
import sys
from ctypes import POINTER, Structure, byref, c_bool, c_char, c_char_p, c_double, c_int, c_size_t, c_void_p

WRITTEN_FOR = "0.7."
OK, BAD_DESCRIPTION = 0, 1

DESCRIPTION = """\
leaf: Withy Cut, footbridge
opens_to: 70 degree
toe: 12 m
parts:
  - {name: girders, weight_per_length: 4 kN/m, from: [-1 m, 0 m], to: [12 m, 0.5 m]}
  - {name: counterweight, weight: 124 kN, at: [-2.2 m, 0.1 m]}
surfaces:
  - {name: deck, from: [0 m, 0.4 m], to: [12 m, 0.6 m], width: 3 m}
trunnion: {journal_diameter: 0.3 m, friction: {starting: 0.18, moving: 0.12}}   # from memory, check the clause
drive: {ratio: 400, efficiency: 0.85}
motors: {installed: 1, power: 4 kW, speed: 1440 rpm}
cases:
  - {name: calm}
  - {name: breeze, wind: {speed: 10 m/s}}
"""


class Point(Structure):
    """trn_point"""

    _fields_ = [("x", c_double), ("y", c_double)]


class Error(Structure):
    """trn_error"""

    _fields_ = [("status", c_int), ("text", c_char * 320)]


class Fault(Structure):
    """trn_fault"""

    _fields_ = [("line", c_int), ("column", c_int), ("text", c_char * 320)]


class Faults(Structure):
    """trn_faults"""

    _fields_ = [("count", c_size_t), ("more", c_bool), ("at", Fault * 20)]


class Wind(Structure):
    """trn_wind"""

    _fields_ = [
        ("by_speed", c_bool), ("pressure_Pa", c_double), ("speed_m_s", c_double), ("coefficient", c_double),
        ("density_kg_m3", c_double), ("law", c_int), ("from", c_int), ("table", c_void_p), ("table_count", c_size_t),
        ("profile", c_void_p),
    ]  # fmt: skip


class Case(Structure):
    """trn_case"""

    _fields_ = [
        ("name", c_char_p), ("friction", c_int), ("accelerating", c_bool), ("wind", Wind), ("ice_N_m2", c_double),
        ("motor_limit", c_double),
    ]  # fmt: skip


class Leaf(Structure):
    """trn_leaf as far as it is used here: the library alone makes one, so that what follows need not be known."""

    _fields_ = [
        ("name", c_char_p), ("opens_to_rad", c_double), ("toe_m", c_double), ("units", c_int),
        ("parts", c_void_p), ("part_count", c_size_t), ("pockets", c_void_p), ("pocket_count", c_size_t),
        ("linked_counterweight", c_void_p), ("surfaces", c_void_p), ("surface_count", c_size_t),
        ("trunnion", c_void_p), ("drive", c_void_p), ("motors", c_void_p), ("brakes", c_void_p),
        ("brake_count", c_size_t), ("travel", c_void_p), ("seating", c_void_p), ("steps", c_void_p),
        ("step_count", c_size_t), ("cases", POINTER(Case)), ("case_count", c_size_t),
    ]  # fmt: skip


class Balance(Structure):
    """trn_balance"""

    _fields_ = [
        ("weight_N", c_double), ("mass_kg", c_double), ("centre", Point), ("closed_moment_Nm", c_double),
        ("moment_Nm", c_double), ("angle_rad", c_double), ("inertia_kg_m2", c_double), ("toe_reaction_N", c_double),
        ("has_neutral_angle", c_bool), ("neutral_angle_rad", c_double),
    ]  # fmt: skip


class Moments(Structure):
    """trn_moments"""

    _fields_ = [
        ("angle_rad", c_double), ("balance_Nm", c_double), ("wind_opening_Nm", c_double),
        ("wind_closing_Nm", c_double), ("ice_Nm", c_double), ("friction_opening_Nm", c_double),
        ("friction_closing_Nm", c_double), ("inertia_Nm", c_double), ("opening_Nm", c_double),
        ("closing_Nm", c_double), ("has_motor", c_bool), ("motor_opening_Nm", c_double),
        ("motor_closing_Nm", c_double), ("reaction_opening_N", c_double), ("reaction_closing_N", c_double),
        ("has_force", c_bool), ("force_opening_N", c_double), ("force_closing_N", c_double),
        ("has_pressure", c_bool), ("pressure_opening_Pa", c_double), ("pressure_closing_Pa", c_double),
        ("has_link", c_bool), ("link_opening_N", c_double), ("link_closing_N", c_double),
        ("counterweight_reaction_opening_N", c_double), ("counterweight_reaction_closing_N", c_double),
    ]  # fmt: skip


# Structs that Python makes room for, by themselves or in rows: their size counts, too.
WHOLE = (Point, Error, Fault, Faults, Wind, Case, Balance, Moments)
# Structs of which only a beginning is reached, by a pointer.
BEGINNINGS = (Leaf,)


class LeafError(Exception):
    """What the library has against a description or a question, in its words."""


def load(path="libtrunnion.so.0"):
    """The library, every function with its types; OSError where there is none, LeafError where it is another."""
    library = ctypes.CDLL(path)
    types = {
        "trn_version": (c_char_p, []),
        "trn_status_text": (c_char_p, [c_int]),
        "trn_description_read": (c_int, [c_char_p, c_size_t, POINTER(c_void_p), POINTER(Faults)]),
        "trn_description_leaf": (POINTER(Leaf), [c_void_p]),
        "trn_description_add": (c_int, [c_void_p, c_char_p, POINTER(Error)]),
        "trn_description_free": (None, [c_void_p]),
        "trn_leaf_balance": (Balance, [POINTER(Leaf)]),
        "trn_leaf_curve": (
            c_int, [POINTER(Leaf), POINTER(Case), POINTER(c_double), c_size_t, POINTER(Moments), POINTER(Error)],
        ),
    }  # fmt: skip
    for name, (result, arguments) in types.items():
        function = getattr(library, name)
        function.restype, function.argtypes = result, arguments
    version = library.trn_version().decode()
    if not version.startswith(WRITTEN_FOR):
        raise LeafError(f"the library is of version {version}, this program was written for {WRITTEN_FOR}*")
    return library


class Description:
    """A leaf that was read from a text; close it, or use it in a with statement."""

    def __init__(self, library, text):
        data = text.encode()
        faults = Faults()
        self.library = library
        self.handle = c_void_p()
        status = library.trn_description_read(data, len(data), byref(self.handle), byref(faults))
        if status == BAD_DESCRIPTION:
            raise LeafError("\n".join(f"{at.line}:{at.column}: {at.text.decode()}" for at in faults.at[: faults.count]))
        if status != OK:
            raise LeafError(library.trn_status_text(status).decode())

    def close(self):
        self.library.trn_description_free(self.handle)
        self.handle = c_void_p()

    @property
    def leaf(self):
        return self.library.trn_description_leaf(self.handle).contents

    @property
    def cases(self):
        return [self.leaf.cases[index] for index in range(self.leaf.case_count)]

    def balance(self):
        return self.library.trn_leaf_balance(byref(self.leaf))

    def add(self, text):
        """What if: 'overlay: 35 kg/m2 on deck', and the like."""
        error = Error()
        if self.library.trn_description_add(self.handle, text.encode(), byref(error)) != OK:
            raise LeafError(error.text.decode())

    def curve(self, case, angles_deg):
        count = len(angles_deg)
        angles = (c_double * count)(*map(math.radians, angles_deg))
        rows = (Moments * count)()
        error = Error()
        if self.library.trn_leaf_curve(byref(self.leaf), byref(case), angles, count, rows, byref(error)) != OK:
            raise LeafError(error.text.decode())
        return list(rows)


def print_balance(words, balance):
    print(
        f"{words}: {balance.weight_N / 1e3:.3f} kN, closed moment {balance.closed_moment_Nm / 1e3:.3f} kN m, "
        f"toe reaction {balance.toe_reaction_N / 1e3:.3f} kN"
    )


def print_curve(case, rows):
    print(f"\n{case.name.decode()}\n  angle deg   opening kN m   closing kN m   motor opening N m")
    for row in rows:
        print(
            f"  {math.degrees(row.angle_rad):9.2f}   {row.opening_Nm / 1e3:12.3f}   {row.closing_Nm / 1e3:12.3f}   "
            f"{row.motor_opening_Nm:17.3f}"
        )


def show(library):
    with contextlib.closing(Description(library, DESCRIPTION)) as description:
        opens_to = math.degrees(description.leaf.opens_to_rad)
        print_balance(description.leaf.name.decode(), description.balance())
        for case in description.cases:
            print_curve(case, description.curve(case, [opens_to * step / 7 for step in range(8)]))
        description.add("overlay: 8 kg/m2 on deck")
        print()
        print_balance("with an overlay of 8 kg/m2 on the deck", description.balance())
        for text in ("snow: 20 kg/m2 on the road", "snow: 20 kg on deck"):
            try:
                description.add(text)
            except LeafError as error:
                print(f"refused: '{text}': {error}")
    try:
        Description(library, DESCRIPTION.replace("toe: 12 m", "toe: 12"))
    except LeafError as error:
        print(f"refused: {error}")
    print("\nCaution: computed from the description alone; a licensed engineer decides, local rules govern.")


def main(arguments):
    try:
        show(load(*arguments[1:2]))
    except OSError as error:
        print(f"{arguments[0]}: {error}: expected [LIBRARY], libtrunnion.so.0; the leaf stands in this program", file=sys.stderr)
        return 1
    except LeafError as error:
        print(f"{arguments[0]}: {error}", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv))
