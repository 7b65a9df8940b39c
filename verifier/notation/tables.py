"""Tables over several rows: which column holds the value of what stands first in a row.

A row that gives several numbers of one thing (its force, its arm, its moment) is no equation.
Rows keep their length, so that places stay.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from verifier.notation.names import GREEK
from verifier.notation.source import Source

_BARS = re.compile(r"[^|]+")
_TABS = re.compile(r"[^\t]+")
_COLUMNS = re.compile(r"\S+(?:\s\S+)*")
_COMMAS, _SEMICOLONS = re.compile(r"[^,]+"), re.compile(r"[^;]+")
_CSV = re.compile(
    r"\s*[^\W\d][\w.-]*(?:(?P<c>,)[^\s,;=][^,;=]*(?:,[^\s,;=]?[^,;=]*)+"
    r"|(?P<s>;)[^\s;=][^;=]*(?:;[^\s;=]?[^;=]*)+)"
)
"""A row of a spreadsheet as text: `AC,-437.0,N,compression`."""
_NAME = re.compile(r"[^\W\d]\S*|\d{1,2}\s?[-–]\s?\d{1,2}")
_NUMBER = re.compile(r"[-+]?\s?\d[\d.,]*(?:\s?[^\W\d][\w·]{0,3})?(?:\s?\(?[TCtc+↑↓→←↺↻-]\)?)?")
_UNIT_CELL = re.compile(r"[kM]?N|lbf?|kips?|kgf|[kM]?N[·*]?m{1,2}|m{1,2}|cm|ft|deg|°")
_SUM = re.compile(r"[-+]?[\s(]*\d.*[-+*/×·x^)].*")
_FORCE = re.compile(
    r"\bforces?\b|\bk?N\b(?!\s?/)|\bkips?\b|\blbf?\b|kraft|\beffort|\bfuerza|\bforza|\bsił|\bkracht"
    r"|\besfuerzo|\bsforzo|\bvalue|\bresult",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Cell:
    """One cell of a row: its text and where it stands."""

    text: str
    start: int
    end: int


def laid_out(sources: Sequence[Source], shown: Sequence[tuple[int, str, str]]) -> list[Source]:
    """Return the sources with the rows of tables that hold no `=` put as `name = value`.

    `shown` has the number, the row and the kind (line or frame) of each source.
    """
    found = list(sources)
    for block in _blocks(sources, shown):
        for i in block:
            if row := _with_remark(sources[i].text, _cells(sources[i].text)):
                found[i] = replace(sources[i], text=row)
        rows = {i: cells for i in block if not _held(cells := _cells(sources[i].text))}
        if not rows:
            continue
        first, heads = block[0], _cells(sources[block[0]].text)
        wordy = not any(ch.isdigit() for ch in sources[first].text)
        headed = wordy or (first in rows and not _numbers(heads))
        column = _value_column(heads) if headed else None
        worked = {_worked_at(cells) for cells in rows.values()} - {None}
        column = worked.pop() if column is None and len(worked) == 1 else column
        tally = column is None and any(len(_numbers(cells)) > 1 for cells in rows.values())
        if headed:  # heads such as `T = t·L` say nothing of their own
            found[first] = replace(sources[first], text=" " * len(sources[first].text))
        for index, cells in rows.items():
            text = sources[index].text
            if not (headed and index == first):
                row = " " * len(text) if tally else _row(text, cells, column)
                found[index] = replace(sources[index], text=row)
    return found


def _blocks(
    sources: Sequence[Source], shown: Sequence[tuple[int, str, str]]
) -> Iterator[list[int]]:
    """Yield the indices of the rows of each table; rules between them are left out."""
    block: list[int] = []
    last = 0
    for index, (source, (number, _, kind)) in enumerate(zip(sources, shown, strict=True)):
        row = kind == "line" and len(_cells(source.text)) > 2
        goes_on = number == last + 1 and (row or kind == "frame")
        alike = bool(block) and _separator(source.text) == _separator(sources[block[0]].text)
        if block and not (goes_on and alike):
            yield from [block] if len(block) > 1 else []
            block = []
        block += [index] if row else []
        last = number
    yield from [block] if len(block) > 1 else []


def _separator(text: str) -> str:
    bars, tabs = text.strip().strip("|").count("|"), text.strip().count("\t")
    if not (bars or tabs):
        row = _CSV.fullmatch(text.rstrip())
        return (row["c"] or row["s"]) if row else " "
    return "|" if bars >= tabs else "\t"


def _cells(text: str) -> list[Cell]:
    """Return the cells of a row, one for a line that is no row; empty edges are left out."""
    parts = _PARTS[_separator(text)]
    if parts is _COLUMNS and "  " not in text.strip():
        return []
    found = []
    for match in parts.finditer(text):
        inner = match.group().strip()
        start = match.start() + len(match.group()) - len(match.group().lstrip())
        found.append(Cell(inner, start, start + len(inner)))
    found = [c for i, c in enumerate(found) if c.text or i not in (0, len(found) - 1)]
    return found if parts is not _COLUMNS or _set_in_columns(found) else []


_PARTS = {"|": _BARS, "\t": _TABS, " ": _COLUMNS, ",": _COMMAS, ";": _SEMICOLONS}


def _set_in_columns(cells: list[Cell]) -> bool:
    """Tell whether cells with gaps alone between them make a row: a name and numbers, or heads."""
    if not any(ch.isdigit() for cell in cells for ch in cell.text):
        return True
    told = [cell for cell in cells[1:] if not _number(cell)]
    named = _NAME.fullmatch(cells[0].text) is not None
    return named and len(_numbers(cells)) > 1 and all(cell.text.isalpha() for cell in told)


def _held(cells: list[Cell]) -> bool:
    """Tell whether a row holds an equation: `A_y = 8`, or `=` in a cell of its own."""
    return any("=" in cell.text[1:] or cell.text in ("=", "= 0") for cell in cells)


def _number(cell: Cell) -> bool:
    return _NUMBER.fullmatch(cell.text) is not None


def _value_column(heads: list[Cell]) -> int | None:
    """Return the one column that is headed as a force's, None where none or several are."""
    columns = [index for index, cell in enumerate(heads) if index and _FORCE.search(cell.text)]
    return columns[0] if len(columns) == 1 else None


def _numbers(cells: list[Cell]) -> list[int]:
    return [index for index, cell in enumerate(cells) if index and _number(cell)]


def _worked_at(cells: list[Cell]) -> int | None:
    """Return the one number that stands right behind what it is worked out from, if one does."""
    after = [index for index in _numbers(cells) if index > 1 and _worked(cells[index - 1])]
    return after[0] if len(after) == 1 else None


def _row(text: str, cells: list[Cell], column: int | None) -> str:
    """Return a row as `name = sum = value sense`, or blank where it gives no one value."""
    numbers = _numbers(cells)
    if column is None and len(numbers) == 1:
        column = numbers[0]
    if not numbers:
        return text
    if column not in numbers or column is None or not _names_a_force(cells[0].text):
        return " " * len(text)
    first = column - 1 if column > 1 and _worked(cells[column - 1]) else column
    row = [" "] * len(text)
    for index in (0, *range(first, len(cells))):
        cell = cells[index]
        if index > column and index in numbers:
            continue
        csv = text[cell.start - 1 : cell.start] in (",", ";") and index > column
        if csv and any(ch.isdigit() for ch in cell.text):
            continue  # a remark on how it was worked out
        row[cell.start : cell.end] = cell.text.lstrip("= ").rjust(len(cell.text))
        if index:
            unit = csv and _UNIT_CELL.fullmatch(cell.text)
            row[cell.start - 1] = "=" if index <= column else " " if unit else ","
    return "".join(row)


def _with_remark(text: str, cells: list[Cell]) -> str:
    """Return `| DE | +5.66 | tension | 5.66·0.7 = 4 |` as its value and what is said of it.

    Only where the equation stands in a cell behind the value; '' for any other row.
    """
    told = len(cells) > 2 and _names_a_force(cells[0].text) and _number(cells[1])
    behind = [cell for cell in cells[2:] if "=" in cell.text]
    if not told or len(behind) != 1 or not _held(cells) or behind[0] is not cells[-1]:
        return ""
    row = [" "] * len(text)
    for cell in cells:
        row[cell.start : cell.end] = cell.text
    row[cells[1].start - 1] = "="
    row[behind[0].start - 1] = ";"
    return "".join(row)


def _names_a_force(text: str) -> bool:
    """Tell whether a row begins with a name, and with no word such as 'total'."""
    worded = len(text) > 2 and text.isalpha() and text[1:].islower() and text.lower() not in GREEK
    return _NAME.fullmatch(text) is not None and not worded


def _worked(cell: Cell) -> bool:
    """Tell whether a cell holds what a value is worked out from: `-10.25/0.6`, `= BC`."""
    return bool(_SUM.fullmatch(cell.text)) or cell.text.startswith("=")
