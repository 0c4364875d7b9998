# SPDX-License-Identifier: GPL-3.0-or-later
"""Completion with the names of a file that came from anywhere: no shell obeys what is inserted, in no state of quoting.

A real shell on a pseudo-terminal completes, and a key writes down its line. Each line is then run as it is and in what
the shell cannot see while it completes: an outer quote, a line before, a here-document.
"""

import contextlib
import shlex
import subprocess

from harness import claim, expect, expect_equal, folder, leaf_text, main, quoted
from shells import bash_shell, environment_with_tool, zsh_shell

HOSTILE = (
    "a$(touch obeyed)", "b`touch obeyed`", "c'; touch obeyed; #", 'd"; touch obeyed; #', "e; touch obeyed", "f\\'; touch obeyed; #",
    'g\\"; touch obeyed; #', "h > obeyed", "i & touch obeyed &", "j'\\''; touch obeyed; '", 'k"$(touch obeyed)"', "l'$(touch obeyed)'",
    "m`;touch obeyed;`", "n${x[$(touch obeyed)]}", "o | touch obeyed", "p!!; touch obeyed", "qé'; touch obeyed; #", "ré$(touch obeyed)",
    "s\\$(touch obeyed)", "t, u'$(touch obeyed)", "v$(touch obeyed)1", "v$(touch obeyed)2",
)
OPENINGS = ("", "'", '"', "$'", '$"', '""')
AROUND = (
    ("", ""), ("echo `", "`"), ('echo "`', '`"'), ("echo $(", ")"), ('echo "$(', ')"'), ('echo "\n', '"'), ("echo '\n", "'"), ("echo $'\n", "'"),
    ("cat <<E\n", "\nE\n"),
)
CLOSINGS = ("", "'", '"', "`")

TRY = """
cd -- "$1" || exit
trunnion() { :; }
while IFS= read -r -d '' text; do
    (eval "$text") > /dev/null 2>&1 < /dev/null
    if [ -e obeyed ]; then rm obeyed; printf '%s\\0' "$text"; fi
done
"""

KEYS = {
    "bash": "keep() { printf '%s\\0' \"$READLINE_LINE\" >> lines; }; bind -x '\"\\C-g\": keep'",
    "zsh": "keep() { printf '%s\\0' \"$BUFFER\" >> lines; }; zle -N keep; bindkey '^G' keep",
}


def leaf_with(place, names):
    cases = ", ".join(f"{{name: {quoted(name)}}}" for name in names)
    (place / "leaf.yaml").write_bytes(leaf_text(sections=f"cases: [{cases}]"))


@contextlib.contextmanager
def keeping(shell, place):
    """An interactive shell in a folder, whose key ^G writes down the line."""
    with folder() as functions:
        opened = bash_shell() if shell == "bash" else zsh_shell(functions)
        with opened as terminal:
            terminal.type(f"cd {shlex.quote(str(place))}; {KEYS[shell]}; clear; echo go''es\n")
            terminal.wait_for(lambda text: text.startswith("goes\n>"), "the prompt in the folder")
            yield terminal


def completed(shell, place, typed):
    """The lines that come of these by the tabulator key."""
    with keeping(shell, place) as terminal:
        for count, text in enumerate(typed, start=1):
            terminal.type(f"\x15{text}\t\x07")
            terminal.wait_for(lambda _: kept(place).count(b"\0") >= count, text)
    return kept(place).decode().split("\0")[:-1]


def kept(place):
    path = place / "lines"
    return path.read_bytes() if path.exists() else b""


def obeyed(shell, place, texts):
    command = ["bash", "--norc", "-c", TRY, "bash"] if shell == "bash" else ["zsh", "-f", "-c", TRY, "zsh"]
    done = subprocess.run([*command, place], input="".join(f"{text}\0" for text in texts).encode(), capture_output=True, check=False,
                          env=environment_with_tool())
    expect_equal(done.returncode, 0, done.stderr)
    return done.stdout.decode().split("\0")[:-1]


def line(opening, start):
    return f"trunnion curve leaf.yaml --case {opening}{start}"


def no_state_obeys(shell):
    starts = sorted({name[0] for name in HOSTILE})
    with folder() as place:
        leaf_with(place, HOSTILE)
        typed = [line(opening, start) for opening in OPENINGS for start in starts]
        lines = dict.fromkeys(completed(shell, place, typed))
        expect(not (place / "obeyed").exists(), "obeyed while it was completed")
        expect(len(lines) > len(typed) // 2 and len(set(lines) - set(typed)) > 10, "hardly anything was completed", *lines)
        texts = [f"{before}{text}{closing}{after}" for text in lines for before, after in AROUND for closing in CLOSINGS]
        found = obeyed(shell, place, texts)
        expect(not found, *found)


def no_file_is_obeyed(shell):
    """Files are the shell's own to quote; nothing of ours may spoil that."""
    with folder() as place:
        for name in HOSTILE:
            (place / f"{name}.yaml").write_text("")
        typed = [f"trunnion weigh {opening}{start}" for opening in ("", "'", '"') for start in sorted({name[0] for name in HOSTILE})]
        lines = dict.fromkeys(completed(shell, place, typed))
        expect(len(set(lines) - set(typed)) > len(typed) // 2, "hardly anything was completed", *lines)
        found = obeyed(shell, place, [text + closing for text in lines for closing in CLOSINGS])
        expect(not found, *found)


def offered(shell, opening, start, wanted):
    """A name that a shell may hold in that quote is offered, whatever CSV does to it; outside of quotes any without a backtick."""
    names = ("with, comma", 'say "so", then', "it's $5; & more", "`tick`", "wow!", "plain name", "été <1>")
    with folder() as place:
        leaf_with(place, names)
        got = completed(shell, place, [line(opening, start)])[0].rstrip()
        expect_equal(got.removeprefix(line("", "")), wanted)


def the_trial_sees():
    """What the claims above go by notices a line that is obeyed."""
    with folder() as place:
        for shell in ("bash", "zsh"):
            expect_equal(obeyed(shell, place, ["trunnion 'a'", 'trunnion "$(touch obeyed)"']), ['trunnion "$(touch obeyed)"'])


if __name__ == "__main__":
    for name in ("bash", "zsh"):
        claim(f"{name}: no state of quoting obeys a name", no_state_obeys, name)
        claim(f"{name}: no state of quoting obeys the name of a file", no_file_is_obeyed, name)
        for begun, by_hand, then in (
            ("'", "wi", "'with, comma'"), ('"', "wi", '"with, comma"'), ("", "sa", r'say\ \"so\",\ then'), ("'", "sa", "'sa"),
            ("", "it", r"it\'s\ \$5\;\ \&\ more"), ('"', "it", '"it'), ("", "wo", r"wow\!"), ('"', "wo", '"wo'), ("", "\\`", "\\`"),
        ):
            claim(f"{name}: {begun}{by_hand} becomes {then}", offered, name, begun, by_hand, then)
    claim("a line that is obeyed is noticed", the_trial_sees)
    main()
