# SPDX-License-Identifier: GPL-3.0-or-later
"""Completion, asked of real shells: of the functions by themselves, and by keys on a terminal."""

import re
import subprocess

from harness import METRIC, ROOT, build_folder, claim, expect, expect_equal, expect_refused, folder, main, run, run_well
from shells import bash_shell, environment_with_tool, needs, shell, zsh_shell

OPTIONS = re.compile(r"(?m)^  (--?[\w-]+)")


def commands():
    return re.findall(r"(?m)^  ([a-z]+) ", run_well("--help").text)


BASH = """
source "$1" || exit
shift
COMP_WORDS=("$@")
COMP_CWORD=$(($# - 1))
_trunnion
[ ${#COMPREPLY[@]} -eq 0 ] || printf '%s\\n' "${COMPREPLY[@]}"
"""


def in_bash(*words, cwd=ROOT):
    """What bash offers for the last word, which may be empty."""
    needs("bash")
    script = build_folder() / "completions" / "trunnion.bash"
    done = subprocess.run(
        ["bash", "--norc", "-c", BASH, "bash", script, "trunnion", *words], capture_output=True, cwd=cwd, check=False,
        env=environment_with_tool(),
    )
    expect_equal((done.returncode, done.stderr.decode()), (0, ""), words)
    return done.stdout.decode().splitlines()


def built_is_printed(shell):
    expect_equal((build_folder() / "completions" / f"trunnion.{shell}").read_bytes(), run_well("completion", shell).out)


def bash_commands():
    expect_equal(set(in_bash("")), {*commands(), "--help", "--version"})
    expect_equal(in_bash("cu"), ["curve"])


def bash_options(command):
    """Those of the help, and no other."""
    told = set(OPTIONS.findall(run_well(command, "--help").text))
    expect_equal({word for word in in_bash(command, "-") if word != "--output"}, told)


def bash_files():
    expect_equal(in_bash("weigh", "examples/met"), ["examples/metric.yaml"])
    expect_equal(in_bash("measure", "examples/metric.yaml", "examples/records/metric_p"), ["examples/records/metric_power.csv"])
    expect_equal(in_bash("weigh", "examples/metric.yaml", "examples/u"), ["examples/uncertain.yaml", "examples/us.yaml"])
    expect_equal(in_bash("curve", "--plot", "examples/m"), ["examples/metric.svg"])
    expect("DEVELOPERS.md" in in_bash("curve", "-o", ""), "any file for -o")
    expect_equal(in_bash("cycle", "--wind-record", "examples/records/gu"), ["examples/records/gusty.csv"])


def bash_words():
    expect_equal(in_bash("weigh", "--units", ""), ["metric", "us"])
    expect_equal(in_bash("weigh", "--units", "=", "u"), ["us"])
    expect_equal(in_bash("completion", ""), ["bash", "zsh"])
    expect_equal(in_bash("schema", "cu"), ["curve"])
    expect_equal(in_bash("cycle", "--fault", "pow"), [r"power\ lost"])
    expect_equal(in_bash("cycle", "--fault", "'pow"), ["power lost"])
    expect_equal(in_bash("curve", "--step", "1"), [])


def fault_words_are_right():
    """Each word that is offered for a fault is one."""
    words = [word.replace("\\", "") for word in in_bash("cycle", "--fault", "")]
    expect(len(words) >= 7, words)
    for word in words:
        angle = "" if word in ("brake out", "near switch missed") else " at 40deg"
        result = run("cycle", METRIC, "--fault", word + angle)
        expect(result.status in (0, 1), result)


def bash_cases():
    cases = in_bash("curve", "examples/metric.yaml", "--case", "'")
    expect_equal(set(cases), {"calm", "starting", "working wind", "hard wind with ice", "gust by speed", "gust along the slope"})
    expect_equal(in_bash("curve", "examples/metric.yaml", "--case", "hard"), [r"hard\ wind\ with\ ice"])
    expect_equal(in_bash("brake", "examples/metric.yaml", "--case", "st"), ["storm"])
    expect_equal(in_bash("curve", "--case", ""), [])


def by_keys(open_shell, typed, wanted):
    with open_shell() as terminal:
        terminal.type(typed + "\t")
        terminal.wait_for(lambda text: wanted in text, wanted)


def in_zsh(typed, wanted):
    with folder() as place:
        by_keys(lambda: zsh_shell(place), typed, wanted)


def zsh_options(command):
    """All of them, listed by the tabulator key, each with its description."""
    told = set(OPTIONS.findall(run_well(command, "--help").text)) - {"-o"}
    with folder() as place, zsh_shell(place) as terminal:
        terminal.type(f"trunnion {command} --\t\t")
        terminal.wait_for(lambda text: told <= set(re.findall(r"(?m)^(--[\w-]+) .*-- ", text)), sorted(told))
        found = set(re.findall(r"(?m)^(--[\w-]+) .*-- ", terminal.shown()))
        expect_equal(found - {"--output"}, told, terminal.shown())


def zsh_commands():
    with folder() as place, zsh_shell(place) as terminal:
        terminal.type("trunnion \t\t")
        terminal.wait_for(lambda text: all(re.search(rf"(?m)^{name} +-- ", text) for name in commands()), commands())


def sourced_in_zsh():
    setup = "PS1='> '; autoload -U compinit; compinit -D -u; source <(trunnion completion zsh)"
    by_keys(lambda: shell(["zsh", "-f", "-i"], setup), "trunnion cur", "trunnion curve")


for name in ("bash", "zsh"):
    claim(f"completion {name} prints what is installed", built_is_printed, name)
claim("bash: commands", bash_commands)
for name in commands():
    claim(f"bash: the options of {name} are those of its help", bash_options, name)
claim("bash: files by their endings", bash_files)
claim("bash: words, quoted as they were begun", bash_words)
claim("what is offered as a fault is one", fault_words_are_right)
claim("bash: the cases of the leaf file, of brake its holdings", bash_cases)
for keys, shown in {
    "trunnion cur": "trunnion curve",
    "trunnion curve --st": "trunnion curve --step",
    "trunnion weigh examples/met": "trunnion weigh examples/metric.yaml",
    "trunnion cycle --fault 'pow": "--fault 'power lost'",
    "trunnion cycle --fault pow": r"--fault power\ lost",
    "trunnion curve examples/metric.yaml --case=hard": r"--case=hard\ wind\ with\ ice",
    "trunnion curve examples/metric.yaml --case 'hard": "--case 'hard wind with ice'",
    "trunnion weigh --units m": "--units metric",
}.items():
    claim(f"bash, by keys: {keys}", by_keys, bash_shell, keys, shown)
    claim(f"zsh, by keys: {keys}", in_zsh, keys, shown)
claim("zsh: commands with what they answer", zsh_commands)
for name in ("curve", "measure", "new"):
    claim(f"zsh: the options of {name} are those of its help", zsh_options, name)
claim("zsh: the script can be sourced", sourced_in_zsh)
claim("another shell is refused by its name", lambda: expect_refused(run("completion", "fish"), 2, "'fish'", "bash or zsh"))
claim("no shell is refused too", lambda: expect_refused(run("completion"), 2, "trunnion completion bash"))

if __name__ == "__main__":
    main()
