# SPDX-License-Identifier: GPL-3.0-or-later
"""Nothing around the tool changes a result: locale, time zone, home, folder."""

import functools
import os
import shutil
import subprocess
import sys

from harness import (
    METRIC, ROOT, WRAP, Skipped, claim, environment, expect, expect_equal, expect_refused, folder, leaf_text, main, run, run_well,
)

RECORD = ROOT / "examples" / "records" / "metric.csv"
RUNS = (
    ("weigh", METRIC), ("weigh", METRIC, "--json"), ("weigh", METRIC, "--csv"),
    ("curve", METRIC, "--step", "7.5deg"), ("curve", METRIC, "--json", "--step", "7.5deg"),
    ("curve", METRIC, "--csv", "--step", "7.5deg"), ("explain", METRIC, "--at", "12.5deg", "--case", "gust along the slope"),
    ("explain", METRIC, "--json", "--at", "12.5 degree"), ("explain", METRIC, "--csv", "--at", "1,5deg"), ("curve", "--help"),
    ("measure", METRIC, RECORD), ("measure", METRIC, RECORD, "--json"), ("measure", METRIC, RECORD, "--csv", "--from", "9.5deg"),
)
PICTURES = ("plot.svg", "plot.png", "plot.gp")
DECIMAL_POINT = "import locale; locale.setlocale(locale.LC_ALL, ''); print(locale.localeconv()['decimal_point'])"


def everything(variables):
    """What all runs say on both streams, and the pictures."""
    said = []
    for arguments in RUNS:
        result = run(*arguments, env=variables)
        said.append((arguments, result.status, result.out, result.errors))
    said.append(run("weigh", "-", env=variables, stdin=leaf_text(opens_to="80,5 degree")).errors)
    if shutil.which("gnuplot"):
        with folder() as place:
            for name in PICTURES:
                run_well("curve", METRIC, "--step", "7.5deg", "--plot", name, env=variables, cwd=place)
                said.append((name, (place / name).read_bytes()))
    return said


@functools.lru_cache(maxsize=None)
def plain():
    return everything(environment(LC_ALL="C"))


def has_comma(variables):
    done = subprocess.run([sys.executable, "-c", DECIMAL_POINT], env=variables, capture_output=True, check=False)
    return done.stdout == b",\n"


def comma_locale(place):
    """Variables that set a locale with a decimal comma: one of the system's, or one made for the purpose."""
    for name in ("de_DE.UTF-8", "fr_FR.UTF-8", "nl_NL.UTF-8", "pl_PL.UTF-8"):
        if has_comma(environment(LC_ALL=name)):
            return {"LC_ALL": name}
    if shutil.which("localedef"):
        made = place / "de_DE.UTF-8"
        subprocess.run(["localedef", "-i", "de_DE", "-f", "UTF-8", made], capture_output=True, check=False)
        found = {"LOCPATH": str(place), "LC_ALL": "de_DE.UTF-8"}
        if has_comma(environment(**found)):
            return found
    raise Skipped("no locale with a decimal comma, and none can be made")


def same_as_plain(variables):
    for got, wanted in zip(everything(variables), plain(), strict=True):
        expect_equal(got, wanted)


def comma_changes_nothing(only_numbers):
    with folder() as place:
        found = comma_locale(place)
        if only_numbers:
            found = {"LC_NUMERIC": found["LC_ALL"], **{name: value for name, value in found.items() if name != "LC_ALL"}}
        same_as_plain(environment(**found))


def bare_environment():
    same_as_plain({"PATH": os.environ["PATH"]})


def other_folder():
    with folder() as place:
        for arguments in RUNS:
            here = run(*arguments)
            there = run(*arguments, cwd=place)
            expect_equal((there.status, there.out, there.errors), (here.status, here.out, here.errors))
        expect_equal(os.listdir(place), [])


def no_units_database():
    """The database of units is a file that may be missing; that is no fault of the leaf."""
    with folder() as place:
        result = run("weigh", METRIC, env=environment(UDUNITS2_XML_PATH=str(place / "missing.xml")))
        expect_refused(result, 3, "units")
        expect_equal(len(result.errors.splitlines()), 1, result)


def leaf_by_any_way():
    text = run_well("curve", METRIC, "--json").out
    relative = METRIC.relative_to(ROOT)
    expect_equal(run_well("curve", relative, "--json").out, text)
    expect_equal(run_well("curve", "-", "--json", stdin=METRIC.read_bytes()).out, text)


def options_after_the_leaf_file():
    wanted = run_well("curve", METRIC, "--json").out
    expect_equal(run_well("curve", METRIC, "--json", env=environment(POSIXLY_CORRECT="1")).out, wanted)


claim("a decimal comma changes nothing", comma_changes_nothing, False)
claim("a decimal comma for numbers alone changes nothing", comma_changes_nothing, True)
claim("a locale that is not there changes nothing", same_as_plain, environment(LC_ALL="xx_XX.UTF-8"))
claim("UTF-8 or not changes nothing", same_as_plain, environment(LC_ALL="C.UTF-8"))
claim("the time zone changes nothing", same_as_plain, environment(LC_ALL="C", TZ="Pacific/Auckland"))
claim("no home changes nothing", same_as_plain, environment(LC_ALL="C", HOME=None, USER=None, LOGNAME=None, XDG_CONFIG_HOME=None))
claim("the width of the terminal changes nothing", same_as_plain, environment(LC_ALL="C", COLUMNS="20", TERM="dumb", NO_COLOR="1"))
if not WRAP:
    claim("an environment of nothing but PATH changes nothing", bare_environment)
claim("the working folder changes nothing", other_folder)
claim("file, relative name and standard input give the same", leaf_by_any_way)
claim("POSIXLY_CORRECT does not forbid options after the leaf file", options_after_the_leaf_file)
claim("a missing database of units is told", no_units_database)

if __name__ == "__main__":
    main()
