"""Everything that a marking run leaves in its results folder.

`marks.csv`, `marks.xlsx`, `feedback/SCRIPT.txt`, `attention.csv`, `attention.txt`, `summary.txt`,
`summary.csv`, `summary.svg`. The same class gives the same bytes, whatever order it was judged in;
each file is replaced whole, so a reader never sees half of one.
"""

from collections.abc import Iterator
from itertools import chain
from pathlib import Path

from verifier.marking.book import Book, Entry
from verifier.marking.eyes import Look, in_order, looks
from verifier.marking.summary import Gathering, Summary
from verifier.reporting.marks_feedback import feedback
from verifier.reporting.marks_files import file_name, write_text
from verifier.reporting.marks_picture import picture
from verifier.reporting.marks_summary import summary_rows, summary_text
from verifier.reporting.marks_tables import (
    attention_rows,
    attention_text,
    head,
    row_of,
    write_csv,
    write_xlsx,
)

FEEDBACK = "feedback"


def write_all(book: Book, folder: Path, *, xlsx: bool = True) -> tuple[Summary, list[Look], str]:
    """Write every output; returns the summary, the scripts to look at, and a note ('' if none).

    Raises `OSError` where the folder cannot be written.
    """
    (folder / FEEDBACK).mkdir(parents=True, exist_ok=True)
    gathering = Gathering(book.scheme)
    attention: list[Look] = []
    written: set[str] = set()

    def rows() -> Iterator[list[str | float | None]]:
        for entry in book.entries():
            gathering.take(entry)
            attention.extend(looks([entry]))
            written.add(_write_feedback(entry, book, folder / FEEDBACK))
            yield row_of(entry, book.scheme)

    write_csv(folder / "marks.csv", chain([head(book.scheme)], rows()))
    _clear_away(folder / FEEDBACK, written)
    summary = gathering.summary()
    ranked = in_order(attention)
    write_csv(folder / "attention.csv", attention_rows(ranked))
    write_text(folder / "attention.txt", attention_text(ranked))
    write_csv(folder / "summary.csv", summary_rows(summary))
    write_text(folder / "summary.txt", summary_text(summary))
    write_text(folder / "summary.svg", picture(summary))
    note = ""
    if xlsx:
        note = write_xlsx(folder / "marks.xlsx", book, ranked, summary)
    else:
        (folder / "marks.xlsx").unlink(missing_ok=True)  # an old one would no longer be true
    return summary, ranked, note


def _write_feedback(entry: Entry, book: Book, folder: Path) -> str:
    name = file_name(entry.shown)
    write_text(folder / name, feedback(entry, book))
    return name.casefold()


def _clear_away(folder: Path, written: set[str]) -> None:
    """Remove the feedback of scripts that are no longer in the class."""
    for path in folder.glob("*.txt"):
        if path.name.casefold() not in written:
            path.unlink(missing_ok=True)
