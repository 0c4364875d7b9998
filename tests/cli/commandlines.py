# SPDX-License-Identifier: GPL-3.0-or-later
"""Command lines that together take every way through the tool, on small leaves: what the tests of faults run."""

from harness import EXAMPLES, ROOT, run

LEAVES = {path.stem: str(path) for path in EXAMPLES}
RECORD = str(ROOT / "examples" / "records" / "metric.csv")
SMALL = ("--step", "20deg")
FEW = ("--samples", "100", "--threads", "1", *SMALL)

ADDED = ("--add", "overlay: 8 kg/m2 on deck", "--add", "cable: 120 kg at [6 m, 0.9 m]")

# Each needs memory for its own work; of those that draw one starts gnuplot.
LINES = (
    *(("weigh", LEAVES[name]) for name in ("teaching", "linked", "metric", "us", "uncertain", "strut", "cylinder")),
    ("weigh", LEAVES["linked"], "--json"),
    ("weigh", LEAVES["teaching"], "--csv"),
    ("weigh", LEAVES["teaching"], "--plot", "plot.gp"),
    ("weigh", LEAVES["metric"], "--json", *ADDED),
    ("weigh", LEAVES["teaching"], LEAVES["linked"], "--json"),
    ("weigh", LEAVES["teaching"], LEAVES["linked"], "--csv"),
    ("weigh", LEAVES["teaching"], LEAVES["linked"]),
    ("curve", LEAVES["linked"], *SMALL),
    ("curve", LEAVES["strut"], *SMALL, "--json"),
    ("curve", LEAVES["cylinder"], *SMALL, "--csv", "--plot", "plot.gp"),
    ("explain", LEAVES["linked"], "--at", "40deg"),
    ("explain", LEAVES["metric"], "--at", "40deg", "--json"),
    ("explain", LEAVES["strut"], "--at", "40deg", "--plot", "plot.gp"),
    ("drive", LEAVES["strut"]),
    ("drive", LEAVES["strut"], "--json", "--plot", "plot.gp"),
    ("drive", LEAVES["strut"], "--plot", "plot.svg"),
    ("brake", LEAVES["linked"]),
    ("brake", LEAVES["linked"], "--json", "--plot", "plot.gp"),
    ("wind", LEAVES["us"], "--step", "10deg"),
    ("wind", LEAVES["us"], "--step", "10deg", "--json", "--plot", "plot.gp"),
    ("cycle", LEAVES["linked"]),
    ("cycle", LEAVES["metric"], "--json", "--fault", "power lost at 40deg", "--gust", "12 m/s for 8 s at 20 s"),
    ("cycle", LEAVES["metric"], "--fault", "emergency stop", "--sweep", *SMALL, "--plot", "plot.gp"),
    ("cycle", LEAVES["metric"], "--switches", "--json"),
    ("cycle", LEAVES["metric"], "--operation", "--plot", "plot.gp"),
    ("measure", LEAVES["metric"], RECORD),
    ("measure", LEAVES["metric"], RECORD, "--json", "--friction-by-reaction", "--plot", "plot.gp"),
    ("measure", LEAVES["metric"], RECORD, "--ordinary", "--csv"),
    ("ballast", LEAVES["us"], "--seconds", "600"),
    ("ballast", LEAVES["metric"], "--record", RECORD, "--json", "--plot", "plot.gp"),
    ("spread", LEAVES["uncertain"], *FEW),
    ("spread", LEAVES["uncertain"], *FEW, "--json", "--plot", "plot.gp"),
    ("spread", LEAVES["uncertain"], "--samples", "100", "--threads", "2", "--csv", *SMALL),
    ("spread", LEAVES["uncertain"], *FEW, "--shard", "1/2"),
    ("spread", LEAVES["uncertain"], *SMALL, "--merge", "1.shard", "2.shard"),
    ("report", LEAVES["us"]),
    ("report", LEAVES["linked"]),
    ("new", "fresh.yaml"),
    ("schema", "leaf"),
    ("completion", "bash"),
    ("completion", "zsh"),
    ("--help",),
)


def prepare(place):
    """What the command lines find in their folder."""
    for part in (1, 2):
        name = place / f"{part}.shard"
        if not name.exists():
            run("spread", LEAVES["uncertain"], *FEW, "--shard", f"{part}/2", "-o", name)


def words_of(line):
    """A command line as the name of a claim."""
    return " ".join(word.rsplit("/", 1)[-1] if "/" in word and word.startswith(str(ROOT)) else word for word in line)


def takes_output(line):
    return line[0] not in ("new", "--help")
