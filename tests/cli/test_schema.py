# SPDX-License-Identifier: GPL-3.0-or-later
"""The JSON Schema of the leaf file, held against the reader's tables and against leaf files, sound and faulty."""

import functools
import json
import pathlib
import re
import subprocess

import jsonschema

from harness import (
    EXAMPLES,
    ROOT,
    WRAP,
    build_folder,
    claim,
    environment,
    expect,
    expect_equal,
    expect_refused,
    folder,
    main,
    read_json,
    run,
    run_well,
)
from schemas import FOLDER, NAMES, accepts, faults, leaf_in_json, resolved, schema, told_by_tool, validator

HERE = pathlib.Path(__file__).resolve().parent
SOUND = sorted((HERE / "valid").glob("*.yaml"))
FAULTY = sorted((HERE / "invalid").glob("*.yaml"))

# SI units that quantities of each kind are written with here.
UNITS = {
    "length": "m",
    "angle": "rad",
    "angular_speed": "rad/s",
    "weight": "N",
    "weight_per_length": "N/m",
    "weight_per_area": "N/m2",
    "unit_weight": "N/m3",
    "force": "N",
    "stiffness": "N/m",
    "damping": "N s/m",
    "pressure": "Pa",
    "speed": "m/s",
    "density": "kg/m3",
    "torque": "N m",
    "power": "W",
    "time": "s",
    "inertia": "kg m2",
    "heat_capacity": "J/K",
}

# What a schema cannot see, by the words of the reader's message.
UNSEEN = {
    "a pattern knows no units: dimension, spelling, brackets": (
        r"(?<!a )unit\b",
        r"expected an? [a-z ]+ such as",
        r"expected a unit weight|unit of energy",
        r"expected an? (?:time|angle|length|force|pressure|speed|angular speed|density|weight|torque|power)\b",
        r"wrong dimension|rotational inertia|did you mean \"kN m\"",
        r"no place in a unit|bracket|breaks off|cannot be read|logarithmic|origin of its own",
    ),
    "a pattern knows no size of a quantity, and a text no bounds of a share": (
        r"out of range|too long|from 0 to 1$|degree$|-100 % or more",
        r"at most (?:1|120 degree)$",
    ),
    "a schema holds no value against another": (
        r"less than|more than|expected at most|not over the rated|fills the bore|leaves no shaft",
        r"deviations reach|distribution reaches|one end is in|lies outside|expected one of the two",
        r"differs from case to case|expected low, then high",
        r"below near_open|above the near|beyond|ascending|low below high|product of the stages",
    ),
    "names that must differ, or that must be there": (r"used before|something that is described",),
    "geometry": (
        r"some length|without length|same point|is the trunnion",
        r"not simple|outline|overlaps|wider|leave nothing",
    ),
    "steps in their order": (r"needs:|ends:|motion: the leaf|road: the road",),
    "YAML keeps one of two values of a key, and a schema sees the value of a tag alone": (r"given twice|tag",),
}


def speaks_of(reason, told):
    return any(re.search(pattern, told, re.MULTILINE) for pattern in UNSEEN[reason])


def no_json(data):
    """Whether a text is no YAML that JSON can say: an editor tells that without a schema."""
    try:
        json.dumps(leaf_in_json(data), allow_nan=False)
    except Exception:  # of YAML, of UTF-8, of numbers that JSON lacks: any of them
        return True
    return False


@functools.lru_cache(maxsize=None)
def tables():
    done = subprocess.run(
        [*WRAP, str(build_folder() / "tests" / "leaf_tables")], env=environment(), capture_output=True, check=True
    )
    return read_json(done.stdout.decode())


def forms(fields, piece, where="leaf file"):
    """Every form of the tables, beside its piece of the schema and its place."""
    piece = resolved("leaf", piece)
    yield where, fields, piece
    for key, field in fields.items():
        below = piece.get("properties", {}).get(key, {})
        while field["reader"] == "list":
            field, below = field["item"], resolved("leaf", below).get("items", {})
        if field["reader"] == "uncertainty":  # one number, or a mapping
            below = below["anyOf"][-1]
        if "form" in field:
            yield from forms(field["form"], below, f"{where}, {key}")


def keys(kind=None):
    """Every key that both have: its place, its field of the tables, its piece of the schema."""
    for where, fields, piece in forms(tables(), schema("leaf")):
        for key, field in fields.items():
            if key in piece.get("properties", {}) and kind in (None, field["reader"]):
                yield f"{where}, {key}", field, piece["properties"][key]


def keys_agree():
    found = []
    for where, fields, piece in forms(tables(), schema("leaf")):
        has = set(piece.get("properties", {}))
        found += [f"{where}: '{key}' is read, and not in the schema" for key in fields if key not in has]
        found += [f"{where}: '{key}' is in the schema, and not read" for key in sorted(has - set(fields))]
        found += [f"{where}: further keys are not refused"] * (piece.get("additionalProperties") is not False)
        found += [f"{where}: no mapping"] * (piece.get("type") != "object")
    expect(not found, *found)


def required_keys_agree():
    for where, fields, piece in forms(tables(), schema("leaf")):
        wanted = {key for key, field in fields.items() if field["required"]}
        expect_equal(set(piece["required"]), wanted, f"{where}: keys that must be there: schema, reader")


def every_form_is_met():
    """The walk reaches every object of the schema: none is left over that no table stands behind."""
    met = {id(piece["properties"]) for _, _, piece in forms(tables(), schema("leaf"))}
    left = [
        name
        for name, piece in schema("leaf")["$defs"].items()
        if "properties" in piece and "type" in piece and id(piece["properties"]) not in met
    ]
    expect(not left, "no table reads", *left)


def samples(rule):
    """Values about the bounds of a rule, and whether the reader takes them; of a quantity 0 alone is a bound to see."""
    low, high, over = rule["low"], rule["high"], rule["over"]
    if rule["kind"] == "pure":
        yield from (
            (str(value), True)
            for value in (high if high is not None else 2.5, "50 %", "50%", ".5", "5e-1")
            if value != ".5" or not low
        )
        for value, good in ((low, not over), (high, True)):
            if value is not None:
                yield value, good
        if low is not None:
            yield low - 0.5, False
        if high is not None:
            yield high + 0.5, False
        yield "0.5 m", False
        return
    unit = UNITS[rule["kind"]]
    yield from (
        (f"{number}{blank}{unit}", True) for number in ("0.5", ".5", "5e-1", "+0.5", "5.") for blank in (" ", "")
    )
    yield f"-0.5 {unit}", low is None or low < 0
    yield f"0 {unit}", not (over and low == 0)
    yield f"-0 {unit}", not (over and low == 0)
    yield from (
        (wrong, False)
        for wrong in (0.5, "0.5", unit, f"0,5 {unit}", "", None, [f"1 {unit}"], "one m", f"1e3e4 {unit}", "1 5")
    )


def rule_agrees(where, rule, piece):
    start = f"#/$defs/{rule['kind']}"
    expect(
        re.fullmatch(rf"{re.escape(start)}(_(from|over)_\d+(_to_\d+)?)?", piece.get("$ref", "")),
        f"{where}: the $ref is not {start}...",
        piece,
    )
    for value, good in samples(rule):
        expect(
            accepts("leaf", {"$ref": piece["$ref"]}, value) == good,
            f"{where}: {value!r} should be {'taken' if good else 'refused'}",
            piece,
        )


def whole_agrees(where, field, piece):
    least = field["least"]
    for value, good in (
        (least, True),
        (least - 1, False),
        (1000000, True),
        (1000001, False),
        (least + 0.5, False),
        (str(least), True),
        (f"{least} m", False),
    ):
        expect(
            accepts("leaf", piece, value) == good,
            f"{where}: {value!r} should be {'taken' if good else 'refused'}",
            piece,
        )


def list_agrees(where, field, piece):
    expect_equal(
        (piece.get("type"), piece.get("minItems", 0), piece.get("maxItems")),
        ("array", field["least"], field["most"]),
        where,
    )
    value_agrees(f"{where}, items", field["item"], piece["items"])


def pair_agrees(where, field, piece):
    piece = resolved("leaf", piece)
    expect_equal((piece["type"], piece["minItems"]), ("array", 2), where)
    if "prefixItems" in piece:
        expect(piece["items"] is False, f"{where}: more than two items are not refused")
        pieces = piece["prefixItems"]
    else:
        expect_equal(piece["maxItems"], 2, where)
        pieces = [piece["items"]] * 2
    for rule, item in zip(field["rules"], pieces, strict=True):
        rule_agrees(where, rule, item)


def corners_agree(where, _, piece):
    corner = ["1 m", "-1 m"]
    for count, good in ((2, False), (3, True), (256, True), (257, False)):
        expect(
            accepts("leaf", piece, [corner] * count) == good,
            f"{where}: {count} corners should be {'taken' if good else 'refused'}",
        )


def conditions_agree(where, _, piece):
    for value, good in (
        ("locks out", True),
        ([], True),
        (["a"] * 16, True),
        (["a"] * 17, False),
        ({}, False),
        ([[]], False),
        ("", False),
    ):
        expect(accepts("leaf", piece, value) == good, f"{where}: {value!r} should be {'taken' if good else 'refused'}")


def efficiency_agrees(where, _, piece):
    for value, good in (
        (0.9, True),
        ("90 %", True),
        ([0.9, "95 %"], True),
        ([], False),
        (0, False),
        (1.1, False),
        ([0], False),
        ("0.9 m", False),
    ):
        expect(accepts("leaf", piece, value) == good, f"{where}: {value!r} should be {'taken' if good else 'refused'}")


def flag_agrees(where, _, piece):
    for value, good in ((True, True), ("yes", True), ("off", True), ("oui", False), (1, False)):
        expect(accepts("leaf", piece, value) == good, f"{where}: {value!r} should be {'taken' if good else 'refused'}")


def text_agrees(where, _, piece):
    for value, good in (
        ("Sallow Quay", True),
        (12, True),
        ("", False),
        (None, False),
        ("a\nb", False),
        ("x" * 201, False),
        ("a\u202eb", False),
        ("a\u061cb", False),
        ("a\u3164b", False),
        ("a\ufffeb", False),
        (" calm", False),
        ("calm\u00a0", False),
        ("  ", False),
        ("c", True),
        ("été 1", True),
        ([], False),
    ):
        expect(accepts("leaf", piece, value) == good, f"{where}: {value!r} should be {'taken' if good else 'refused'}")


def choice_agrees(where, field, piece):
    expect_equal(resolved("leaf", piece).get("enum"), field["words"], where)


# How the value of a key is held against the schema. A form is walked by itself; other readers the tables do not know.
BY_READER = {
    "quantity": lambda where, field, piece: rule_agrees(where, field["rule"], piece),
    "whole": whole_agrees,
    "list": list_agrees,
    "pair": pair_agrees,
    "outline": corners_agree,
    "conditions": conditions_agree,
    "efficiency": efficiency_agrees,
    "flag": flag_agrees,
    "text": text_agrees,
    "choice": choice_agrees,
}


def value_agrees(where, field, piece):
    BY_READER.get(field["reader"], lambda *_: None)(where, field, piece)


def values_agree(kind):
    found = list(keys(kind))
    expect(found, f"no key is read as {kind}")
    for where, field, piece in found:
        value_agrees(where, field, piece)


def number_of(value):
    """The number of a default, which is written in SI or is 0."""
    match = re.fullmatch(r"([0-9.]+)(?: (\S.*))?", str(value))
    expect(
        match and (match.group(2) in (None, "degree") or match.group(2) in UNITS.values() or match.group(2) == "kg/m2"),
        f"{value!r} is not in SI",
    )
    expect(match.group(2) in (None, *UNITS.values()) or float(match.group(1)) == 0, f"{value!r} is not in SI")
    return float(match.group(1))


def default_agrees(where, told, field):
    expect(told is not None, f"{where}: the schema tells no default, the reader has {field['default']}")
    if isinstance(field["default"], (str, bool)):
        expect_equal(told, field["default"], f"{where}: default")
    else:
        near = abs(number_of(told) - field["default"]) <= 1e-12 * abs(field["default"])
        expect(near, f"{where}: default {told}, reader {field['default']}")


def defaults_agree():
    """A default that is 0, or the first of some words, may go without saying."""
    count = 0
    for where, field, piece in keys():
        told = piece.get("default")
        silent = field["required"] or not field.get("default") or field["reader"] == "choice"
        if "default" in field and not (told is None and silent):
            default_agrees(where, told, field)
            count += 1
    expect(count > 20, f"only {count} defaults")


def every_key_has_words():
    for where, _, piece in keys():
        words = piece.get("description", "")
        expect(len(words) > 2 and words[-1] != ".", f"{where}: no description, or one that ends in a point")
    for where, _, piece in forms(tables(), schema("leaf")):
        expect(piece.get("title"), f"{where}: no title")
    for name, piece in schema("leaf")["$defs"].items():
        expect("title" in piece or "enum" in piece or "if" in piece, f"{name} has no title")
        for example in piece.get("examples", []):
            expect(
                accepts("leaf", {"$ref": f"#/$defs/{name}"}, example)
                or accepts("leaf", {"$ref": f"#/$defs/{name}"}, float_of(example)),
                f"{name}: its example {example!r} is refused",
            )


def float_of(example):
    try:
        return float(example)
    except (TypeError, ValueError):
        return example


def taken(path):
    found = faults("leaf", leaf_in_json(path.read_bytes()))
    expect(not found, *found)


@functools.lru_cache(maxsize=None)
def taken_by_schema():
    """The faulty leaf files that can be said in JSON and that the schema takes."""
    sayable = [path for path in FAULTY if not no_json(path.read_bytes())]
    return [path for path in sayable if validator("leaf").is_valid(leaf_in_json(path.read_bytes()))]


def refused_or_unseen():
    found = []
    for path in taken_by_schema():
        told = path.with_suffix(".expected").read_text(encoding="utf-8")
        if not any(speaks_of(reason, told) for reason in UNSEEN):
            found.append(f"{path.name}: the schema takes it, and no reason in UNSEEN fits: {told}")
    expect(not found, *found)


def every_reason_is_met():
    told = "".join(path.with_suffix(".expected").read_text(encoding="utf-8") for path in taken_by_schema())
    for reason in UNSEEN:
        expect(speaks_of(reason, told), f"no leaf file shows that {reason}")


def most_are_refused():
    taken_ones = len(taken_by_schema())
    expect(taken_ones < 0.35 * len(FAULTY), f"the schema takes {taken_ones} of {len(FAULTY)} faulty leaf files")


def example_names_schema(path):
    first = path.read_text(encoding="utf-8").splitlines()[0]
    match = re.fullmatch(r"# yaml-language-server: \$schema=(\S+)", first)
    expect(match, "the first line names no schema", first)
    expect_equal((path.parent / match.group(1)).resolve(), FOLDER / "leaf.json")


def is_sound(name):
    jsonschema.Draft202012Validator.check_schema(schema(name))
    expect_equal(schema(name)["$schema"], "https://json-schema.org/draft/2020-12/schema")
    expect_equal(schema(name)["$id"], f"https://trunnion.example.org/schemas/{name}.json")
    expect(schema(name).get("title") and schema(name).get("description"), "no title or description")
    used = set(re.findall(r'"\$ref": "#/\$defs/(\w+)"', json.dumps(schema(name))))
    expect_equal(used, set(schema(name).get("$defs", {})), "$refs, $defs")


def told_as_it_is(name):
    expect_equal(told_by_tool(name), (FOLDER / f"{name}.json").read_bytes())


def names_are_listed():
    names = run_well("schema").text.splitlines()
    expect_equal(names[0], "leaf")
    expect_equal(sorted(names), NAMES)


def written_to_file():
    with folder() as place:
        run_well("schema", "leaf", "-o", place / "leaf.json")
        expect_equal((place / "leaf.json").read_bytes(), (FOLDER / "leaf.json").read_bytes())


def misuse_is_refused():
    expect_refused(run("schema", "leav"), 2, "leav", "trunnion schema")
    expect_refused(run("schema", "leaf", "weigh"), 2, "weigh", "trunnion schema [NAME]")
    for option in (
        ("--json",),
        ("--csv",),
        ("--plot", "x.svg"),
        ("--add", "a: 1 kg at [0 m, 0 m]"),
        ("--case", "calm"),
    ):
        expect_refused(run("schema", "leaf", *option), 2, option[0])
    expect_refused(run("schema", "leaf", "-o", "/nowhere/leaf.json"), 3, "/nowhere/leaf.json")


for name in NAMES:
    claim(f"the schema '{name}' is one of draft 2020-12, without loose ends", is_sound, name)
    claim(f"trunnion schema {name} prints the file", told_as_it_is, name)
claim("trunnion schema lists the names, the leaf file first", names_are_listed)
claim("trunnion schema -o writes a file", written_to_file)
claim("trunnion schema refuses what it has not", misuse_is_refused)
claim("reader and schema have the same keys", keys_agree)
claim("reader and schema require the same keys", required_keys_agree)
claim("every object of the schema has its table", every_form_is_met)
for reader in BY_READER:
    claim(f"what is read as {reader} is asked for so by the schema", values_agree, reader)
claim("the defaults of the schema are the reader's", defaults_agree)
claim("every key has a description, every example is taken", every_key_has_words)
for path in (*EXAMPLES, *SOUND):
    claim(f"the schema takes {path.relative_to(ROOT)}", taken, path)
for path in EXAMPLES:
    claim(f"{path.name} names its schema to an editor", example_names_schema, path)
claim("a faulty leaf file is refused by the schema, or has a fault of a kind that none can see", refused_or_unseen)
claim("each kind of fault that no schema sees is met", every_reason_is_met)
claim("the schema refuses most faulty leaf files", most_are_refused)

if __name__ == "__main__":
    main()
