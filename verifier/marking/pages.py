"""Several pages as one working, and a working with a marker's corrections in it.

Both go to the checker as text, doubtful places in the form that `read` prints and `check` takes
(`⟦7|1⟧`, likeliest first); what the text cannot hold (page, box, confidence) is laid back on the
lines afterwards.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from verifier.files import is_picture, open_text
from verifier.findings import Finding, LineVerdict, Result
from verifier.marking.desk import Desk


@dataclass(frozen=True)
class Correction:
    """A marker's word for one line: it was read as `read` and says `text`."""

    line: int
    read: str
    text: str
    who: str = ""
    when: str = ""


def joined(pages: Sequence[Path], desk: Desk) -> tuple[LineVerdict, ...]:
    """Return the lines of several pages, numbered down the pages, not judged yet.

    Raises `CounterpoiseError` for a page that cannot be used.
    """
    lines: list[LineVerdict] = []
    for number, page in enumerate(pages, 1):
        if is_picture(page):
            for read in desk.read(page).lines:
                lines.append(
                    LineVerdict(
                        line=len(lines) + 1,
                        text=read.text,
                        status="unread",
                        page=number,
                        box=read.box,
                        confidence=read.confidence,
                        alternatives=tuple(text for text, _ in read.alternatives),
                    )
                )
        else:
            text, _ = open_text(page, "working")
            lines += [
                LineVerdict(len(lines) + row, written, "unread", page=number)
                for row, written in enumerate(text.splitlines(), 1)
            ]
    return tuple(lines)


def as_text(lines: Sequence[LineVerdict]) -> str:
    """Return lines as a working's text: each in its row, doubtful places marked."""
    rows = {line.line: with_doubt(line.text, line.alternatives) for line in lines}
    last = max(rows, default=0)
    return "".join(rows.get(number, "") + "\n" for number in range(1, last + 1)) or "\n"


def with_doubt(text: str, alternatives: Sequence[str]) -> str:
    """Return a line with what else it may say, marked as narrowly as possible.

    >>> with_doubt("6(2.4) - 7 Sx = 0", ["6(2.4) - 1 Sx = 0"])
    '6(2.4) - ⟦7|1⟧ Sx = 0'
    """
    others = [other for other in dict.fromkeys(alternatives) if other != text]
    whole = [text, *others]
    if not others or any(mark in reading for reading in whole for mark in "⟦⟧|"):
        return text
    start = _alike(whole)
    shortest = min(len(reading) for reading in whole)
    end = min(_alike([reading[::-1] for reading in whole]), shortest - start)
    middles = [reading[start : len(reading) - end] for reading in whole]
    return f"{text[:start]}⟦{'|'.join(middles)}⟧{text[len(text) - end :]}"


def corrected(
    lines: Sequence[LineVerdict], corrections: Sequence[Correction]
) -> tuple[tuple[LineVerdict, ...], tuple[Correction, ...]]:
    """Return lines with the corrections in them, and those corrections that found no line.

    A correction holds where the line still reads as it did when the marker looked at it.
    """
    said = {line.line: line for line in lines}
    lost = []
    for correction in corrections:
        line = said.get(correction.line)
        if line is None or line.text != correction.read:
            lost.append(correction)
            continue
        said[correction.line] = replace(
            line, text=correction.text, alternatives=(), confidence=_sure(line.confidence)
        )
    return tuple(said[number] for number in sorted(said)), tuple(lost)


def laid_back(result: Result, lines: Sequence[LineVerdict]) -> Result:
    """Return a result with the page, box and confidence that its lines had as read."""
    known = {line.line: line for line in lines}
    return replace(
        result,
        lines=tuple(_placed(line, known.get(line.line)) for line in result.lines),
        faults=tuple(_boxed(fault, known) for fault in result.faults),
        remarks=tuple(_boxed(remark, known) for remark in result.remarks),
    )


def _alike(readings: Sequence[str]) -> int:
    """Return how many characters all readings begin with alike."""
    columns = enumerate(zip(*readings, strict=False))
    most = min(len(reading) for reading in readings)
    return next((at for at, letters in columns if len(set(letters)) > 1), most)


def _sure(confidence: float | None) -> float | None:
    return None if confidence is None else 1.0


def _placed(line: LineVerdict, read: LineVerdict | None) -> LineVerdict:
    if read is None:
        return line
    confidence = line.confidence if read.confidence is None else read.confidence
    return replace(
        line,
        page=line.page or read.page,
        box=line.box or read.box,
        confidence=confidence,
        alternatives=line.alternatives or read.alternatives,
    )


def _boxed(finding: Finding, known: dict[int, LineVerdict]) -> Finding:
    line = known.get(finding.line)
    return replace(finding, box=line.box) if line and not finding.box else finding
