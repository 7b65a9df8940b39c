"""A picture or PDF → its lines of text: which way up, which reader, how sure."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING, Literal

from verifier.notation.tree import Names
from verifier.reading import (
    lacking,
    letter_size,
    lost_point,
    memory,
    numbered,
    page,
    picture,
    print_or_hand,
    printed,
    recurring,
    spelt,
)
from verifier.reading.ink import Pixels
from verifier.reading.lines import Reading, ReadLine
from verifier.reading.page import Page, PageLine
from verifier.reading.print_or_hand import Hand
from verifier.reading.printing import Lattice

if TYPE_CHECKING:
    from verifier.reading.handwritten import Known

Kind = Literal["auto", "print", "hand"]

MOST_LINES = 300
# How far the two readers of print agree, glyph by glyph: upright print 0.65 and more over a page
# and 0.5 over a line, print on its head up to 0.6, handwriting less but for the neatest hands.
_PRINT = 0.65
_LINE = 0.5
_STANDS_OUT = 0.15  # by how much more they agree on a line of print on a page by hand
_COMPANY = 16  # glyphs for which the rest of the page counts: a short line tells little by itself
_SURE = 0.8
# how clearly lines read that stand upright, with what the margins say: of pages measured upright
# ones came to 0.91 and more, those on their head to 0.67 at most
_UPRIGHT = 0.85
_FEW_GLYPHS = 45  # that a line may hold: on a page by hand, fewer tell no print
_HARDLY = 0.2  # so little does a hand that nobody can read say
_RULE = re.compile(  # of a table: no line of writing, its strokes like ones and arrows by hand
    r"(?=.*\|)(?=(?:.*[-−]){3})[|\-−:+ ]+|(?=(?:.*[-−]){4})[|1lI↑↓\[\]\-− ]+"
    r"|(?=(?:.*\|){5})[|1lI\-− ]+"
)
_INDENT = "    "
_INSET = 1.2  # letter heights by which such a line begins further in
_GOES_ON = frozenset("+-−=·×*/")
_MORE = re.compile(r"[+×/]\s?(?:\d|\(\d|[A-Z]\w?[_\d])(?!.*Σ)")  # nothing else begins so
_FEW = 4  # lines from which a margin can be told …
_MARGIN = 0.15  # … and what it counts for
_MARKS = 6  # rows from which a picture that is no page can be told
_LONG, _LEVEL = 6.0, 2.5  # letters of a longer row, and within which rows begin level
_NOISE = 0.06  # how surely such a picture's rows are read, taken together
_TRIED = 4


@dataclass(frozen=True)
class _Sheet:
    """A page, and its lines as the readers of print see them; none where all is by hand."""

    page: Page
    seen: tuple[printed.Seen, ...]

    @property
    def agreement(self) -> float:
        """How far the readers of print agree over the whole page, 0 to 1."""
        weights = [one.glyphs.count for one in self.seen]
        pairs = zip(weights, self.seen, strict=True)
        return sum(w * one.agreement for w, one in pairs) / max(1, sum(weights))

    @property
    def standing(self) -> tuple[float, ...]:
        """How far they agree over each line, short lines leaning on the page that they stand on."""
        whole = self.agreement
        return tuple(
            (one.glyphs.count * one.agreement + _COMPANY * whole) / (one.glyphs.count + _COMPANY)
            for one in self.seen
        )


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
        sheet = page.lay_out(photo, number)
        if len(sheet.lines) > MOST_LINES:
            notes.append(f"page {number}: too much on it for a page of working; left out")
            continue
        found = []
        if not _is_no_page(sheet):
            found = _read_page(_right_way_up(photo, sheet, known, kind), known, kind)
            memory.give_back()
        if not found or _is_noise(found):
            notes.append(f"page {number}: no lines of writing were found on it")
            continue
        lines += found
    return Reading(str(path), tuple(lines), tuple(notes))


def _is_no_page(sheet: Page) -> bool:
    """Whether the marks are those of a picture of something else: many, and hardly any in rows.

    Rows that begin at one margin are writing, however many specks lie beside them.
    """
    wide = [line.pixels.shape[1] / line.letter for line in sheet.lines]
    if len(wide) < _MARKS or _have_margin(sheet):
        return False
    return bool(median(wide) < (5.5 if len(wide) >= 2 * _MARKS else 4.0))


def _have_margin(sheet: Page) -> bool:
    """Whether the longer rows begin at one margin."""
    starts = [
        line.origin[0] / line.letter
        for line in sheet.lines
        if line.pixels.shape[1] > _LONG * line.letter
    ]
    level = max((sum(0 <= other - one < _LEVEL for other in starts) for one in starts), default=0)
    return level >= max(_MARKS - 1, 0.6 * len(starts))


def _is_noise(found: list[ReadLine]) -> bool:
    """Whether what was read is no writing: many rows, of which none reads with any certainty."""
    signs = sum(len(line.text) for line in found)
    sure = sum(len(line.text) * line.confidence for line in found)
    return len(found) >= 2 * _MARKS and sure < _NOISE * signs


def _right_way_up(photo: Pixels, flat: Page, names: Names, kind: Kind) -> _Sheet:
    """Turn a page that stands on its head: it reads more surely the right way up."""
    own = None
    if kind == "auto" and flat.lines and print_or_hand.is_uneven(flat.lines):
        own = _by_hand(flat, names)
        if _stands_upright(own, flat):
            return _Sheet(flat, tuple(printed.look(flat.lines, _may_be_print)))
    sheet = _look(flat, kind)
    if not flat.lines or sheet.agreement >= _PRINT:
        return sheet
    if own is None:
        own = 0.0 if kind == "print" else _by_hand(flat, names)
    if _stands_upright(own, flat):
        return sheet
    other = _look(page.turned(photo, flat), kind)
    if len(other.page.lines) > MOST_LINES or not other.page.lines:
        return sheet
    lean = _lean(flat)
    if kind != "hand" and max(sheet.agreement, other.agreement) > 0.6:
        return other if other.agreement - sheet.agreement > 0.1 + lean else sheet
    if kind == "print":
        return other if other.agreement > sheet.agreement + 0.05 + lean else sheet
    return other if _by_hand(other.page, names) > own + 0.05 + lean else sheet


def _stands_upright(by_hand: float, flat: Page) -> bool:
    """Whether a page reads so surely as handwriting that it stands the right way up."""
    return by_hand >= _SURE or by_hand + _lean(flat) >= _UPRIGHT


def _may_be_print(line: Lattice) -> bool:
    """Whether a line of a page by hand is worth a look by Tesseract."""
    return line.count >= _FEW_GLYPHS and print_or_hand.may_be_print(line)


def _lean(flat: Page) -> float:
    """How far the page's margins speak for the way it lies: lines begin level and end anywhere."""
    if len(flat.lines) < _FEW:
        return 0.0
    starts = [line.origin[0] for line in flat.lines]
    ends = [line.origin[0] + line.pixels.shape[1] for line in flat.lines]
    left, right = (
        median(abs(edge - median(edges)) for edge in edges) + 0.1 * flat.letter
        for edges in (starts, ends)
    )
    if left < 0.35 * right:
        return _MARGIN
    return -0.3 * _MARGIN if right < 0.35 * left else 0.0


def _look(flat: Page, kind: Kind) -> _Sheet:
    if kind == "hand" or not flat.lines:
        return _Sheet(flat, ())
    return _Sheet(flat, tuple(printed.look(flat.lines)))


def _by_hand(flat: Page, names: Names) -> float:
    """Return how surely the page reads as handwriting, from a few of its longer lines."""
    from verifier.reading import handwritten

    longest = sorted(flat.lines, key=lambda line: -line.pixels.shape[1])[:_TRIED]
    return handwritten.confidence(longest, names)


def _read_page(sheet: _Sheet, names: Names, kind: Kind) -> list[ReadLine]:
    lines = sheet.page.lines
    standing = sheet.standing
    known: Known = {}
    hand = _hand(sheet, names, kind, known)
    least = 0.0 if hand.print_ else max(_PRINT, sheet.agreement + _STANDS_OUT)
    few = 0 if hand.print_ else _FEW_GLYPHS
    by_print = [
        None
        if agreement < least or one.glyphs.count < few
        else printed.write(one, names, sheet.page.number)
        for one, agreement in zip(sheet.seen, standing, strict=True)
    ] or [None] * len(lines)
    asked = _to_ask(hand, standing, len(lines), kind)
    if not asked:
        return _finished(lines, by_print, hand, names)
    from verifier.reading import handwritten

    by_hand = [
        line and spelt.settled(line, names)
        for line in handwritten.read([lines[i] for i in asked], names, sheet.page.number, known)
    ]
    found: list[ReadLine | None] = list(by_print)
    for i, own in zip(asked, by_hand, strict=True):
        needed = 0.0 if hand.print_ else _SURE
        found[i] = own if kind == "hand" else _surer(by_print[i], own, standing[i], needed)
    return _finished(lines, found, hand, names)


def _hand(sheet: _Sheet, names: Names, kind: Kind, known: "Known") -> Hand:
    if kind != "auto":
        return Hand(kind == "print")
    return print_or_hand.told(sheet.seen, sheet.agreement, names, known)


def _finished(
    lines: Sequence[PageLine], found: Sequence[ReadLine | None], hand: Hand, names: Names
) -> list[ReadLine]:
    written = [None if line and _RULE.fullmatch(line.text) else line for line in found]
    settled = recurring.settled(lost_point.offered(letter_size.agreed(written, names)))
    settled = numbered.settled(lacking.offered(settled))
    return _set_in(lines, [hand.tempered(line) for line in settled])


def _set_in(lines: Sequence[PageLine], found: Sequence[ReadLine | None]) -> list[ReadLine]:
    """Keep the indent of a line that goes on with the sum of the line before it."""
    kept: list[ReadLine] = []
    before = None
    for line, read in zip(lines, found, strict=True):
        if read is None:
            continue
        inset = before is not None and line.origin[0] - before.origin[0] > _INSET * line.letter
        goes_on = inset and read.text[0] in _GOES_ON
        more = before is not None and _MORE.match(read.text)
        kept.append(_moved_in(read) if goes_on or more else read)
        before = line
    return kept


def _moved_in(line: ReadLine) -> ReadLine:
    others = tuple((_INDENT + text, chance) for text, chance in line.alternatives)
    boxes = (None,) * len(_INDENT) + line.char_boxes if line.char_boxes else ()
    certain = (1.0,) * len(_INDENT) + line.certainties if line.certainties else ()
    return replace(
        line, text=_INDENT + line.text, alternatives=others, char_boxes=boxes, certainties=certain
    )


def _to_ask(hand: Hand, standing: Sequence[float], count: int, kind: Kind) -> Sequence[int]:
    """Return the lines that the reader of handwriting is asked about."""
    if kind == "hand":
        return range(count)
    if kind == "print":
        return ()
    return [i for i, agreement in enumerate(standing) if not hand.print_ or agreement < _LINE]


def _surer(
    by_print: ReadLine | None, by_hand: ReadLine | None, agreement: float, least: float
) -> ReadLine | None:
    """Choose between two readings of a line: print where its readers agree, else the surer.

    Print is to be as sure as `least`: on a page by hand what is printed reads surely as print, a
    neat hand does not.
    """
    if by_print is None or by_hand is None:
        return by_hand or by_print
    if by_print.confidence < least and by_hand.confidence > _HARDLY:
        return by_hand
    return by_print if by_print.confidence * agreement > by_hand.confidence else by_hand
