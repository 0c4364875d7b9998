# SPDX-License-Identifier: GPL-3.0-or-later
"""Tables as they stand on a terminal: columns that line up whatever the names are written in, and units of choice."""

import re

import pyte

from harness import EXAMPLES, METRIC, ROOT, claim, expect, expect_equal, folder, leaf_text, main, quoted, run, run_well

US = ROOT / "examples" / "us.yaml"
NAMES = {
    "wide": "橋桁と路面板", "full width": "ＦＵＬＬ", "half width": "ﾊｼｹﾞﾀ", "combining": "e\u0301le\u0301ment a\u0308",
    "accented": "élément ä", "Hangul": "도개교", "Greek": "βάρος", "Thai": "สะพานยก",
}
COMMANDS = {
    "weigh": (), "curve": ("--step", "20deg"), "explain": ("--at", "40deg"), "drive": (), "brake": (), "wind": (),
    "cycle": (), "ballast": (),
}
METRIC_ONLY = re.compile(r"\bkN\b|\bN m\b|\bkm/h\b|\bkW\b|\bbar\b|\bt m²|(?<!/)\bm\b(?!/)")
US_ONLY = re.compile(r"\bkips?\b|\bft\b|\blbf\b|\bpsf\b|\bhp\b|\bmph\b")


def on_screen(text):
    """The columns of a terminal, a wide character in two of them."""
    lines = text.splitlines()
    screen = pyte.Screen(200, len(lines) + 1)
    pyte.Stream(screen).feed(text.replace("\n", "\r\n"))
    return [line.rstrip() for line in screen.display], screen


def cells(screen, row):
    return [screen.buffer[row][column].data for column in range(screen.columns)]


def lines_up(name):
    """The numbers of every part end in the same columns of the screen."""
    with folder() as place:
        sections = f"  - {{name: {quoted(name)}, weight: 1 kN, at: [1 m, 0 m]}}\n  - {{name: plain, weight: 1 kN, at: [1 m, 0 m]}}"
        leaf = leaf_text().decode().replace("\n\n", "\n").rstrip("\n") + "\n" + sections + "\n"
        (place / "leaf.yaml").write_text(leaf, encoding="utf-8")
        text = run_well("weigh", "leaf.yaml", cwd=place).text
    _, screen = on_screen(text)
    rows = text.splitlines()
    ends = [ends_of(screen, next(i for i, row in enumerate(rows) if row.startswith(start))) for start in (name, "plain", "whole leaf")]
    expect_equal(len(ends[0]), 5, text)
    expect(ends[0] == ends[1] == ends[2], ends, text)


def ends_of(screen, row):
    """Where the last five runs of cells that are not blank end."""
    found = cells(screen, row)
    return [i for i in range(len(found) - 1) if found[i].strip() and not found[i + 1].strip() and found[i + 1] != ""][-5:]


def heading_of_file():
    """Among several leaves the line below a name is as long as it."""
    with folder() as place:
        for name in ("橋.yaml", "e\u0301.yaml"):
            (place / name).write_bytes(leaf_text())
        lines = run_well("weigh", "橋.yaml", "e\u0301.yaml", cwd=place).text.splitlines()
    expect_equal([line for line in lines if set(line) == {"="}], ["=" * 7, "=" * 6])


def legend_is_cut_by_columns():
    """In a plot a name is cut where its columns end, and never between a letter and its accent."""
    with folder() as place:
        name = "e\u0301" * 66
        (place / "leaf.yaml").write_bytes(leaf_text(name=name))
        script = run_well("weigh", "leaf.yaml", "--plot", "x.gp", cwd=place)
        expect_equal(script.errors, "")
        title = re.search(r"set title '([^']*)'", (place / "x.gp").read_text(encoding="utf-8"))[1]
        expect_equal(title, "e\u0301" * 58 + "…")


def units_agree(command, leaf, units):
    """With --units a file gives what the same file gives that asks for them itself."""
    own = leaf.read_text(encoding="utf-8")
    other = re.sub(r"(?m)^units: \w+", f"units: {units}", own)
    result = run(command, "-", *COMMANDS[command], "--units", units, stdin=own.encode())
    wanted = run(command, "-", *COMMANDS[command], stdin=other.encode())
    expect_equal((result.status, result.text, result.errors), (wanted.status, wanted.text, wanted.errors))
    foreign = US_ONLY if units == "metric" else METRIC_ONLY
    if command not in ("explain", "wind"):
        numbers = "\n".join(line for line in result.text.splitlines() if "'" not in line and '"' not in line)
        expect(not foreign.search(numbers), foreign.search(numbers), result.text)


def units_change_no_data(form):
    for command in ("weigh", "curve", "drive"):
        expect_equal(run(command, METRIC, form, "--units", "us").out, run(command, METRIC, form).out, command)


def units_of_plots():
    with folder() as place:
        run_well("curve", METRIC, "--units", "us", "--plot", "us.gp", cwd=place)
        text = (place / "us.gp").read_text(encoding="utf-8")
        expect("kip ft" in text and "kN m" not in text, "labels")


def examples_line_up():
    """In the tables of all examples every row below a rule has no text where the rule has its gaps."""
    for leaf in EXAMPLES:
        for system in ("metric", "us"):
            lines = run_well("weigh", leaf, "--units", system).text.splitlines()
            rule = next(i for i, line in enumerate(lines) if set(line) == {"-"})
            width = len(lines[rule])
            block = lines[rule + 1 : lines.index("", rule)]
            expect(all(len(line) == width for line in block), leaf, *block)


for about, text in NAMES.items():
    claim(f"columns line up beside a name that is {about}", lines_up, text)
claim("the line below the name of a file is as long as it", heading_of_file)
claim("a title is cut by columns, accents stay with their letters", legend_is_cut_by_columns)
claim("rows of examples are as long as the rule, in either units", examples_line_up)
for name in COMMANDS:
    for path in (METRIC, US):
        for system in ("metric", "us"):
            claim(f"{name} {path.name} --units {system}", units_agree, name, path, system)
for option in ("--json", "--csv"):
    claim(f"{option} is SI whatever --units says", units_change_no_data, option)
claim("plots follow --units", units_of_plots)

if __name__ == "__main__":
    main()
