# SPDX-License-Identifier: GPL-3.0-or-later
"""Every picture of every command: no text lies on another or is cut, in the fonts in which it is drawn."""

import itertools
import re
import subprocess

from harness import METRIC, ROOT, WRAP, Skipped, claim, claims, environment, expect, folder, main, run
from pictures import apart, is_svg, needs_gnuplot

US = ROOT / "examples" / "us.yaml"
UNCERTAIN = ROOT / "examples" / "uncertain.yaml"
CYLINDER = ROOT / "examples" / "cylinder.yaml"
RECORDS = ROOT / "examples" / "records"
PLOTS = {
    "weigh": ("weigh",), "curve": ("curve",), "explain": ("explain", "--at", "40deg"), "drive": ("drive",),
    "brake": ("brake",), "wind": ("wind",), "cycle": ("cycle",), "ballast": ("ballast",),
    "sweep": ("cycle", "--sweep", "--fault", "emergency stop"), "switches": ("cycle", "--switches"),
    "operation": ("cycle", "--operation"), "spread": ("spread", "--samples", "2000", "--step", "20deg"),
}
EVERYWHERE = sorted(set(PLOTS) - {"ballast", "operation", "spread", "brake", "wind"})
ADDITIONS = [word for i in range(9)
             for word in ("--add", f"thing {i} that was laid upon the deck last: {9 + i} kg at [{i} m, 1 m]")]
WORD = re.compile(r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</word>')


def named_long(text, wide):
    """The metric example under names that are longer than any picture has room for."""
    long = "WMW@ " * 12 if wide else "of the long winter afternoon with rain and with wind "
    text = text.replace("Quillmarsh Basin, west leaf", f"Quillmarsh {long * 2}".strip())
    for name in ("calm", "starting", "working wind", "storm", "deck plates", "counterweight"):
        text = re.sub(rf"name: {name}(?=[,}}\n])", f"name: \"{name} {long.strip()}\"", text)
    return text


def picture(kind, plot, leaf, *more):
    needs_gnuplot()
    if WRAP:
        raise Skipped("what is drawn does not hang on the wrapper")
    with folder() as place:
        source, data = (leaf, None) if not isinstance(leaf, bytes) else ("-", leaf)
        words = (plot[0], source, *plot[1:]) if plot[0] != "measure" else ("measure", source, *plot[1:])
        result = run(*words, *more, "--plot", f"plot.{kind}", stdin=data, cwd=place)
        expect(result.status in (0, 1) and (place / f"plot.{kind}").exists(), result)
        return (place / f"plot.{kind}").read_bytes()


def words_of_page(pdf):
    """Width and height, and each word with its box, as the PDF places them."""
    with folder() as place:
        (place / "plot.pdf").write_bytes(pdf)
        done = subprocess.run(["pdftotext", "-bbox", "plot.pdf", "-"], cwd=place, capture_output=True, check=True)
    text = done.stdout.decode()
    size = re.search(r'<page width="([\d.]+)" height="([\d.]+)"', text)
    return float(size[1]), float(size[2]), [(m[5], *map(float, m.groups()[:4])) for m in WORD.finditer(text)]


def inked(word):
    """The box without the room that a font keeps above and below its letters; an upright word has it left and right."""
    name, left, top, right, bottom = word
    if right - left < 0.8 * (bottom - top) and len(name) > 1:
        room = 0.2 * (right - left)
        return left + room, top, right - room, bottom
    room = 0.2 * (bottom - top)
    return left, top + room, right, bottom - room


def has_room(plot, leaf, *more):
    width, height, words = words_of_page(picture("pdf", plot, leaf, *more))
    expect(len(words) > 20, "there is hardly any text", words)
    for word in words:
        inside = word[1] >= 0.5 and word[2] >= 0 and word[3] <= width - 0.5 and word[4] <= height
        expect(inside, f"'{word[0]}' is cut", word, (width, height))
    for one, other in itertools.combinations(words, 2):
        a, b = inked(one), inked(other)
        lies = min(a[2], b[2]) - max(a[0], b[0]) > 0.3 and min(a[3], b[3]) - max(a[1], b[1]) > 0.3
        expect(not lies, f"'{one[0]}' lies on '{other[0]}'", one, other)


def svg_has_room(plot, leaf):
    apart(is_svg(picture("svg", plot, leaf)))


TEXT = METRIC.read_text(encoding="utf-8")
for name in PLOTS:
    example = UNCERTAIN if name == "spread" else US
    claim(f"{name}: no text of the picture lies on another or is cut", has_room, PLOTS[name], METRIC)
    claim(f"{name}: nor in another leaf's", has_room, PLOTS[name], example)
    claim(f"{name}: nor in the SVG", svg_has_room, PLOTS[name], METRIC)
    for wide in (False, True):
        claim(f"{name}: nor under long names{' of wide letters' if wide else ''}", has_room, PLOTS[name],
              named_long(TEXT, wide).encode())
    claim(f"{name}: nor with nine additions", has_room, PLOTS[name], METRIC, *ADDITIONS)
for name in EVERYWHERE:
    claim(f"{name}: nor of a cylinder", has_room, PLOTS[name], CYLINDER)
for stem in ("metric", "us"):
    plot_of_test = ("measure", RECORDS / f"{stem}.csv")
    claim(f"measure, {stem}: no text of the picture lies on another or is cut", has_room, plot_of_test,
          ROOT / "examples" / f"{stem}.yaml")
    claim(f"measure, {stem}: nor in the SVG", svg_has_room, plot_of_test, ROOT / "examples" / f"{stem}.yaml")


@claims("a card without a limit says what its dashes mean, and has room for it")
def card_of_dashes():
    strong = TEXT.replace("power: 45 kW", "power: 9000 kW")
    strong = re.sub(r"torque: (\d+) N m", lambda m: f"torque: {m[1]}000 N m", strong).encode()
    _, _, words = words_of_page(picture("pdf", PLOTS["wind"], strong))
    text = " ".join(word[0] for word in words)
    expect("A dash: 100 m/s does not stop it." in text, text)
    has_room(PLOTS["wind"], strong)
    _, _, words = words_of_page(picture("pdf", PLOTS["wind"], METRIC))
    expect("dash" not in " ".join(word[0] for word in words), words)


@claims("a card that says how far the motors' law is enough has room for it")
def card_of_law():
    strut = ROOT / "examples" / "strut.yaml"
    _, _, words = words_of_page(picture("pdf", PLOTS["wind"], strut))
    text = " ".join(word[0] for word in words)
    expect("What the motors give is enough only up to: to raise: " in text, text)
    expect("to raise, one motor out: " in text, text)
    has_room(PLOTS["wind"], strut)


main()
