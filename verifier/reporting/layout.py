"""Lines of text on a terminal: wrapping with a hanging indent, and marking a term in a line."""

import unicodedata
from dataclasses import dataclass, field

from rich.cells import cell_len, chop_cells
from rich.console import Console
from rich.text import Text

_HIDDEN = frozenset(("Cc", "Cf", "Cs", "Co", "Zl", "Zp"))
_ROWS = 6

WIDEST = 120
"""Columns beyond which no line goes, however wide the terminal: longer ones are hard to read."""


@dataclass
class Paper:
    """What is to be printed, row by row, for one width."""

    width: int
    rows: list[Text] = field(default_factory=list)

    def say(self, text: str, style: str = "", indent: int = 0, hang: int | None = None) -> None:
        """Add a paragraph, wrapped; rows after the first stand at `hang` (else `indent`)."""
        after = indent if hang is None else hang
        first = True
        for row in wrap(text, self.width - indent, self.width - after):
            self.rows.append(Text(" " * (indent if first else after) + row, style))
            first = False

    def pair(self, label: str, text: str, at: int, indent: int = 2, style: str = "") -> None:
        """Add a label and, from column `at` on, its text."""
        room = max(self.width - at, 10)
        rows = wrap(text, room, room) or [""]
        head = padded(" " * indent + inert(label), at - 1) + " "
        for number, row in enumerate(rows):
            before = head if number == 0 else " " * at
            self.rows.append(Text.assemble(before, (row, style)))

    def kept(self, text: str, indent: int = 0) -> None:
        """Add lines that somebody will copy: as they are, however wide."""
        self.rows += [Text(" " * indent + inert(line)) for line in text.splitlines()]

    def marked(self, text: str, columns: tuple[int, int], indent: int = 4) -> None:
        """Add a written line with carets under the given columns."""
        for row, carets in mark(text, columns, self.width - indent):
            self.rows.append(Text(" " * indent + row))
            if carets:
                self.rows.append(Text(" " * indent + carets, "mark"))

    def gap(self) -> None:
        """Add an empty row, never two in a row."""
        if self.rows and self.rows[-1].plain:
            self.rows.append(Text(""))

    def print(self, to: Console) -> None:
        """Print the rows as they are."""
        while self.rows and not self.rows[-1].plain:
            self.rows.pop()
        for row in self.rows:
            row.rstrip()
            to.print(row, no_wrap=True, overflow="ignore", crop=False)


def padded(text: str, width: int) -> str:
    """Return text with blanks up to a number of cells."""
    return text + " " * (width - cell_len(text))


def inert(text: str) -> str:
    r"""Return text of the same length in which nothing steers a terminal: one sign for one sign.

    >>> inert("a\x1b[31mb\tc")
    'a�[31mb c'
    """
    return "".join(_shown(char) for char in text)


def wrap(text: str, first: int, rest: int) -> list[str]:
    """Return text broken into rows of `first` and then `rest` cells, words longer than that cut."""
    rows: list[str] = []
    row = ""
    for word in inert(text).split(" "):
        for piece in chop_cells(word, max(rest, 8)) or [""]:
            room = max(rest if rows else first, 8)
            longer = f"{row} {piece}" if row else piece
            if row and cell_len(longer) > room:
                rows.append(row)
                row = piece
            else:
                row = longer
    return [*rows, row] if row else rows


def mark(text: str, columns: tuple[int, int], width: int) -> list[tuple[str, str]]:
    """Return a line's rows, each with its row of carets ('' where nothing is marked).

    A line of more than six rows is shown around its mark alone.
    """
    shown = inert(text)
    start = min(max(columns[0], 0), len(shown))
    end = max(min(columns[1], len(shown)), start + 1)
    if cell_len(shown) > _ROWS * width:
        shown, start, end = _window(shown, start, end, width)
    rows: list[tuple[str, str]] = []
    for first, last in _breaks(shown, width):
        low, high = max(start, first), min(end, last)
        at_end = start == last == len(shown)
        carets = ""
        if low < high or at_end:
            size = max(cell_len(shown[low:high]), 1)
            carets = " " * cell_len(shown[first:low]) + "^" * size
        rows.append((shown[first:last].rstrip() if not at_end else shown[first:last], carets))
    return rows


def _window(text: str, start: int, end: int, width: int) -> tuple[str, int, int]:
    low = max(start - width, 0)
    high = min(max(end, start + 1), start + 3 * width) + width
    before = "…" if low else ""
    after = "…" if high < len(text) else ""
    move = len(before) - low
    return before + text[low:high] + after, start + move, min(end, high) + move


def _breaks(text: str, width: int) -> list[tuple[int, int]]:
    rows: list[tuple[int, int]] = []
    first = 0
    while first < len(text):
        last, cells = first, 0
        while last < len(text) and cells + cell_len(text[last]) <= width:
            cells += cell_len(text[last])
            last += 1
        if last < len(text):
            space = text.rfind(" ", first + width // 2, last)
            last = space + 1 if space > 0 else max(last, first + 1)
        rows.append((first, last))
        first = last
    return rows or [(0, 0)]


def _shown(char: str) -> str:
    if char == "\t":
        return " "
    return "�" if unicodedata.category(char) in _HIDDEN else char
