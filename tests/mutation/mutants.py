# SPDX-License-Identifier: GPL-3.0-or-later
"""What could be wrong in a C file: every single change of it that a test should notice.

A mutant is a span of the text and what stands there instead. Strings, comments, preprocessor lines, declarations
without a value, and the words of messages are left alone.
"""

import dataclasses
import re

TOKEN = re.compile(
    r"""(?P<skip>/\*.*?\*/|//[^\n]*|\s+|^[ \t]*\#(?:\\\n|[^\n])*)
      |(?P<string>"(?:\\.|[^"\\])*"|'(?:\\.|[^'\\])*')
      |(?P<number>0[xX][0-9a-fA-F.]+(?:[pP][-+]?\d+)?[uUlLfF]*|(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?[uUlLfF]*)
      |(?P<word>[A-Za-z_]\w*)
      |(?P<sign><<=|>>=|\.\.\.|->|\+\+|--|<<|>>|<=|>=|==|!=|&&|\|\||[-+*/%&|^]=|.)""",
    re.DOTALL | re.MULTILINE | re.VERBOSE,
)
SWAPS = {
    "+": ("-",), "-": ("+",), "*": ("/",), "/": ("*",), "%": ("*",),
    "+=": ("-=",), "-=": ("+=",), "*=": ("/=",), "/=": ("*=",), "|=": ("&=",), "&=": ("|=",), "^=": ("|=",),
    "++": ("--",), "--": ("++",),
    "<": ("<=", ">="), "<=": ("<", ">"), ">": (">=", "<="), ">=": (">", "<"), "==": ("!=",), "!=": ("==",),
    "&&": ("||",), "||": ("&&",), "<<": (">>",), ">>": ("<<",), "|": ("&",), "&": ("|",), "^": ("&",),
}
WORDS = {
    "fmin": "fmax", "fmax": "fmin", "cos": "sin", "sin": "cos", "ceil": "floor", "floor": "ceil",
    "true": "false", "false": "true", "fabs": "", "sqrt": "",
}
BEFORE_OPERAND = re.compile(r"[\w)\]]$")
NO_OPERAND_BEFORE = {"return", "case", "sizeof", "else", "do"}
TYPES = {
    "const", "void", "double", "int", "char", "bool", "size_t", "float", "struct", "enum", "union", "unsigned", "signed",
    "long", "short", "static", "inline", "restrict", "typedef", "uint32_t", "uint64_t", "int64_t", "uint8_t",
    "uint_fast8_t",
}
MESSAGES = re.compile(r"^(trn_error_set|fault\w*|snprintf|missing_section|\w*_fault)$")


@dataclasses.dataclass(frozen=True)
class Mutant:
    path: str
    start: int
    end: int
    text: str  # what stands there instead
    line: int
    function: str
    before: str  # the line as it is, and as it becomes
    after: str

    @property
    def name(self):
        return f"{self.path}: {self.function}: {self.before} => {self.after}"


@dataclasses.dataclass
class Token:
    kind: str
    text: str
    start: int
    end: int
    depth: int = 0
    function: str = ""
    message: bool = False


def tokens_of(text):
    found = []
    for match in TOKEN.finditer(text):
        if match.lastgroup != "skip":
            found.append(Token(match.lastgroup, match.group(), match.start(), match.end()))
    return found


def closing(tokens, at):
    """The index of what closes the bracket at an index."""
    depth = 0
    for index in range(at, len(tokens)):
        if tokens[index].text in "([{":
            depth += 1
        elif tokens[index].text in ")]}":
            depth -= 1
            if depth == 0:
                return index
    return len(tokens) - 1


def mark_functions(tokens):
    """Which function a token stands in, by the word before the bracket before the brace."""
    index = 0
    while index < len(tokens):
        if tokens[index].text == "{":
            end = closing(tokens, index)
            name = ""
            if index > 0 and tokens[index - 1].text == ")":
                opening = index - 1
                depth = 0
                while True:
                    depth += {")": 1, "(": -1}.get(tokens[opening].text, 0)
                    if depth == 0:
                        break
                    opening -= 1
                name = tokens[opening - 1].text
            for token in tokens[index : end + 1]:
                token.function = name
            index = end
        index += 1


def mark_messages(tokens):
    """The arguments of what makes a message, of which only the words would change."""
    for index, token in enumerate(tokens[:-1]):
        if token.kind == "word" and MESSAGES.match(token.text) and tokens[index + 1].text == "(":
            for inner in tokens[index : closing(tokens, index + 1) + 1]:
                inner.message = True


def is_binary(tokens, index):
    """Whether an operator has an operand before it; a star after a type, or in a cast, is none."""
    if index == 0:
        return False
    before = tokens[index - 1]
    if not BEFORE_OPERAND.search(before.text) or before.text in NO_OPERAND_BEFORE or before.kind == "string":
        return False
    if tokens[index].text == "*" and (before.text in TYPES or is_declaration(tokens, index)):
        return False
    return not (before.text == ")" and is_cast(tokens, index - 1))


def is_cast(tokens, index):
    opening = index
    depth = 0
    while opening >= 0:
        depth += {")": 1, "(": -1}.get(tokens[opening].text, 0)
        if depth == 0:
            break
        opening -= 1
    words = [token.text for token in tokens[opening + 1 : index]]
    return bool(words) and all(re.match(r"^(\w+|\*)$", word) for word in words) and (
        words[0] in TYPES or words[0].startswith("trn_") or words[-1] == "*"
    )


def is_declaration(tokens, index):
    """A star between the words of a declaration: "const trn_leaf *leaf", "part *made = ..."."""
    start = index - 1
    if start >= 1 and tokens[start - 1].text in {";", "{", "}", "(", ",", "const", "static", "struct", "inline"}:
        after = index + 1
        while tokens[after].text in {"*", "const", "restrict"}:
            after += 1
        follows = tokens[after + 1].text if after + 1 < len(tokens) else ""
        starts_statement = tokens[start - 1].text in {";", "{", "}", "const", "static", "struct", "inline"}
        return tokens[after].kind == "word" and (
            starts_statement and follows in {"=", ";", "[", ",", "("} or tokens[index].function == "" or
            tokens[start - 1].text in {"(", ","} and follows in {")", ","} and tokens[after].start == tokens[index].end
        )
    return False


def operand_end(tokens, index, stops):
    """The index after the operand that follows an operator."""
    depth = 0
    index += 1
    while index < len(tokens):
        text = tokens[index].text
        if depth == 0 and (text in stops or text in ")]};,") and not (
            text in {"-", "+", "*", "&"} and not is_binary(tokens, index)
        ):
            return index
        depth += {"(": 1, "[": 1, "{": 1, ")": -1, "]": -1, "}": -1}.get(text, 0)
        index += 1
    return index


LOWER = {"+", "-", "<", "<=", ">", ">=", "==", "!=", "&&", "||", "?", ":", "&", "|", "^", "<<", ">>", "=", "+=", "-=", "*=", "/="}
LOGIC = {"&&", "||", "?", ":"}


def changes_of(tokens):
    """Pairs of a span of tokens (from, to) and what stands there instead."""
    for index, token in enumerate(tokens):
        if token.message or (token.function == "" and token.kind != "number"):
            continue
        if token.kind == "sign":
            yield from of_sign(tokens, index)
        elif token.kind == "number":
            yield from of_number(tokens, index)
        elif token.kind == "word":
            yield from of_word(tokens, index)


def of_sign(tokens, index):
    text = tokens[index].text
    if text in {"++", "--", "+=", "-=", "*=", "/=", "|=", "&=", "^="}:
        yield index, index + 1, SWAPS[text][0]
    elif text in SWAPS and is_binary(tokens, index):
        for instead in SWAPS[text]:
            yield index, index + 1, instead
        if text in "+-":
            yield index, operand_end(tokens, index, LOWER), ""
        elif text in "*/":
            yield index, operand_end(tokens, index, LOWER | {"*", "/", "%"}), ""
        elif text in LOGIC:
            yield index, operand_end(tokens, index, LOGIC), ""
    elif text in {"-", "!"} and not is_binary(tokens, index):
        yield index, index + 1, ""


def of_number(tokens, index):
    text = tokens[index].text
    before = tokens[index - 1].text
    if tokens[index].function == "" and before not in {",", "{", "=", "-"}:
        return
    if re.match(r"^\d+[uUlL]*$", text):
        yield index, index + 1, "1" if text == "0" else str(int(re.match(r"\d+", text).group()) + 1)
        if text == "1":
            yield index, index + 1, "0"
    else:
        yield index, index + 1, f"({text} * 1.01)" if tokens[index].function == "" else f"({text} * 2)"


def of_word(tokens, index):
    token = tokens[index]
    follows = tokens[index + 1].text if index + 1 < len(tokens) else ""
    if token.text in WORDS and (follows == "(" or token.text in {"true", "false"}):
        yield index, index + 1, WORDS[token.text]
    if token.text == "if" and follows == "(":
        end = closing(tokens, index + 1)
        yield index + 1, end + 1, None  # the condition negated
    yield from of_statement(tokens, index)


def of_statement(tokens, index):
    """A statement left out: an assignment, a call, a break; not a declaration, not a return."""
    starts = index > 0 and (tokens[index - 1].text in {";", "{", "}"} or tokens[index - 1].text == ")" and False)
    if not starts or tokens[index].text in {"return", "if", "for", "while", "do", "switch", "case", "default", "else", "goto"}:
        return
    if tokens[index].text in TYPES or tokens[index + 1].kind == "word" or is_declared(tokens, index):
        return
    if tokens[index - 1].text == "{" and tokens[index - 2].text in {"=", ",", "(", ")"} and not is_block(tokens, index - 1):
        return
    end = operand_end(tokens, index - 1, {";"})
    if end < len(tokens) and tokens[end].text == ";":
        yield index, end, ""


def is_declared(tokens, index):
    return tokens[index + 1].text == "*" and tokens[index + 2].kind == "word" and tokens[index + 3].text in {"=", ";", "["}


def is_block(tokens, index):
    """Whether a brace opens a block: after a bracket of if, for, while, or a function; not of a compound literal."""
    return tokens[index - 1].text == ")" and not is_cast(tokens, index - 1)


def line_around(text, start, end):
    """The statement's lines around a span, on one line."""
    first = text.rfind("\n", 0, start) + 1
    last = text.find("\n", end)
    return text[first : last if last >= 0 else len(text)]


def flat(text):
    return re.sub(r"\s+", " ", text).strip()


def mutants_of(path, text):
    tokens = tokens_of(text)
    mark_functions(tokens)
    mark_messages(tokens)
    found = []
    for first, last, instead in changes_of(tokens):
        start, end = tokens[first].start, tokens[last - 1].end
        if instead is None:
            instead = f"(!{text[start:end]})"
        before = line_around(text, start, end)
        offset = start - (text.rfind("\n", 0, start) + 1)
        after = before[:offset] + instead + before[offset + end - start :]
        found.append(
            Mutant(path, start, end, instead, text.count("\n", 0, start) + 1, tokens[first].function, flat(before), flat(after))
        )
    return found
