# SPDX-License-Identifier: GPL-3.0-or-later
"""Pictures: whole files of their kind, drawn from names that are never obeyed, with or without gnuplot."""

import itertools
import os
import signal
import subprocess
import time

from harness import (
    METRIC, WRAP, Skipped, claim, environment, expect, expect_equal, expect_refused, folder, leaf_text, main, quoted, run,
    run_well, tool,
)
from pictures import HOSTILE, IS_WHOLE, is_script, is_svg, letters, needs_gnuplot, squeezed

COMMANDS = ("weigh", "curve", "explain")
KINDS = ("svg", "png", "pdf", "gp")
MACHINERY = """\
surfaces: [{name: deck, from: [0.5 m, 0.8 m], to: [24 m, 0.8 m], width: 9 m}]
drive: {ratio: 1000, efficiency: 0.8}
motors: {installed: 2, power: 30 kW, speed: 870 rpm}
"""


def whole(command, kind):
    needs_gnuplot(kind)
    with folder() as place:
        result = run_well(command, METRIC, "--plot", f"plot.{kind}", cwd=place)
        expect_equal(result.out, b"", "alone a plot stands in place of the table")
        expect_equal(os.listdir(place), [f"plot.{kind}"])
        IS_WHOLE[kind]((place / f"plot.{kind}").read_bytes())


def beside_a_format(form):
    with folder() as place:
        result = run_well("curve", METRIC, form, "--plot", "plot.gp", cwd=place)
        expect_equal(result.out, run_well("curve", METRIC, form).out)
        run_well("curve", METRIC, form, "--plot", "plot.gp", "-o", "text", cwd=place)
        expect_equal((place / "text").read_bytes(), result.out)
        expect_equal(sorted(os.listdir(place)), ["plot.gp", "text"])


def small_leaves_are_drawn(sections, opens_to):
    needs_gnuplot()
    with folder() as place:
        leaf = leaf_text(sections=sections, opens_to=opens_to)
        for command in COMMANDS:
            run_well(command, "-", "--plot", "plot.svg", stdin=leaf, cwd=place)
            is_svg((place / "plot.svg").read_bytes())


def with_fake(place, script):
    """An environment in which gnuplot is this shell script and nothing else is in PATH."""
    (place / "bin").mkdir()
    if script is not None:
        fake = place / "bin" / "gnuplot"
        fake.write_text("#!/bin/sh\n" + script)
        fake.chmod(0o755)
    return environment(PATH=str(place / "bin"))


def absolute_wrap():
    """A wrapper is looked for in PATH; with another PATH there is none to be found."""
    if WRAP:
        raise Skipped("PATH is changed, where the wrapper is looked for")


def fails_with(script, *words):
    """Told, exit status 3, and the old picture stays; nothing is left beside it."""
    absolute_wrap()
    with folder() as place, folder() as aside:
        (place / "plot.svg").write_text("old")
        variables = with_fake(aside, script)
        for extra in ((), ("--json",), ("-o", "text")):
            result = run("curve", METRIC, "--plot", "plot.svg", *extra, cwd=place, env=variables)
            expect_refused(result, 3, "gnuplot", *words)
            expect_equal(os.listdir(place), ["plot.svg"])
            expect_equal((place / "plot.svg").read_text(), "old")


def script_needs_no_gnuplot():
    absolute_wrap()
    with folder() as place, folder() as aside:
        run_well("curve", METRIC, "--plot", "plot.gp", cwd=place, env=with_fake(aside, None))
        is_script((place / "plot.gp").read_bytes())


def long_complaint_and_picture():
    """Much on both streams of gnuplot does not lock the two up."""
    absolute_wrap()
    flood = 'i=0; while [ $i -lt 20000 ]; do echo "<!-- much -->"; echo "complaint" >&2; i=$((i+1)); done; '
    with folder() as place, folder() as aside:
        run_well("curve", METRIC, "--plot", "plot.svg", cwd=place, env=with_fake(aside, flood))
        expect_equal((place / "plot.svg").read_bytes(), b"<!-- much -->\n" * 20000)


def interrupted(number):
    """A signal while gnuplot draws leaves the old picture, and no draft."""
    absolute_wrap()
    with folder() as place, folder() as aside:
        (place / "plot.svg").write_text("old")
        variables = with_fake(aside, f"echo half\necho $$ > {aside}/pid\nexec /bin/sleep 60\n")
        command = [tool(), "curve", str(METRIC), "--plot", "plot.svg"]
        with subprocess.Popen(command, cwd=place, env=variables) as drawing:
            end = time.monotonic() + 30
            while not ((aside / "pid").exists() and (aside / "pid").read_text().endswith("\n")):
                expect(time.monotonic() < end, "gnuplot was not started")
                time.sleep(0.01)
            try:
                expect_equal(os.listdir(place), ["plot.svg"], "while gnuplot draws")
                drawing.send_signal(number)
                drawing.wait(timeout=30)
            finally:
                os.kill(int((aside / "pid").read_text()), signal.SIGKILL)
        expect_equal(drawing.returncode, -number)
        expect_equal(os.listdir(place), ["plot.svg"])
        expect_equal((place / "plot.svg").read_text(), "old")


def faulty_leaf_keeps_picture():
    with folder() as place:
        (place / "plot.svg").write_text("old")
        expect_refused(run("curve", "-", "--plot", "plot.svg", stdin=leaf_text(opens_to="80"), cwd=place), 2)
        expect_equal((place / "plot.svg").read_text(), "old")


def cannot_be_written(name):
    needs_gnuplot()
    with folder() as place:
        (place / "folder.svg").mkdir()
        expect_refused(run("curve", METRIC, "--plot", name, cwd=place), 3, name)
        expect_equal(os.listdir(place), ["folder.svg"])


def settings_do_not_matter():
    """What a person has set for gnuplot changes nothing."""
    needs_gnuplot()
    with folder() as place, folder() as home:
        (home / ".gnuplot").write_text("set output 'stolen'\nset title 'stolen'\nset terminal dumb\n")
        (home / "gnuplotrc").write_text("set output 'stolen'\n")
        theirs = environment(HOME=str(home), XDG_CONFIG_HOME=str(home), GNUTERM="no terminal", FC_DEBUG="1",
                             PANGOCAIRO_BACKEND="win32", DISPLAY=None)
        for kind in ("svg", "png"):
            run_well("curve", METRIC, "--plot", f"plain.{kind}", cwd=place, env=environment(HOME=str(home)))
            run_well("curve", METRIC, "--plot", f"theirs.{kind}", cwd=place, env=theirs)
            expect_equal((place / f"theirs.{kind}").read_bytes(), (place / f"plain.{kind}").read_bytes())
        expect_equal(sorted(os.listdir(place)), ["plain.png", "plain.svg", "theirs.png", "theirs.svg"])


def repeats():
    needs_gnuplot()
    with folder() as place:
        for name in ("first.svg", "second.svg"):
            run_well("curve", METRIC, "--plot", name, cwd=place)
        expect_equal((place / "first.svg").read_bytes(), (place / "second.svg").read_bytes())


def drawn_as_text(name, command):
    """A name in every place that is drawn: the letters come out as they are, and nothing else happens."""
    needs_gnuplot()
    sections = MACHINERY + f"cases: [{{name: {quoted(name)}, wind: {{pressure: 100 Pa}}}}]"
    leaf = leaf_text(name=quoted(name), part=quoted(name), sections=sections)
    with folder() as place:
        for kind in ("svg", "gp"):
            arguments = () if command == "weigh" else ("--case", name)
            result = run(command, "-", "--plot", f"plot.{kind}", *arguments, stdin=leaf, cwd=place)
            expect(set(os.listdir(place)) <= {"plot.gp", "plot.svg"}, "the name was obeyed", os.listdir(place))
            expect_equal((result.status, result.errors), (0, ""), result)
            root = IS_WHOLE[kind]((place / f"plot.{kind}").read_bytes())
            drawn = squeezed(letters(root)).count(squeezed(name))
            expect(drawn >= (1 if command == "weigh" else 2), f"drawn {drawn} times in {kind}: {name}", letters(root)[:2000])
        expect_equal(sorted(os.listdir(place)), ["plot.gp", "plot.svg"])


def long_names(length):
    needs_gnuplot()
    name = "".join(itertools.islice(itertools.cycle("'`é橋\"\\ "), length))
    sections = MACHINERY + f"cases: [{{name: {quoted(name.strip())}}}]"
    leaf = leaf_text(name=quoted(name.strip()), part=quoted(name.strip()), sections=sections)
    with folder() as place:
        for command in COMMANDS:
            run_well(command, "-", "--plot", "plot.svg", stdin=leaf, cwd=place)
            is_svg((place / "plot.svg").read_bytes())


def odd_file(name):
    needs_gnuplot()
    with folder() as place:
        run_well("curve", METRIC, f"--plot={name}", cwd=place)
        expect_equal(os.listdir(place), [name])
        IS_WHOLE[name.rpartition(".")[2]]((place / name).read_bytes())


def wrong_ending(name):
    with folder() as place:
        expect_refused(run("curve", METRIC, "--plot", name, cwd=place), 2, ".svg", ".png", ".pdf", ".gp")
        expect_equal(os.listdir(place), [])


for asked, ending in itertools.product(COMMANDS, KINDS):
    claim(f"{asked} draws a whole {ending}", whole, asked, ending)
for shape in ("--json", "--csv"):
    claim(f"--plot beside {shape} gives both", beside_a_format, shape)
claim("a leaf without anything but weight is drawn", small_leaves_are_drawn, "", "80 degree")
claim("a leaf in which all is zero is drawn", small_leaves_are_drawn, "cases: [{name: calm, wind: {pressure: 0 Pa}}]", "80 degree")
claim("a travel of almost nothing is drawn", small_leaves_are_drawn, MACHINERY, "1e-6 degree")
claim("no gnuplot in PATH is told, and what does without", fails_with, None, ".gp")
claim("a gnuplot that fails at once is told in its own words", fails_with, "echo 'no such terminal' >&2; exit 1", "no such terminal")
claim("a gnuplot that fails halfway is told", fails_with, "echo '<svg>half'; echo 'worse than that' >&2; exit 2", "worse than that")
claim("a gnuplot that is killed halfway is told", fails_with, "echo '<svg>half'; kill -9 $$")
claim("a gnuplot that draws nothing is told", fails_with, "exit 0")
claim("the .gp needs no gnuplot", script_needs_no_gnuplot)
claim("much output and many complaints do not lock up", long_complaint_and_picture)
for sent in (signal.SIGTERM, signal.SIGINT):
    claim(f"{sent.name} while gnuplot draws leaves the old picture", interrupted, sent)
claim("a faulty leaf leaves the old picture", faulty_leaf_keeps_picture)
claim("a folder as the picture is told", cannot_be_written, "folder.svg")
claim("a missing folder is told", cannot_be_written, "missing/plot.svg")
claim("a person's own settings of gnuplot change nothing", settings_do_not_matter)
claim("the same leaf gives the same picture", repeats)
for words, asked in itertools.product(HOSTILE, COMMANDS):
    claim(f"{words} is drawn by {asked} and not obeyed", drawn_as_text, words, asked)
for count in (31, 41, 121, 139):
    claim(f"names of {count} characters are drawn", long_names, count)
for words in ("'; touch X; '.svg", "`touch X`.svg", "$(touch X).png", "%s%n.pdf", '".gp', "-dash.svg", "ü 橋.svg", "a.b.svg", ".svg"):
    claim(f"{words!r} as the name of the picture", odd_file, words)
for words in ("plot", "plot.jpg", "plot.svg.txt", "plot.SVGZ", "svg", "", "plot.svg/"):
    claim(f"--plot {words!r} is refused with the endings that there are", wrong_ending, words)

if __name__ == "__main__":
    main()
