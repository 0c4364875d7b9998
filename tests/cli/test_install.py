# SPDX-License-Identifier: GPL-3.0-or-later
"""make install, and programs built against what it installs. The build is copied first and stays as it is."""

import os
import re
import stat
import subprocess

from harness import METRIC, ROOT, WRAP, claim, environment, expect, expect_equal, main, run_well
from staging import MAJOR, VERSION, command, files_below, is_plain, make, needs, package, staged, workshop

HEADERS = sorted(path.name for path in (ROOT / "include" / "trunnion").glob("*.h"))
SCHEMAS = sorted(path.name for path in (ROOT / "cli" / "schemas").glob("*.json"))
STRICT = ("-Wall", "-Wextra", "-Werror", "-pedantic", "-fsyntax-only")
INSTALLED = {
    "usr/bin/trunnion", "usr/lib/libtrunnion.a", "usr/lib/libtrunnion.so", f"usr/lib/libtrunnion.so.{MAJOR}",
    f"usr/lib/libtrunnion.so.{VERSION}", "usr/lib/pkgconfig/trunnion.pc", "usr/share/man/man1/trunnion.1",
    "usr/share/bash-completion/completions/trunnion", "usr/share/zsh/site-functions/_trunnion",
    *(f"usr/include/trunnion/{name}" for name in HEADERS), *(f"usr/share/trunnion/schemas/{name}" for name in SCHEMAS),
}


def all_is_there():
    expect_equal(files_below(staged()), INSTALLED)
    for name in HEADERS:
        expect_equal((staged() / "usr/include/trunnion" / name).read_bytes(), (ROOT / "include/trunnion" / name).read_bytes())
    for name in SCHEMAS:
        expect_equal((staged() / "usr/share/trunnion/schemas" / name).read_bytes(), (ROOT / "cli/schemas" / name).read_bytes())


def modes_are_right():
    for name in INSTALLED:
        path = staged() / name
        if not path.is_symlink():
            expect_equal(oct(stat.S_IMODE(path.stat().st_mode)), oct(0o755 if name == "usr/bin/trunnion" else 0o644), name)


def links_stay_inside():
    library = staged() / "usr/lib"
    expect_equal(os.readlink(library / "libtrunnion.so"), f"libtrunnion.so.{MAJOR}")
    expect_equal(os.readlink(library / f"libtrunnion.so.{MAJOR}"), f"libtrunnion.so.{VERSION}")


def build_is_not_named():
    """Text that is installed names neither the stage nor the build."""
    for name in ("usr/lib/pkgconfig/trunnion.pc", "usr/share/man/man1/trunnion.1"):
        text = (staged() / name).read_text(encoding="utf-8")
        expect(str(workshop()) not in text and str(ROOT) not in text and "@" not in text, name, text)


def tool_runs():
    installed = [*WRAP, staged() / "usr/bin/trunnion", "weigh", METRIC, "--json"]
    expect_equal(command(*installed), run_well("weigh", METRIC, "--json").text)


def prefix_is_the_one_asked_for(name, variables, prefix, libdir):
    """Also from a build that was made for another prefix."""
    root = staged(name, *variables)
    expect((root / prefix[1:] / "bin/trunnion").exists(), files_below(root))
    expect((root / libdir[1:] / "libtrunnion.a").exists(), files_below(root))
    text = next(root.rglob("trunnion.pc")).read_text(encoding="utf-8")
    told = dict(re.findall(r"(?m)^(\w+)=(.*)$", text))
    expect_equal(told, {"prefix": prefix, "libdir": libdir, "includedir": f"{prefix}/include"})


def package_is_sound():
    package("--validate")
    root = str(staged())
    expect_equal([flag for flag in package("--libs") if flag.startswith("-l")], ["-ltrunnion"])
    expect(all(flag.startswith(root) for flag in (flag[2:] for flag in package("--cflags") if flag.startswith("-I"))), "-I")
    static = package("--static", "--libs")
    for library in ("-ltrunnion", "-lgsl", "-lyaml", "-ludunits2"):
        expect(library in static, f"--static lacks {library}", static)


def built(name, libraries):
    is_plain()
    needs("cc")
    program = workshop() / name
    command("cc", "-std=c11", ROOT / "examples/without_file.c", *package("--cflags"), "-o", program, *libraries)
    return program


def output_of(program, **variables):
    text = command(program, env=environment(**variables))
    expect("closed moment" in text and "Caution" in text and not re.search(r"(?i)\bnan\b|\binf\b", text), text)
    return text


def needed(path):
    return re.findall(r"\(NEEDED\)[^\[]*\[([^\]]+)\]", command("readelf", "-d", path))


def program_with_shared():
    program = built("shared", package("--libs"))
    expect(f"libtrunnion.so.{MAJOR}" in needed(program), needed(program))
    output_of(program, LD_LIBRARY_PATH=str(staged() / "usr/lib"))


def program_with_static():
    others = [flag for flag in package("--static", "--libs") if flag != "-ltrunnion" and not flag.startswith(f"-L{staged()}")]
    program = built("static", [staged() / "usr/lib/libtrunnion.a", *others])
    expect(not any("trunnion" in name for name in needed(program)), needed(program))
    expect_equal(output_of(program), output_of(built("shared", package("--libs")), LD_LIBRARY_PATH=str(staged() / "usr/lib")))


def program_in_cxx():
    """Every function that the headers declare has a C name for C++ too, and is there."""
    is_plain()
    needs("c++")
    source = workshop() / "cxx.cc"
    functions = ", ".join(f"reinterpret_cast<function>(&{name})" for name in sorted(declared()))
    source.write_text(
        "#include <trunnion/trunnion.h>\n"
        f"typedef void (*function)();\nfunction all[] = {{{functions}}};\n"
        "int main() { trn_leaf leaf = trn_default_leaf(); return all[0] == nullptr || leaf.part_count != 0; }\n"
    )
    command("c++", source, *package("--cflags"), "-o", workshop() / "cxx", *package("--libs"))
    command(workshop() / "cxx", env=environment(LD_LIBRARY_PATH=str(staged() / "usr/lib")))


def header_alone(name, compiler, language):
    needs(compiler)
    include = staged() / "usr/include"
    source = workshop() / f"alone.{'c' if language.startswith('c1') else 'cc'}"
    source.write_text(f"#include <trunnion/{name}>\n#include <trunnion/{name}>\nint main(void) {{ return 0; }}\n")
    command(compiler, f"-std={language}", *STRICT, "-I", include, source)


def whole_header_is_whole():
    text = (ROOT / "include/trunnion/trunnion.h").read_text(encoding="utf-8")
    included = set(re.findall(r'#include "trunnion/(\w+\.h)"', text))
    expect_equal(included, set(HEADERS) - {"trunnion.h"})


def defined(*words):
    names = {line.split()[-1] for line in command("nm", "--defined-only", *words).splitlines() if len(line.split()) == 3}
    instrumented = re.compile(r"__(asan|ubsan|odr_asan|gcov|llvm|sanitizer|gcda)|llvm_g|_fini$|_init$|mangle_path$")
    return {name for name in names if not instrumented.match(name)}


def declared():
    """The functions that the headers promise."""
    names = set()
    for name in HEADERS:
        text = re.sub(r"/\*.*?\*/", "", (ROOT / "include/trunnion" / name).read_text(encoding="utf-8"), flags=re.DOTALL)
        names |= set(re.findall(r"(?m)^(?!static|typedef|#)[a-z][\w ]*[\s*](trn_\w+)\(", text))
    expect(len(names) > 20, names)
    return names


def shared_exports():
    names = defined("-D", staged() / "usr/lib/libtrunnion.so")
    expect_equal({name for name in names if not name.startswith("trn_")}, set())
    expect_equal(names, declared(), "exported, declared")


def archive_exports():
    names = defined("-g", staged() / "usr/lib/libtrunnion.a")
    expect_equal({name for name in names if not name.startswith("trn_")}, set())
    expect_equal(names, declared(), "global, declared")


def soname():
    text = command("readelf", "-d", staged() / "usr/lib/libtrunnion.so")
    expect_equal(re.findall(r"\(SONAME\)[^\[]*\[([^\]]+)\]", text), [f"libtrunnion.so.{MAJOR}"])
    expect("TEXTREL" not in text, "the library has relocations in its code")


def manual_is_sound():
    needs("mandoc")
    done = subprocess.run(
        ["mandoc", "-Tlint", "-W", "warning", staged() / "usr/share/man/man1/trunnion.1"], capture_output=True, check=False
    )
    expect_equal((done.returncode, done.stdout.decode()), (0, ""))


def versions_agree():
    expect_equal(package("--modversion"), [VERSION])
    expect_equal(command(staged() / "usr/bin/trunnion", "--version"), f"trunnion {VERSION}\n")
    manual = (staged() / "usr/share/man/man1/trunnion.1").read_text(encoding="utf-8")
    expect_equal(re.findall(r"\d+\.\d+\.\d+", manual), [VERSION])
    expect(re.fullmatch(r"\d+\.\d+\.\d+", VERSION), VERSION)


def uninstall():
    root = staged("leave", "PREFIX=/usr")
    others = {"usr/bin/another", "usr/lib/pkgconfig/another.pc", "usr/include/another.h"}
    for name in others:
        (root / name).write_text("another's")
    make("uninstall", root, "PREFIX=/usr")
    expect_equal(files_below(root), others)
    for left in ("usr/include/trunnion", "usr/share/trunnion"):
        expect(not (root / left).exists(), f"the folder {left} is left")


def install_again():
    root = staged("again", "PREFIX=/usr")
    make("install", root, "PREFIX=/usr")
    expect_equal(files_below(root), INSTALLED)


claim("install puts every file in its place, and no other", all_is_there)
claim("the files have the modes of their kind", modes_are_right)
claim("the links of the library are relative", links_stay_inside)
claim("what is installed names no folder of the build", build_is_not_named)
claim("the installed tool says what the built one says", tool_runs)
claim("PREFIX=/usr reaches trunnion.pc", prefix_is_the_one_asked_for, "root", (), "/usr", "/usr/lib")
claim("PREFIX=/opt/leaf reaches trunnion.pc", prefix_is_the_one_asked_for, "opt", ("PREFIX=/opt/leaf",), "/opt/leaf", "/opt/leaf/lib")
claim("LIBDIR reaches trunnion.pc", prefix_is_the_one_asked_for, "multi",
      ("PREFIX=/usr", "LIBDIR=/usr/lib/multiarch"), "/usr", "/usr/lib/multiarch")
claim("pkg-config finds all that a program needs, shared and static", package_is_sound)
claim("a C program is built against the shared library and runs", program_with_shared)
claim("a C program is built against the static library, and says the same", program_with_static)
claim("a C++ program is built against the shared library and runs", program_in_cxx)
claim("trunnion.h includes every other header", whole_header_is_whole)
for header in HEADERS:
    claim(f"{header} alone is C11 to gcc", header_alone, header, "gcc", "c11")
    claim(f"{header} alone is C11 to clang", header_alone, header, "clang", "c11")
    claim(f"{header} alone is C++ to g++", header_alone, header, "g++", "c++11")
    claim(f"{header} alone is C++ to clang++", header_alone, header, "clang++", "c++17")
claim("the shared library exports what the headers declare, and nothing else", shared_exports)
claim("the archive has as global names what the headers declare, and nothing else", archive_exports)
claim("the SONAME carries the first number of the version", soname)
claim("mandoc has no complaint of the manual", manual_is_sound)
claim("header, trunnion.pc, manual and --version agree", versions_agree)
claim("uninstall leaves nothing of ours and all that is another's", uninstall)
claim("install over an installed one changes nothing", install_again)

if __name__ == "__main__":
    main()
