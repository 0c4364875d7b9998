# SPDX-License-Identifier: GPL-3.0-or-later
"""Whether a picture is a whole file of its kind, and what stands in it."""

import itertools
import re
import shutil
import struct
import subprocess
import xml.etree.ElementTree
import zlib

from harness import Skipped, expect, expect_equal, folder


def is_svg(data):
    root = xml.etree.ElementTree.fromstring(data)
    expect_equal(root.tag.rpartition("}")[2], "svg")
    expect(data.rstrip().endswith(b"</svg>"), "the end is missing")
    return root


def is_png(data):
    expect(data.startswith(b"\x89PNG\r\n\x1a\n"), "the signature is missing", data[:16])
    at, kinds = 8, []
    while at < len(data):
        (length,) = struct.unpack_from(">I", data, at)
        kind, body = data[at + 4:at + 8], data[at + 8:at + 8 + length]
        (check,) = struct.unpack_from(">I", data, at + 8 + length)
        expect_equal(zlib.crc32(kind + body), check, f"the check sum of {kind}")
        kinds.append(kind)
        at += 12 + length
    expect_equal((kinds[0], kinds[-1], at), (b"IHDR", b"IEND", len(data)))
    width, height = struct.unpack_from(">II", data, 16)
    expect(width >= 600 and height >= 400, f"the picture has {width} by {height} points")


def is_pdf(data):
    expect(data.startswith(b"%PDF-1."), "the head is missing", data[:16])
    expect(data.rstrip().endswith(b"%%EOF") and b"startxref" in data[-200:], "the end is missing", data[-200:])


def is_script(data):
    text = data.decode()
    expect("plot " in text and text.endswith("\n"), text[-300:])
    if shutil.which("gnuplot") is None:
        raise Skipped("no gnuplot")
    with folder() as place:
        (place / "script.gp").write_bytes(data)
        opening = "set terminal svg noenhanced; set output 'drawn.svg'"
        done = subprocess.run(["gnuplot", "-d", "-e", opening, "script.gp"], cwd=place, capture_output=True, check=False)
        expect_equal((done.returncode, done.stderr), (0, b""))
        # gnuplot leaves ]]> in texts as it is, which only the end of a piece of CDATA may be.
        mended = re.sub(rb"(<!\[CDATA\[.*?\]\]>)|\]\]>", lambda found: found[1] or b"]]&gt;",
                        (place / "drawn.svg").read_bytes(), flags=re.DOTALL)
        return is_svg(mended)


IS_WHOLE = {"svg": is_svg, "png": is_png, "pdf": is_pdf, "gp": is_script}


def needs_gnuplot(kind="svg"):
    if kind != "gp" and shutil.which("gnuplot") is None:
        raise Skipped("no gnuplot")


HOSTILE = (
    "'; system(\"touch X\"); '", "'\"`touch X`\"'", "a''; system(\"touch X\") #", "\"`touch X`",
    "`touch X`", '"; !touch X; "', "x' . system('touch X') . 'x", "@ARG1 @name", "@GPVAL_TERM",
    "%s %n %d %5$s", "{/Symbol a} ^{2} _{3} ~a{.5-}", "&{blanks} &amp; <b> </svg>", "back\\slash \\n \\", "it''s ''quoted''",
    "é θ 橋 🌉", "EOD", "$case0", "# no comment", "'", '"', "''", "-e", "\\x60touch X\\x60", "<!-- -->",
    "]]>", "<![CDATA[x]]> & ]]>", "$(touch X)", "a`touch X`@b$(touch X)", "'; system(\"touch x\")", "set output 'X'; replot",
)


def letters(root):
    """All text of a picture; gnuplot writes blanks as such or as no-break spaces."""
    return "".join(root.itertext()).replace("\u00a0", " ")


def squeezed(text):
    return "".join(text.split())


def words_of(root):
    """Each text of the picture, blanks and no-break blanks as one."""
    found = ("".join(text.itertext()) for text in root.iter() if text.tag.endswith("}text"))
    return [" ".join(words.replace("\u00a0", " ").split()) for words in found]


def boxes_of(root, letter):
    """Each text of a picture with the corners of a box that it covers, at so many em to a letter."""
    for group in root.iter():
        move = re.match(r"translate\(([-\d.]+),([-\d.]+)\)(?: rotate\(([-\d.]+)\))?", group.get("transform", ""))
        text = next((child for child in group if child.tag.endswith("}text")), None)
        if not move or text is None:
            continue
        words = "".join(text.itertext()).strip()
        size = float(group.get("font-size"))
        width = letter * size * len(words)
        left = {"start": 0, "middle": -width / 2, "end": -width}[group.get("text-anchor")]
        yield words, float(move[1]), float(move[2]), float(move[3] or 0), left, width, size


def apart(root, letter=0.5):
    """Every text lies on the page, and no two level texts lie on one another, at the least so many em to a letter."""
    page = (float(root.get("width")), float(root.get("height")))
    level = []
    for words, x, y, turned, left, width, size in boxes_of(root, letter):
        if turned == 0:
            expect(0 <= x + left and x + left + width <= page[0], f"'{words}' leaves the page", x + left, width)
            level.append((words, x + left, x + left + width, y - 0.7 * size, y))
        expect(0 <= x <= page[0] and size * 0.5 <= y <= page[1], f"'{words}' is not on the page", x, y)
    expect(len(level) > 8, "there is hardly any text", level)
    for one, other in itertools.combinations(level, 2):
        clear = one[2] <= other[1] or other[2] <= one[1] or one[4] <= other[3] or other[4] <= one[3]
        expect(clear, f"'{one[0]}' and '{other[0]}' lie on one another", one, other)
