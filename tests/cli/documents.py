# SPDX-License-Identifier: GPL-3.0-or-later
"""The pages of examples/, read for what they claim: every number in them stands on something.

A page holds, beside its prose:

    ```text      lines worked by hand, "A = Σ W x = 2 × 3 kN m = 6 kN m": each member is computed, and all agree
    ```console   commands and what they print; a line "..." stands for lines that are not shown
    ```yaml      lines of a leaf file that the page links

A comment before a block of hand work says where the tool, or a formula of the tests, gives the same:

    <!-- check weigh balance.yaml
    A: closed_moment_Nm
    -->

<!-- constants: 12 (of a bar), 9.80665 --> names numbers that stand for themselves, <!-- after: balance.md --> a page
whose results are taken up. Every other number of a page must have stood in a leaf file or record that it links, in a
result before it, or in what a command printed.
Angles are in degrees, and so are the results of atan.

    documents.py BUILD      writes what the commands print into the pages again
"""

import ast
import difflib
import functools
import json
import math
import operator
import re
import shlex
import subprocess

from harness import ROOT, Failed, environment, expect, tool

HERE = ROOT / "examples"
PAGES = sorted([*HERE.glob("*.md"), *HERE.glob("theory/*.md")])
NUMBER = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?:e[+-]?\d+)?")

# What stands behind a result, with its size in the unit of the tool's JSON.
UNITS = {
    "kN m": 1e3, "kN/m": 1e3, "kN": 1e3, "N m": 1, "N": 1, "m/s": 1, "m²": 1, "m": 1, "kg m²": 1, "kg/m³": 1, "kg": 1,
    "t m²": 1e3, "t": 1e3, "Pa": 1, "kJ": 1e3, "J": 1, "kW": 1e3, "W": 1, "rad/s²": 1, "rad/s": 1, "°/s²": 1, "°/s": 1,
    "°": 1, "s": 1, "rpm": 1,
}
UNIT = "|".join(re.escape(unit) for unit in sorted(UNITS, key=len, reverse=True))
RESULT = re.compile(rf"(?P<number>−?\d+(?:\.\d+)?)\s*(?P<unit>{UNIT})?")
WITH_UNIT = re.compile(rf"(?<=[\d)])\s*(?:{UNIT})(?![\w²³/])")

FUNCTIONS = {
    "cos": lambda x: math.cos(math.radians(x)),
    "sin": lambda x: math.sin(math.radians(x)),
    "atan": lambda x: math.degrees(math.atan(x)),
    "sqrt": math.sqrt,
    "abs": abs,
}
OPERATORS = {
    ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul, ast.Div: operator.truediv,
    ast.Pow: operator.pow, ast.USub: operator.neg,
}
SPELLINGS = (("×", "*"), ("−", "-"), ("√", "sqrt"), ("½", "0.5"), ("²", "**2"), ("³", "**3"))


def value_of(node):
    """The value of a parsed expression of numbers, and of nothing else."""
    if isinstance(node, ast.Expression):
        return value_of(node.body)
    if isinstance(node, ast.Constant):
        return float(node.value)
    if isinstance(node, ast.Name) and node.id == "π":
        return math.pi
    if isinstance(node, ast.UnaryOp):
        return OPERATORS[type(node.op)](value_of(node.operand))
    if isinstance(node, ast.BinOp):
        return OPERATORS[type(node.op)](value_of(node.left), value_of(node.right))
    if isinstance(node, ast.Call):
        return FUNCTIONS[node.func.id](*map(value_of, node.args))
    raise ValueError(ast.dump(node))


@functools.lru_cache(maxsize=None)
def computed(member):
    """The value of a member, or None where it is a formula in letters."""
    text = WITH_UNIT.sub("", member)
    for written, meant in SPELLINGS:
        text = text.replace(written, meant)
    text = re.sub(r"\b(cos|sin) ([\d.]+)", r"\1(\2)", text)
    if any(word not in FUNCTIONS and word != "π" for word in re.findall(r"[^\W\d_]+", text)):
        return None
    return value_of(ast.parse(text.strip(), mode="eval"))


@functools.lru_cache(maxsize=None)
def printed(command):
    """What a command of a page says, as a terminal would show it, and its status."""
    shell = f'trunnion() {{ {shlex.quote(tool())} "$@"; }}; {command}'
    done = subprocess.run(
        ["bash", "-c", shell], cwd=ROOT, env=environment(), stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT, timeout=600, check=False,
    )
    return done.stdout.decode(), done.returncode


@functools.lru_cache(maxsize=None)
def json_of(command, place):
    words = shlex.split(command)
    words = [tool(), *(str(place / word) if (place / word).is_file() else word for word in words), "--json"]
    done = subprocess.run(words, cwd=ROOT, env=environment(), capture_output=True, timeout=600, check=False)
    expect(done.returncode in (0, 1), f"{command} ended with {done.returncode}", done.stderr.decode())
    return json.loads(done.stdout)


def at(value, path):
    """A value of JSON by its path: names joined by dots, each perhaps with [number] or [key=text]."""
    for name in path.split("."):
        key, *choices = re.split(r"\[([^]]*)\]", name)
        value = value[key]
        for choice in filter(None, choices):
            left, sign, right = choice.partition("=")
            if sign:
                value = next(one for one in value if str(one[left]) == right)
            else:
                value = value[int(left)]
    return value


class Page:
    """A page cut into lines of prose, blocks and remarks, each with the number of its first line."""

    def __init__(self, path, text=None):
        self.path = path
        self.text = path.read_text(encoding="utf-8") if text is None else text
        self.pieces = list(self.cut())

    def cut(self):
        lines = self.text.split("\n")
        at_line = 0
        while at_line < len(lines):
            first = at_line
            line = lines[at_line]
            end = "-->" if line.startswith("<!--") else "```" if line.startswith("```") else None
            at_line += 1
            if end is None:
                yield first + 1, "prose", [line]
            elif end == "-->" and "-->" in line:
                yield first + 1, "remark", [line[4:line.index("-->")].strip()]
            else:
                while end not in lines[at_line]:
                    at_line += 1
                at_line += 1
                body = lines[first + 1:at_line - 1]
                if end == "-->":
                    yield first + 1, "remark", [line[4:].strip(), *body, lines[at_line - 1].partition(end)[0]]
                else:
                    yield first + 1, line[3:].strip(), body

    def links(self):
        lines = (line for _, kind, body in self.pieces if kind == "prose" for line in body)
        return re.findall(r"!?\[[^]]*\]\(([^)\s]+)\)", "\n".join(lines))

    def sources(self):
        """The leaf files and records that the page links, and those that its commands name."""
        found = [self.path.parent / link for link in self.links() if link.endswith((".yaml", ".csv"))]
        for _, kind, body in self.pieces:
            if kind == "console":
                found += [ROOT / word for line in body for word in re.findall(r"examples/\S+?\.(?:yaml|csv)", line)]
        return [path for path in dict.fromkeys(found) if path.is_file()]


def numbers(text):
    return [float(word) for word in NUMBER.findall(text)]


class Reading:
    """A page read from its top: what is known so far, and the faults found."""

    def __init__(self, page, by_hand):
        self.page = page
        self.by_hand = by_hand
        self.faults = []
        self.compared = 0
        texts = [path.read_text(encoding="utf-8") for path in page.sources()]
        self.lines = [line.strip() for text in texts for line in text.split("\n")]
        self.known = {number for text in texts for number in numbers(text)}
        for _, kind, body in page.pieces:
            if kind == "remark" and body[0].startswith("constants:"):
                self.known.update(numbers(" ".join(body)))
            elif kind == "remark" and body[0].startswith("after:"):
                for name in body[0].split()[1:]:
                    self.known.update(results_of(page.path.parent / name, by_hand))
        self.results = set()
        self.expected = {}
        self.read()

    def fault(self, line, words):
        self.faults.append(f"{self.page.path.relative_to(ROOT)}:{line}: {words}")

    def read(self):
        for line, kind, body in self.page.pieces:
            if kind == "remark":
                self.remark(body)
            elif kind == "text":
                self.hand_work(line, body)
            elif kind == "console":
                self.console(line, body)
            elif kind == "yaml":
                for offset, text in enumerate(body):
                    if text.strip() not in self.lines:
                        self.fault(line + 1 + offset, f"no leaf file of the page has the line {text!r}")
            elif kind != "prose":
                self.fault(line, f"a block of kind {kind!r}: expected text, console or yaml")
        for line, kind, body in self.page.pieces:
            if kind == "prose":
                self.prose(line, body[0])

    def remark(self, body):
        head = body[0]
        if head.startswith(("constants:", "after:")):
            return
        expect(head.startswith("check "), f"{self.page.path}: a remark, but no check, constants or after: {head}")
        for row in filter(str.strip, body[1:]):
            symbol, _, path = row.partition(": ")
            self.expected[symbol.strip()] = (head[len("check "):], path.strip())

    def told(self, symbol):
        """What the tool, or a formula of the tests, has for a symbol; None where nothing is asked."""
        command, path = self.expected.pop(symbol, (None, None))
        if command is None:
            return None
        self.compared += 1
        if command.startswith("hand "):
            return self.by_hand[command[len("hand "):]]()[path]
        return at(json_of(command, self.page.path.parent), path)

    def hand_work(self, line, body):
        text = re.sub(r"\n\s+=", lambda match: " " * len(match.group()[:-1]) + "=", "\n".join(body))
        for row in filter(str.strip, text.split("\n")):
            try:
                self.worked(line + 1, row)
            except (Failed, KeyError, IndexError, StopIteration, SyntaxError, ValueError, TypeError) as fault:
                self.fault(line, f"{row!r}: {type(fault).__name__} {fault}")
        if self.expected:
            self.fault(line, f"nothing was worked for {', '.join(self.expected)}")
            self.expected = {}

    def worked(self, line, row):
        symbol, *members = (member.strip() for member in re.split(r"\s=\s", row))
        result = RESULT.fullmatch(members[-1])
        expect(result, f"no result at the end: {members[-1]!r}")
        number = result["number"].replace("−", "-")
        half = 0.5 * 10.0 ** -len(number.partition(".")[2])
        slack = half * (1 + 1e-6) + 1e-9
        scale = UNITS[result["unit"] or "°"]
        values = {member: computed(member) for member in members[:-1]}
        put_in = {word for member, value in values.items() if value is not None for word in numbers(member)}
        letters = [member for member, value in values.items() if value is None]
        if symbol not in self.expected:
            letters.append(symbol)
        for word in put_in:
            expect(word in self.known, f"{word:g} came from nowhere")
        for word in numbers(" ".join(letters)):
            expect(word in put_in, f"{word:g} of the formula is not among the numbers put in")
        seen = 0
        for member, value in values.items():
            if value is not None:
                expect(abs(value - float(number)) <= slack, f"{member!r} is {value:.8g}, not {number}")
                seen += 1
        wanted = self.told(symbol)
        if wanted is not None:
            expect(abs(wanted / scale - float(number)) <= slack, f"the tool has {wanted / scale:.8g}, not {number}")
            seen += 1
        expect(seen > 0, "nothing to compute, and nothing to compare with")
        self.results.add(abs(float(number)))
        self.known.add(abs(float(number)))

    def console(self, line, body):
        shown = []
        commands = [index for index, text in enumerate(body) if text.startswith("$ ")]
        for index, end in zip(commands, [*commands[1:], len(body)]):
            command = body[index][2:]
            out, status = printed(command) if command != "echo $?" else (f"{shown}\n", 0)
            shown = status if command != "echo $?" else shown
            self.known.update(number for number in numbers(body[index] + "\n" + out))
            lines, place = out.split("\n"), 0
            gap = False
            for offset in range(index + 1, end):
                text = body[offset]
                if text == "...":
                    gap = True
                    continue
                found = next((k for k in range(place, len(lines)) if lines[k].rstrip() == text.rstrip()), None)
                if found is None or (found != place and not gap):
                    self.fault(line + 1 + offset, f"{command!r} does not print there {text!r}")
                    break
                place, gap = found + 1, False
            else:
                if not gap and "".join(lines[place:]).strip():
                    self.fault(line + end, f"{command!r} prints more: {lines[place]!r}")

    def prose(self, line, text):
        text = re.sub(r"\]\([^)]*\)", "]", text)
        text = re.sub(r"^(#+ )?\d+\. ", "", text)
        for word in numbers(text):
            if word not in self.known:
                self.fault(line, f"{word:g} came from nowhere: {text!r}")


RESULTS = {}


def results_of(path, by_hand):
    """What another page worked, by hand."""
    if path not in RESULTS:
        RESULTS[path] = Reading(Page(path), by_hand).results
    return RESULTS[path]


def shown_again(body):
    """A console block with what its commands print now; of a block with gaps, the lines most like those shown."""
    commands = [index for index, text in enumerate(body) if text.startswith("$ ")]
    made, status = [], 0
    for index, end in zip(commands, [*commands[1:], len(body)]):
        command, lines = body[index][2:], body[index + 1:end]
        made.append(body[index])
        if command == "echo $?":
            made.append(str(status))
            continue
        out, status = printed(command)
        new = out.rstrip("\n").split("\n")
        if "..." in lines:
            made += [line if line == "..." else difflib.get_close_matches(line, new, 1, 0)[0] for line in lines]
        else:
            made += new
    return made


def write_again():
    for path in PAGES:
        page = Page(path)
        lines = page.text.split("\n")
        for line, kind, body in reversed(page.pieces):
            if kind == "console":
                lines[line:line + len(body)] = shown_again(body)
        if "\n".join(lines) != page.text:
            path.write_text("\n".join(lines), encoding="utf-8")
            print(path)


if __name__ == "__main__":
    write_again()
