# SPDX-License-Identifier: GPL-3.0-or-later
"""The report as a page: well-formed, self-contained, accessible by its structure and colours."""

import re

from harness import EXAMPLES, METRIC, ROOT, claim, claims, expect, expect_equal, main
from webpage import page_of, text_of

PAGES = {}


def page(leaf):
    """The page of an example, made once."""
    if leaf not in PAGES:
        PAGES[leaf] = page_of(leaf)
    return PAGES[leaf]


def stands_alone(leaf):
    made = page(leaf)
    for one in made.elements:
        for name, value in one.attrib.items():
            kind = name.split("}")[-1]
            expect(kind not in ("src", "srcset", "action", "data", "poster", "style", "ping"), f"{one.tag} has {name}")
            expect(kind != "href" or value.startswith("#"), f"{one.tag} leads to {value}")
            expect(not kind.startswith("on"), f"{one.tag} has {name}")
            expect("url(" not in value or value.startswith("url(#"), f"{name}={value}")
    expect("//" not in re.sub(r"// .*", "", made.text), "an address stands in the page")
    style = made.all("style")[0].text
    expect("@import" not in style and "url(" not in style, "the style sheet asks for more")
    expect_equal(made.all("link") + made.all("iframe") + made.all("img") + made.all("base"), [])


def refers_within(leaf):
    made = page(leaf)
    ids = [one.get("id") for one in made.elements if one.get("id")]
    expect_equal(sorted(ids), sorted(set(ids)), "an id stands twice")
    for one in made.elements:
        for name, value in one.attrib.items():
            if name.split("}")[-1] == "href" or value.startswith("url(#"):
                expect(re.sub(r"^(url\()?#|\)$", "", value) in ids, f"{name}={value} leads nowhere")
            if name in ("aria-labelledby", "for"):
                expect(set(value.split()) <= set(ids), f"{name}={value} leads nowhere")


def is_accessible(leaf):
    made = page(leaf)
    expect_equal(made.all("html")[0].get("lang"), "en")
    for landmark in ("header", "nav", "main", "footer", "h1"):
        expect_equal(len(made.all(landmark)), 1, landmark)
    levels = [int(one.tag[1]) for one in made.elements if re.fullmatch("h[1-6]", one.tag)]
    expect(levels[0] == 1 and all(b <= a + 1 for a, b in zip(levels, levels[1:])), f"levels of headings {levels}")
    for head in made.all("th"):
        expect(head.get("scope") in ("col", "row") and text_of(head), f"a heading without scope or words: {text_of(head)!r}")
    for table in made.all("table"):
        expect(text_of(table.find("caption")), "a table without a caption")
    for picture in made.all("svg"):
        names = [made.by_id(name) for name in picture.get("aria-labelledby").split()]
        expect(picture.get("role") == "img" and all(text_of(name) for name in names), "a picture without words")
    skip = made.all("a")[0]
    expect_equal((skip.get("class"), skip.get("href")), ("skip", "#main"))
    expect(made.by_id("slider").get("hidden") is not None, "the slider shows without the script")


for example in EXAMPLES:
    name = example.stem
    claim(f"{name}: the page is well-formed HTML and asks for nothing beyond itself", stands_alone, example)
    claim(f"{name}: every reference leads to one place in the page", refers_within, example)
    claim(f"{name}: landmarks, headings, tables and pictures have their names", is_accessible, example)


def luminance(colour):
    digits = colour.lstrip("#")
    digits = "".join(digit * 2 for digit in digits) if len(digits) == 3 else digits
    parts = [int(digits[i:i + 2], 16) / 255 for i in (0, 2, 4)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a, b):
    high, low = sorted((luminance(a), luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def palettes():
    """Of day, night and print; the last two change some of the first."""
    blocks = re.findall(r":root \{([^}]*)\}", (ROOT / "cli/report/style.css").read_text(encoding="utf-8"))
    expect_equal(len(blocks), 3)
    read = [dict(re.findall(r"--([\w]+): (#\w+);", block)) for block in blocks]
    return {"day": read[0], "night": {**read[0], **read[1]}, "print": {**read[0], **read[2]}}


def contrasts_enough(palette):
    colours = palettes()[palette]
    for ground in ("paper", "raised"):
        for ink in ("ink", "quiet", "accent", "met", "unmet", *(f"s{i}" for i in range(8))):
            seen = contrast(colours[ink], colours[ground])
            expect(seen >= 4.5, f"{ink} on {ground}: {seen:.2f}, 4.5 is asked of text")
        expect(contrast(colours["edge"], colours[ground]) >= 3, f"edge on {ground}")
    for ground in ("fill", "window"):
        expect(contrast(colours["ink"], colours[ground]) >= 3, f"ink on {ground}")


for palette_name in ("day", "night", "print"):
    claim(f"the colours of {palette_name} contrast as WCAG 2.2 AA asks", contrasts_enough, palette_name)


@claims("no two lines of a chart look alike without their colour")
def dashes():
    style = (ROOT / "cli/report/style.css").read_text(encoding="utf-8")
    dashes_of = re.findall(r"^\.s\d \{ stroke: var\(--s\d\);(.*)\}$", style, re.MULTILINE)
    expect_equal((len(dashes_of), len(set(dashes_of))), (8, 8))
    for chart in page(METRIC).all("svg"):
        classes = [one.get("class") for one in chart.iter() if (one.get("class") or "").startswith("line ")]
        expect_equal(len(classes), len(set(classes)), chart.get("id"))


main()
