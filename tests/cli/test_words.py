# SPDX-License-Identifier: GPL-3.0-or-later
"""What people read: spelled as in British English or a list of the trade's words, and every link leads somewhere."""

import html
import re
import shutil
import subprocess

from harness import ROOT, Skipped, claim, environment, expect, expect_equal, main

LIST = ROOT / "tests" / "cli" / "words.txt"
MANUAL = ROOT / "cli" / "trunnion.1"
PAGES = sorted(
    [ROOT / "README.md", ROOT / "DEVELOPERS.md", ROOT / "tests" / "README.md", *(ROOT / "examples").rglob("*.md")]
)
FENCE = re.compile(r"^```.*?^```$", re.DOTALL | re.MULTILINE)
CODE = re.compile(r"`[^`\n]*(?:\n[^`\n]*)?`")
NAMED = re.compile(r"`((?:cli|examples|include|lib|tests|\.ci|\.packaging)/[\w./-]+\.\w+)`")
LINK = re.compile(r"!?\[([^]]*)\]\(([^)\s]+)\)")


def needs(program):
    if shutil.which(program) is None:
        raise Skipped(f"no {program}")


def listed():
    return set(LIST.read_text(encoding="utf-8").split("\n")[1:]) - {""}


def prose(text):
    """A page without what is no prose: blocks, code, remarks, the targets of links, indented commands."""
    text = FENCE.sub("", re.sub(r"<!--.*?-->", "", text, flags=re.DOTALL))
    text = "\n".join(line for line in text.split("\n") if not line.startswith("    "))
    return re.sub(r"\b[\w-]+\.(yaml|csv|md)\b", "", html.unescape(LINK.sub(r"\1", CODE.sub("", text))))


def manual():
    """The manual as it is read, without the words that it marks as literal: options, commands, file names."""
    text = MANUAL.read_text(encoding="utf-8")
    text = re.sub(r"(?ms)^\.Bd.*?^\.Ed$", "", text)
    kept = [line for line in text.split("\n") if not re.match(r'\.(\\"|Dl|Dt|Dd|Sq|Ar|Fl|Nm|Xr|It|Bl|El|Op|Cm)', line)]
    return "\n".join(re.sub(r"^\.\w\w ", "", line) for line in kept)


def unknown(text):
    """The words that the dictionary does not have."""
    needs("aspell")
    command = ["aspell", "--lang=en_GB", "--encoding=utf-8", "--ignore=1", "list"]
    variables = environment(LC_ALL="C.UTF-8")
    done = subprocess.run(command, input=text.encode(), env=variables, capture_output=True, check=False)
    expect_equal((done.returncode, done.stderr), (0, b""))
    return set(done.stdout.decode().split())


def misspelt(text):
    return unknown(text) - listed()


def all_prose():
    pages = {page.relative_to(ROOT): prose(page.read_text(encoding="utf-8")) for page in PAGES}
    return {**pages, "trunnion.1": manual()}


def every_word_is_known():
    found = [f"{name}: {word}" for name, text in all_prose().items() for word in sorted(misspelt(text))]
    expect(not found, "aspell does not know these; mend them or put them into tests/cli/words.txt", *found)


def a_wrong_word_is_told():
    """In each page and in the manual: so the claim above reads them."""
    for name, text in all_prose().items():
        long = max((word for word in re.findall(r"(?<![\w'])[a-z]{6,}(?![\w'])", text)), key=len)
        wrong = long[:3] + "qz" + long[3:]
        expect(wrong in misspelt(re.sub(rf"\b{long}\b", wrong, text)), f"{name}: {wrong} is not told")


def list_is_needed():
    """No word is on the list that is in the dictionary, or that nobody uses; and it is in order."""
    words = LIST.read_text(encoding="utf-8").split("\n")[1:-1]
    expect_equal(words, sorted(set(words)))
    text = "\n".join(all_prose().values())
    unused = [word for word in words if not re.search(rf"(?<!\w){re.escape(word)}(?!\w)", text)]
    expect(not unused, "on the list, and in no page:", *unused)
    known = set(words) - unknown("\n".join(words))
    expect(not known, "on the list, and in the dictionary:", *sorted(known))


def anchors(path):
    """The anchors of a page's headings, as hosts of Markdown make them."""
    text = FENCE.sub("", path.read_text(encoding="utf-8"))
    heads = re.findall(r"(?m)^#+ (.*)$", text)
    return {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in heads}


def faulty_links(path, text):
    found = []
    for _, link in LINK.findall(FENCE.sub("", text)):
        target, _, anchor = link.partition("#")
        if re.match(r"[a-z]+:", target):
            continue
        place = (path.parent / target).resolve() if target else path
        if not place.exists() or ROOT not in place.parents:
            found.append(f"{path.relative_to(ROOT)}: {link} leads nowhere")
        elif anchor and anchor not in anchors(place):
            found.append(f"{path.relative_to(ROOT)}: {link}: no such heading")
    return found


def links_lead_somewhere():
    found = [fault for page in PAGES for fault in faulty_links(page, page.read_text(encoding="utf-8"))]
    expect(not found, *found)


def a_bad_link_is_told():
    page = ROOT / "README.md"
    expect_equal(len(faulty_links(page, "[a](examples/none.md) [b](README.md#no-such) [c](#signs) ![d](../x.svg)")), 3)


def files_named_are_there():
    """Paths in code: README and the others name files of the repository as they are."""
    for page in PAGES:
        text = FENCE.sub("", page.read_text(encoding="utf-8"))
        for name in NAMED.findall(text.replace("NAME", "*")):
            there = (ROOT / name).exists() or (page.parent / name).exists()
            expect(there, f"{page.relative_to(ROOT)} names {name}, which is not there")


def pages_can_be_found():
    """From the README by links, every page of examples/ can be reached."""
    seen, ahead = set(), [ROOT / "README.md"]
    while ahead:
        page = ahead.pop()
        seen.add(page)
        for _, link in LINK.findall(FENCE.sub("", page.read_text(encoding="utf-8"))):
            target = (page.parent / link.partition("#")[0]).resolve()
            if target.suffix == ".md" and target.is_file() and target not in seen:
                ahead.append(target)
    lost = [page for page in PAGES if ROOT / "examples" in page.parents and page not in seen]
    expect(not lost, "no way leads from the README to:", *lost)


claim("every word of the pages and the manual is spelled as the dictionary or the list has it", every_word_is_known)
claim("a wrong word is told, in each page", a_wrong_word_is_told)
claim("the list of words is in order, without what is in the dictionary or used nowhere", list_is_needed)
claim("every link leads to a file of the repository, and to a heading that is there", links_lead_somewhere)
claim("a link that leads nowhere is told", a_bad_link_is_told)
claim("the files that the pages name are there", files_named_are_there)
claim("every page of examples can be reached from the README", pages_can_be_found)

if __name__ == "__main__":
    main()
