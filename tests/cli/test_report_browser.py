# SPDX-License-Identifier: GPL-3.0-or-later
"""The report in a browser: it loads without a complaint, the slider moves what it should, it fits phone and paper.

The bytes of a page do not depend on the build (test_report.py), so that only the plain one is looked at.
"""

import functools
import math
import re
import subprocess
import tempfile
import pathlib

from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

from browser import Browser
from harness import EXAMPLES, ROOT, Skipped, build_folder, claim, claims, expect, expect_equal, json_of, main, run
from webpage import Page

PLACE = tempfile.TemporaryDirectory(prefix="trunnion-")
WIDTHS = (320, 360, 390, 768, 1024, 1200, 1280, 1440)
# From here on the view has its table beside it, and no table is wider than the page.
DESK = 992
# Up to here rows that words head stand one below the other.
STACKED = 896
PAPERS = {"A4": (8.27, 11.69), "Letter": (8.5, 11)}


@functools.cache
def browser():
    return Browser()


@functools.cache
def file_of(leaf):
    if build_folder() != ROOT / "build":
        raise Skipped("looked at on the plain build")
    path = pathlib.Path(PLACE.name) / f"{leaf.stem}.html"
    result = run("report", leaf, "-o", path)
    expect(result.status in (0, 1), result)
    return path


def opened(leaf, **how):
    path = file_of(leaf)
    browser().open(path, **how)
    return browser()


def loads_quietly(leaf):
    for scheme in ("light", "dark"):
        seen = opened(leaf, scheme=scheme)
        expect_equal(seen.complaints(), [])
        expect(seen.run("return !document.getElementById('slider').hidden"), "the slider does not show")


def set_angle(seen, index):
    seen.run("const s = document.getElementById('angle'); s.value = arguments[0];"
             "s.dispatchEvent(new Event('input'));", index)


def matrix(seen, element):
    return seen.run("const t = document.getElementById(arguments[0]).transform.baseVal.consolidate();"
                    "return t ? [t.matrix.a, t.matrix.b, t.matrix.c, t.matrix.d, t.matrix.e, t.matrix.f] : null", element)


def moved(at, point):
    return (at[0] * point[0] + at[2] * point[1] + at[4], at[1] * point[0] + at[3] * point[1] + at[5])


def near(got, wanted, by, *about):
    expect(all(abs(a - b) <= by for a, b in zip(got, wanted, strict=True)), *about, f"got {got}", f"expected {wanted}")


def ends_of(seen, element):
    return [float(number) for number in re.findall(r"-?\d+\.?\d*", seen.run(
        "return document.getElementById(arguments[0]).getAttribute('d')", element))]


def turned(x, y, degrees):
    angle = math.radians(degrees)
    return x * math.cos(angle) - y * math.sin(angle), x * math.sin(angle) + y * math.cos(angle)


def slider_moves_leaf(leaf):
    """The toe stands at toe times cos and sin; strut, cylinder and link end where the pins are."""
    seen = opened(leaf)
    data = Page(file_of(leaf).read_text(encoding="utf-8")).data()
    side, angles = data["side"], data["series"]["angle_deg"]
    origin, scale = side["trunnion"], side["scale"]

    def place(x, y):
        return origin[0] + scale * x, origin[1] - scale * y

    for index in (0, 17, len(angles) // 2, len(angles) - 1):
        set_angle(seen, index)
        degrees = angles[index]
        toe = (20.0, 0.5)
        near(moved(matrix(seen, "leaf-turn"), place(*toe)), place(*turned(*toe, degrees)), 1e-3, "toe at", degrees)
        if "rod" in side:
            x, y, fixed_x, fixed_y = side["rod"]
            near(ends_of(seen, "rod"), (*place(fixed_x, fixed_y), *place(*turned(x, y, degrees))), 0.02, "rod", degrees)
        if "link" in side:
            x, y, pin_x, pin_y = side["link"]
            ends = ends_of(seen, "link")
            near(ends[:2], place(*turned(x, y, degrees)), 0.02, "link", degrees)
            near(ends[2:], moved(matrix(seen, "counterweight-turn"), place(pin_x, pin_y)), 0.02, "link", degrees)
            near([math.dist(ends[:2], ends[2:])], [scale * math.dist((x, y), (pin_x, pin_y))], 0.03, "length of link")


def points_of(path):
    return [(float(x), float(y)) for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", path)]


def markers_on_curves(leaf):
    """Each marker lies on its line as it is drawn, at the angle of the slider."""
    seen = opened(leaf)
    data = Page(file_of(leaf).read_text(encoding="utf-8")).data()
    angles = data["series"]["angle_deg"]
    for index in (3, len(angles) // 2, len(angles) - 1):
        set_angle(seen, index)
        found = seen.run("""
            return [...document.querySelectorAll("svg.chart .marker")].map((one) => {
              const svg = one.closest("svg");
              return [svg.id, one.style.display,
                      [...svg.querySelectorAll("path.line")].map((line) => line.getAttribute("d")),
                      [...one.querySelectorAll("circle")].map((dot) =>
                        dot.style.display === "none" ? null : [dot.getAttribute("cx"), dot.getAttribute("cy")])];
            });""")
        expect_equal([one[0] for one in found], [chart["id"] for chart in data["charts"]])
        count = 0
        for chart, (name, display, lines, dots) in zip(data["charts"], found, strict=True):
            if display == "none":
                expect(chart["axis"] != "angle", name, "has no marker")
                continue
            expect_equal(len(lines), len(dots), name)
            for line, dot in zip(lines, dots, strict=True):
                if dot is None:
                    continue
                x, y = float(dot[0]), float(dot[1])
                if chart["axis"] == "angle":
                    low, high, start, end = chart["x"]
                    near([x], [start + (angles[index] - low) / (high - low) * (end - start)], 0.01, name)
                points = points_of(line)
                on = [a for a, b in zip(points, points[1:])
                      if a[0] - 0.02 <= x <= b[0] + 0.02 and near_segment(a, b, (x, y))]
                expect(on, name, f"the marker at {x}, {y} is off its line")
                count += 1
        expect(count >= 5, f"only {count} markers")


def near_segment(a, b, point):
    length = math.dist(a, b)
    if length < 1e-9:
        return math.dist(a, point) < 0.1
    share = min(max(((point[0] - a[0]) * (b[0] - a[0]) + (point[1] - a[1]) * (b[1] - a[1])) / length**2, 0), 1)
    return math.dist((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])), point) < 0.1


def fits(leaf):
    seen = opened(leaf)
    for width in WIDTHS:
        seen.resize(width)
        seen.settle()
        inner = seen.run("return [document.documentElement.scrollWidth, window.innerWidth]")
        expect(inner[0] <= inner[1], f"at {width} px the page is {inner[0]} px wide")
        lost = seen.run("""
            return [...document.querySelectorAll("main *, header *, nav *")].filter((one) => {
              const box = one.getBoundingClientRect();
              return box.right > window.innerWidth + 1 && !one.closest(".table") && !one.closest("svg");
            }).map((one) => one.outerHTML.slice(0, 80));""")
        expect_equal(lost, [], f"at {width} px")
        stuck = seen.run("""
            return [...document.querySelectorAll(".table")].filter((one) =>
              one.scrollWidth > one.clientWidth && one.tabIndex !== 0).length;""")
        expect_equal(stuck, 0, "wide tables that the keyboard does not reach")
        wide = seen.run("""
            return [...document.querySelectorAll(".table")].filter((one) => one.scrollWidth > one.clientWidth &&
              (arguments[0] || one.classList.contains("stack"))).map((one) => one.innerText.slice(0, 60));""",
                        width >= DESK)
        expect_equal(wide, [], f"tables that are cut at {width} px")


def stacks(leaf):
    """On a narrow screen each cell has its heading beside it and still its place in a table; on a wide one, columns."""
    page = Page(file_of(leaf).read_text(encoding="utf-8"))
    for table in page.all("table"):
        heads = [" ".join(("".join(one.itertext())).split()) for one in table.findall("thead/tr/th")]
        for row in table.findall("tbody/tr"):
            told = [cell.get("data-head") for cell in row.findall("td")]
            if any(told):
                expect_equal([words.replace(",", "") for words in told], [words.replace(",", "") for words in heads[1:]])
    seen = opened(leaf)
    for width, shown in ((360, True), (STACKED, True), (STACKED + 1, False)):
        seen.resize(width)
        seen.settle()
        cells = seen.run("""
            return [...document.querySelectorAll(".stack td")].filter((one) => one.innerText.trim()).map((one) =>
              getComputedStyle(one, "::before").content);""")
        expect(len(cells) > 20 and all((words not in ("none", '""')) == shown for words in cells), width, cells[:5])
        nodes = seen.ask("Accessibility.getFullAXTree")["nodes"]
        roles = [node["role"]["value"] for node in nodes if "role" in node and not node.get("ignored")]
        cells = seen.run("return document.querySelectorAll('td:not(:empty)').length")
        tables = seen.run("return [...document.querySelectorAll('table')].filter((one) => one.getClientRects().length).length")
        expect(roles.count("cell") >= cells and roles.count("table") == tables, f"a table is none to a reader at {width} px")


def spaced(leaf):
    """Text spaced as WCAG 1.4.12 asks is not cut and pushes nothing off the page."""
    for width in (320, 1280):
        seen = opened(leaf, width=width)
        seen.run("""
            const sheet = document.createElement("style");
            sheet.textContent = "* { line-height: 1.5 !important; letter-spacing: 0.12em !important;" +
              "word-spacing: 0.16em !important } p { margin-bottom: 2em !important }";
            document.head.append(sheet);""")
        cut = seen.run("""
            const hides = (one, axis) =>
              getComputedStyle(one)["overflow" + axis] !== "visible" && !one.matches(".table");
            return [...document.querySelectorAll("body *")].filter((one) => !one.closest("svg, thead") &&
              ((hides(one, "X") && one.scrollWidth > one.clientWidth + 1) ||
               (hides(one, "Y") && one.scrollHeight > one.clientHeight + 1))).map((one) =>
                 one.outerHTML.slice(0, 80));""")
        expect_equal(cut, [], f"at {width} px")
        inner = seen.run("return [document.documentElement.scrollWidth, window.innerWidth]")
        expect(inner[0] <= inner[1], f"at {width} px the page is {inner[0]} px wide")


def contrasts(leaf):
    """Every text on what lies behind it, as it is computed."""
    for scheme in ("light", "dark"):
        seen = opened(leaf, scheme=scheme)
        poor = seen.run("""
            const channel = (c) => (c /= 255) <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
            const parse = (text) => text.match(/[\\d.]+/g).map(Number);
            const light = (c) => 0.2126 * channel(c[0]) + 0.7152 * channel(c[1]) + 0.0722 * channel(c[2]);
            const behind = (one) => {
              for (; one; one = one.parentElement) {
                const c = parse(getComputedStyle(one).backgroundColor);
                if (c.length === 3 || c[3] === 1) return c;
              }
              return [255, 255, 255];
            };
            const poor = [];
            const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
            while (walker.nextNode()) {
              const one = walker.currentNode.parentElement;
              if (!walker.currentNode.data.trim() || !one.getClientRects().length || one.closest("script")) continue;
              const style = getComputedStyle(one);
              const ink = parse(one.closest("svg") ? style.fill : style.color);
              const a = light(ink), b = light(behind(one));
              const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
              if (ratio < 4.5) poor.push(walker.currentNode.data.trim() + ": " + ratio.toFixed(2));
            }
            return poor.slice(0, 10);""")
        expect_equal(poor, [], scheme)


for example in EXAMPLES:
    name = example.stem
    claim(f"{name}: loads by day and by night without a complaint in the console", loads_quietly, example)
    claim(f"{name}: the slider turns the leaf by its angle, with strut, cylinders and link", slider_moves_leaf, example)
    claim(f"{name}: markers lie on the drawn lines at the angle", markers_on_curves, example)
    claim(f"{name}: only tables of numbers scroll sideways from 320 px on, and nothing at a desk", fits, example)
    claim(f"{name}: rows stand one below the other on a narrow screen, cells beside their headings", stacks, example)
    claim(f"{name}: text with wider spacing is not cut", spaced, example)
    claim(f"{name}: every text contrasts with what lies behind it", contrasts, example)

METRIC = ROOT / "examples/metric.yaml"


@claims("the keyboard moves the slider; the angle is told in words, politely, and the values are those of 'curve'")
def keyboard():
    seen = opened(METRIC)
    slider = seen.driver.find_element(By.ID, "angle")
    slider.send_keys(Keys.ARROW_RIGHT * 3)
    expect_equal(slider.get_attribute("value"), "3")
    expect_equal(slider.get_attribute("aria-valuetext"), "3°")
    words = seen.driver.find_element(By.ID, "angle-words")
    rows = json_of("curve", METRIC)["cases"]
    expect_equal(words.text.replace("\u00a0", " "), f"3°: balance moment {rows[0]['rows'][3]['balance_Nm'] / 1e3:.2f} kN m")
    expect_equal((words.tag_name, words.get_attribute("aria-live")), ("output", "polite"))
    slider.send_keys(Keys.END)
    expect_equal(slider.get_attribute("aria-valuetext"), "76°")
    cells = [[cell.text for cell in row.find_elements(By.CSS_SELECTOR, "th, td")]
             for row in seen.driver.find_elements(By.CSS_SELECTOR, "#readouts tbody tr")]
    wanted = [[case["name"], *(f"{case['rows'][-1][key] / unit:.2f}".replace("-", "−")
                               for key, unit in (("opening_Nm", 1e3), ("closing_Nm", 1e3), ("motor_opening_Nm", 1),
                                                 ("motor_closing_Nm", 1)))] for case in rows]
    expect_equal(cells, wanted)


@claims("the way of the keyboard: first the skip link, each stop shows where it is, none is hidden")
def focus_shows():
    for width in (390, 1280):
        walk_by_keyboard(opened(METRIC, width=width, motion="reduce"), 30)


def walk_by_keyboard(seen, stops):
    body = seen.driver.find_element(By.TAG_NAME, "body")
    for stop in range(stops):
        body.send_keys(Keys.TAB) if stop == 0 else seen.driver.switch_to.active_element.send_keys(Keys.TAB)
        found = seen.run("""
            const one = document.activeElement, style = getComputedStyle(one), box = one.getBoundingClientRect();
            const bar = document.getElementById("slider"), above = bar.getBoundingClientRect().top;
            const clear = one.closest("#slider") || one.className === "table" || box.bottom <= above + 1;
            return [one.className, style.outlineStyle, parseFloat(style.outlineWidth),
                    box.bottom > 0 && box.top < window.innerHeight && clear, one.outerHTML.slice(0, 90)];""")
        expect(found[1] != "none" and found[2] >= 2, "a stop that does not show", found)
        expect(found[3], "a stop out of sight", found)
        expect(stop > 0 or found[0] == "skip", "the first stop is not the skip link", found)


@claims("targets are at least 24 px in height, or a circle of that width around them meets no other's")
def targets():
    for width in (320, 390, 1280):
        seen = opened(METRIC, width=width)
        small = seen.run("""
            return [...document.querySelectorAll("nav a, input")].filter((one) =>
              one.getBoundingClientRect().height < 24).map((one) => one.outerHTML);""")
        expect_equal(small, [])
        near = seen.run("""
            const boxes = [...document.querySelectorAll("main a")].map((one) => one.getClientRects()[0]);
            const middle = (box) => [box.left + box.width / 2, box.top + box.height / 2];
            const gap = (at, box) => Math.hypot(Math.max(box.left - at[0], 0, at[0] - box.right),
                                                Math.max(box.top - at[1], 0, at[1] - box.bottom));
            return boxes.flatMap((one, i) => boxes.filter((other, k) => i !== k && (gap(middle(one), other) < 12 ||
              Math.hypot(middle(one)[0] - middle(other)[0], middle(one)[1] - middle(other)[1]) < 24)).map(() => i));""")
        expect_equal(near, [], width)


@claims("the columns of the table of values keep their width while the slider moves")
def steady_columns():
    seen = opened(METRIC, width=1280)
    widths = set()
    for index in range(0, 77, 4):
        set_angle(seen, index)
        widths.add(tuple(seen.run("""
            return [...document.querySelectorAll("#readouts thead th")].map((one) =>
              one.getBoundingClientRect().width);""")))
    expect_equal(len(widths), 1)


@claims("without scripts the page says everything and shows no slider")
def no_scripts():
    seen = opened(METRIC, scripts=False)
    root = seen.ask("DOM.getDocument", depth=-1)["root"]["nodeId"]
    for wanted, there in (("#slider", False), ("#readouts", False), ("#side-view", True), ("#curves table", True)):
        node = seen.ask("DOM.querySelector", nodeId=root, selector=wanted)["nodeId"]
        try:
            seen.ask("DOM.getBoxModel", nodeId=node)
            shows = True
        except Exception:  # an element that is not laid out has no box: the protocol says so by an error
            shows = False
        expect_equal(shows, there, wanted)
    seen.ask("Emulation.setScriptExecutionDisabled", value=False)


@claims("who asks for less motion gets no gliding")
def less_motion():
    for motion, wanted in (("reduce", "auto"), ("no-preference", "smooth")):
        seen = opened(METRIC, motion=motion)
        expect_equal(seen.run("return getComputedStyle(document.documentElement).scrollBehavior"), wanted)


def pages_of(pdf, *options):
    with tempfile.NamedTemporaryFile(suffix=".pdf") as file:
        file.write(pdf)
        file.flush()
        done = subprocess.run(["pdftotext", *options, file.name, "-"], capture_output=True, check=True)
    return done.stdout.decode()


def row_pattern(cells):
    return r"(?<![\d.])" + r"\s+".join(re.escape(cell) for cell in cells) + r"(?![\d.])"


def prints(leaf, paper):
    """No row of numbers is cut; a table that goes on over a page repeats its heading; nothing leaves the paper."""
    width, height = PAPERS[paper]
    pdf = opened(leaf).print(width, height)
    pages = [re.sub("\u00a0", " ", page) for page in pages_of(pdf, "-layout").split("\f")]
    tables = Page(file_of(leaf).read_text(encoding="utf-8")).tables()
    rows = 0
    for caption, table in tables.items():
        if not caption.startswith(("Moments, case", "Drive and bearings", "Highest wind, angle")):
            continue
        for cells in table.rows:
            on = [page for page in pages if re.search(row_pattern(cells), page)]
            expect(on, f"{paper}: a row is cut or lost", caption, cells)
            expect(any("Angle" in page for page in on), f"{paper}: a heading is not repeated", caption)
            rows += 1
    expect(rows > 30, f"only {rows} rows were looked for")
    boxes = pages_of(pdf, "-bbox")
    right = max(float(x) for x in re.findall(r'xMax="([\d.]+)"', boxes))
    expect(right <= width * 72 - 20, f"{paper}: a word reaches {right} of {width * 72}")
    expect("Opening angle" not in pages[0] or "Values at the angle" not in "".join(pages), "the slider is printed")


def breaks_well(leaf):
    """By the layout of print itself: rows, figures and notes ask not to be cut, headings stay with what follows."""
    seen = opened(leaf)
    seen.ask("Emulation.setEmulatedMedia", media="print")
    wrong = seen.run("""
        const asks = (css, key, value) => [...document.querySelectorAll(css)].filter((one) =>
          getComputedStyle(one)[key] !== value).length;
        return [asks("tr", "breakInside", "avoid"), asks("figure", "breakInside", "avoid"),
                asks(".note", "breakInside", "avoid"), asks("h2, h3", "breakAfter", "avoid"),
                asks("h2 + p, h3 + p, h2 + .note, h3 + .note", "breakAfter", "avoid"),
                asks("h2 + p, h3 + p, h2 + .note, h3 + .note", "breakInside", "avoid"),
                asks("thead", "display", "table-header-group"), asks("#slider, .skip, nav", "display", "none")];""")
    seen.ask("Emulation.setEmulatedMedia", media="")
    expect_equal(wrong, [0] * 8)


def charts_are_wide(leaf):
    """In print a chart takes most of the paper's width, so that it can be read at arm's length."""
    seen = opened(leaf, width=718, height=1000)
    seen.ask("Emulation.setEmulatedMedia", media="print")
    shares = seen.run("""
        return [...document.querySelectorAll("svg.chart")].map((one) => one.getBoundingClientRect().width / innerWidth);""")
    seen.ask("Emulation.setEmulatedMedia", media="")
    expect(len(shares) > 10 and min(shares) > 0.7, shares)


for example in EXAMPLES:
    for paper_name in PAPERS:
        claim(f"{example.stem}: prints on {paper_name} with whole rows within the paper", prints, example, paper_name)
claim("in print a chart is as wide as most of the paper", charts_are_wide, METRIC)
claim("rows, figures and headings ask print not to cut them", breaks_well, METRIC)


if __name__ == "__main__":
    try:
        main()
    finally:
        if browser.cache_info().currsize:
            browser().close()
        PLACE.cleanup()
