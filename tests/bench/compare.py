# SPDX-License-Identifier: GPL-3.0-or-later
"""Whole runs of the tool beside reading the database of units: in turn, medians, ratios."""
import statistics
import subprocess
import sys
import tempfile
import time

ROUNDS = 41


def forty_parts():
    lines = ["leaf: forty parts", "opens_to: 76 degree", "toe: 24 m", "parts:"]
    for i in range(40):
        lines.append(f"  - {{name: part {i}, weight: {1 + i % 7}.5 kN, at: [{i - 12}.25 m, {i % 5}.1 m], gyration: 0.4 m}}")
    return "\n".join(lines) + "\n"


def seconds(command):
    before = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - before


def compare(name, command, peer, goal):
    """Peer and ours in turn, so that whatever else the machine does falls on both."""
    ours, theirs = [], []
    for _ in range(ROUNDS):
        theirs.append(seconds(peer))
        ours.append(seconds(command))
    a, b = statistics.median(ours), statistics.median(theirs)
    print(f"{name:42} {a * 1e3:8.2f} ms   peer {b * 1e3:8.2f} ms   ratio {a / b:5.2f}   goal: under {goal}")


def main():
    build = sys.argv[1]
    tool, peer = f"{build}/trunnion", [f"{build}/bench/units_database"]
    with tempfile.NamedTemporaryFile("w", suffix=".yaml") as leaf:
        leaf.write(forty_parts())
        leaf.flush()
        compare("weigh, 40 parts", [tool, "weigh", leaf.name], peer, 2)
    step = f"{76 / 360:.10f}deg"
    compare("curve, 6 cases x 361 angles, CSV", [tool, "curve", "examples/metric.yaml", "--csv", "--step", step], peer, 3)


main()
