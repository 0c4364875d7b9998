# SPDX-License-Identifier: GPL-3.0-or-later
"""Each goal of speed beside its peer: in turn, in one run, so that whatever else the machine does falls on both.

Medians of several rounds and their ratios go to standard output as a table. "ratio" is by the clock, "free" by the time
of the processors, as it would be were they free for both: where the machine has other work only that tells, and "met"
goes by it, by "ratio" where there is no other. No test judges any of it.
"""
import os
import resource
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


def twelve_pockets(target):
    lines = ["leaf: twelve pockets", "opens_to: 76 degree", "toe: 24 m",
             "parts: [{name: all, weight: 1500 kN, at: [0.448 m, 0.1 m]}]", "pockets:"]
    for i in range(12):
        lines.append(f"  - {{name: pocket {i}, at: [{-7.6 + 0.31 * i:.2f} m, {-1.2 + 0.27 * i:.2f} m], block: {40 + i % 3} kg, "
                     f"blocks: {20 + i}, room: 60}}")
    lines.append(f"balance_target: {{{target}}}")
    return "\n".join(lines) + "\n"


class Process:
    """What a whole process takes, by the clock and of processors."""

    def __init__(self, command):
        before, used = time.perf_counter(), resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        self.seconds = time.perf_counter() - before
        self.processors = after.ru_utime - used.ru_utime + after.ru_stime - used.ru_stime


class Told:
    """What a row tells of itself."""

    def __init__(self, command):
        words = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True).stdout.split()
        self.seconds, self.processors, self.work = (float(word) for word in words[:3])
        self.memory, self.mark = int(words[3]) / 1024, words[4]
        self.rate = self.work / self.seconds
        self.rate_of_processor = self.work / self.processors


def median(some, what):
    return statistics.median(getattr(one, what) for one in some)


def line(name, ours, peer="", ratio="", free="", goal="", met=""):
    print(f"| {name:57} | {ours:>11} | {peer:>16} | {ratio:>6} | {free:>6} | {goal:20} | {met:3} |", flush=True)


def told(met):
    return "yes" if met else "NO"


def at_least(name, ours, peer, ratios, goal):
    """A row whose ratio, by the clock and free, shall be so much or more."""
    ratio, free = (f"{value:.0f}" if value and value >= 100 else f"{value:.3g}" if value else "" for value in ratios)
    judged = ratios[1] if ratios[1] is not None else ratios[0]
    line(name, ours, peer, ratio, free, f"{goal:g} or more", told(judged >= goal))


def below(name, ours, peer, ratios, goal):
    line(name, ours, peer, *(f"{value:.2f}" for value in ratios), f"under {goal:g}", told(ratios[1] < goal))


def memory(name, megabytes, goal):
    line(name, f"{megabytes:.0f} MB", goal=f"under {goal} MB", met=told(megabytes < goal))


def processes(name, command, peer, goal):
    ours, theirs = [], []
    for _ in range(8 * ROUNDS + 1):
        theirs.append(Process(peer))
        ours.append(Process(command))
    ratios = [median(ours, what) / median(theirs, what) for what in ("seconds", "processors")]
    below(name, *(f"{median(some, 'seconds') * 1e3:.2f} ms" for some in (ours, theirs)), ratios, goal)


def rates(name, command, peer, goal, threads=1):
    """Work in a second, ours over the peer's: by the clock, and as it would be were all processors free for both."""
    ours, theirs = [], []
    for _ in range(ROUNDS):
        theirs.append(Told(peer))
        ours.append(Told(command))
    ratios = (median(ours, "rate") / median(theirs, "rate"),
              threads * median(ours, "rate_of_processor") / median(theirs, "rate_of_processor"))
    at_least(name, *(f"{median(some, 'rate'):.3g} /s" for some in (ours, theirs)), ratios, goal)
    return ours


def linear(name, commands):
    """The same rate over three decades; the largest over the smallest, free, says how far that is true."""
    free = []
    for size, command in commands:
        some = [Told(command) for _ in range(3)]
        free.append(median(some, "rate_of_processor"))
        line(f"linear in {name}: {size}", f"{median(some, 'rate'):.3g} /s", free=f"{free[-1]:.2g}", goal="the same rate")
    line(f"linear in {name}: the last over the first", "", free=f"{free[-1] / free[0]:.2f}", goal="0.8 or more",
         met=told(free[-1] / free[0] >= 0.8))


def spread_rows(rows, leaf):
    def ours(samples, threads, angles=181):
        return [rows, "spread", leaf, str(samples), str(threads), str(angles)]

    peer = [PYTHON, "tests/bench/peers.py"]
    name = "spread, 1e6 samples x 181 angles"
    rates(f"{name}: NumPy, whole matrix", ours(1000000, 2), [*peer, "matrix", "1000000"], 80, 2)
    some = rates("the same: NumPy, tuned", ours(1000000, 2), [*peer, "tuned", "1000000"], 12, 2)
    trial = 6.9e8
    ratios = (median(some, "rate") / trial, 2 * median(some, "rate_of_processor") / trial)
    at_least("the same: the trial in portable C", f"{median(some, 'rate'):.3g} /s", f"{trial:.2g} /s", ratios, 1)
    memory("the same: memory", some[0].memory, 80)
    memory("spread, 1e7 samples: memory", Told(ours(10000000, 2)).memory, 130)
    one, two = [], []
    for _ in range(ROUNDS):
        one.append(Told(ours(1000000, 1)))
        two.append(Told(ours(1000000, 2)))
    same = len({each.mark for each in one + two}) == 1
    ratios = (median(one, "seconds") / median(two, "seconds"), 2 * median(one, "processors") / median(two, "processors"))
    at_least("spread, 2 threads over 1, " + ("the same bits" if same else "OTHER BITS"),
             f"{median(two, 'seconds'):.3f} s", f"{median(one, 'seconds'):.3f} s", ratios, 1.9)
    linear("samples", [(samples, ours(samples, 2)) for samples in (10000, 100000, 1000000, 10000000)])
    linear("angles", [(angles, ours(20000, 2, angles)) for angles in (19, 181, 1801, 18001)])


def cycle_rows(build):
    """By the time of the processors alone."""
    (_, ours, _, error), *peers = cycle_scipy.rows(build, rounds=2 * ROUNDS + 1)
    for (name, peer, _, _), goal in zip(peers, (10, 1, 200)):
        at_least(f"cycle, opening and closing to {error:.0e}: {name}", f"{ours:.3f} ms", f"{peer:.3f} ms",
                 (None, peer / ours), goal)


def ballast_row(rows, words, leaf, rounds):
    """A peer that finds nothing in its time says 0 blocks. The mark is the gap in hexadecimal."""
    ours, theirs = [], []
    for _ in range(rounds):
        theirs.append(Told([rows, "glpk", leaf]))
        ours.append(Told([rows, "ballast", leaf]))
    a, b = (median(some, "seconds") * 1e3 for some in (ours, theirs))
    gap, limit = int(ours[0].mark, 16), 30
    line(f"ballast, {words} ({ours[0].work:.0f} blocks, gap {gap}): GLPK ({theirs[0].work:.0f})", f"{a:.1f} ms", f"{b:.1f} ms",
         f"{a / b:.2f}", f"{median(ours, 'processors') / median(theirs, 'processors'):.2f}", "a time limit, a gap",
         told(max(one.seconds for one in ours) < limit))


def main():
    build = sys.argv[1]
    tool, rows = f"{build}/trunnion", f"{build}/bench/rows"
    units = [f"{build}/bench/units_database"]
    leaves = {"forty": forty_parts(), "uncertain": uncertain_parts(),
              "wide": twelve_pockets("A: [2 kN m, 9 kN m], B: [196 kN m, 206 kN m]"),
              "narrow": twelve_pockets("A: [5 kN m, 5.0001 kN m], B: [200 kN m, 200.0001 kN m]")}
    with tempfile.TemporaryDirectory() as folder:
        files = {}
        for name, text in leaves.items():
            files[name] = os.path.join(folder, name + ".yaml")
            with open(files[name], "w", encoding="utf-8") as stream:
                stream.write(text)
        line("work: peer", "ours", "peer", "ratio", "free", "goal", "met")
        line("-" * 57, "-" * 11, "-" * 16, "-" * 6, "-" * 6, "-" * 20, "---")
        spread_rows(rows, files["uncertain"])
        processes("weigh, 40 parts: reading the units database", [tool, "weigh", files["forty"]], units, 2)
        step = f"{76 / 360:.10f}deg"
        processes("curve, 6 cases x 361 angles, CSV: the same",
                  [tool, "curve", "examples/metric.yaml", "--csv", "--step", step], units, 3)
        rates("wind limits, 1 degree steps: bisection in SciPy", [rows, "wind", "examples/metric.yaml"],
              [PYTHON, "tests/bench/peers.py", "wind", "0"], 500)
        cycle_rows(build)
        ballast_row(rows, "12 pockets", files["wide"], ROUNDS)
        ballast_row(rows, "narrow", files["narrow"], 1)


main()
