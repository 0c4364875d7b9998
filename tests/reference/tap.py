# SPDX-License-Identifier: GPL-3.0-or-later
"""A list of checks, each a function that returns True, run as TAP."""

import sys
import traceback

CHECKS = []


def check(title):
    def keep(function):
        CHECKS.append((title, function))
        return function

    return keep


def run(prefix):
    failed = 0
    print(f"1..{len(CHECKS)}")
    for index, (title, function) in enumerate(CHECKS, start=1):
        try:
            passed = function() is True
        except Exception:  # a check that breaks has failed; the others still run
            passed = False
            print("# " + traceback.format_exc().replace("\n", "\n# "))
        failed += not passed
        print(f"{'ok' if passed else 'not ok'} {index} - {prefix}: {title}")
    sys.exit(1 if failed else 0)
