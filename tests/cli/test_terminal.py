# SPDX-License-Identifier: GPL-3.0-or-later
"""--plot without a file: sixels where a terminal says that it draws them, letters anywhere else, and no byte too many."""

import os
import re
import signal
import time

from harness import METRIC, ROOT, WRAP, claim, environment, expect, expect_equal, expect_refused, folder, main, run, run_well
from harness import tool
from pseudo import Terminal

US = ROOT / "examples" / "us.yaml"
ASKED = b"\x1b[c"
PLOT = ("curve", METRIC, "--case", "calm", "--plot")
ONLY_TEXT = re.compile(rb"[\x00-\x09\x0b-\x1f\x7f]")
COMMANDS = {
    "weigh": (), "curve": (), "explain": ("--at", "40deg"), "drive": (), "brake": (), "wind": (), "cycle": (),
    "ballast": (), "spread": ("--samples", "1000"),
}


def answering(reply):
    """A terminal that answers what it is asked with reply, once."""
    return lambda piece: reply if ASKED in piece else None


def on_terminal(*arguments, answer=None, term="xterm", **options):
    terminal = Terminal([*WRAP, tool(), *map(str, arguments)], environment(TERM=term), ROOT, answer, **options)
    return terminal, terminal.end()


def sixels(reply):
    """The answer has attribute 4: the picture is in sixels, and the answer itself is not shown."""
    terminal, status = on_terminal(*PLOT, answer=answering(reply))
    expect_equal((status, terminal.text.count(ASKED)), (0, 1), terminal.text[:200])
    picture = re.search(rb"\x1bP[\d;]*q\"1;1;(\d+);(\d+)[^\x1b]+\x1b\\", terminal.text)
    expect(picture, "there are no sixels", terminal.text[:300])
    expect(600 <= int(picture[1]) <= 1200 and int(picture[2]) > 300, picture[0][:40])
    expect(b"Caution: " in terminal.text.split(b"\x1b\\")[-1], terminal.text[-300:])
    expect(reply[2:] not in terminal.text, "the answer is echoed", terminal.text[:200])


def is_letters(text, columns):
    expect(not ONLY_TEXT.search(text.replace(b"\r\n", b"\n").replace(ASKED, b"")), "control characters", text[:300])
    words = text.decode()
    for word in ("Quillmarsh Basin", "opening angle", "motor torque", "Caution: ", "licensed engineer"):
        expect(word in words, f"'{word}' is not told", words)
    picture = words[: words.index("Caution: ")].replace("\r", "").splitlines()
    widest = max(len(line) for line in picture)
    expect(columns - 20 <= widest < columns, f"{widest} columns of {columns}", words)
    expect(len(picture) >= 24, words)


def letters(reply, columns):
    terminal, status = on_terminal(*PLOT, answer=answering(reply) if reply else None, columns=columns)
    expect_equal((status, terminal.text.count(ASKED)), (0, 1))
    is_letters(terminal.text, columns)


def silent_terminal_is_not_waited_for():
    start = time.monotonic()
    letters(None, 100)
    expect(WRAP or time.monotonic() - start < 5, f"{time.monotonic() - start} s")


def broken_answers():
    for reply in (b"\x1b[?62;44;14c", b"\x1b[?4c", b"\x1b[?", b"c", b"\x1b[?" + b"4" * 200 + b"c"):
        letters(reply, 100)


def not_asked(term):
    """Such a terminal would show the question."""
    terminal, status = on_terminal(*PLOT, term=term)
    expect_equal((status, b"\x1b" in terminal.text), (0, False), terminal.text[:100])


def typed_ahead_is_kept():
    """What was typed before the answer comes to whoever reads next."""
    command = f"sleep 0.5; {' '.join([*WRAP, tool(), *map(str, PLOT)])} > /dev/tty; read line; echo \"got $line\""
    terminal = Terminal(["sh", "-c", command], environment(TERM="xterm"), ROOT, answering(b"\x1b[?62;4c"))
    terminal.type("typed ahead\n")
    expect_equal(terminal.end(), 0)
    expect(b"got typed ahead" in terminal.text, terminal.text[-300:])


def terminal_is_left_as_it_was():
    """Also where nobody answers, and where someone interrupts meanwhile."""
    command = f"before=$(stty -g); {' '.join([*WRAP, tool(), *map(str, PLOT)])} > /dev/tty; [ \"$(stty -g)\" = \"$before\" ] && echo same"
    terminal = Terminal(["sh", "-c", f"trap : INT; {command}"], environment(TERM="xterm"), ROOT)
    while ASKED not in terminal.text:
        terminal.step(0.05)
    os.killpg(terminal.process, signal.SIGINT)
    terminal.end()
    expect(b"same" in terminal.text, terminal.text[-300:])


def leaf_from_a_pipe():
    """Standard input is the leaf; the terminal is asked all the same."""
    terminal, status = on_terminal("curve", "-", "--case", "calm", "--plot", stdin=METRIC, answer=answering(b"\x1b[?62;4;22c"))
    expect_equal(status, 0, terminal.text[-200:])
    expect(b"\x1bP" in terminal.text, terminal.text[:200])


def into_a_file():
    with folder() as place:
        terminal, status = on_terminal(*PLOT, stdout=place / "out", answer=answering(b"\x1b[?62;4;22c"))
        expect_equal((status, terminal.text), (0, b""))
        is_letters((place / "out").read_bytes(), 80)


def into_a_pipe(columns):
    result = run_well(*PLOT, env=environment(TERM="xterm", COLUMNS=columns))
    is_letters(result.out, int(columns or 80))


def absurd_columns():
    for told in ("0", "-5", "many", "99999999999999999999", ""):
        result = run_well(*PLOT, env=environment(COLUMNS=told))
        expect(40 < max(map(len, result.text.splitlines())) < 250, told)


def every_command(command):
    result = run(command, ROOT / "examples" / "uncertain.yaml" if command == "spread" else METRIC, *COMMANDS[command], "--plot")
    expect_equal(result.status, 0, result)
    expect(not ONLY_TEXT.search(result.out) and len(result.out.splitlines()) > 24, result)


def table_into_file_beside():
    """With -o the table goes there, the picture is shown."""
    with folder() as place:
        for form in ((), ("--json",), ("--csv",)):
            result = run_well(*PLOT, *form, "-o", place / "out")
            is_letters(result.out, 80)
            expect_equal((place / "out").read_bytes(), run_well(*PLOT[:-1], *form, *(("--step", "1deg") if not form else ())).out)


def lines_are_told_apart(*case):
    """Each line of a legend in letters has letters of its own, which stand in its panel as well."""
    picture = run_well("curve", METRIC, "--plot", *case).text
    for panel in picture.split("motor torque, each running motor"):
        samples = re.findall(r"(?m)((?:\*{3}|#{3}|%{2,3}|\${3}|@{2,3}|&{2,3})[A-Z](?:\*\*|##|%%|\$\$|@@|&&)|={6}|\+?\.{4}\+)(?=[a-z])", panel)
        expect(len(samples) >= 2, panel)
        expect_equal(len(set(samples)), len(samples), panel)
    expect("full line" not in picture, picture)
    expect(f"case '{case[1] if case else 'hard wind with ice'}'" in picture, picture)


def marks_of_the_legend_are_drawn():
    picture, legend = run_well("weigh", METRIC, "--plot").text.split("x from the trunnion")
    for mark in ("G", "L"):
        expect(re.search(rf" {mark}  [a-z]", legend), legend)
        expect(re.search(rf"(?<![A-Z]){mark}(?![a-z])", picture.split("\n", 3)[3]), mark, picture)


def card_in_letters():
    """The curves, their legend in whole words, the caution once; what the table tells is left to it."""
    for columns in (60, 80, 120):
        picture = run_well("wind", METRIC, "--plot", env=environment(COLUMNS=str(columns))).text
        expect_equal(picture.count("computed from the description"), 1, picture)
        for words in ("raise", "lower, one motor out", "hold, one brake out", "posted limit"):
            expect(words in picture, words, picture)
        for words in ("Beaufort", "Wind card", "coefficient"):
            expect(words not in picture, words, picture)
    with folder() as place:
        run_well("wind", METRIC, "--plot", place / "card.svg")
        text = (place / "card.svg").read_text(encoding="utf-8")
        expect("Beaufort" in text and "Wind card" in text, "the card itself has them")


def several_leaves():
    text = run_well("weigh", METRIC, US, "--plot").text
    for leaf in (METRIC, US):
        expect(f"{leaf}\n{'=' * len(str(leaf))}\n" in text, text)
    expect(text.index("Quillmarsh") < text.index("Harrowgull"), text)


def value_left_out():
    """At the end, before an option, and as a dash; a word behind it is a file."""
    wanted = run_well(*PLOT).out
    for arguments in (
        ("curve", "--plot", "--case", "calm", METRIC), ("curve", METRIC, "--plot", "--case", "calm"),
        ("curve", "--plot", "-", METRIC, "--case", "calm"), ("curve", "--plot=-", METRIC, "--case", "calm"),
        ("curve", "--case", "calm", "--plot", "--", METRIC),
    ):
        expect_equal(run_well(*arguments).out, wanted, arguments)
    expect_refused(run("curve", "--plot", METRIC), 2, "metric.yaml", ".svg", "or - to draw")


def no_gnuplot():
    with folder() as place:
        expect_refused(run(*PLOT, env=environment(PATH=str(place))), 3, "gnuplot")


for answer in (b"\x1b[?62;4;22c", b"\x1b[?63;1;2;4c", b"\x1b[?65;4;6;18;22c"):
    claim(f"a terminal that answers {answer!r} gets sixels", sixels, answer)
for width in (60, 100, 180):
    claim(f"a terminal of {width} columns without sixels gets as many columns of letters", letters, b"\x1b[?62;22c", width)
claim("a terminal that does not answer gets letters, and soon", silent_terminal_is_not_waited_for)
claim("broken and lying answers are no sixels", broken_answers)
for name in ("dumb", "", None):
    claim(f"TERM={name}: not asked", not_asked, name)
claim("what was typed ahead is kept", typed_ahead_is_kept)
claim("the terminal is left as it was, also after an interruption", terminal_is_left_as_it_was)
claim("a leaf from a pipe, drawn on the terminal", leaf_from_a_pipe)
claim("in letters each line of curve is told from the others", lines_are_told_apart)
claim("in letters each line of one case is told from the others", lines_are_told_apart, "--case", "calm")
claim("in letters the marks of a legend are those of the picture", marks_of_the_legend_are_drawn)
claim("in letters the wind card is its curves", card_in_letters)
claim("into a file go letters, and the terminal hears nothing", into_a_file)
for number in (None, "120"):
    claim(f"into a pipe go letters, COLUMNS={number}", into_a_pipe, number)
claim("absurd COLUMNS do no harm", absurd_columns)
for name in COMMANDS:
    claim(f"{name} draws in letters", every_command, name)
claim("with -o the table goes into the file", table_into_file_beside)
claim("several leaves are drawn one by one, each below its name", several_leaves)
claim("the file of --plot may be left out", value_left_out)
for form in ("--json", "--csv"):
    claim(f"{form} and a picture do not share standard output", lambda form=form: expect_refused(run(*PLOT, form), 2, "--plot", "-o"))
claim("without gnuplot that is told", no_gnuplot)

if __name__ == "__main__":
    main()
