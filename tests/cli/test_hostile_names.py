# SPDX-License-Identifier: GPL-3.0-or-later
"""Names that look like commands of gnuplot or of a shell, everywhere in a leaf, in the pictures of every command."""

import json
import os

import yaml

from commandlines import LEAVES, RECORD
from harness import claim, expect, expect_equal, folder, main, run
from pictures import HOSTILE, IS_WHOLE, letters, needs_gnuplot, squeezed

# What each draws of names, and how often at the least.
DRAWN = {
    ("measure", "metric", RECORD): 1,
    ("ballast", "metric", "--add", "overlay: 3 t at [12 m, 1 m]", "--seconds", "5"): 1,
    ("spread", "uncertain", "--samples", "100", "--step", "20deg"): 3,
    ("wind", "metric"): 1,
    ("cycle", "metric", "--operation"): 2,
    ("curve", "linked"): 2,
    ("weigh", "metric"): 1,
}
# Words of the language, also where something has such a name.
WORDS = ("name", "motion", "friction", "law", "from", "units", "road", "distribution", "what")


def renamed(value, name, count):
    """The same with every name a hostile one, told apart by a number behind it."""
    if isinstance(value, dict):
        made = {}
        for key, held in value.items():
            if key == "name" or key == "leaf":
                count[0] += 1
                made[key] = f"{name} {count[0]}"
                count[1][held] = made[key]
            else:
                made[key] = renamed(held, name, count)
        return made
    if isinstance(value, list):
        return [renamed(held, name, count) for held in value]
    return value


def referring(value, names):
    if isinstance(value, dict):
        return {key: names.get(held, held) if isinstance(held, str) and key not in WORDS else referring(held, names)
                for key, held in value.items()}
    if isinstance(value, list):
        return [names.get(held, held) if isinstance(held, str) else referring(held, names) for held in value]
    return value


def hostile_leaf(stem, name):
    with open(LEAVES[stem], encoding="utf-8") as file:
        leaf = yaml.load(file, Loader=yaml.BaseLoader)
    count = [0, {}]
    made = referring(renamed(leaf, name, count), count[1])
    expect(count[0] > 3, "hardly any name was found")
    return made


def quoted(text):
    return json.dumps(text, ensure_ascii=False)


def plain(value):
    """As a YAML flow: names in quotes, quantities as they are."""
    if isinstance(value, dict):
        pairs = (f"{key}: {quoted(held) if key == 'name' else plain(held)}" for key, held in value.items())
        return "{" + ", ".join(pairs) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(plain(held) for held in value) + "]"
    return value if all(letter not in value for letter in "\"'`$@#{}[]&,:;<>%\\!|*-\n") else quoted(value)


def text_of(leaf):
    pairs = (f"{key}: {quoted(value) if key == 'leaf' else plain(value)}\n" for key, value in leaf.items())
    return "".join(pairs).encode()


def drawn_as_text(line, least, name):
    needs_gnuplot()
    leaf = hostile_leaf(line[1], name)
    with folder() as place:
        (place / "leaf.yaml").write_bytes(text_of(leaf))
        result = run(line[0], "leaf.yaml", *line[2:], "--plot", "plot.svg", cwd=place)
        expect(result.status in (0, 1), result)
        expect("gnuplot" not in result.errors, result)
        expect_equal(sorted(os.listdir(place)), ["leaf.yaml", "plot.svg"], "the name was obeyed")
        root = IS_WHOLE["svg"]((place / "plot.svg").read_bytes())
        drawn = squeezed(letters(root)).count(squeezed(name)[:20])
        expect(drawn >= least, f"drawn {drawn} times: {name}", letters(root)[:2000])


def claim_all():
    for place, (words, times) in enumerate(DRAWN.items()):
        for number, hostile in enumerate(HOSTILE):
            if (number + place) % 3 == 0 or "touch" in hostile:
                shown = " ".join(word.rsplit("/", 1)[-1] for word in words)
                claim(f"{shown}: {hostile} is drawn and not obeyed", drawn_as_text, words, times, hostile)


if __name__ == "__main__":
    claim_all()
    main()
