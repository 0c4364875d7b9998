# SPDX-License-Identifier: GPL-3.0-or-later
"""The walls of the house, read from the #include lines, and the form of its files."""

import os
import pathlib
import re
import subprocess

from harness import ROOT, claim, expect, expect_equal, main

TOP = {"README.md", "DEVELOPERS.md", "LICENSE", "Makefile", "lib", "include", "cli", "tests", "examples"}
SPDX = "SPDX-License-Identifier: GPL-3.0-or-later"
LINES, COLUMNS = 500, 120
PUBLIC = {path.name for path in (ROOT / "include/trunnion").glob("*.h")}
OTHERS = {  # headers of other libraries, and of the system beyond what C needs to compute
    "yaml.h", "udunits2.h", "glpk.h", "jansson.h", "getopt.h", "stdio.h", "unistd.h", "fcntl.h", "locale.h", "time.h",
    "signal.h", "pthread.h", "errno.h",
}


def tracked():
    """The files of the repository; where there is none, those of the source as it was unpacked."""
    done = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=False)
    if done.returncode == 0:
        names = [os.fsdecode(name) for name in done.stdout.split(b"\0") if name]
        return [ROOT / name for name in names if (ROOT / name).is_file()]
    return [
        path for path in ROOT.rglob("*")
        if path.is_file() and not {"build", ".git", "__pycache__"} & set(path.relative_to(ROOT).parts)
    ]


FILES = tracked()


def name_of(path):
    return str(path.relative_to(ROOT))


def below(*folders, endings=(".c", ".h")):
    found = [path for path in FILES if name_of(path).startswith(folders) and path.suffix in endings]
    expect(found, f"there is nothing in {folders}")
    return found


def text_of(path):
    return path.read_text(encoding="utf-8")


def includes(path):
    return re.findall(r'(?m)^\s*#\s*include\s*[<"]([^>"]+)[>"]', text_of(path))


def code_of(path):
    """Without comments and strings, which may speak of anything."""
    text = re.sub(r"/\*.*?\*/", "", text_of(path), flags=re.DOTALL)
    return re.sub(r'"(\\.|[^"\\\n])*"', '""', text)


def folder_of_include(path, name):
    """The folder of ours that an include names, or None for the system's."""
    for base in (path.parent, ROOT / "include", ROOT / "cli"):
        found = pathlib.Path(os.path.normpath(base / name))
        if found.is_file() and ROOT in found.parents:
            return name_of(found.parent)
    return None


def nothing(found, about):
    expect(not found, about, *found)


def reaches_only(folder, allowed):
    """Files of a folder include files of ours from these folders only."""
    found = [
        f"{name_of(path)} includes {name}" for path in below(folder) for name in includes(path)
        if (place := folder_of_include(path, name)) and place not in allowed
    ]
    nothing(found, f"{folder} reaches out of {allowed}")


def names_no_stranger(folder, strangers):
    found = [f"{name_of(path)} includes {name}" for path in below(folder) for name in includes(path) if name in strangers]
    nothing(found, f"{folder} includes what it shall not know")


def mechanics_knows_no_reader():
    found = [
        f"{name_of(path)} includes {name}" for path in below("lib/mechanics") for name in includes(path)
        if name in ("trunnion/describe.h", "trunnion/trunnion.h")
    ]
    nothing(found, "mechanics knows the reader of descriptions")


def only_in(header, folder):
    found = [name_of(path) for path in below("lib", "cli", "include") if header in includes(path)]
    expect(found, f"nobody includes {header}")
    nothing([name for name in found if not name.startswith(folder)], f"{header} outside {folder}")


def calls_none_of(folder, functions):
    pattern = re.compile(rf"(?<![\w.>])({'|'.join(functions)})\s*\(")
    found = [
        f"{name_of(path)}: {match.group(1)}" for path in below(folder) for match in pattern.finditer(code_of(path))
    ]
    nothing(found, f"{folder} calls")


def no_variables_of_files():
    """No state: what stands outside functions in lib/mechanics is constant."""
    found = []
    for path in below("lib/mechanics", endings=(".c",)):
        depth = 0
        for line in code_of(path).splitlines():
            if depth == 0 and re.match(r"(static\s+)?(?!const\b)(?:_Thread_local\s+)?\w[\w ]*[\s*]\w+(\[\w*\])?\s*(=|;)", line):
                if not re.search(r"\bconst\b|^typedef|^(struct|enum|union) \w+;|^#|^}", line):
                    found.append(f"{name_of(path)}: {line}")
            depth += line.count("{") - line.count("}")
    nothing(found, "variables that outlive a call")


def every_public_header_is_used():
    """A header without a file that defines what it declares promises too much."""
    sources = " ".join(code_of(path) for path in below("lib", endings=(".c",)))
    missing = []
    for path in below("include"):
        names = re.findall(r"(?m)^(?!static|typedef|#)[a-z][\w ]*[\s*](trn_\w+)\(", code_of(path))
        missing += [f"{name_of(path)}: {name}" for name in names if not re.search(rf"\b{name}\(", sources)]
    nothing(missing, "declared and not defined")


def commented(path):
    """Whether a file is one of C, shell or Python, by its ending or its first line."""
    if path.suffix in (".c", ".h", ".cc", ".py", ".sh", ".map"):
        return path.suffix != ".map"
    first = path.open("rb").readline(200)
    return first.startswith(b"#!") and (b"sh" in first or b"python" in first)


def licences():
    sources = [path for path in FILES if commented(path)]
    expect(len(sources) > 50, len(sources))
    missing = [name_of(path) for path in sources if SPDX not in "".join(text_of(path).splitlines(keepends=True)[:3])]
    nothing(missing, "without the SPDX line at the head")


def written_by_hand():
    """Text that people write: data of tests, such as faulty descriptions, may have any form."""
    data = ("tests/cli/invalid/", "tests/cli/valid/", "tests/fuzz/", "LICENSE")
    kinds = (".c", ".h", ".py", ".sh", ".md", ".yaml", ".1", ".in", ".txt")
    return [
        path for path in FILES
        if not name_of(path).startswith(data) and (path.suffix in kinds or commented(path) or path.name == "Makefile")
    ]


def lengths():
    found = []
    for path in written_by_hand():
        count = len(text_of(path).splitlines())
        if count > LINES:
            found.append(f"{name_of(path)}: {count} lines")
    nothing(found, f"over {LINES} lines")


def widths():
    found = [
        f"{name_of(path)}:{number}: {len(line)} columns"
        for path in written_by_hand() if path.suffix in (".c", ".h")
        for number, line in enumerate(text_of(path).splitlines(), start=1) if len(line) > COLUMNS
    ]
    nothing(found, f"over {COLUMNS} columns")


def tidy():
    found = []
    for path in written_by_hand():
        text = text_of(path)
        found += [f"{name_of(path)}: no newline at the end"] * (not text.endswith("\n"))
        found += [f"{name_of(path)}: CR"] * ("\r" in text)
        for number, line in enumerate(text.splitlines(), start=1):
            if line != line.rstrip() and path.suffix != ".md":
                found.append(f"{name_of(path)}:{number}: blanks at the end")
            if "\t" in line and path.name != "Makefile":
                found.append(f"{name_of(path)}:{number}: tab")
    nothing(found, "untidy")


def top_level():
    names = {pathlib.Path(name_of(path)).parts[0] for path in FILES}
    nothing([name for name in sorted(names - TOP) if not name.startswith(".")], "has no place at the top")
    expect_equal(TOP - names, set(), "missing at the top")


# The words are put together here, so that this file holds none of them.
UNFINISHED = re.compile(r"\b(" + "|".join(("TO" + "DO", "FIX" + "ME", "X" + "XX", "HA" + "CK")) + r")\b")
OF_THIS_MACHINE = re.compile("(?<![\\w.}])/(" + "|".join(("wo" + "rk", "tm" + "p", "ho" + "me", "ro" + "ot")) + r")(/|\b)")


def holds_none_of(pattern, files):
    found = [
        f"{name_of(path)}:{number}: {line.strip()}" for path in files
        for number, line in enumerate(text_of(path).splitlines(), start=1) if pattern.search(line)
    ]
    nothing(found, "found")


FILE_CALLS = (
    "printf", "fprintf", "puts", "fputs", "putchar", "fopen", "fread", "fwrite", "fclose", "open", "read", "write", "perror",
    "scanf", "fscanf", "getenv", "setlocale", "system", "time", "rand",
)
ENDS = ("exit", "_exit", "abort", "quick_exit")
MEMORY = ("malloc", "calloc", "realloc", "free", "alloca", "strdup", "strndup", "aligned_alloc")
PRINTS = ("printf", "puts", "putchar", "perror", "fputs", "fprintf", "setlocale", "system")

claim("the public headers include none but the public headers", reaches_only, "include", ("include/trunnion",))
claim("lib/mechanics includes itself and the public headers", reaches_only, "lib/mechanics", ("include/trunnion", "lib/mechanics"))
claim("lib/describe includes itself and the public headers", reaches_only, "lib/describe", ("include/trunnion", "lib/describe"))
if any(name_of(path).startswith("lib/planning/") for path in FILES):
    claim("lib/planning includes itself, mechanics and the public headers", reaches_only, "lib/planning", ("include/trunnion", "lib/mechanics", "lib/planning"))
claim("the tool includes itself and the public headers", reaches_only, "cli", ("include/trunnion", "cli", "cli/present", "cli/report"))
claim("the presenting files include no command", reaches_only, "cli/present", ("include/trunnion", "cli/present", "cli"))
claim("lib/mechanics knows no reader", mechanics_knows_no_reader)
claim("lib/mechanics includes no reader, no system, no other library's I/O", names_no_stranger, "lib/mechanics", OTHERS - {"stdio.h"})
claim("lib includes no header of the tool's libraries", names_no_stranger, "lib", {"jansson.h", "getopt.h"})
claim("the public headers include no other library", names_no_stranger, "include", OTHERS)
claim("only lib/describe includes yaml.h", only_in, "yaml.h", "lib/describe/")
claim("only lib/describe includes udunits2.h", only_in, "udunits2.h", "lib/describe/")
claim("only cli includes jansson.h", only_in, "jansson.h", "cli/")
claim("lib/mechanics allocates nothing", calls_none_of, "lib/mechanics", MEMORY)
claim("lib/mechanics touches no file, environment or clock", calls_none_of, "lib/mechanics", FILE_CALLS)
claim("lib/mechanics keeps no state", no_variables_of_files)
claim("lib ends no process", calls_none_of, "lib", ENDS)
claim("lib prints nothing and sets no locale", calls_none_of, "lib", PRINTS)
claim("all that the public headers declare is defined", every_public_header_is_used)
claim("every C, shell and Python file has the SPDX line", licences)
claim(f"no file has over {LINES} lines", lengths)
claim(f"no line of C has over {COLUMNS} columns", widths)
claim("no tabs, no blanks at line ends, a newline at the end", tidy)
claim("the top level holds what the architecture names", top_level)
claim("nothing is left to be done", holds_none_of, UNFINISHED, written_by_hand())
claim("no path of a machine", holds_none_of, OF_THIS_MACHINE,
      [path for path in written_by_hand() if name_of(path) != "README.md"])

if __name__ == "__main__":
    main()
