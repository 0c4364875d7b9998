# SPDX-License-Identifier: GPL-3.0-or-later
"""Each goal of speed beside its peer: in turn, in one run, so that whatever else the machine does falls on both.

Medians, ratios and goals go to standard output as a table; a goal is never judged by the clock of a test.
"""
import os
import statistics
import subprocess
import sys
import tempfile
import time

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
             "parts: [{name: all, weight: 1500 kN, at: [0.02 m, 0.1 m]}]", "pockets:"]
    for i in range(12):
        lines.append(f"  - {{name: pocket {i}, at: [{-7.6 + 0.31 * i:.2f} m, {-1.2 + 0.27 * i:.2f} m], block: {40 + i % 3} kg, "
                     f"blocks: {20 + i}, room: 60}}")
    lines.append("balance_target: {A: [0 kN m, 12 kN m], B: [140 kN m, 152 kN m]}")
    return "\n".join(lines) + "\n"


def process_seconds(command):
    before = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - before


def told(command):
    """What a row tells of itself: seconds, work, memory in kB, a mark of its result."""
    words = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True).stdout.split()
    return float(words[0]), float(words[1]), int(words[2]), words[3]


def line(name, ours, peer, ratio, goal):
    print(f"| {name:58} | {ours:>16} | {peer:>16} | {ratio:>8} | {goal:22} |", flush=True)


def processes(name, command, peer, goal, rounds):
    ours, theirs = [], []
    for _ in range(rounds):
        theirs.append(process_seconds(peer))
        ours.append(process_seconds(command))
    a, b = statistics.median(ours), statistics.median(theirs)
    line(name, f"{a * 1e3:.2f} ms", f"{b * 1e3:.2f} ms", f"{a / b:.2f}", f"under {goal}")


def rates(name, command, peer, goal):
    """Work in a second, ours over the peer's."""
    ours, theirs = [], []
    for _ in range(ROUNDS):
        seconds, work, _, _ = told(peer)
        theirs.append(work / seconds)
        seconds, work, memory, _ = told(command)
        ours.append(work / seconds)
    a, b = statistics.median(ours), statistics.median(theirs)
    line(name, f"{a:.3g} /s", f"{b:.3g} /s", f"{a / b:.1f}", goal)
    return a, memory


def spread_rows(rows, leaf):
    def ours(samples, threads):
        return [rows, "spread", leaf, str(samples), str(threads), "181"]

    peer = [PYTHON, "tests/bench/peers.py"]
    rate, memory = rates("spread, 1e6 samples x 181 angles: NumPy, whole matrix", ours(1000000, 2), [*peer, "matrix", "300000"],
                         "80 times or more")
    rates("the same: NumPy, tuned", ours(1000000, 2), [*peer, "tuned", "1000000"], "12 times or more")
    line("the same, in portable C", f"{rate:.3g} /s", "6.9e8 /s (trial)", f"{rate / 6.9e8:.2f}", "1 or more")
    line("memory at 1e6 samples", f"{memory / 1024:.0f} MB", "", "", "under 80 MB")
    _, _, memory, _ = told(ours(10000000, 2))
    line("memory at 1e7 samples", f"{memory / 1024:.0f} MB", "", "", "under 100 MB")
    one, two, marks = [], [], set()
    for _ in range(ROUNDS):
        for threads, times in ((1, one), (2, two)):
            seconds, _, _, mark = told(ours(1000000, threads))
            times.append(seconds)
            marks.add(mark)
    a, b = statistics.median(one), statistics.median(two)
    line("1 thread over 2 threads", f"{b:.3f} s", f"{a:.3f} s", f"{a / b:.2f}", "1.9; " + ("same bits" if len(marks) == 1 else "OTHER BITS"))
    for samples in (10000, 100000, 1000000, 10000000):
        seconds, work, _, _ = told(ours(samples, 2))
        line(f"linear: {samples:.0e} samples", f"{work / seconds:.3g} /s", "", "", "the same rate")


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
        line("work", "ours", "peer", "ratio", "goal")
        line("-" * 58, "-" * 16, "-" * 16, "-" * 8, "-" * 22)
        spread_rows(rows, files["uncertain"])
        processes("weigh, 40 parts: reading the units database", [tool, "weigh", files["forty"]], units, 2, 8 * ROUNDS + 1)
        step = f"{76 / 360:.10f}deg"
        processes("curve, 6 cases x 361 angles, CSV: the same", [tool, "curve", "examples/metric.yaml", "--csv", "--step", step],
                  units, 3, 8 * ROUNDS + 1)
        rates("wind limits, 1 degree steps: bisection in SciPy", [rows, "wind", "examples/metric.yaml"],
              [PYTHON, "tests/bench/peers.py", "wind", "0"], "500 times or more")
        ours, theirs = [], []
        for _ in range(ROUNDS):
            theirs.append(told([rows, "glpk", files["pockets"]]))
            ours.append(told([rows, "ballast", files["pockets"]]))
        a, b = statistics.median(t[0] for t in ours), statistics.median(t[0] for t in theirs)
        line(f"ballast, 12 pockets ({ours[0][1]:.0f} blocks): GLPK bare ({theirs[0][1]:.0f})", f"{a * 1e3:.2f} ms",
             f"{b * 1e3:.2f} ms", f"{a / b:.2f}", "a time limit and a gap")


main()
