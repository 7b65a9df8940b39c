"""The straight road: givens and a working in, a result out. The Python way in as well."""

import gc
import re
from collections.abc import Callable, Collection, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from verifier.errors import FileError, UsageError
from verifier.files import is_picture, open_text, path_of, sheet_beside

if TYPE_CHECKING:
    from verifier.checking.written import Written
    from verifier.findings import Finding, Result
    from verifier.notation.tree import Line, Names
    from verifier.reading.lines import Reading, ReadLine
    from verifier.statics.solution import NoSolution, Solution
    from verifier.structure.model import Structure

__all__ = [
    "Sheet", "check", "check_against", "names_of", "open_sheet", "read", "sheet_beside", "solve",
]  # fmt: skip

DOUBT = ("⟦", "⟧")
"""The brackets of a doubtful place in a reading that was printed as text."""
_CLAIM = re.compile(r"[\d=≈]")
_WORTH_WHOLE = 3e-3  # of the first reading's chance: for less no page is read again


@dataclass(frozen=True)
class Sheet:
    """A sheet made ready once for any number of workings: the figure, its solution, its names."""

    label: str
    structure: "Structure"
    solution: "Solution | NoSolution"
    names: "Names"


def check(
    given: Path | str | None, working: Path | str, *, strict_rounding: bool = False
) -> "Result":
    r"""Check a working against a sheet, or against itself where `given` is None.

    Either is a path or the text itself: a string with a line break in it is text, else the name of
    a file that exists, else text. Raises `CounterpoiseError` for a file or a sheet that cannot be
    used, a structure that equilibrium alone does not solve among them.

    >>> sheet = "joint P 0 0\njoint Q 2 0\nmember P-Q\npin P\nroller Q\nload Q 3 right\nfind P-Q\n"
    >>> check(sheet, "PQ = 3 N (T)\n").verdict
    'agrees'
    """
    sheet = None if given is None else open_sheet(given)
    return check_against(sheet, working, strict_rounding=strict_rounding)


def check_against(
    sheet: Sheet | None,
    working: "Path | str | Reading",
    *,
    strict_rounding: bool = False,
    confirmed: Collection[int] = (),
) -> "Result":
    """Check a working against a sheet made ready, or against itself without one.

    A `Reading` is judged as read: pages read before, or put together of several files.
    `confirmed` are lines of a picture whose likeliest reading a person has confirmed.

    Raises `CounterpoiseError` for a working that cannot be opened or a sheet without a solution.
    """
    from verifier.checking import judge, names_used
    from verifier.notation.tree import Names
    from verifier.statics.solution import NoSolution

    if sheet is not None and not sheet.solution:
        raise FileError(
            sheet.label, f"no working can be held against it: {why_not(sheet.solution)}"
        )
    if sheet is None:  # read once for the names, once more with them
        working = _pages(working)
    written, notes = _written(working, sheet.names if sheet else Names())
    if sheet is None:
        written, notes = _written(working, names_used(written))
    _must_be_lines(confirmed, written)
    written = tuple(_settled(one) if one.line.number in confirmed else one for one in written)
    with _uncollected():
        result = judge(
            sheet.structure if sheet else None,
            sheet.solution if sheet and sheet.solution else None,
            written,
            working=_label(working, "working"),
            given=sheet.label if sheet else None,
            strict_rounding=strict_rounding,
        )
    known = sheet.solution.notes if sheet and not isinstance(sheet.solution, NoSolution) else ()
    cautions = (*known, *result.cautions)
    return replace(_placed(result, written), notes=(*result.notes, *notes), cautions=cautions)


@contextmanager
def _uncollected() -> Iterator[None]:
    """Put off the search for cycles: judging makes few, and spent a tenth of its time on it."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _must_be_lines(confirmed: Collection[int], written: "Sequence[Written]") -> None:
    unknown = sorted(set(confirmed) - {one.line.number for one in written})
    if unknown:
        last = max((one.line.number for one in written), default=0)
        listed = ", ".join(map(str, unknown[:6]))
        raise UsageError(
            f"--confirmed: there is no line {listed}", f"its lines are numbered to {last}"
        )


def solve(given: Path | str) -> "Solution | NoSolution":
    """Return the independent solution of a sheet, or the falsy reason why there is none.

    Raises `CounterpoiseError` for a sheet that cannot be used.
    """
    return open_sheet(given).solution


def read(picture: Path | str, names: "Names | None" = None) -> "Reading":
    """Read a picture or PDF of a working; `names` are those that the working may use, if known.

    Raises `CounterpoiseError` for a file that is missing or not a picture.
    """
    from verifier.notation.tree import Names
    from verifier.reading import read_picture

    path = path_of(picture)
    if path is None:
        raise FileError(str(picture), "there is no such file")
    return read_picture(path, names or Names())


def open_sheet(given: Path | str) -> Sheet:
    """Read a sheet and solve it. Raises `CounterpoiseError` for one that cannot be used."""
    from verifier.statics import solve as solve_structure
    from verifier.structure import read_sheet

    label = _label(given, "sheet")
    text, _ = open_text(given, "sheet")
    if not text.strip():
        raise FileError(label, "the sheet is empty", "`counterpoise new` writes one to start from")
    structure = read_sheet(text, label)
    return Sheet(label, structure, solve_structure(structure), names_of(structure))


def names_of(structure: "Structure") -> "Names":
    """Return the names that a working on this structure may use: plain strings, no values."""
    from verifier.checking.sheet_names import names_of as names_in

    return names_in(structure)


def _placed(result: "Result", written: "Sequence[Written]") -> "Result":
    """Give each finding its place on the page: the boxes of its characters, else of its line."""
    on_page = {one.line.number: one for one in written if one.box is not None}
    if not on_page:
        return result
    return replace(
        result,
        faults=tuple(_boxed(fault, on_page.get(fault.line)) for fault in result.faults),
        remarks=tuple(_boxed(remark, on_page.get(remark.line)) for remark in result.remarks),
    )


def _boxed(finding: "Finding", written: "Written | None") -> "Finding":
    if written is None or finding.box is not None:
        return finding
    start, end = finding.columns
    boxes = [box for box in written.char_boxes[start:end] if box is not None]
    if not boxes:
        return replace(finding, box=written.box)
    x, y = min(box[0] for box in boxes), min(box[1] for box in boxes)
    right = max(box[0] + box[2] for box in boxes)
    low = max(box[1] + box[3] for box in boxes)
    return replace(finding, box=(x, y, right - x, low - y))


def _pages(working: "Path | str | Reading") -> "Path | str | Reading":
    """Read a picture once, whatever names its lines are then read with."""
    from verifier.reading.lines import Reading

    path = None if isinstance(working, Reading) else path_of(working)
    return read(path) if path is not None and is_picture(path) else working


def _settled(written: "Written") -> "Written":
    return replace(written, others=(), confidence=1.0)


def _written(
    working: "Path | str | Reading", names: "Names"
) -> tuple[tuple["Written", ...], tuple[str, ...]]:
    from verifier.checking.written import Written
    from verifier.notation import read_working
    from verifier.reading.lines import Reading

    if isinstance(working, Reading):
        return _read_lines(working, names)
    path = path_of(working)
    if path is not None and is_picture(path):
        return _read_lines(read(path, names), names)
    text, notes = open_text(working, "working")
    if all(bracket in text for bracket in DOUBT):
        from verifier.reading import from_text

        lines, more = _read_lines(from_text(text, _label(working, "working")), names)
        return lines, (*notes, *more)
    latex = path is not None and path.suffix.lower() == ".tex"
    return tuple(Written(line) for line in read_working(text, names, latex=latex)), notes


def _read_lines(
    reading: "Reading", names: "Names"
) -> tuple[tuple["Written", ...], tuple[str, ...]]:
    from verifier.checking.written import Written
    from verifier.notation.working import line_reader

    rows = [" ".join(read.text.split("\n")) for read in reading.lines]
    whole = _lines_of(rows, names)
    alone = line_reader("\n".join(rows), names)
    written = [
        Written(
            line=replace(whole[number], page=read.page),
            others=tuple(_other_readings(reading, rows, whole, number, names, alone)),
            confidence=read.confidence,
            page=read.page,
            box=read.box,
            char_boxes=read.char_boxes,
            certainties=read.certainties,
            by_hand=read.reader == "hand",
        )
        for number, read in enumerate(reading.lines, 1)
    ]
    return tuple(written), reading.notes


def _lines_of(rows: list[str], names: "Names") -> dict[int, "Line"]:
    """Read the lines of a page as one working: sums that run over lines are joined."""
    from verifier.notation import read_line, read_working

    found = {line.number: line for line in read_working("\n".join(rows), names)}
    for number, row in enumerate(rows, 1):
        if number not in found:
            found[number] = read_line(row, number, names)
    return found


def _other_readings(
    reading: "Reading",
    rows: list[str],
    whole: dict[int, "Line"],
    number: int,
    names: "Names",
    alone: "Callable[[str, int], Line]",
) -> Iterator[tuple["Line", float]]:
    """Yield what a line may be instead, with the line above where the two are one sum.

    `alone` reads a line by itself as the page is read.
    """
    from verifier.notation import read_line
    from verifier.reading.mixed import mixed

    read = reading.lines[number - 1]
    for way in (partial(read_line, names=names), alone):
        if whole[number].parts != way(read.text, number).parts:
            continue
        known: dict[str, Line] = {}
        for text, chance in (*read.alternatives, *(mixed(read) if _claims(read) else ())):
            if text not in known:
                known[text] = way(text, number)
            yield known[text], chance
        return
    for place in (number - 1, number) if number > 1 else (number,):
        least = _WORTH_WHOLE * reading.lines[place - 1].confidence
        for text, chance in reading.lines[place - 1].alternatives:
            if chance >= least:
                changed = [*rows[: place - 1], " ".join(text.split("\n")), *rows[place:]]
                yield _lines_of(changed, names)[number], chance


def _claims(read: "ReadLine") -> bool:
    """Tell whether a line may say anything that is judged: it has a figure or an equals sign."""
    return any(_CLAIM.search(text) for text in (read.text, *(way for way, _ in read.alternatives)))


def why_not(solution: "Solution | NoSolution") -> str:
    """Return in words why a structure has no solution, or '' where it has one."""
    from verifier.statics.solution import NoSolution

    if not isinstance(solution, NoSolution):
        return ""
    if solution.reason == "not solved":
        return f"not solved: {solution.detail}"
    article = "a " if solution.reason == "mechanism" else ""
    return (
        f"equilibrium alone does not solve it, it is {article}{solution.reason}: {solution.detail}"
    )


def _label(source: "Path | str | Reading", otherwise: str) -> str:
    if not isinstance(source, Path | str):
        return source.path
    path = path_of(source)
    return otherwise if path is None else str(source)
