"""A desk with a checker of our own making, found by name in worker processes as the real one is.

It knows two items, P-R (−15.6) and R-S (16.9). In a working, `!KIND` at the end of a line plants a
fault there, `?OTHER` an alternative reading. `PR = …` and `RS = …` are answers: carried where wrong
after a fault, a fault where wrong without one, unless the reading is in doubt.
Some words alone make the checker misbehave.
"""

import os
import re
import signal
import time
from dataclasses import replace
from pathlib import Path

from verifier.errors import FileError, SheetError
from verifier.findings import Answer, Finding, LineVerdict, Result
from verifier.marking.desk import Desk
from verifier.reading.lines import Reading, ReadLine
from verifier.structure.model import Structure

OPENER = "marking_fakes:open_fake"
ITEMS = {"P-R": -15.6, "R-S": 16.9}
SHEET = "a sheet of the fakes\n"
RIGHT = "ΣM_P = 0: S_x(1.0) - 6(2.4) - 2.5(1.0) = 0\nRS = 16.9 kN (T)\nPR = -15.6 kN (C)\n"
FAULTY = "S_x(1.0) - 6(2.4) = 0 !missing-force\nRS = 14.4 kN (T)\nPR = -15.6 kN (C)\n"
DOUBTFUL = "S_x(1.0) - 6(2.4) - 2.5(1.0) = 0\nRS = 16.9 kN (T)\nPR = -75.6 kN?PR = -15.6 kN\n"


def open_fake(sheet, *, strict_rounding=False):
    if "broken" in sheet:
        raise SheetError(1, 0, "this is no statement")
    marks = {"P-R": 3, "R-S": 2}
    structure = Structure("Slip hoist", "kN", "m", {}, find=tuple(ITEMS), marks=marks)
    return Desk(structure, check, read)


def check(working):
    if isinstance(working, Reading):
        return read_result(working)
    text = working if isinstance(working, str) else working.read_text(encoding="utf-8")
    misbehave(text.strip())
    return judged(text)


def read_result(reading):
    rows = (line.text + "".join(f"?{other}" for other, _ in line.alternatives)
            for line in reading.lines)  # fmt: skip
    result = judged("\n".join(rows))
    lines = tuple(
        replace(one, page=read.page, box=read.box, confidence=read.confidence)
        for one, read in ((one, reading.lines[one.line - 1]) for one in result.lines)
    )
    return replace(result, lines=lines)


def read(picture):
    lines = picture.read_text(encoding="utf-8").splitlines()
    return Reading(str(picture), tuple(
        ReadLine(line.partition("?")[0], 1, (10, 40 * row, 300, 30), 0.6 if "?" in line else 0.99,
                 tuple((other, 0.3) for other in line.split("?")[1:]))
        for row, line in enumerate(lines)
    ))  # fmt: skip


def misbehave(text):
    match text:
        case "crash":
            os.kill(os.getpid(), signal.SIGKILL)
        case "crash once":
            flag = Path(os.environ["MARKING_FLAG"])
            if not flag.exists():
                flag.touch()
                os.kill(os.getpid(), signal.SIGKILL)
        case "hang":
            time.sleep(600)
        case "hog":
            hoard = bytearray(200 << 20)
            time.sleep(600)
            del hoard
        case "raise":
            raise ZeroDivisionError("within the checker")
        case "unusable":
            raise FileError("script", "is nothing that can be read")
        case "slow":
            time.sleep(0.2)


def judged(text, picture=False):
    lines, faults, answers = [], [], {}
    for row, raw in enumerate(text.splitlines(), 1):
        if not raw.strip():
            continue
        line, _, kind = raw.partition(" !")
        line, *others = line.split("?")
        status = "fault" if kind else "doubtful" if others else "agrees"
        if kind:
            message = f"a {kind} of the fakes"
            faults.append(Finding(kind, row, (0, 3), line[:3], "whole", f"r{row}", message))
        if said := re.match(r"(PR|RS) = ([-+]?[\d.]+)", line):
            item, written = {"PR": "P-R", "RS": "R-S"}[said[1]], float(said[2])
            answers[item] = (written, row)
            if abs(written - ITEMS[item]) > 0.1 and not faults and not others:
                status = "fault"
                faults.append(Finding("arithmetic", row, (5, 9), said[2], "result", "", "slip"))
        lines.append(LineVerdict(
            row, line, status, line, 1 if picture else None,
            (10, 40 * row, 300, 30) if picture else None,
            (0.6 if others else 0.99) if picture else None, tuple(others),
        ))  # fmt: skip
    found = tuple(answer(item, value, answers.get(item), faults) for item, value in ITEMS.items())
    verdict = "fault" if faults else "agrees"
    if not faults and any(one.status == "missing" for one in found):
        verdict = "unfinished"
    if any(line.status == "doubtful" for line in lines) and not faults:
        verdict = "undecided"
    return Result("working", "sheet", verdict, tuple(faults), tuple(lines), found)


def answer(item, value, found, faults):
    if found is None:
        return Answer(item, value, "kN", "", None, "missing")
    written, row = found
    if abs(written - value) < 0.1:
        status = "agrees"
    else:
        status = "carried" if any(fault.line <= row for fault in faults) else "differs"
    return Answer(item, value, "kN", "tension", written, status)
