# SPDX-License-Identifier: GPL-3.0-or-later
"""make deb: three packages, lintian's verdict, and tool and library as dpkg installs them into a root of their own."""

import atexit
import functools
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

from harness import METRIC, ROOT, Skipped, claim, environment, expect, expect_equal, main, run
from staging import MAJOR, VERSION, command, needs

NAMES = ("libtrunnion-dev", "libtrunnion0", "trunnion")


@functools.lru_cache(maxsize=None)
def built():
    """The folder with the packages; whoever lacks the tools of Debian skips."""
    needs("dpkg-buildpackage", "dh", "dpkg-deb")
    place = pathlib.Path(tempfile.mkdtemp(prefix="trunnion-"))
    atexit.register(shutil.rmtree, place, ignore_errors=True)
    variables = environment(MAKEFLAGS=None, MFLAGS=None, MAKELEVEL=None)
    done = subprocess.run(
        ["make", "-s", "deb", f"DEB={place / 'deb'}"],
        cwd=ROOT,
        env=variables,
        capture_output=True,
        text=True,
        check=False,
    )
    expect(done.returncode == 0, done.stdout[-1500:], done.stderr[-2500:])
    expect("warning" not in done.stderr, *[line for line in done.stderr.splitlines() if "warning" in line])
    return place / "deb"


def package(name):
    found = sorted(built().glob(f"{name}_*.deb"))
    expect_equal(len(found), 1, name)
    return found[0]


def field(name, key):
    return command("dpkg-deb", "--field", package(name), key).strip()


@functools.lru_cache(maxsize=None)
def multiarch():
    return command("dpkg-architecture", "-qDEB_HOST_MULTIARCH").strip()


@functools.lru_cache(maxsize=None)
def unpacked(name):
    root = built() / "unpacked" / name
    root.mkdir(parents=True)
    command("dpkg-deb", "--extract", package(name), root)
    return root


def files_of(name):
    root = unpacked(name)
    return {str(path.relative_to(root)) for path in root.rglob("*") if path.is_symlink() or not path.is_dir()}


def three_packages():
    expect_equal(sorted(path.name.partition("_")[0] for path in built().glob("*.deb")), sorted(NAMES))
    for name in NAMES:
        expect_equal(field(name, "Version"), VERSION, name)
        expect("example.org" in field(name, "Maintainer"), field(name, "Maintainer"))


def lintian_is_content():
    """Errors and warnings of lintian end this; its hints do not."""
    needs("lintian")
    changes = next(built().glob("*.changes"))
    done = subprocess.run(
        ["lintian", "--fail-on", "error,warning", "--allow-root", str(changes)],
        capture_output=True,
        text=True,
        check=False,
        env=environment(),
    )
    expect_equal((done.returncode, re.findall(r"(?m)^[EW]: .*$", done.stdout)), (0, []), done.stdout, done.stderr)


def lintian_can_complain():
    """Held against a package that is spoilt, it says so: so the claim above says something."""
    needs("lintian")
    spoilt = built() / "spoilt"
    shutil.copytree(unpacked("trunnion"), spoilt / "trunnion", symlinks=True)
    (spoilt / "trunnion/DEBIAN").mkdir()
    control = command("dpkg-deb", "--field", package("trunnion"))
    (spoilt / "trunnion/DEBIAN/control").write_text(control)
    (spoilt / "trunnion/usr/share/doc/trunnion/copyright").unlink()
    command("dpkg-deb", "--root-owner-group", "--build", spoilt / "trunnion", spoilt)
    done = subprocess.run(
        ["lintian", "--allow-root", *map(str, spoilt.glob("*.deb"))], capture_output=True, text=True, check=False
    )
    expect(re.search(r"(?m)^E: trunnion: no-copyright-file", done.stdout), done.stdout)


def files_are_where_they_belong():
    library = f"usr/lib/{multiarch()}"
    documents = {name: {f"usr/share/doc/{name}/copyright", f"usr/share/doc/{name}/changelog.gz"} for name in NAMES}
    expect_equal(
        files_of("libtrunnion0"),
        documents["libtrunnion0"] | {f"{library}/libtrunnion.so.{MAJOR}", f"{library}/libtrunnion.so.{VERSION}"},
    )
    headers = {f"usr/include/trunnion/{path.name}" for path in (ROOT / "include/trunnion").glob("*.h")}
    development = {f"{library}/{name}" for name in ("libtrunnion.a", "libtrunnion.so", "pkgconfig/trunnion.pc")}
    programs = {
        f"usr/share/doc/libtrunnion-dev/examples/{name}"
        for name in ("use_from_cpp.cpp", "use_from_python.py", "without_file.c")
    }
    expect_equal(files_of("libtrunnion-dev"), documents["libtrunnion-dev"] | headers | development | programs)
    tool = {"usr/bin/trunnion", "usr/share/man/man1/trunnion.1.gz", "usr/share/doc/trunnion/README.md.gz",
            "usr/share/bash-completion/completions/trunnion", "usr/share/zsh/vendor-completions/_trunnion"}
    schemas = {f"usr/share/trunnion/schemas/{path.name}" for path in (ROOT / "cli/schemas").glob("*.json")}
    examples = files_of("trunnion") - documents["trunnion"] - tool - schemas
    expect_equal(files_of("trunnion") - examples, documents["trunnion"] | tool | schemas)
    expect_equal({name for name in examples if not name.startswith("usr/share/doc/trunnion/examples/")}, set())


def dependencies_are_computed():
    def names(name, key="Depends"):
        return {word.split()[0] for word in field(name, key).replace("|", ",").split(",")}

    def has(name, *starts):
        for start in starts:
            expect(any(word.startswith(start) for word in names(name)), f"{name} lacks {start}", field(name, "Depends"))

    has("libtrunnion0", "libc6", "libgsl", "libglpk", "libudunits2", "libyaml")
    has("trunnion", "libc6", "libjansson")
    expect(f"libtrunnion0 (>= {VERSION})" in field("trunnion", "Depends"), field("trunnion", "Depends"))
    expect(f"libtrunnion0 (= {VERSION})" in field("libtrunnion-dev", "Depends"), field("libtrunnion-dev", "Depends"))
    expect("gnuplot-nox" in names("trunnion", "Recommends"), field("trunnion", "Recommends"))


def symbols_are_listed():
    text = command("dpkg-deb", "--info", package("libtrunnion0"), "symbols")
    listed = set(re.findall(r"(?m)^ (\w+)@Base ", text))
    library = unpacked("libtrunnion0") / f"usr/lib/{multiarch()}/libtrunnion.so.{VERSION}"
    defined = {
        line.split()[-1].partition("@")[0] for line in command("nm", "-D", "--defined-only", library).splitlines()
    }
    expect(len(defined) > 50, len(defined))
    expect_equal(listed, defined, "in the symbols file, in the library")


@functools.lru_cache(maxsize=None)
def root():
    """All three installed by dpkg into a root of their own, whose database knows nothing else."""
    place = built() / "root"
    for name in ("info", "updates", "triggers"):
        (place / "var/lib/dpkg" / name).mkdir(parents=True)
    for name in ("status", "available"):
        (place / "var/lib/dpkg" / name).touch()
    command(
        "dpkg",
        f"--root={place}",
        f"--log={built() / 'dpkg.log'}",
        "--force-not-root",
        "--force-depends",
        "--force-script-chrootless",
        "--install",
        *(package(name) for name in NAMES),
        env=environment(PATH=f"{os.environ.get('PATH', '')}:/usr/sbin:/sbin"),
    )
    return place


def installed_environment():
    return environment(LD_LIBRARY_PATH=str(root() / "usr/lib" / multiarch()))


def dpkg_knows_them():
    told = command(
        "dpkg-query", f"--admindir={root() / 'var/lib/dpkg'}", "-W", "-f", "${Package} ${Version} ${db:Status-Status}\n"
    )
    expect_equal(sorted(told.split("\n")[:-1]), [f"{name} {VERSION} installed" for name in sorted(NAMES)])


def tool_runs():
    """From the root, with the library from there, it says what the built tool says."""
    tool = root() / "usr/bin/trunnion"
    expect(
        f"libtrunnion.so.{MAJOR} => {root()}" in command("ldd", tool, env=installed_environment()),
        "another library is loaded",
    )
    for words in (("weigh", METRIC, "--json"), ("curve", METRIC, "--csv"), ("schema", "leaf"), ("--version",)):
        expect_equal(command(tool, *words, env=installed_environment()), run(*words).text)


def examples_name_the_schema():
    for path in sorted((root() / "usr/share/doc/trunnion/examples").rglob("*.yaml")):
        first = path.read_text(encoding="utf-8").splitlines()[0]
        named = re.fullmatch(r"# yaml-language-server: \$schema=(/\S+)", first)
        expect(named and (root() / named.group(1)[1:]).is_file(), path.name, first)
        expect_equal(command(root() / "usr/bin/trunnion", "weigh", path, env=installed_environment()) != "", True)


def programs_run():
    """The examples of libtrunnion-dev, against the headers and the library of the packages alone."""
    examples = root() / "usr/share/doc/libtrunnion-dev/examples"
    out = command(sys.executable, examples / "use_from_python.py", env=installed_environment())
    expect("Withy Cut" in out and "Caution" in out, out)
    if not shutil.which("g++"):
        raise Skipped("no g++")
    program = built() / "use_from_cpp"
    command(
        "g++",
        "-std=c++17",
        examples / "use_from_cpp.cpp",
        "-I",
        root() / "usr/include",
        "-L",
        root() / "usr/lib" / multiarch(),
        "-ltrunnion",
        "-o",
        program,
    )
    out = command(program, env=installed_environment())
    expect("Osier Reach" in out and "Caution" in out, out)


claim("make deb gives three packages of this version, without a warning", three_packages)
claim("lintian has no error and no warning", lintian_is_content)
claim("lintian tells a package without its copyright", lintian_can_complain)
claim("the files are where they belong", files_are_where_they_belong)
claim("what the packages depend on is computed", dependencies_are_computed)
claim("the symbols file lists what the library exports", symbols_are_listed)
claim("dpkg installs them into a root of their own", dpkg_knows_them)
claim("the tool from the packages says what the built one says", tool_runs)
claim("the packaged examples name the packaged schema", examples_name_the_schema)
claim("the packaged programs run on the packaged library", programs_run)

if __name__ == "__main__":
    main()
