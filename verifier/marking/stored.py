"""Results as JSON text and back, so that the ledger holds whole findings and not a pickle."""

import json
from dataclasses import asdict
from typing import Any

from verifier.findings import Answer, Assumed, Finding, LineVerdict, Result


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


def dump_lines(lines: tuple[LineVerdict, ...]) -> str:
    """Return lines alone as JSON: a script's reading before anybody corrected it."""
    return json.dumps([asdict(line) for line in lines], sort_keys=True, separators=(",", ":"))


def load_lines(text: str) -> tuple[LineVerdict, ...]:
    """Return the lines that `dump_lines` wrote."""
    return tuple(_line(line) for line in json.loads(text))


def _finding(data: dict[str, Any]) -> Finding:
    changed: dict[str, Any] = {key: tuple(data[key]) for key in ("columns", "repeats")}
    box = data["box"]
    return Finding(**(data | changed | {"box": tuple(box) if box else None}))


def _line(data: dict[str, Any]) -> LineVerdict:
    box = data["box"]
    changed = {"alternatives": tuple(data["alternatives"]), "box": tuple(box) if box else None}
    return LineVerdict(**(data | changed))
