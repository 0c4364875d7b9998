# SPDX-License-Identifier: GPL-3.0-or-later
"""Whether a picture is a whole file of its kind, and what stands in it."""

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
        return is_svg((place / "drawn.svg").read_bytes())


IS_WHOLE = {"svg": is_svg, "png": is_png, "pdf": is_pdf, "gp": is_script}


def needs_gnuplot(kind="svg"):
    if kind != "gp" and shutil.which("gnuplot") is None:
        raise Skipped("no gnuplot")


HOSTILE = (
    "'; system(\"touch X\"); '", "'\"`touch X`\"'", "a''; system(\"touch X\") #", "\"`touch X`",
    "`touch X`", '"; !touch X; "', "x' . system('touch X') . 'x", "@ARG1 @name", "@GPVAL_TERM",
    "%s %n %d %5$s", "{/Symbol a} ^{2} _{3} ~a{.5-}", "&{blanks} &amp; <b> </svg>", "back\\slash \\n \\", "it''s ''quoted''",
    "é θ 橋 🌉", "EOD", "$case0", "# no comment", "'", '"', "''", "-e", "\\x60touch X\\x60", "<!-- -->",
)


def letters(root):
    """All text of a picture; gnuplot writes blanks as such or as no-break spaces."""
    return "".join(root.itertext()).replace("\u00a0", " ")


def squeezed(text):
    return "".join(text.split())
