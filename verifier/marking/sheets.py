"""Tables that a marker hands in: candidate numbers, decisions, marks given by hand. All CSV."""

import csv
import io
import math
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from pathlib import Path

from verifier.errors import FileError
from verifier.files import decode
from verifier.marking.options import Override

_LARGEST = 50_000_000
_HEADS = {"script", "name", "file", "candidate", "working"}


def table(path: Path) -> Iterator[tuple[int, list[str]]]:
    """Yield a CSV file's rows with their line numbers; commas, semicolons or tabs between cells.

    Raises `FileError` for a file that cannot be used.
    """
    try:
        if path.stat().st_size > _LARGEST:
            raise FileError(str(path), f"more than {_LARGEST:,} bytes are too many for a table")
        data = path.read_bytes()
    except OSError as error:
        raise FileError(str(path), f"cannot be opened ({error.strerror})") from None
    text, _ = decode(data, str(path))
    first = text.partition("\n")[0]
    between = max(",;\t", key=lambda mark: (first.count(mark), mark == ","))
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=between)
    try:
        for row in rows:
            cells = [_plain(cell) for cell in row]
            if any(cells):
                yield rows.line_num, cells
    except csv.Error as error:
        raise FileError(str(path), f"line {rows.line_num} is no row of a table ({error})") from None


def read_numbers(path: Path) -> dict[str, str]:
    """Read candidate numbers: script, number. Raises `FileError`."""
    numbers: dict[str, str] = {}
    taken: set[str] = set()
    for line, row in table(path):
        if line == 1 and row[0].casefold() in _HEADS:
            continue
        if len(row) < 2 or not row[0] or not row[1]:
            said = f"line {line} has no script and number"
            raise FileError(str(path), said, "as in «anna.txt,17»")
        if row[1] in taken:
            raise FileError(str(path), f"line {line} gives number {row[1]} a second time")
        taken.add(row[1])
        numbers[row[0]] = row[1]
    return numbers


def read_overrides(path: Path, who: str) -> list[Override]:
    """Read decisions: script, item, marks, why[, who]; no marks take a decision back."""
    found = []
    for line, row in table(path):
        if line == 1 and row[0].casefold() in _HEADS:
            continue
        if len(row) < 4 or not row[3]:
            raise FileError(
                str(path), f"line {line} has no script, item, marks and why",
                "as in «anna.txt,P-R,2,arm read wrongly»",
            )  # fmt: skip
        marks = number(row[2], path, line) if row[2] else None
        by = row[4] if len(row) > 4 and row[4] else who
        found.append(Override(row[0], row[1], "", marks, by, row[3]))
    return found


def read_hand_marks(path: Path, items: Iterable[str]) -> dict[str, dict[str, float]]:
    """Read marks given by hand: a heading row `script, ITEM …, total`, then a row a script.

    The headings of the tool's own table are understood too. Raises `FileError`.
    """
    rows = table(path)
    _, head = next(rows, (0, []))
    wanted = {" ".join(item.casefold().split()): item for item in items}
    wanted |= {"total": "", "marks": "", "mark": ""}
    columns = {at: wanted[key] for at, cell in enumerate(head) if (key := _key(cell)) in wanted}
    if not columns or _key(head[0]) not in _HEADS:
        raise FileError(
            str(path), "its first row does not name a script's column and items or a total",
            "as in «script,P-R,total»",
        )  # fmt: skip
    marks: dict[str, dict[str, float]] = {}
    for line, row in rows:
        given = {
            item: number(row[at], path, line)
            for at, item in columns.items()
            if at < len(row) and row[at]
        }
        if row[0] and given:
            marks[row[0]] = given
    return marks


def finder(scripts: Collection[str], numbers: Mapping[str, str]) -> Callable[[str], str | None]:
    """Return what finds the script that a marker means: name, number, or name without ending."""
    known: dict[str, str | None] = {}
    for script in scripts:
        stem = Path(script).stem
        known[stem] = None if stem in known else script  # two of them: nobody can tell
    known |= {number: script for script, number in numbers.items()}
    known |= {script: script for script in scripts}
    return known.get


def number(cell: str, path: Path, line: int) -> float:
    """Return a cell's number, decimal comma or point. Raises `FileError`."""
    try:
        value = float(cell.replace(",", ".").replace("½", ".5"))
    except ValueError:
        raise FileError(str(path), f"line {line}: {cell!r} is not a number of marks") from None
    if not math.isfinite(value) or abs(value) > 1e6:
        raise FileError(str(path), f"line {line}: {cell!r} is not a number of marks")
    return value


def _plain(cell: str) -> str:
    """Take off the apostrophe with which our own tables keep text from being a formula."""
    cell = cell.strip()
    return cell[1:] if cell[:1] == "'" and cell[1:2] in tuple("=+-@\t＝＋－＠") else cell


def _key(cell: str) -> str:
    return " ".join(cell.casefold().split())
