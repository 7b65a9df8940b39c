"""Marks as tables for a spreadsheet. No cell of ours is ever a formula there."""

import csv
import math
import re
from collections.abc import Iterable, Iterator
from datetime import datetime
from importlib import import_module
from itertools import chain, islice
from pathlib import Path
from typing import Any

from verifier.marking.book import Book, Entry
from verifier.marking.eyes import Look
from verifier.marking.scheme import Scheme
from verifier.marking.summary import Summary
from verifier.reporting.marks_files import replacing
from verifier.reporting.marks_summary import summary_rows
from verifier.reporting.words import spoken

Cell = str | float | None
_LONGEST_CELL = 32_000
_MOST_ROWS = 1_048_576
"""Rows that a worksheet can have."""
_STARTS = tuple("=+-@\t\r\n＝＋－＠")
_CONTROLS = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\u200e\u200f\u202a-\u202e\u2066-\u2069]")


def safe(cell: Cell) -> Cell:
    """Return a cell that no spreadsheet takes for a formula: risky text gets an apostrophe.

    >>> safe("=1+1"), safe(-2.5), safe("Ægir")
    ("'=1+1", -2.5, 'Ægir')
    """
    if not isinstance(cell, str):
        return cell
    text = _CONTROLS.sub("�", cell.encode("utf-8", "replace").decode("utf-8"))[:_LONGEST_CELL]
    return f"'{text}" if text.lstrip(" \u00a0").startswith(_STARTS) else text


def head(scheme: Scheme) -> list[Cell]:
    """Return the first row of the marks table."""
    items = [f"{item}{part}" for item in scheme.items for part in ("", " method", " answer")]
    return [
        "script", "total", "out of", "verdict", *items, "first fault", "at line", "faults",
        "look", "decided by", "confirmed lines", "note",
    ]  # fmt: skip


def row_of(entry: Entry, scheme: Scheme) -> list[Cell]:
    """Return a script's row of the marks table."""
    cells: list[Cell] = [entry.shown, _mark(entry.total), _mark(entry.out_of), entry.verdict]
    if entry.final is None:
        cells += [None] * (3 * len(scheme.items))
    else:
        for item in entry.final.marks.items:
            cells += [_mark(item.total), _mark(item.method), _mark(item.answer)]
    result = entry.result
    first = result.first_fault if result else None
    cells += [first.kind if first else "", first.line if first else None]
    cells.append(len(result.faults) if result else None)
    doubt = entry.final is None or (entry.final.marks.provisional and not entry.final.decided)
    who = dict.fromkeys(one.who or "a marker" for one in entry.final.decided) if entry.final else ()
    return [*cells, "yes" if doubt else "", ", ".join(who), entry.confirmed or None, entry.reason]


def attention_rows(ranked: list[Look]) -> Iterator[list[Cell]]:
    """Yield the table of scripts that need an eye, its heading first."""
    yield [
        "script", "why", "lines", "marks at stake", "minutes", "marks a minute",
        "reading decides marks",
    ]  # fmt: skip
    for look in ranked:
        lines = ", ".join(str(line) for line in look.lines)
        yield [
            look.shown, look.why, lines, look.stake, look.minutes, look.worth,
            "yes" if look.decisive else "",
        ]  # fmt: skip


def attention_text(ranked: list[Look]) -> str:
    """Return the same as text for reading, the most worthwhile first."""
    if not ranked:
        return spoken().text("No script needs an eye.") + "\n"
    minutes = max(1, math.ceil(sum(look.minutes for look in ranked)))
    tell = spoken().text
    head = "{count} to look at, about {minutes} min; the most worthwhile first."
    lines = [tell(head, count=len(ranked), minutes=minutes), ""]
    for number, look in enumerate(ranked, 1):
        said = tell(
            "{name}: {stake:g} marks at stake, {minutes:g} min",
            name=look.shown, stake=look.stake, minutes=look.minutes,
        )  # fmt: skip
        lines += [f"{number}. {said}", f"   {causes(look.why)}"]
    return "\n".join(lines) + "\n"


def causes(why: str) -> str:
    """Return why a script needs an eye, in the language spoken."""
    return "; ".join(spoken().message(cause) for cause in why.split("; "))


def write_csv(path: Path, rows: Iterable[list[Cell]]) -> None:
    """Write a table as CSV: UTF-8 with a mark, so that spreadsheets read every script of names."""
    with replacing(path) as place, place.open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.writer(file)
        for row in rows:
            writer.writerow(["" if cell is None else _shown(safe(cell)) for cell in row])


def write_xlsx(path: Path, book: Book, ranked: list[Look], summary: Summary) -> str:
    """Write the workbook: marks, attention, summary. Returns a note where it cannot be written.

    Rows are written as they come (extra `marking`); text is always text, also where it begins
    with an equals sign.
    """
    try:
        writer = import_module("xlsxwriter")
    except ImportError:
        path.unlink(missing_ok=True)  # an old one would no longer be true
        return "marks.xlsx needs the extra `marking`: install counterpoise[marking]"
    with replacing(path) as place:
        workbook = writer.Workbook(
            str(place),
            {
                "constant_memory": True,
                "strings_to_formulas": False,
                "strings_to_urls": False,
                "strings_to_numbers": False,
            },
        )
        workbook.set_properties({"created": datetime(2000, 1, 1), "title": _text(book.title)})
        styles = {
            "bold": workbook.add_format({"bold": True}),
            "quoted": workbook.add_format({"quote_prefix": True}),
        }
        rows = (row_of(entry, book.scheme) for entry in book.entries())
        _sheet(workbook, styles, "Marks", [head(book.scheme)], rows)
        _sheet(workbook, styles, "Attention", [], attention_rows(ranked))
        _sheet(workbook, styles, "Summary", [], summary_rows(summary))
        workbook.close()
    if summary.scripts >= _MOST_ROWS:
        return f"marks.xlsx holds the first {_MOST_ROWS - 1:,} scripts, marks.csv all of them"
    return ""


def _sheet(
    workbook: Any, styles: dict[str, Any], name: str, top: list[list[Cell]], rows: Any
) -> None:
    sheet = workbook.add_worksheet(name)
    sheet.freeze_panes(1, 1)
    sheet.set_column(0, 0, 24)
    for number, row in enumerate(islice(chain(top, rows), _MOST_ROWS)):
        for column, cell in enumerate(row):
            style = styles["bold"] if number == 0 else None
            if isinstance(cell, str):
                if style is None and safe(cell) != cell:
                    style = styles["quoted"]
                sheet.write_string(number, column, _text(cell), style)
            elif cell is not None:
                sheet.write_number(number, column, cell, style)


def _text(cell: str) -> str:
    text = cell.encode("utf-8", "replace").decode("utf-8")[:_LONGEST_CELL]
    return _CONTROLS.sub("�", text)


def _mark(mark: float | None) -> float | None:
    return None if mark is None else round(mark, 2)


def _shown(cell: Cell) -> str:
    return f"{cell:.10g}" if isinstance(cell, float | int) else str(cell)
