# SPDX-License-Identifier: GPL-3.0-or-later
"""Help that can be followed, and errors of usage that say the right form."""

import re
import shlex

from harness import (
    METRIC, ROOT, claim, expect, expect_equal, expect_refused, folder, json_of, leaf_text, main, run, run_well,
)

COMMANDS = ("weigh", "curve", "explain", "drive", "brake", "wind", "cycle", "spread")
# Whether a command takes --case, --step, --at.
TAKES = {
    "weigh": (False, False, False),
    "curve": (True, True, False),
    "explain": (True, False, True),
    "drive": (True, False, False),
    "brake": (True, False, False),
    "wind": (False, True, False),
    "cycle": (True, True, False),
    "spread": (True, True, False),
}
ONE_LEAF = ("explain",)
CAUTION = "a licensed engineer"


def short_help(*words):
    """-h is --help, alone and of a command."""
    expect_equal(run_well(*words, "-h").text, run_well(*words, "--help").text)


def version():
    header = (ROOT / "include" / "trunnion" / "version.h").read_text(encoding="utf-8")
    return re.search(r'#define TRN_VERSION "([^"]+)"', header).group(1)


def tells_version(*arguments):
    expect_equal(run_well(*arguments).text, f"trunnion {version()}\n")


def general_help(*arguments):
    text = run_well(*arguments).text
    for command in COMMANDS:
        expect(re.search(rf"(?m)^ +{command} +\w", text), f"{command} is not told", text)
    expect("usage: trunnion COMMAND LEAF" in text and CAUTION in text, text)


def example_of(text):
    line = next((line for line in text.splitlines() if line.startswith("example: ")), None)
    expect(line, "there is no example", text)
    return line.removeprefix("example: ")


def command_help(command):
    text = run_well(command, "--help").text
    form = "LEAF" if command in ONE_LEAF else "LEAF..."
    expect(text.startswith(f"usage: trunnion {command} {form} [options]\n"), text)
    options = re.findall(r"(?m)^  (-\S+)", text)
    for option in ("--json", "--csv", "-o", "--plot", "--help", "--version"):
        expect(option in options, f"{option} is not told", text)
    expect("Exit status: 0" in text, text)
    expect_equal(("--case" in options, "--step" in options, "--at" in options), TAKES[command])
    expect_equal(run_well(command, METRIC, "--json", "--help").text, text)


def runs_as_written(line):
    """A line of help or manual, in a folder that holds the examples as the source does."""
    words = shlex.split(line)
    expect_equal(words[0], "trunnion")
    with folder() as place:
        (place / "examples").symlink_to(ROOT / "examples")
        result = run(*words[1:], cwd=place)
        told = [line for line in result.errors.splitlines() if not re.search(r"warning: .* a chance of ", line)]
        expect_equal((result.status, told), (0, []), result)
        written = [words[words.index(option) + 1] for option in ("--plot", "-o") if option in words]
        if written:
            expect((place / written[0]).stat().st_size > 0, f"there is no {written[0]}")
        else:
            expect(result.out, "there is no result")


def example_of_help(command):
    line = example_of(run_well(command, "--help").text)
    expect_equal(shlex.split(line)[1], command)
    runs_as_written(line)


def refused(arguments, status, words, **options):
    expect_refused(run(*arguments, **options), status, *words)


def dash_in_name():
    with folder() as place:
        (place / "-leaf.yaml").write_bytes(leaf_text())
        wanted = run_well("weigh", "./-leaf.yaml", cwd=place).out
        expect_equal(run_well("weigh", "--", "-leaf.yaml", cwd=place).out, wanted)
        expect_equal(run_well("weigh", "--json", "--", "-leaf.yaml", cwd=place).out,
                     run_well("weigh", "./-leaf.yaml", "--json", cwd=place).out)
        expect_equal(sorted(path.name for path in place.iterdir()), ["-leaf.yaml"])


def option_named_leaf():
    """After -- even --help and --version are the names of files."""
    with folder() as place:
        for name in ("--help", "--version", "--json"):
            (place / name).write_bytes(leaf_text())
            expect("test leaf" in run_well("weigh", "--", name, cwd=place).text, name)


def options_before_and_after():
    wanted = run_well("curve", METRIC, "--case", "calm", "--step", "10deg", "--json").out
    for arguments in (
        ("--json", "--case", "calm", "--step", "10deg", METRIC), ("--step=10deg", METRIC, "--case=calm", "--json"),
        ("--case", "calm", METRIC, "--json", "--json", "--step", "10 degree"),
    ):
        expect_equal(run_well("curve", *arguments).out, wanted, arguments)


RECORD = ROOT / "examples" / "records" / "metric.csv"
COMMANDS_OF_VALUES = (*COMMANDS, "measure", "ballast", "report", "new", "schema", "completion")
VALUES = {
    "--case": "calm", "--step": "20deg", "--at": "20deg", "--from": "8deg", "--to": "60deg", "--seconds": "5",
    "--record": RECORD, "--gust": "12 m/s for 8 s at 20 s", "--wind-record": RECORD, "--every": "1s", "--drift": "1deg",
    "--digits": "1", "--samples": "1000", "--seed": "1", "--threads": "1", "--shard": "1/1", "--units": "us",
    "-o": "made", "--plot": "made.gp", "--fault": "power lost at 20deg", "--add": "x: 1 kg at [1 m, 0 m]",
}
OFTEN = ("--add", "--fault")


def values_are_given_once(command):
    """Whatever takes one value is refused when it is given twice, before anything is read or written."""
    text = run_well(command, "--help").text
    options = re.findall(r"(?m)^  (-\S+)(?:, --\S+)? (?:\[?[A-Z])", text)
    expect(options or command in ("schema", "completion"), f"no option with a value in the help of {command}", text)
    with folder() as place:
        for option in options:
            value = VALUES[option]
            for twice in ((option, value, option, value), (option, value, "--quiet", f"{long_of(option)}={value}")):
                result = run(command, *twice, cwd=place)
                if option in OFTEN:
                    expect("second time" not in result.errors, result)
                else:
                    expect_refused(result, 2, f"{long_of(option)} {value} is given a second time: expected it once")
        expect_equal(list(place.iterdir()), [])


def long_of(option):
    return "--output" if option == "-o" else option


def plot_is_given_once():
    for twice in (("--plot", "--plot"), ("--plot", "a.gp", "--plot"), ("--plot", "--plot=a.gp")):
        expect_refused(run("curve", METRIC, *twice), 2, "--plot", "is given a second time")


PILE = ("--add", "x: 100 kg at [1 m, 0 m]", "--add", "y: 100 kg at [2 m, 0 m]")


def often_counts():
    """What may be given often counts each time; a switch says no more the second time."""
    one, two = (json_of("weigh", METRIC, *PILE[:2 * times])["mass_kg"] for times in (1, 2))
    bare = json_of("weigh", METRIC)["mass_kg"]
    expect(abs((two - bare) - 2 * (one - bare)) < 1e-6 and one - bare > 99, bare, one, two)
    expect_equal(len(json_of("cycle", METRIC, "--fault", "brake out", "--fault", "motor out at 20deg")["faults"]), 2)
    expect_equal(run_well("weigh", METRIC, "--json", "--json").text, run_well("weigh", METRIC, "--json").text)


def dash_is_standard_output(command, *arguments):
    with folder() as place:
        wanted = run(command, *arguments, "-o", "made", cwd=place)
        got = run(command, *arguments, "-o", "-", cwd=place)
        expect_equal((wanted.status, wanted.out), (got.status, b""), wanted)
        expect_equal(got.out, (place / "made").read_bytes())
        expect_equal([one.name for one in place.iterdir()], ["made"])


def dash_beside_a_plot():
    """With - the table is asked for beside a file's plot; a plot that is drawn there as well is refused."""
    with folder() as place:
        result = run_well("weigh", METRIC, "-o", "-", "--plot", "a.gp", cwd=place)
        expect_equal(result.text, run_well("weigh", METRIC).text)
        expect_equal([one.name for one in place.iterdir()], ["a.gp"])
        for form in ((), ("--json",)):
            expect_refused(run("weigh", METRIC, "-o", "-", "--plot", *form, cwd=place), 2, "--plot draws where")


def whole_travel_can_be_asked():
    expect_equal(json_of("explain", METRIC, "--at", "76deg")["angle_deg"], 76.0)
    expect_equal(json_of("explain", METRIC, "--at", "0deg")["angle_deg"], 0.0)


def standard_input():
    expect_equal(run_well("weigh", "-", stdin=METRIC.read_bytes()).out, run_well("weigh", METRIC).out)


LEAF = str(METRIC)
AN_ANGLE = "expected an angle"
REFUSED = {
    "no command": ((), 2, ("usage: trunnion COMMAND LEAF", *COMMANDS)),
    "a slip in a command": (("wiegh", LEAF), 2, ("unknown command 'wiegh': did you mean weigh?",)),
    "a letter too many": (("curves", LEAF), 2, ("did you mean curve?",)),
    "a letter too few": (("brke", LEAF), 2, ("did you mean brake?",)),
    "another letter": (("wint", LEAF), 2, ("did you mean wind?",)),
    **{f"{word}, more than one slip": ((word, LEAF), 2, (f"unknown command '{word}': 'trunnion --help' lists",))
       for word in ("wiagh", "waegh", "winds!", "cur")},
    "an unknown command": (("frobnicate", LEAF), 2, ("unknown command 'frobnicate'", "trunnion --help")),
    "an option in place of the command": (("--json", "weigh", LEAF), 2, ("'--json'", "trunnion --help")),
    "an empty command": (("", LEAF), 2, ("unknown command ''",)),
    "no leaf file": (("curve",), 2, ("trunnion curve LEAF... [options]",)),
    "no leaf file after --": (("curve", "--json", "--"), 2, ("trunnion curve LEAF... [options]",)),
    "two leaf files": (("explain", LEAF, "second.yaml"), 2, ("'second.yaml'", "trunnion explain LEAF [options]")),
    "two leaf files around options": (("explain", LEAF, "--json", "second.yaml"), 2, ("'second.yaml'",)),
    "an unknown long option": (("curve", LEAF, "--frobnicate"), 2, ("--frobnicate", "trunnion curve --help")),
    "an unknown long option with a value": (("curve", LEAF, "--frobnicate=1"), 2, ("--frobnicate", "trunnion curve --help")),
    "an unknown short option": (("curve", LEAF, "-z"), 2, ("'-z'", "trunnion curve --help")),
    "an unknown short option among others": (("curve", LEAF, "-zo", "x"), 2, ("'-z'", "trunnion curve --help")),
    "--case without its value": (("curve", LEAF, "--case"), 2, ("--case", "value", "trunnion curve --help")),
    "--step without its value": (("curve", LEAF, "--step"), 2, ("--step", "value", "trunnion curve --help")),
    "--at without its value": (("explain", LEAF, "--at"), 2, ("--at", "value", "trunnion explain --help")),
    "-o without its value": (("curve", LEAF, "-o"), 2, ("-o", "value", "trunnion curve --help")),
    "a value for --json": (("curve", LEAF, "--json=yes"), 2, ("--json", "value", "trunnion curve --help")),
    "a value for --csv": (("curve", LEAF, "--csv=yes"), 2, ("--csv", "value", "trunnion curve --help")),
    "--json and --csv": (("curve", LEAF, "--json", "--csv"), 2, ("--json and --csv", "one of them")),
    "--csv and --json": (("weigh", LEAF, "--csv", "--json"), 2, ("--json and --csv", "one of them")),
    "--case for weigh": (("weigh", LEAF, "--case", "calm"), 2, ("takes no --case", "trunnion weigh --help")),
    "--case= for weigh": (("weigh", LEAF, "--case=calm"), 2, ("takes no --case", "trunnion weigh --help")),
    "--step for explain": (("explain", LEAF, "--step", "1deg"), 2, ("takes no --step", "trunnion explain --help")),
    "--at for curve": (("curve", LEAF, "--at", "1deg"), 2, ("takes no --at", "trunnion curve --help")),
    "--step 0": (("curve", LEAF, "--step", "0"), 2, ("--step 0", "unit", AN_ANGLE)),
    "--step 0deg": (("curve", LEAF, "--step", "0deg"), 2, ("--step 0deg", AN_ANGLE)),
    "--step -1deg": (("curve", LEAF, "--step", "-1deg"), 2, ("--step -1deg", AN_ANGLE)),
    "--step=-1deg": (("curve", LEAF, "--step=-1deg"), 2, ("--step -1deg", AN_ANGLE)),
    "--step 1, no unit": (("curve", LEAF, "--step", "1"), 2, ("--step 1", "unit", AN_ANGLE)),
    "--step nan": (("curve", LEAF, "--step", "nan"), 2, ("--step nan", AN_ANGLE)),
    "--step nan deg": (("curve", LEAF, "--step", "nan deg"), 2, ("--step nan deg", AN_ANGLE)),
    "--step inf deg": (("curve", LEAF, "--step", "inf deg"), 2, ("--step inf deg", AN_ANGLE)),
    "--step 1kg": (("curve", LEAF, "--step", "1kg"), 2, ("--step 1kg", AN_ANGLE)),
    "--step 1,5deg": (("curve", LEAF, "--step", "1,5deg"), 2, ("--step 1,5deg", AN_ANGLE)),
    "--step 0x10 deg": (("curve", LEAF, "--step", "0x10 deg"), 2, ("--step 0x10 deg", AN_ANGLE)),
    "--step 1e999 deg": (("curve", LEAF, "--step", "1e999 deg"), 2, ("--step 1e999 deg",)),
    "--step 1e-9 deg, rows without end": (("curve", LEAF, "--step", "1e-9 deg"), 2, ("--step", AN_ANGLE)),
    "--step 361deg": (("curve", LEAF, "--step", "361deg"), 2, ("--step 361deg", AN_ANGLE)),
    "--step with nothing": (("curve", LEAF, "--step", ""), 2, ("--step", AN_ANGLE)),
    "--step with a blank": (("curve", LEAF, "--step", " "), 2, ("--step", AN_ANGLE)),
    "--at beyond the travel": (("explain", LEAF, "--at", "76.1deg"), 2, ("--at 76.1deg", "76 degree")),
    "--at beyond any travel": (("explain", LEAF, "--at", "121deg"), 2, ("--at 121deg", AN_ANGLE)),
    "--at below closed": (("explain", LEAF, "--at", "-0.1deg"), 2, ("--at -0.1deg", AN_ANGLE)),
    "--at 40, no unit": (("explain", LEAF, "--at", "40"), 2, ("--at 40", "unit", AN_ANGLE)),
    "--at nan": (("explain", LEAF, "--at", "nan"), 2, ("--at nan", AN_ANGLE)),
    "--case with nothing": (("curve", LEAF, "--case", ""), 2, ("''", "'calm'")),
    "a case in other letters": (("curve", LEAF, "--case", "Calm"), 2, ("'Calm'", "'calm'")),
    "a leaf file that is not there": (("weigh", "missing.yaml"), 3, ("cannot open missing.yaml", "No such file")),
    "an empty name of a leaf file": (("weigh", ""), 3, ("cannot open", "No such file")),
    "a folder as the leaf file": (("weigh", "/"), 3, ("/", "directory")),
    "an unknown option after --help": (("curve", "--help", "--frobnicate"), 2, ("--frobnicate", "trunnion curve --help")),
}


def no_standard_input():
    """A closed standard input is a failure of the machine, not an empty leaf."""
    result = run("weigh", "-", before=["sh", "-c", 'exec "$@" <&-', "sh"])
    expect_refused(result, 3, "standard input")


claim("trunnion --version tells the version of version.h", tells_version, "--version")
claim("curve --version tells it too", tells_version, "curve", "--version")
claim("--version after a leaf file tells it too", tells_version, "curve", METRIC, "--version")
claim("trunnion --help tells all commands and the caution", general_help, "--help")
claim("trunnion help does the same", general_help, "help")
for name in COMMANDS:
    claim(f"{name} --help tells the options that it has, and no other", command_help, name)
    claim(f"{name} --help has an example that runs as it is written", example_of_help, name)
for about, (given, code, told) in REFUSED.items():
    claim(f"{about}: refused in words that help", refused, given, code, told)
claim("a closed standard input is told", no_standard_input)
claim("-- goes before a name that begins with a dash", dash_in_name)
claim("after -- an option is a name", option_named_leaf)
claim("options stand before and after the leaf file, with = or a blank", options_before_and_after)
for command_name in COMMANDS_OF_VALUES:
    claim(f"{command_name}: an option with one value is refused when given twice", values_are_given_once, command_name)
claim("--plot is given once, with a file or without", plot_is_given_once)
claim("--add and --fault count each time, a switch once", often_counts)
for words in (("weigh", METRIC), ("curve", METRIC, "--json"), ("report", METRIC), ("schema", "leaf"),
              ("completion", "zsh"), ("spread", METRIC, "--samples", "1000", "--shard", "1/1"), ("drive", METRIC, METRIC, "--csv")):
    claim(f"{words[0]}: -o - writes to standard output", dash_is_standard_output, *words)
claim("-o - beside --plot", dash_beside_a_plot)
claim("both ends of the travel can be asked for", whole_travel_can_be_asked)
claim("- reads standard input", standard_input)

for words in ((), ("explain",), ("new",), ("weigh", METRIC)):
    claim(f"{' '.join(map(str, words))} -h is --help", short_help, *words)

if __name__ == "__main__":
    main()
