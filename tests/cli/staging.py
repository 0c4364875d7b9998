# SPDX-License-Identifier: GPL-3.0-or-later
"""An installed tree for the tests: a copy of the build, installed below a folder of its own, and what is built against it."""

import atexit
import functools
import pathlib
import re
import shutil
import subprocess
import tempfile

from harness import ROOT, Skipped, build_folder, environment, expect

VERSION = re.search(
    r'#define TRN_VERSION "([^"]+)"', (ROOT / "include" / "trunnion" / "version.h").read_text(encoding="utf-8")
).group(1)
MAJOR = VERSION.partition(".")[0]


def command(*words, env=None, cwd=None):
    done = subprocess.run([str(word) for word in words], env=env or environment(), cwd=cwd or ROOT, capture_output=True, check=False)
    expect(done.returncode == 0, " ".join(map(str, words)), done.stdout.decode()[-1500:], done.stderr.decode()[-1500:])
    return done.stdout.decode()


def needs(*programs):
    for program in programs:
        if not shutil.which(program):
            raise Skipped(f"no {program}")


@functools.lru_cache(maxsize=None)
def workshop():
    """A folder with a copy of the build, times and all, so that nothing is built again and nothing there is touched."""
    place = pathlib.Path(tempfile.mkdtemp(prefix="trunnion-"))
    atexit.register(shutil.rmtree, place, ignore_errors=True)
    command("cp", "-a", build_folder(), place / "build")
    return place


def make(target, root, *words):
    """Install or uninstall below a root; what it would do is read first, for it may be root who runs this."""
    variables = environment(MAKEFLAGS=None, MFLAGS=None, MAKELEVEL=None)
    command_line = ("make", "-s", target, f"DESTDIR={root}", *words, f"BUILD={workshop() / 'build'}")
    planned = command(*command_line, "-n", env=variables).replace("\\\n", " ")
    deeds = re.findall(r"(?m)^\s*(?:install|ln|rm|mv|cp|mkdir)\b.*$", planned)
    outside = [word for deed in deeds for word in deed.split() if re.match(r"/(?:usr|opt|bin|lib|etc)\b", word)]
    expect(not outside, f"make {target} reaches out of DESTDIR", *outside)
    command(*command_line, env=variables)


@functools.lru_cache(maxsize=None)
def staged(name="root", *variables):
    root = workshop() / name
    make("install", root, *(variables or ("PREFIX=/usr",)))
    return root


def files_below(root):
    return {str(path.relative_to(root)) for path in root.rglob("*") if path.is_symlink() or not path.is_dir()}


def is_plain():
    """Programs are built against a plain build; others need the compiler's own run-time library, and say the same."""
    symbols = command("nm", "-D", staged() / "usr/lib/libtrunnion.so")
    if re.search(r"__asan|__ubsan|__gcov|__llvm|__sanitizer", symbols):
        raise Skipped("an instrumented build")


def package(*words, root=None):
    needs("pkg-config")
    root = root or staged()
    system = command("pkg-config", "--variable=pc_path", "pkg-config").strip()
    folders = f"{next(root.rglob('pkgconfig'))}:{system}"
    variables = environment(PKG_CONFIG_LIBDIR=folders, PKG_CONFIG_SYSROOT_DIR=str(root), PKG_CONFIG_PATH=None)
    return command("pkg-config", *words, "trunnion", env=variables).split()
