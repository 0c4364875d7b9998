# SPDX-License-Identifier: GPL-3.0-or-later
"""Names in the report that look like HTML, script, style or JSON: each stays the text that it is."""

import json

from harness import METRIC, claim, claims, expect, expect_equal, leaf_text, main
from webpage import page_of, text_of

HOSTILE = [
    "</script><script>alert(1)</script>", "\"><img src=x onerror=alert(1)>", "</style><style>*{display:none}", "<!--",
    "<svg onload=alert(1)>", "</bdi></title></table>", "' onclick='alert(1)", "&lt;b&gt; &amp; &#60;", "]]>", "%s%n {} \\u003c",
    "\u05e9\u05dc\u05d5\u05dd <i>", "é \U0001F600", "x" * 200, "url(javascript:alert(1))", "_{a}^{b}",
    "</script x", "<!--<script>",
]

HOSTILE_SECTIONS = """\
pockets: [{{name: {0}, at: [-5 m, 0 m], block: 40 kg, blocks: 4, room: 9}}]
surfaces: [{{name: {0}, from: [0 m, 0 m], to: [20 m, 0 m], width: 8 m}}]
drive: {{ratio: 1000, efficiency: 0.9}}
motors: {{installed: 2, power: 90 kW, speed: 900 rpm}}
brakes: [{{name: {0}, count: 2, torque: 2 kN m, ratio: 1000, delay: 0.3 s, set_time: 0.5 s}}]
travel: {{speed: 1 deg/s, accelerate_in: 8 s, creep: 15 %, near_open: 70 degree, near_closed: 9 degree, decelerate_in: 6 s}}
cases: [{{name: {0}, wind: {{pressure: 50 Pa}}}}]
holding: [{{name: {0}, wind: {{pressure: 90 Pa}}}}]
wind_limits: {{coefficient: 1.2}}
balance_target: {{toe_reaction: [0 kN, 90 kN], angle: [0 degree, 50 degree]}}
duty: {{openings_per_hour: 1, hold_open: 6 min}}
"""


def named(name):
    said = json.dumps(name, ensure_ascii=False)  # a YAML scalar in double quotes
    return leaf_text(name=said, part=said, sections=HOSTILE_SECTIONS.format(said))


def stays_text(name):
    plain, made = page_of("-", stdin=named("plain")), page_of("-", stdin=named(name))
    expect_equal(made.tags(), plain.tags(), "the name makes elements")
    expect_equal([one.attrib.keys() for one in made.elements], [one.attrib.keys() for one in plain.elements])
    whole = "".join(made.all("h1")[0].itertext())
    expect_equal(whole, name)
    for kind in ("pocket", "surface", "part"):
        titles = ["".join(one.itertext()) for one in made.all("title")]
        expect(titles.count(name) >= 3, f"the names of {kind} are not told as they are")
    expect(any(readout["case"] == name for readout in made.data()["readouts"]), "the data tell another name")
    stands_alone_text(made)


def stands_alone_text(made):
    for one in made.elements:
        expect(not any(key.split("}")[-1].startswith("on") for key in one.attrib), f"{one.tag} has a handler")
    expect_equal(len(made.all("script")), 2)


for hostile in HOSTILE:
    claim(f"a name {hostile[:40]!r} stays a name", stays_text, hostile)


@claims("an addition that looks like HTML stays text")
def addition_stays_text():
    made = page_of(METRIC, "--add", "<b>x</b>: 5 kg at [1 m, 1 m]", "--add", "y\u05d0</div>: 5 kg at [1 m, 1 m]")
    expect("<b>x</b>: 5 kg at [1 m, 1 m]" in [text_of(one) for one in made.all("bdi")], "the addition is not told")
    expect_equal(made.all("b"), [])


main()
