# SPDX-License-Identifier: GPL-3.0-or-later
"""The API pages: every public item has its words, doxygen has no complaint, and a missing word is one."""

import html
import re
import shutil
import subprocess

from harness import ROOT, claim, environment, expect, expect_equal, folder, main
from staging import VERSION, needs

PLAIN = environment(MAKEFLAGS=None, MFLAGS=None, MAKELEVEL=None)


def make_docs(pages, root=ROOT):
    return subprocess.run(
        ["make", "-s", "docs", f"DOCS={pages}"], cwd=root, env=PLAIN, capture_output=True, text=True, check=False
    )


def text_of(page):
    text = re.sub(r"<script.*?</script>", "", page.read_text(encoding="utf-8"), flags=re.DOTALL)
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", text)))


def no_warning():
    needs("doxygen")
    with folder() as place:
        done = make_docs(place / "pages")
        expect_equal((done.returncode, done.stdout + done.stderr), (0, ""))
        first = text_of(place / "pages/html/index.html")
        for words in (
            VERSION,
            "The way through the house",
            "Caution",
            "a licensed engineer decide",
            "trn_leaf_curve",
            "use_from_cpp.cpp",
        ):
            expect(words in first, f"the first page lacks: {words}", first)
        names = {
            re.sub(r"_8h\.html$", "", path.name).replace("__", "_") for path in (place / "pages/html").glob("*_8h.html")
        }
        expect_equal(names, {path.stem for path in (ROOT / "include/trunnion").glob("*.h")})


def a_gap_is_told():
    """A field without words fails the run: so the claim above says something."""
    needs("doxygen")
    with folder() as place:
        for name in ("include", "lib", "examples", ".packaging"):
            shutil.copytree(ROOT / name, place / name)
        shutil.copy(ROOT / "Makefile", place)
        header = place / "include/trunnion/balance.h"
        text = header.read_text(encoding="utf-8")
        expect("double mass_kg; /**<" in text, text)
        header.write_text(re.sub(r"(double mass_kg;) /\*\*<.*?\*/", r"\1", text), encoding="utf-8")
        done = make_docs(place / "pages", place)
        expect(done.returncode != 0 and "mass_kg" in done.stderr, done.stdout + done.stderr)


claim("make docs has no warning; the first page says the way and the caution", no_warning)
claim("make docs fails where a public item has no words", a_gap_is_told)

if __name__ == "__main__":
    main()
