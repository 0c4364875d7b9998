# SPDX-License-Identifier: GPL-3.0-or-later
"""The schemas for the tests: read, resolved, walked; leaf files in the JSON form that an editor sees."""

import functools
import re

import jsonschema
import yaml

from harness import ROOT, read_json, run_well

FOLDER = ROOT / "cli" / "schemas"
NAMES = sorted(path.stem for path in FOLDER.glob("*.json"))


@functools.lru_cache(maxsize=None)
def schema(name):
    return read_json((FOLDER / f"{name}.json").read_text(encoding="utf-8"))


@functools.lru_cache(maxsize=None)
def validator(name):
    return jsonschema.Draft202012Validator(schema(name))


def deepest(fault):
    """Of a choice none of whose ways fits, the fault on the way that went furthest."""
    while fault.context:
        fault = max(fault.context, key=lambda one: len(one.absolute_path))
    return fault


def faults(name, value):
    """What a schema finds wrong, each with its place."""
    found = [deepest(fault) for fault in validator(name).iter_errors(value)]
    return [f"{list(fault.absolute_path)}: {fault.message[:200]}" for fault in found]


def accepts(name, part, value):
    """Whether a piece of a schema, such as one of its $defs, takes a value."""
    return jsonschema.Draft202012Validator({"$defs": schema(name)["$defs"], **part}).is_valid(value)


class Core(yaml.SafeLoader):
    """The core schema of YAML 1.2, by which editors read: yes is a text, 012 a number, 2026-11-25 a text."""

    yaml_implicit_resolvers = {}


CORE = {
    "null": (r"~|null|Null|NULL|", "~nN"),
    "bool": (r"true|True|TRUE|false|False|FALSE", "tTfF"),
    "int": (r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+", "-+0123456789"),
    "float": (
        r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?|[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)",
        "-+0123456789.",
    ),
}
for tag, (pattern, firsts) in CORE.items():
    Core.add_implicit_resolver(
        f"tag:yaml.org,2002:{tag}", re.compile(f"^(?:{pattern})$"), [*firsts, *([""] if tag == "null" else [])]
    )
Core.add_constructor(
    "tag:yaml.org,2002:int", lambda _, node: int(node.value, 0 if node.value[:2] in ("0o", "0x") else 10)
)
Core.add_constructor("tag:yaml.org,2002:float", lambda _, node: float(re.sub(r"\.(?=[a-z])", "", node.value.lower())))


def leaf_in_json(data):
    """A leaf file as JSON; ValueError or a YAML error where it is none."""
    return yaml.load(data.decode("utf-8-sig"), Core)


def resolved(name, piece):
    """A piece of a schema with what its $ref says, its own words first; also where that may be null instead."""
    while True:
        choices = [choice for choice in piece.get("anyOf", []) if choice != {"type": "null"}]
        if "$ref" in piece:
            target = schema(name)["$defs"][piece["$ref"].removeprefix("#/$defs/")]
            piece = {**target, **{key: value for key, value in piece.items() if key != "$ref"}}
        elif len(choices) == 1 and len(piece["anyOf"]) == 2:
            piece = {**choices[0], **{key: value for key, value in piece.items() if key != "anyOf"}}
        else:
            return piece


def keys_of(name, piece=None, path=()):
    """Every key of a result's schema: its path through objects and lists, the object that has it, and its own piece."""
    piece = resolved(name, schema(name) if piece is None else piece)
    properties = piece.get("properties", {})
    for key, below in properties.items():
        yield (*path, key), id(properties), below
        yield from keys_of(name, below, (*path, key))
    # The items of the whole are results of further leaves.
    for below in [piece["items"]] if path and isinstance(piece.get("items"), dict) else []:
        yield from keys_of(name, below, path)
    for below in piece.get("anyOf", []):
        yield from keys_of(name, below, path)


def values_at(value, path):
    """The values that a result has at a path."""
    if isinstance(value, list):
        for one in value:
            yield from values_at(one, path)
    elif not path:
        yield value
    elif isinstance(value, dict) and path[0] in value:
        yield from values_at(value[path[0]], path[1:])


def told_by_tool(name):
    return run_well("schema", name).out
