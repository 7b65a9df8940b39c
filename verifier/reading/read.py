"""A picture or PDF → its lines of text: which way up, which reader, how sure."""

from collections.abc import Sequence
from pathlib import Path
from typing import Literal

from verifier.notation.tree import Names
from verifier.reading import page, picture, printed
from verifier.reading.ink import Pixels
from verifier.reading.lines import Reading, ReadLine
from verifier.reading.page import Page
from verifier.reading.printing import Lattice

Kind = Literal["auto", "print", "hand"]

MOST_LINES = 300
_CLEAR = 0.86  # print that is told as surely as this is the right way up
_PRINTED = 0.5  # how far two readers of print must agree for a line to be print
_MOSTLY = 0.3  # … on a page whose other lines are print


def read_picture(path: str | Path, names: Names | None = None, kind: Kind = "auto") -> Reading:
    """Read a picture or PDF of a working, printed or handwritten, into lines with their doubt.

    `names` are those that the working may use (no values): they help to tell look-alikes apart.
    `kind` says that all is print or all is by hand; 'auto' tells each line by itself. Raises
    `FileError` where the file is no picture that can be read, `UsageError` where Tesseract is
    missing.
    """
    known = names or Names()
    lines: list[ReadLine] = []
    notes: list[str] = []
    for number, photo in enumerate(picture.pages(path), 1):
        sheet, glyphs = _right_way_up(photo, page.lay_out(photo, number))
        if len(sheet.lines) > MOST_LINES:
            notes.append(f"page {number}: too much on it for a page of working; left out")
            continue
        found = _read_page(sheet, glyphs, known, kind)
        if not found:
            notes.append(f"page {number}: no lines of writing were found on it")
        lines += found
    return Reading(str(path), tuple(lines), tuple(notes))


def _right_way_up(photo: Pixels, sheet: Page) -> tuple[Page, list[Lattice]]:
    """Turn a page that stands on its head: print is told more surely the right way up."""
    if len(sheet.lines) > MOST_LINES:
        return sheet, []
    glyphs = printed.glyphs_of(sheet.lines)
    clear = printed.legible(glyphs)
    if clear >= _CLEAR or not sheet.lines:
        return sheet, glyphs
    other = page.turned(photo, sheet)
    upset = printed.glyphs_of(other.lines)
    return (other, upset) if printed.legible(upset) > clear + 0.03 else (sheet, glyphs)


def _read_page(sheet: Page, glyphs: Sequence[Lattice], names: Names, kind: Kind) -> list[ReadLine]:
    everything = list(range(len(sheet.lines)))
    seen = [] if kind == "hand" else printed.look(sheet.lines, glyphs)
    hand = {"hand": everything, "print": []}.get(kind)
    if hand is None:
        hand = _handwritten(seen)
    found: list[ReadLine | None] = [None] * len(sheet.lines)
    for i, one in enumerate(seen):
        if i not in hand:
            found[i] = printed.write(one, names, sheet.number)
    if hand:
        from verifier.reading import handwritten

        lines = handwritten.read([sheet.lines[i] for i in hand], names, sheet.number)
        for i, line in zip(hand, lines, strict=True):
            found[i] = line
    return [line for line in found if line is not None]


def _handwritten(seen: Sequence[printed.Seen]) -> list[int]:
    """Tell which lines are by hand: the two readers of print cannot agree about them."""
    if not seen:
        return []
    weights = [one.glyphs.count for one in seen]
    total = sum(weights) or 1
    page_wide = sum(w * one.agreement for w, one in zip(weights, seen, strict=True)) / total
    least = _MOSTLY if page_wide > 0.6 else _PRINTED
    if page_wide < 0.4:
        least = 0.8
    return [i for i, one in enumerate(seen) if one.agreement < least]
