# SPDX-License-Identifier: GPL-3.0-or-later
"""Each goal of speed beside its peer: in turn, in one run, so that whatever else the machine does falls on both.

"free" is the ratio by the time of the processors, as it would be were they free for both: to be looked at where the
machine has other work. Medians, ratios and goals go to standard output as a table; a goal is never judged by the clock of a test.
"""
import os
import statistics
import subprocess
import sys
import tempfile
import time

import cycle_scipy

ROUNDS = int(os.environ.get("ROUNDS", "5"))
PYTHON = "/usr/bin/python3"


def forty_parts():
    lines = ["leaf: forty parts", "opens_to: 76 degree", "toe: 24 m", "parts:"]
    for i in range(40):
        lines.append(f"  - {{name: part {i}, weight: {1 + i % 7}.5 kN, at: [{i - 12}.25 m, {i % 5}.1 m], gyration: 0.4 m}}")
    return "\n".join(lines) + "\n"


def uncertain_parts():
    lines = ["leaf: 64 uncertain parts", "opens_to: 76 degree", "toe: 24 m", "parts:"]
    for i in range(64):
        lines.append(f"  - {{name: part {i}, weight: {1 + i % 7 * 5}.5 kN, at: [{i % 34 - 11}.25 m, {i % 5}.1 m], "
                     f"uncertainty: {1 + i % 5} %}}")
    lines.append("trunnion: {journal_diameter: 460 mm, friction: {starting: 0.18, moving: 0.12}, drag: 1.5 kN m}")
    lines.append("drive: {ratio: 1320, efficiency: 0.83}")
    lines.append("motors: {installed: 2, running: 2, power: 45 kW, speed: 870 rpm}")
    return "\n".join(lines) + "\n"


def twelve_pockets():
    lines = ["leaf: twelve pockets", "opens_to: 76 degree", "toe: 24 m",
             "parts: [{name: all, weight: 1500 kN, at: [0.448 m, 0.1 m]}]", "pockets:"]
    for i in range(12):
        lines.append(f"  - {{name: pocket {i}, at: [{-7.6 + 0.31 * i:.2f} m, {-1.2 + 0.27 * i:.2f} m], block: {40 + i % 3} kg, "
                     f"blocks: {20 + i}, room: 60}}")
    lines.append("balance_target: {A: [2 kN m, 9 kN m], B: [196 kN m, 206 kN m]}")
    return "\n".join(lines) + "\n"


def process_seconds(command):
    before = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - before


class Told:
    """What a row tells of itself."""

    def __init__(self, command):
        words = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True).stdout.split()
        self.seconds, self.processors, self.work = (float(word) for word in words[:3])
        self.memory, self.mark = int(words[3]) / 1024, words[4]
        self.rate = self.work / self.seconds
        self.rate_of_processor = self.work / self.processors


def line(name, ours, peer, ratio, free, goal):
    print(f"| {name:56} | {ours:>12} | {peer:>16} | {ratio:>6} | {free:>6} | {goal:24} |", flush=True)


def processes(name, command, peer, goal, rounds):
    ours, theirs = [], []
    for _ in range(rounds):
        theirs.append(process_seconds(peer))
        ours.append(process_seconds(command))
    a, b = statistics.median(ours), statistics.median(theirs)
    line(name, f"{a * 1e3:.2f} ms", f"{b * 1e3:.2f} ms", f"{a / b:.2f}", "", f"under {goal}")


def rates(name, command, peer, goal, threads=1):
    """Work in a second, ours over the peer's: by the clock, and as it would be were all processors free for both."""
    ours, theirs = [], []
    for _ in range(ROUNDS):
        theirs.append(Told(peer))
        ours.append(Told(command))
    a, b = (statistics.median(one.rate for one in some) for some in (ours, theirs))
    free_a, free_b = (statistics.median(one.rate_of_processor for one in some) for some in (ours, theirs))
    line(name, f"{a:.3g} /s", f"{b:.3g} /s", f"{a / b:.1f}", f"{threads * free_a / free_b:.1f}", goal)
    return ours


def spread_rows(rows, leaf):
    def ours(samples, threads):
        return [rows, "spread", leaf, str(samples), str(threads), "181"]

    peer = [PYTHON, "tests/bench/peers.py"]
    rates("spread, 1e6 samples x 181 angles: NumPy, whole matrix", ours(1000000, 2), [*peer, "matrix", "1000000"],
          "80 or more", 2)
    some = rates("the same: NumPy, tuned", ours(1000000, 2), [*peer, "tuned", "1000000"], "12 or more", 2)
    rate = statistics.median(one.rate for one in some)
    free = 2 * statistics.median(one.rate_of_processor for one in some)
    line("the same, in portable C", f"{rate:.3g} /s", "6.9e8 /s (trial)", f"{rate / 6.9e8:.2f}", f"{free / 6.9e8:.2f}", "1 or more")
    line("memory at 1e6 samples", f"{some[0].memory:.0f} MB", "", "", "", "under 80 MB")
    line("memory at 1e7 samples", f"{Told(ours(10000000, 2)).memory:.0f} MB", "", "", "", "under 100 MB")
    one, two = [], []
    for _ in range(ROUNDS):
        one.append(Told(ours(1000000, 1)))
        two.append(Told(ours(1000000, 2)))
    same = "same bits" if len({each.mark for each in one + two}) == 1 else "OTHER BITS"
    a, b = (statistics.median(each.seconds for each in some) for some in (one, two))
    free_a, free_b = (statistics.median(each.processors for each in some) for some in (one, two))
    line("2 threads over 1", f"{b:.3f} s", f"{a:.3f} s", f"{a / b:.2f}", f"{2 * free_a / free_b:.2f}", "1.9; " + same)
    for samples in (10000, 100000, 1000000, 10000000):
        told = Told(ours(samples, 2))
        line(f"linear: {samples:.0e} samples", f"{told.rate:.3g} /s", "", "",
             f"{2 * told.rate_of_processor:.2g}", "the same rate")


def cycle_rows(build):
    """By the time of the processors, so that the ratio is the free one."""
    (_, ours, _, error), *peers = cycle_scipy.rows(build, rounds=2 * ROUNDS + 1)
    for (name, peer, _, _), goal in zip(peers, ("10 times", "200 times")):
        line(f"cycle, opening and closing to {error:.0e}: {name}", f"{ours:.3f} ms", f"{peer:.3f} ms", "",
             f"{peer / ours:.1f}", goal)


def main():
    build = sys.argv[1]
    tool, rows = f"{build}/trunnion", f"{build}/bench/rows"
    units = [f"{build}/bench/units_database"]
    with tempfile.TemporaryDirectory() as folder:
        files = {}
        for name, text in (("forty", forty_parts()), ("uncertain", uncertain_parts()), ("pockets", twelve_pockets())):
            files[name] = os.path.join(folder, name + ".yaml")
            with open(files[name], "w", encoding="utf-8") as stream:
                stream.write(text)
        line("work", "ours", "peer", "ratio", "free", "goal")
        line("-" * 56, "-" * 12, "-" * 16, "-" * 6, "-" * 6, "-" * 24)
        spread_rows(rows, files["uncertain"])
        processes("weigh, 40 parts: reading the units database", [tool, "weigh", files["forty"]], units, 2, 8 * ROUNDS + 1)
        step = f"{76 / 360:.10f}deg"
        processes("curve, 6 cases x 361 angles, CSV: the same", [tool, "curve", "examples/metric.yaml", "--csv", "--step", step],
                  units, 3, 8 * ROUNDS + 1)
        rates("wind limits, 1 degree steps: bisection in SciPy", [rows, "wind", "examples/metric.yaml"],
              [PYTHON, "tests/bench/peers.py", "wind", "0"], "500 or more")
        cycle_rows(build)
        ours, theirs = [], []
        for _ in range(ROUNDS):
            theirs.append(Told([rows, "glpk", files["pockets"]]))
            ours.append(Told([rows, "ballast", files["pockets"]]))
        a, b = statistics.median(t.seconds for t in ours), statistics.median(t.seconds for t in theirs)
        line(f"ballast, 12 pockets ({ours[0].work:.0f} blocks): GLPK bare ({theirs[0].work:.0f})", f"{a * 1e3:.2f} ms",
             f"{b * 1e3:.2f} ms", f"{a / b:.2f}", "", "a time limit and a gap")


main()
