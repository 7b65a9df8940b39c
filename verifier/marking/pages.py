"""A script's pages as read lines, and a marker's corrections in them.

A script with a picture in it is read once, page after page, into lines with their doubts; these are
what the ledger keeps, what a marker corrects and what is judged again. Typed pages stay text, which
has no doubts. Line N of a working is element N − 1.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from verifier.files import is_picture, open_text
from verifier.findings import LineVerdict, Result
from verifier.marking.desk import Desk
from verifier.reading.lines import ReadLine

Lines = tuple[ReadLine, ...]


@dataclass(frozen=True)
class Correction:
    """A marker's word for one line: it was read as `read` and says `text`."""

    line: int
    read: str
    text: str
    who: str = ""
    when: str = ""


def read_pages(pages: Sequence[Path], desk: Desk) -> tuple[Lines, tuple[str, ...]]:
    """Return the lines of pages of which one at least is a picture, and notes on the reading.

    The lines of several files have the file's number as their page; blank lines are left out.
    Raises `CounterpoiseError` for a page that cannot be used.
    """
    lines: list[ReadLine] = []
    notes: list[str] = []
    for number, page in enumerate(pages, 1):
        if is_picture(page):
            reading = desk.read(page)
            notes += reading.notes
            several = len(pages) > 1
            lines += [replace(one, page=number) if several else one for one in reading.lines]
        else:
            text, more = open_text(page, "working")
            notes += more
            rows = (row for row in text.splitlines() if row.strip())
            lines += [ReadLine(row, number, None, 1.0) for row in rows]
    return tuple(lines), tuple(notes)


def join_text(pages: Sequence[Path]) -> tuple[str, tuple[str, ...], tuple[int, ...]]:
    """Return typed pages as one text, notes, and the page of each of its lines.

    Raises `CounterpoiseError` for a page that cannot be used.
    """
    rows: list[str] = []
    notes: list[str] = []
    numbers: list[int] = []
    for number, page in enumerate(pages, 1):
        text, more = open_text(page, "working")
        here = text.splitlines()
        rows += here
        notes += more
        numbers += [number] * len(here)
    return "\n".join(rows) + "\n", tuple(notes), tuple(numbers)


def on_pages(result: Result, numbers: Sequence[int]) -> Result:
    """Return a result whose lines know on which page of several they stand."""
    lines = tuple(
        replace(line, page=numbers[line.line - 1]) if line.line <= len(numbers) else line
        for line in result.lines
    )
    return replace(result, lines=lines)


def typed_lines(lines: Sequence[LineVerdict]) -> Lines:
    """Return a typed working's lines as read, blank ones in their places."""
    said = {line.line: line for line in lines}
    return tuple(
        ReadLine(said[row].text, said[row].page, None, 1.0)
        if row in said
        else ReadLine("", None, None, 1.0)
        for row in range(1, max(said, default=0) + 1)
    )


def is_typed(lines: Lines) -> bool:
    """Tell whether no line comes from a picture."""
    return all(line.box is None for line in lines)


def as_text(lines: Lines) -> str:
    """Return typed lines as the text that they were."""
    return "".join(f"{line.text}\n" for line in lines) or "\n"


def corrected(
    lines: Lines, corrections: Sequence[Correction]
) -> tuple[Lines, tuple[Correction, ...]]:
    """Return lines with the corrections in them, and those corrections that found no line.

    A correction holds where the line still reads as it did when the marker looked at it; after it
    the line is beyond doubt.
    """
    now = list(lines)
    lost = []
    for one in corrections:
        if one.line > len(now) or lines[one.line - 1].text != one.read:
            lost.append(one)
            continue
        before = now[one.line - 1].saying(one.text, 1.0, ())
        boxes = before.char_boxes if one.text == one.read else ()
        now[one.line - 1] = replace(before, char_boxes=boxes, certainties=())
    return tuple(now), tuple(lost)
