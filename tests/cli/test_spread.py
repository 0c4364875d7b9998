# SPDX-License-Identifier: GPL-3.0-or-later
"""spread from outside: what it tells, that shards and threads change nothing, and that nothing is left half done."""

import os
import pathlib
import pty
import resource
import shutil
import signal
import subprocess
import time

from harness import (
    METRIC, ROOT, WRAP, Skipped, build_folder, claim, environment, expect, expect_equal, expect_refused, folder,
    main, read_csv, read_json, run, tool,
)
from machinery import wheel, written
from pictures import IS_WHOLE, apart

LEAF = ROOT / "examples" / "uncertain.yaml"
FEW = ("--samples", "2000", "--step", "13deg")
VALUES = ("mean_Nm", "sd_Nm", "p05_Nm", "p50_Nm", "p95_Nm")


def run_well(*arguments, **options):
    """Status 0, and on standard error nothing but what is passed with a chance that is worth a word."""
    result = run(*arguments, **options)
    expect_equal(result.status, 0, result)
    for line in result.errors.splitlines():
        expect(line.startswith("trunnion: warning: ") and "a chance of" in line, result)
    return result


def json_of(*arguments, **options):
    return read_json(run_well(*arguments, "--json", **options).text)


def told():
    result = json_of("spread", LEAF, *FEW)
    expect_equal(list(result)[:3], ["leaf", "samples", "seed"])
    expect_equal((result["samples"], result["seed"]), (2000, 1))
    expect_equal([case["name"] for case in result["cases"]], ["calm", "working wind", "cold start"])
    for case in result["cases"]:
        expect_equal(list(case)[:3], ["name", "rows", "over_limit_probability"])
        expect_equal(len(case["rows"]), 2 * 7)
        expect_equal([row["direction"] for row in case["rows"]], ["opening"] * 7 + ["closing"] * 7)
        for row in case["rows"]:
            expect_equal(list(row)[:7], ["angle_deg", "direction", *VALUES])
            expect(row["p05_Nm"] < row["p50_Nm"] < row["p95_Nm"] and row["sd_Nm"] > 0, row)
        each = [case[side]["over_limit_probability"] for side in ("opening", "closing")]
        expect(max(each) <= case["over_limit_probability"] <= sum(each), case["over_limit_probability"], each)
        totals = [one["sobol_total"] for one in case["inputs"]]
        expect_equal(totals, sorted(totals, reverse=True))
        firsts = sum(one["sobol_first"] for one in case["inputs"])
        expect(0.6 < firsts < 1.05 and sum(totals) > firsts - 0.05, firsts, totals)
    names = {one["name"] for one in result["cases"][0]["inputs"]}
    expect({"group concrete batch", "group grease", "weight of deck plates", "x of counterweight"} <= names, names)
    expect_equal([one["name"] for one in result["holding"]], ["storm"])


def rows_are_those_of_the_curve():
    """With nothing but one input of no effect on the calm curve, every number of it is that of curve."""
    leaf = LEAF.read_text(encoding="utf-8").split("uncertainties:")[0]
    leaf = "\n".join(line.split(", uncertainty: ")[0] + "}" if "uncertainty:" in line and "- {" in line else line
                     for line in leaf.splitlines() if not line.strip().startswith("uncertainty:"))
    leaf = leaf.replace("[21 m, 0.82 m],\n", "[21 m, 0.82 m]}\n")
    leaf += "\nuncertainties: [{of: wind pressure, on: working wind, sd: 20 %}]\n"
    spread = json_of("spread", "-", "--samples", "300", "--case", "calm", "--step", "13deg", stdin=leaf.encode())
    curve = json_of("curve", "-", "--case", "calm", "--step", "13deg", stdin=leaf.encode())["cases"][0]["rows"]
    for row in spread["cases"][0]["rows"]:
        wanted = next(one for one in curve if one["angle_deg"] == row["angle_deg"])[row["direction"] + "_Nm"]
        for key in ("mean_Nm", "p05_Nm", "p50_Nm", "p95_Nm", "first_order_mean_Nm"):
            expect(abs(row[key] - wanted) <= 1e-9 * max(abs(wanted), 1e4), key, row, wanted)
        expect(row["sd_Nm"] <= 1e-6, row)


def csv_is_the_json():
    rows = read_csv(run_well("spread", LEAF, *FEW, "--csv").text)
    cases = json_of("spread", LEAF, *FEW)["cases"]
    expect_equal(rows[0][:3], ["case", "angle_deg", "direction"])
    expect_equal(len(rows) - 1, sum(len(case["rows"]) for case in cases))
    wanted = [(case["name"], row) for case in cases for row in case["rows"]]
    for line, (name, row) in zip(rows[1:], wanted):
        expect_equal(line[0], name)
        expect_equal(line[2], row["direction"])
        for key, text in zip(rows[0], line):
            if key not in ("case", "direction"):
                expect_equal(float(text), row[key])


def table():
    text = run_well("spread", LEAF, "--samples", "2000", "--case", "calm").text
    for words in ("Tarrow Slip, south leaf", "2000 samples, seed 1", "Monte Carlo", "case 'calm': moving friction",
                  "What matters", "group concrete batch", "over it with a probability", "Holding", "a licensed engineer"):
        expect(words in text, f"not told: {words}", text)
    expect(len(text.splitlines()) < 100, text)


def one_case_is_that_of_all():
    alone = json_of("spread", LEAF, *FEW, "--case", "cold start")["cases"]
    expect_equal(alone, [case for case in json_of("spread", LEAF, *FEW)["cases"] if case["name"] == "cold start"])


def draws_as_many_as_it_takes():
    result = json_of("spread", LEAF, "--step", "39deg", "--digits", "1")
    expect(result["within_tolerance"] and 10000 <= result["samples"] <= 200000, result["samples"])
    for case in result["cases"]:
        for side in ("opening", "closing"):
            expect(case[side]["error_Nm"] <= case[side]["tolerance_Nm"], case[side])
    more = json_of("spread", LEAF, "--step", "39deg")
    expect(more["samples"] > result["samples"], more["samples"])


def threads_change_nothing():
    results = {run_well("spread", LEAF, *FEW, "--json", "--threads", n).out for n in (1, 2, 7)}
    expect_equal(len(results), 1)
    expect(run_well("spread", LEAF, *FEW, "--json", "--seed", "2").out not in results, "the seed does nothing")


def make_shards(where, count, *options, leaf=LEAF):
    files = []
    for k in range(1, count + 1):
        files.append(where / f"part{k}")
        expect_equal(run_well("spread", leaf, *options, "--shard", f"{k}/{count}", "-o", files[-1]).out, b"")
    return files


def shards_change_nothing():
    options = ("--samples", "20000", "--step", "26deg")
    whole = run_well("spread", LEAF, *options, "--json").out
    with folder() as here:
        for count in (1, 3):
            files = make_shards(here, count, *options)
            merged = run_well("spread", LEAF, "--step", "26deg", "--json", "--merge", *reversed(files))
            expect_equal(merged.out, whole)


def wrong_shards():
    options = ("--samples", "5000", "--step", "39deg")
    with folder() as here:
        files = make_shards(here, 2, *options)
        (here / "other").mkdir()
        others = make_shards(here / "other", 2, *options, "--seed", "5")
        damaged = here / "damaged"
        content = bytearray(files[0].read_bytes())
        content[len(content) // 3] ^= 4
        damaged.write_bytes(content)
        out = here / "out.json"

        def refused(words, *merged, step="39deg", leaf=LEAF):
            result = run("spread", leaf, "--step", step, "--json", "-o", out, "--merge", *merged)
            expect_refused(result, 2, words)
            expect(not out.exists(), "a result was written", result)

        refused("shard 2 is not among the files", files[0])
        refused("given twice", files[0], files[0])
        refused("another seed", files[0], others[1])
        refused("damaged", damaged, files[1])
        refused("this is no shard", LEAF, files[1])
        refused("has 3 angles of each case and direction, this run has 4: expected the same --step", *files, step="26deg")
        (here / "calm").mkdir()
        calm = make_shards(here / "calm", 2, *options, "--case", "calm")
        refused("of another --case", *calm)
        changed = here / "changed.yaml"
        changed.write_text(LEAF.read_text(encoding="utf-8").replace("width: 5.8 m", "width: 5.81 m"), encoding="utf-8")
        refused("another leaf file", *files, leaf=changed)
        result = run("spread", LEAF, "--merge", here / "none")
        expect_refused(result, 3, "cannot open")
        result = run("spread", LEAF, "--step", "39deg", "--json", "-o", files[0], "--merge", *files)
        expect_refused(result, 2, "would overwrite what is read")


def usage():
    for options, words in (
            (("--samples", "5"), "--samples 5: expected a whole number from 100"),
            (("--samples", "1e3.5"), "--samples"), (("--samples", "1000.5"), "--samples"), (("--samples", "-1e6"), "--samples"),
            (("--digits", "3"), "--digits 3: expected 1 or 2"), (("--digits", "1", "--samples", "1000"), "exclude each other"),
            (("--seed", "-1"), "--seed -1: expected a whole number"), (("--seed", "18446744073709551616"), "--seed"),
            (("--threads", "0"), "--threads 0"), (("--threads", "1000"), "--threads 1000"),
            (("--shard", "3/2", "--samples", "1000", "-o", "x"), "--shard 3/2: expected K/N"),
            (("--shard", "1", "--samples", "1000", "-o", "x"), "expected K/N"), (("--shard", "0/2"), "expected K/N"),
            (("--shard", "1/2", "-o", "x"), "--shard needs --samples"), (("--shard", "1/2", "--samples", "1000"), "-o FILE"),
            (("--shard", "1/2", "--samples", "1000", "-o", "x", "--json"), "go with --merge"),
            (("--merge",), "no shards"), (("left_over", "--shard", "1/2", "--samples", "1000", "-o", "x"), "'left_over' is left over"),
            (("--merge", "a", "--samples", "1000"), "from the shards"), (("--case", "none"), "it has: 'calm'")):
        result = run("spread", LEAF, *options)
        expect_refused(result, 2, words)
    expect(not (ROOT / "x").exists(), "a shard was written")
    expect_refused(run("weigh", LEAF, "--samples", "1000"), 2, "takes no --samples")
    expect_refused(run("explain", LEAF, "other"), 2, "'other' is left over")


def nothing_uncertain():
    leaf = ROOT / "examples" / "teaching.yaml"
    expect_refused(run("spread", leaf), 2, f"{leaf}:1:1: nothing is uncertain")


def others_do_not_look():
    """What is uncertain changes nothing for the other commands."""
    text = LEAF.read_text(encoding="utf-8")
    plain = text.split("uncertainties:")[0].encode()
    for command in ("weigh", "curve", "drive"):
        expect_equal(run("curve", "-", "--json", stdin=plain).out, run("curve", LEAF, "--json").out)
        expect_equal(run(command, "-", stdin=plain).out, run(command, LEAF).out)


def plots():
    with folder() as here:
        for ending, start in ((".svg", b"<?xml"), (".png", b"\x89PNG"), (".pdf", b"%PDF")):
            run_well("spread", LEAF, *FEW, "--plot", here / ("fan" + ending))
            expect((here / ("fan" + ending)).read_bytes().startswith(start), ending)
        run_well("spread", LEAF, *FEW, "--plot", here / "fan.gp")
        script = (here / "fan.gp").read_text(encoding="utf-8")
        expect_equal(script.count("$fan"), script.count("plot $fan") * 6 + script.count("$fan0 << EOD") * 3)
        for words in ("$fan2 << EOD", "$tornado2 << EOD", "'allowed'", "group concrete batch", "no sealed design",
                      "$holdings << EOD", "capacity over required factor"):
            expect(words in script, words)
        result = json_of("spread", LEAF, *FEW)
        held, one = result["holding"][0], result["cases"][0]
        numbers = [float(text) for text in script.split("$holdings << EOD\n")[1].split("\n")[0].split()]
        wanted = (1e3, held["p05_Nm"], held["p50_Nm"], held["p95_Nm"], held["capacity_Nm"] / held["required"])
        expect(all(abs(got * 1e3 - value) <= 1e-6 * value for got, value in zip(numbers, wanted, strict=True)), numbers, wanted)
        bar = [float(text) for text in script.split("$tornado0 << EOD\n")[1].split("\n")[0].split()]
        ends = [100 * (one["inputs"][0][key] - one["governing"]["value"]) for key in ("low", "high")]
        expect(all(abs(got - value) <= 1e-5 for got, value in zip(bar[1:], ends, strict=True)) and ends[0] * ends[1] < 0, bar, ends)
        apart(IS_WHOLE["svg"]((here / "fan.svg").read_bytes()))
        first = next(line for line in script.splitlines() if line.startswith("0 "))
        row = json_of("spread", LEAF, *FEW)["cases"][0]["rows"][0]
        expect(abs(float(first.split()[2]) * 1e3 - row["p50_Nm"]) <= 1e-6 * abs(row["p50_Nm"]), first, row)


def no_bar_in_a_pipe():
    expect_equal(run_well("spread", LEAF, *FEW).errors, "")


def all_that_came(master):
    """What the other side wrote before it closed; it may come in pieces."""
    pieces = []
    try:
        while piece := os.read(master, 100000):
            pieces.append(piece)
    except OSError:  # Linux says so where the other side is closed
        pass
    os.close(master)
    return b"".join(pieces).decode()


def bar_on_a_terminal():
    master, terminal = pty.openpty()
    result = run("spread", LEAF, *FEW, stderr=terminal)
    os.close(terminal)
    shown = all_that_came(master)
    expect_equal(result.status, 0)
    expect("spread [" in shown and "%" in shown, repr(shown))
    expect(shown.endswith("\r\x1b[K"), "the bar stays", repr(shown))


def interrupted():
    with folder() as here:
        out = here / "out.json"
        command = [*WRAP, tool(), "spread", str(LEAF), "--samples", "1e10", "--json", "-o", str(out), "--plot", str(here / "p.svg")]
        started = subprocess.Popen(command, cwd=ROOT, env=environment(), stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        time.sleep(2 if WRAP else 0.5)
        expect(started.poll() is None, "it ended by itself")
        started.send_signal(signal.SIGINT)
        try:
            written, _ = started.communicate(timeout=60)
        finally:
            started.kill()
        expect_equal(started.returncode, -signal.SIGINT)
        expect_equal(written, b"")
        expect_equal(sorted(path.name for path in here.iterdir()), [])


def is_release():
    return build_folder() == (ROOT / "build").resolve() and not WRAP


def little_memory():
    """80 MB at a million samples of a curve of 181 angles."""
    if not is_release():
        raise Skipped("memory is that of the release build")
    command = [tool(), "spread", str(LEAF), "--samples", "1e6", "--case", "calm", "--step", f"{78 / 180:.9f}deg", "--json"]
    started = subprocess.Popen(command, cwd=ROOT, env=environment(), stdout=subprocess.DEVNULL)
    _, status, used = os.wait4(started.pid, 0)
    started.returncode = os.waitstatus_to_exitcode(status)
    expect_equal(started.returncode, 0)
    expect(used.ru_maxrss < 80 * 1024, f"{used.ru_maxrss / 1024:.0f} MB")
    expect(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss > 0)


def with_gnu_parallel():
    if shutil.which("parallel") is None:
        raise Skipped("GNU parallel is not installed")
    variables = environment(TRUNNION=tool(), HOME=os.environ.get("HOME", "."))
    command = ["bash", "examples/spread_parallel", str(LEAF), "9000", "4", "--step", "39deg", "--case", "calm", "--json"]
    done = subprocess.run(command, cwd=ROOT, env=variables, capture_output=True, check=False, timeout=300)
    expect_equal(done.returncode, 0)
    whole = run_well("spread", LEAF, "--samples", "9000", "--step", "39deg", "--case", "calm", "--json").text
    expect_equal(read_json(done.stdout.decode()), read_json(whole))


def chances_are_noted():
    """A holding that is passed with more than 5 %: a note in the table, a warning beside the other forms, status 0."""
    chance = 100 * json_of("spread", LEAF, *FEW)["holding"][0]["not_held_probability"]
    words = f"holding 'storm': a chance of {chance:.2g} % that it is not held"
    expect(chance > 5, chance)
    table = run("spread", LEAF, *FEW)
    expect_equal((table.status, table.errors), (0, ""))
    expect(f"NOTE: {words}.\n" in table.text, table.text)
    for form in ("--json", "--csv"):
        expect_equal(run("spread", LEAF, *FEW, form).errors, f"trunnion: warning: {words}\n")
    strong = LEAF.read_text(encoding="utf-8").replace("torque: 420 N m", "torque: 4200 N m").encode()
    expect(json_of("spread", "-", *FEW, stdin=strong)["holding"][0]["not_held_probability"] < 0.05, "not strong enough")
    for form in ((), ("--json",)):
        result = run("spread", "-", *FEW, *form, stdin=strong)
        expect("a chance of" not in result.errors + result.text, result)


def near_certainty_is_told_by_what_it_lacks():
    """With ever weaker brakes: two digits of the chance, or of what it lacks to 100 %."""
    near = 0
    for torque in range(90, 430, 20):
        leaf = LEAF.read_text(encoding="utf-8").replace("torque: 420 N m", f"torque: {torque} N m").encode()
        chance = 100 * json_of("spread", "-", *FEW, stdin=leaf)["holding"][0]["not_held_probability"]
        lines = run_well("spread", "-", *FEW, stdin=leaf).text.splitlines()
        note = next(line for line in lines if line.startswith("NOTE") and "not held" in line)
        told = note.partition("a chance of ")[2].partition(" %")[0]
        expect("e" not in told and (told == "100") == (chance == 100), note)
        expect(abs(float(told) - chance) <= 0.051 * (chance if chance < 99.5 else 100 - chance), note)
        near += 99.5 < chance < 100
    expect(near > 0, "no chance was near certainty")


def nothing_is_impossible():
    """What no sample met is told by how many there were."""
    text = run_well("spread", LEAF, *FEW).text
    expect("over it with a probability below 1 in 2000\n" in text and " 0 %" not in text, text)
    expect("of below" not in text, text)


def footer():
    """Where both ways agree nobody is told to quote one; where they differ, which; and whether the samples do."""
    options = ("spread", "-", "--samples", "20000", "--step", "39deg")

    def told(of, wind):
        leaf = wheel(cases=[{"name": "wind", "wind": wind}], uncertainties=[{"of": of, "sd": "30 %"}])
        return run_well(*options, stdin=written(leaf)).text

    agrees = told("wind pressure", {"pressure": "90 Pa"})
    expect("either may be quoted" in agrees and "quote Monte Carlo" not in agrees, agrees)
    differs = told("wind speed", {"speed": "12 m/s"})
    expect("in case 'wind' first: quote Monte Carlo there" in differs and "either may" not in differs, differs)
    few = run_well("spread", LEAF, "--samples", "200", "--step", "39deg").text
    expect("200 samples are too few for the tolerance" in few, few)
    enough = run_well("spread", LEAF, "--digits", "1", "--step", "39deg").text
    expect("too few" not in enough and "it depends on --step" in enough, enough)


def what_ifs():
    heavier = json_of("spread", METRIC, *FEW, "--case", "calm", "--add", "cable: 2 t at [20 m, 0.9 m]")
    plain = json_of("spread", METRIC, *FEW, "--case", "calm")
    change = heavier["cases"][0]["rows"][0]["mean_Nm"] - plain["cases"][0]["rows"][0]["mean_Nm"]
    expect(3.9e5 < change < 4.1e5, change)


claim("JSON tells what the contract names, and more behind it", told)
claim("where nothing that counts is uncertain, all numbers are those of curve", rows_are_those_of_the_curve)
claim("CSV has the numbers of JSON", csv_is_the_json)
claim("the table is for people", table)
claim("a case by itself is the same as among others", one_case_is_that_of_all)
claim("it draws as many samples as the digits take", draws_as_many_as_it_takes)
claim("threads change no byte, the seed does", threads_change_nothing)
claim("shards put together change no byte", shards_change_nothing)
claim("wrong, lacking, doubled and damaged shards are refused", wrong_shards)
claim("options that are not right are refused", usage)
claim("a leaf of which nothing is uncertain is refused", nothing_uncertain)
claim("the other commands do not look at it", others_do_not_look)
claim("fans and tornadoes are drawn", plots)
claim("no bar is drawn into a pipe", no_bar_in_a_pipe)
claim("a bar is drawn on a terminal, and wiped", bar_on_a_terminal)
claim("an interrupted run leaves nothing", interrupted)
claim("a million samples take little memory", little_memory)
claim("GNU parallel gives the bytes of one run", with_gnu_parallel)
claim("what is passed with a chance of over 5 % is noted", chances_are_noted)
claim("a chance near 100 % is told by what it lacks", near_certainty_is_told_by_what_it_lacks)
claim("a chance that no sample met is told as below one in so many", nothing_is_impossible)
claim("the footer tells which way to quote and what the samples are good for", footer)
claim("what-ifs count", what_ifs)

if __name__ == "__main__":
    main()
