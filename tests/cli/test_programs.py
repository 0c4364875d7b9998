# SPDX-License-Identifier: GPL-3.0-or-later
"""The programs of examples/ in Python and C++: on the built and the installed library they say what the tool says."""

import functools
import importlib.util
import math
import re
import subprocess
import sys

from harness import ROOT, build_folder, claim, environment, expect, expect_equal, main, read_json, run
from staging import MAJOR, command, is_plain, needs, package, staged, workshop

PYTHON = ROOT / "examples" / "use_from_python.py"
CPP = ROOT / "examples" / "use_from_cpp.cpp"


@functools.lru_cache(maxsize=None)
def example():
    """use_from_python.py as a module."""
    description = importlib.util.spec_from_file_location("use_from_python", PYTHON)
    module = importlib.util.module_from_spec(description)
    description.loader.exec_module(module)
    return module


def library():
    is_plain()
    return build_folder() / f"libtrunnion.so.{MAJOR}"


def an_argument_is_no_leaf():
    """Neither program reads a leaf file: who gives one is told."""
    done = subprocess.run([sys.executable, "-B", PYTHON, ROOT / "examples/metric.yaml"], capture_output=True, text=True, check=False)
    expect_equal((done.returncode, done.stdout), (1, ""), done.stderr)
    program = build_folder() / "examples" / "use_from_cpp"
    done = subprocess.run([program, ROOT / "examples/metric.yaml"], capture_output=True, text=True, check=False)
    expect_equal((done.returncode, done.stdout), (1, ""), done.stderr)
    expect("the leaf stands in this program" in done.stderr, done.stderr)
    done = subprocess.run([sys.executable, "-B", PYTHON, ROOT / "examples/metric.yaml"], capture_output=True, text=True, check=False)
    expect("expected [LIBRARY]" in done.stderr and "the leaf stands in this program" in done.stderr, done.stderr)


def rows_of(text):
    """The rows of numbers under each case, by its name."""
    tables, name = {}, None
    for before, line in zip(text.splitlines(), text.splitlines()[1:]):
        if line.startswith("  angle deg"):
            name = before
            tables[name] = []
        elif name and re.fullmatch(r"(?: +-?\d+\.\d+){4}", line):
            tables[name].append([float(word) for word in line.split()])
    return tables


def balances_of(text):
    pattern = r"(?m)^(.+): ([\d.-]+) kN, closed moment ([\d.-]+) kN m, toe reaction ([\d.-]+) kN$"
    return [(match[1], *map(float, match.groups()[1:])) for match in re.finditer(pattern, text)]


def near(got, wanted, *about):
    """To the three decimals that the programs print; angles have two."""
    expect(math.isclose(got, wanted, rel_tol=0, abs_tol=0.00051), f"got {got}, expected {wanted}", *about)


def asked(*words, stdin):
    return read_json(run(*words, "--json", stdin=stdin.encode()).text)


def agrees_with_tool(text, description, addition, steps):
    """The output of a program beside what the tool says of the same description."""
    weighed = [asked("weigh", "-", stdin=description), asked("weigh", "-", "--add", addition, stdin=description)]
    told = balances_of(text)
    expect_equal(told[0][0], weighed[0]["leaf"])
    expect_equal(len(told), 2, text)
    for (_, weight, moment, reaction), wanted in zip(told, weighed, strict=True):
        near(weight, wanted["weight_N"] / 1e3, text)
        near(moment, wanted["closed_moment_Nm"] / 1e3, text)
        near(reaction, wanted["toe_reaction_N"] / 1e3, text)
    opens_to = asked("curve", "-", "--step", "120deg", stdin=description)["cases"][0]["rows"][-1]["angle_deg"]
    curves = asked("curve", "-", "--step", f"{opens_to / steps}deg", stdin=description)["cases"]
    tables = rows_of(text)
    expect_equal(list(tables), [case["name"] for case in curves])
    for case in curves:
        for got, row in zip(tables[case["name"]], case["rows"], strict=True):
            for value, key, scale in zip(
                got, ("angle_deg", "opening_Nm", "closing_Nm", "motor_opening_Nm"), (1, 1e-3, 1e-3, 1)
            ):
                near(value, row[key] * scale, case["name"], key, row)
    expect("Caution" in text, "no caution")


def refusals_are_told(text, *wanted):
    found = re.findall(r"(?m)^refused: (.*)$", text)
    expect_equal(len(found), len(wanted), *found)
    for line, words in zip(found, wanted):
        expect(words in line, f"expected {words}", line)


def python_says_what_the_tool_says(text):
    agrees_with_tool(text, example().DESCRIPTION, "overlay: 8 kg/m2 on deck", 7)
    refusals_are_told(text, "no such surface", "wrong dimension", "3:6: toe: a unit is missing")


def cpp_says_what_the_tool_says(text):
    description = re.search(r'R"\(\n(.*?)\)"', CPP.read_text(encoding="utf-8"), re.DOTALL).group(1)
    agrees_with_tool(text, description, "rail: 12 lbf/ft from [0 ft, 3 ft] to [30 ft, 3 ft]", 6)
    refusals_are_told(text, "no such surface", "wrong dimension", '1:1: key "toe" is missing')


def python_on_built():
    python_says_what_the_tool_says(command(sys.executable, PYTHON, library()))


def python_on_installed():
    """By the name alone, as the dynamic linker finds it."""
    is_plain()
    python_says_what_the_tool_says(
        command(sys.executable, PYTHON, env=environment(LD_LIBRARY_PATH=str(staged() / "usr/lib")))
    )


def cpp_on_built():
    cpp_says_what_the_tool_says(command(build_folder() / "examples" / "use_from_cpp"))


def cpp_on_installed(compiler):
    is_plain()
    needs(compiler)
    program = workshop() / f"use_from_cpp_{compiler}"
    command(
        compiler,
        "-std=c++17",
        "-Wall",
        "-Wextra",
        "-Werror",
        "-pedantic",
        CPP,
        *package("--cflags"),
        "-o",
        program,
        *package("--libs"),
    )
    cpp_says_what_the_tool_says(command(program, env=environment(LD_LIBRARY_PATH=str(staged() / "usr/lib"))))


def python_ends_in_words(argument, words):
    done = subprocess.run(
        [sys.executable, str(PYTHON), argument], capture_output=True, text=True, check=False, env=environment()
    )
    expect_equal((done.returncode, done.stdout), (1, ""), done.stderr)
    expect(words in done.stderr and "Traceback" not in done.stderr, done.stderr)


def python_without_library():
    python_ends_in_words("libnowhere.so", "libnowhere.so")


def python_with_another_version():
    """A library that says another version is not called further."""
    needs("cc")
    source = workshop() / "another.c"
    source.write_text(
        'const char *trn_version(void) { return "9.9.9"; }\n'
        + "".join(
            f"void {name}(void) {{}}\n"
            for name in sorted(
                set(re.findall(r'"(trn_\w+)": \(', PYTHON.read_text(encoding="utf-8"))) - {"trn_version"}
            )
        )
    )
    command("cc", "-shared", "-fPIC", source, "-o", workshop() / "another.so")
    python_ends_in_words(str(workshop() / "another.so"), "version 9.9.9")


def layout_by_compiler(structs):
    """Size and offsets of C structs, as a program says that is built against the installed headers."""
    lines = [f'    printf("{struct} size %zu\\n", sizeof({struct}));' for struct in structs]
    for struct, names in structs.items():
        lines += [
            f'    printf("{struct}.{name} %zu %zu\\n", offsetof({struct}, {name}), sizeof(({struct} *)0)->{name});'
            for name in names
        ]
    source = workshop() / "layout.c"
    source.write_text(
        "#include <stddef.h>\n#include <stdio.h>\n#include <trunnion/trunnion.h>\nint main(void)\n{\n"
        + "\n".join(lines)
        + "\n}\n"
    )
    command("cc", source, *package("--cflags"), "-o", workshop() / "layout")
    return set(command(workshop() / "layout").splitlines())


def layouts_agree():
    needs("cc")
    module = example()
    structs = {cls.__doc__.split()[0]: cls for cls in (*module.WHOLE, *module.BEGINNINGS)}
    told = set()
    for name, cls in structs.items():
        told.update(
            f"{name}.{field} {getattr(cls, field).offset} {getattr(cls, field).size}" for field, _ in cls._fields_
        )
    told.update(f"{cls.__doc__.split()[0]} size {module.ctypes.sizeof(cls)}" for cls in module.WHOLE)
    compiled = layout_by_compiler({name: [field for field, _ in cls._fields_] for name, cls in structs.items()})
    compiled = {
        line
        for line in compiled
        if not any(line.startswith(f"{cls.__doc__.split()[0]} size") for cls in module.BEGINNINGS)
    }
    expect_equal(
        sorted(told - compiled),
        sorted(compiled - told),
        "offset and size in Python (got), in C (expected): repeat the struct's fields in use_from_python.py",
    )


def constants_agree():
    module = example()
    names = {"OK": "TRN_OK", "BAD_DESCRIPTION": "TRN_BAD_DESCRIPTION"}
    source = workshop() / "constants.c"
    checks = "".join(f'_Static_assert({c} == {getattr(module, python)}, "{c}");\n' for python, c in names.items())
    source.write_text(f"#include <trunnion/trunnion.h>\n{checks}int main(void) {{ return 0; }}\n")
    command("cc", "-fsyntax-only", source, *package("--cflags"))


def every_struct_is_held():
    module = example()
    structs = {
        cls
        for cls in vars(module).values()
        if isinstance(cls, type) and issubclass(cls, module.Structure) and cls is not module.Structure
    }
    expect_equal(structs, {*module.WHOLE, *module.BEGINNINGS})


claim("the structs in Python are those of the C compiler", layouts_agree)
claim("every struct in Python is held against the compiler", every_struct_is_held)
claim("the constants in Python are those of the headers", constants_agree)
claim("use_from_python.py runs on the built library and says what the tool says", python_on_built)
claim("use_from_python.py runs on the installed library and says what the tool says", python_on_installed)
claim("use_from_python.py without a library ends in words", python_without_library)
claim("use_from_python.py and use_from_cpp tell who gives a leaf file that they read none", an_argument_is_no_leaf)
claim("use_from_python.py refuses a library of another version", python_with_another_version)
claim("use_from_cpp runs as built and says what the tool says", cpp_on_built)
for compiler in ("g++", "clang++"):
    claim(
        f"use_from_cpp.cpp is built by {compiler} on the installed library and says what the tool says",
        cpp_on_installed,
        compiler,
    )

if __name__ == "__main__":
    main()
