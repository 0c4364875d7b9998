# SPDX-License-Identifier: GPL-3.0-or-later
"""Interactive shells with the tool's completion, each on a terminal of its own."""

import contextlib
import re
import shutil

from harness import ROOT, Skipped, build_folder, environment
from pseudo import Terminal


def environment_with_tool(**more):
    return environment(PATH=f"{build_folder()}:/usr/bin:/bin", TERM="xterm", **more)


def needs(program):
    if shutil.which(program) is None:
        raise Skipped(f"{program} is not there")


@contextlib.contextmanager
def shell(command, setup, **variables):
    """An interactive shell with completion, at its prompt."""
    needs(command[0])
    terminal = Terminal(command, environment_with_tool(PS1="> ", INPUTRC="/dev/null", HISTFILE="", **variables), ROOT, columns=150)
    try:
        terminal.type(f"{setup}; clear; echo re''ady\n")
        terminal.wait_for(lambda text: re.fullmatch(r"ready\n>", text), "the prompt")
        yield terminal
    finally:
        terminal.kill()


def bash_shell():
    return shell(["bash", "--norc", "-i"], "source <(trunnion completion bash)")


def zsh_shell(place):
    script = build_folder() / "completions" / "trunnion.zsh"
    (place / "_trunnion").symlink_to(script)
    setup = f"PS1='> '; fpath=({place} $fpath); autoload -U compinit; compinit -D -u; zstyle ':completion:*' menu no"
    return shell(["zsh", "-f", "-i"], setup)
