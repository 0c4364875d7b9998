# SPDX-License-Identifier: GPL-3.0-or-later
"""A second opinion on `trunnion weigh`, `curve`, `drive`, `brake`, `wind` and `cycle`.

Written from the design pages alone, without sight of the library. Usage:

    python3 reference.py weigh|curve|drive|brake|wind|cycle LEAF [--step 1deg]

prints the same names in JSON. Signs and formulas: a moment is positive when it closes the
leaf, a demand when it resists the travel. Each result is a Term (see terms.py).
"""

import argparse
import json
import sys

from braking import brake
from cycling import cycle
from driving import drive
from leaf import read
from limits import wind
from linkage import Stuck
from moments import curve
from terms import plain
from units import quantity
from weighing import weigh

COMMANDS = {"weigh": weigh, "curve": curve, "drive": drive, "brake": brake, "wind": wind, "cycle": cycle}


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    parser.add_argument("command", choices=COMMANDS)
    parser.add_argument("leaf", help="a leaf description, or - for standard input")
    parser.add_argument("--step", default="1deg")
    options = parser.parse_args()
    text = sys.stdin.read() if options.leaf == "-" else open(options.leaf, encoding="utf-8").read()
    leaf = read(text)
    try:
        steps = [quantity(options.step, "angle")] if options.command == "curve" else []
        result = COMMANDS[options.command](leaf, *steps)
    except Stuck as reason:
        sys.exit(f"{options.leaf}: {reason}")
    json.dump(plain(result), sys.stdout, indent=1, ensure_ascii=False, allow_nan=False)
    print()


if __name__ == "__main__":
    main()
