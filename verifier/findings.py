"""What a check says: plain frozen data that importing costs nothing, with its JSON form."""

from dataclasses import asdict, dataclass, field
from typing import Any, Literal

Status = Literal["agrees", "fault", "carried", "remark", "unread", "doubtful", "undecided"]
Verdict = Literal["agrees", "fault", "unfinished", "undecided"]
Certainty = Literal["proved", "best explanation", "reading in doubt"]
AnswerStatus = Literal["agrees", "carried", "differs", "missing"]
Box = tuple[int, int, int, int]

KINDS = (
    "sign", "lever-arm", "component", "angle", "magnitude", "missing-force", "extra-force",
    "geometry", "arithmetic", "algebra", "unit", "sense", "inconsistent", "rounding",
)  # fmt: skip


def begun(sentence: str) -> str:
    """Return a sentence with a capital where it begins with a word, not with a name of the working.

    >>> begun("reaction at A turns clockwise."), begun("θ is not the angle here.")
    ('Reaction at A turns clockwise.', 'θ is not the angle here.')
    """
    first = sentence.partition(" ")[0]
    word = first.isalpha() and first.islower() and len(first) > 2
    return sentence[:1].upper() + sentence[1:] if word else sentence


@dataclass(frozen=True)
class Finding:
    """One fault or remark, at its place.

    `line` counts from 1; `columns` are 0-based characters of that line, end excluded; `box` is
    `(x, y, width, height)` in pixels of the page. `repeats` lists later lines with the same fault.
    """

    kind: str
    line: int
    columns: tuple[int, int]
    text: str
    where: str
    expected: str
    message: str
    box: Box | None = None
    certainty: Certainty = "proved"
    repeats: tuple[int, ...] = ()


@dataclass(frozen=True)
class LineVerdict:
    """What became of one written line; `note` is for people, the rest goes into JSON."""

    line: int
    text: str
    status: Status
    reads_as: str = ""
    page: int | None = None
    box: Box | None = None
    confidence: float | None = None
    alternatives: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True)
class Answer:
    """One item of `find`: the solution's value beside what the working says.

    `value` and `written` are in the sheet's units, tension, right, up and anticlockwise positive,
    or an expression as text where the sheet has letters.
    """

    item: str
    value: float | str
    unit: str
    sense: str
    written: float | str | None
    status: AnswerStatus


@dataclass(frozen=True)
class Assumed:
    """What a name was taken to mean, and whether the working said so itself."""

    name: str
    means: str
    declared: bool


@dataclass(frozen=True)
class Result:
    """The whole answer to one working. `remarks` are findings that are not faults (rounding …)."""

    working: str
    given: str | None
    verdict: Verdict
    faults: tuple[Finding, ...] = ()
    lines: tuple[LineVerdict, ...] = ()
    answers: tuple[Answer, ...] = ()
    assumed: tuple[Assumed, ...] = ()
    cautions: tuple[str, ...] = ()
    remarks: tuple[Finding, ...] = ()
    notes: tuple[str, ...] = field(default=())
    another_sheet: bool = False  # the one fault is that another sheet is solved

    @property
    def first_fault(self) -> Finding | None:
        """The fault that comes first in the working, or None."""
        return self.faults[0] if self.faults else None

    def to_json(self) -> dict[str, Any]:
        """Return the object that `--json` prints, built of plain JSON types."""
        return {
            "working": self.working,
            "given": self.given,
            "verdict": self.verdict,
            "first_fault": asdict(self.faults[0]) if self.faults else None,
            "faults": [asdict(fault) for fault in self.faults],
            "lines": [_without(asdict(line), "note") for line in self.lines],
            "answers": [asdict(answer) for answer in self.answers],
            "assumed": [asdict(name) for name in self.assumed],
            "cautions": list(self.cautions),
        }


def _without(fields: dict[str, Any], key: str) -> dict[str, Any]:
    return {name: value for name, value in fields.items() if name != key}
