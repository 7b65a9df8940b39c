"""Results as JSON text and back, so that the ledger holds whole findings and not a pickle."""

import json
from dataclasses import asdict
from typing import Any

from verifier.findings import Answer, Assumed, Finding, LineVerdict, Result
from verifier.marking.pages import Lines
from verifier.reading.lines import ReadLine


def dump(result: Result) -> str:
    """Return a result as JSON in one fixed form: the same result gives the same bytes."""
    return json.dumps(asdict(result), sort_keys=True, separators=(",", ":"))


def load(text: str) -> Result:
    """Return the result that `dump` wrote."""
    data = json.loads(text)
    return Result(
        working=data["working"],
        given=data["given"],
        verdict=data["verdict"],
        faults=tuple(_finding(fault) for fault in data["faults"]),
        lines=tuple(_line(line) for line in data["lines"]),
        answers=tuple(Answer(**answer) for answer in data["answers"]),
        assumed=tuple(Assumed(**name) for name in data["assumed"]),
        cautions=tuple(data["cautions"]),
        remarks=tuple(_finding(remark) for remark in data["remarks"]),
        notes=tuple(data["notes"]),
    )


def dump_reading(lines: Lines) -> str:
    """Return read lines as JSON in one fixed form: a reading before anybody corrected it."""
    return json.dumps([asdict(line) for line in lines], sort_keys=True, separators=(",", ":"))


def load_reading(text: str) -> Lines:
    """Return the lines that `dump_reading` wrote."""
    return tuple(_read_line(line) for line in json.loads(text))


def _finding(data: dict[str, Any]) -> Finding:
    changed: dict[str, Any] = {key: tuple(data[key]) for key in ("columns", "repeats")}
    box = data["box"]
    return Finding(**(data | changed | {"box": tuple(box) if box else None}))


def _line(data: dict[str, Any]) -> LineVerdict:
    box = data["box"]
    changed = {"alternatives": tuple(data["alternatives"]), "box": tuple(box) if box else None}
    return LineVerdict(**(data | changed))


def _read_line(data: dict[str, Any]) -> ReadLine:
    box = data["box"]
    changed = {
        "box": tuple(box) if box else None,
        "alternatives": tuple((text, chance) for text, chance in data["alternatives"]),
        "char_boxes": tuple(tuple(one) if one else None for one in data["char_boxes"]),
        "certainties": tuple(data.get("certainties", ())),
    }
    return ReadLine(**(data | changed))
