# SPDX-License-Identifier: GPL-3.0-or-later
"""Names everywhere in a leaf that would run a script if they were markup: a browser shows them, and runs none."""

import functools

from browser import Browser
from harness import ROOT, Skipped, build_folder, claim, expect, expect_equal, folder, main, run
from test_hostile_names import hostile_leaf, text_of

SCRIPTS = (
    "</script><script>window.run = 1</script>", "<img src=x onerror='window.run = 1'>", "<svg onload='window.run = 1'>",
    "\" onmouseover=\"window.run = 1", "' autofocus onfocus='window.run = 1", "</style><script>window.run = 1</script>",
    "</title></svg><script>window.run = 1</script>", "<!--<script>window.run = 1", "]]><script>window.run = 1</script>",
    "<iframe srcdoc='<script>parent.run = 1</script>'>", "<base href='javascript:window.run = 1'>", "&lt;script&gt;",
    "\\u003cscript\\u003ewindow.run = 1", "{{window.run = 1}}${window.run = 1}",
)


@functools.cache
def browser():
    return Browser()


def shown_and_not_run(stem, name):
    if build_folder() != ROOT / "build":
        raise Skipped("looked at on the plain build")
    with folder() as place:
        (place / "leaf.yaml").write_bytes(text_of(hostile_leaf(stem, name)))
        result = run("report", "leaf.yaml", "-o", "page.html", cwd=place)
        expect(result.status in (0, 1), result)
        browser().complaints()
        browser().open(place / "page.html")
        seen = browser().run(
            "document.querySelectorAll('*').forEach(one => one.dispatchEvent(new Event('mouseover')));"
            "return [window.run, document.scripts.length, document.querySelectorAll('iframe, base, img').length,"
            " document.documentElement.textContent]")
        expect_equal(seen[:3], [None, 2, 0], "a name is markup")
        expect(seen[3].count(name) >= 20, f"told {seen[3].count(name)} times", seen[3][:500])
        expect_equal(browser().complaints(), [])


def main_and_close():
    try:
        main()
    finally:
        if browser.cache_info().currsize:
            browser().close()


for number, script in enumerate(SCRIPTS):
    for leaf in ("metric", "linked", "uncertain")[number % 3:][:1] if number > 3 else ("metric", "linked", "uncertain"):
        claim(f"{leaf}: {script} is shown and not run", shown_and_not_run, leaf, script)

if __name__ == "__main__":
    main_and_close()
