"""Is a page printed or written by hand? What tells is weighed together, in nats for print.

A neat hand looks like print to both readers of print on most of its signs; but in print equal
glyphs are of one size, by hand they are not. Where that leaves doubt, a few lines are read both
ways, and the surer reader decides.
"""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import median
from typing import TYPE_CHECKING

from verifier.notation import read_line
from verifier.notation.tree import Names, Unread
from verifier.reading import printed
from verifier.reading.lines import ReadLine
from verifier.reading.page import PageLine
from verifier.reading.printed import Seen
from verifier.reading.printing import Glyph, Lattice

if TYPE_CHECKING:
    from verifier.reading.handwritten import Known

# Upright print has its readers agree on 0.65 of its glyphs and more; a neat hand on up to 0.75,
# any other on up to 0.6. Equal glyphs of print differ in size by up to 0.035 of a capital (the
# medians of height and width together), those of a hand by 0.065 and more.
_NEVER = 0.55
_USUAL = 0.7
_AGREED = 12.0  # nats for full agreement …
_EVEN = 0.05
_EVENNESS = 60.0  # … and for differences as large as a capital …
_MOST_EVEN = 2.0  # … of which no more counts
_FULL = 24  # glyphs that recur from which evenness counts in full
_GLANCED, _TELLING, _UNEVEN = 5, 16, 0.065
_MAY_BE_EVEN, _FEW = 0.05, 3
_READ_BOTH = 2.4  # with less than this, lines are read both ways …
_LINES = 3
_MOST_READ = 2.5
_SURE = 1.0  # … and with less than this at last, print stays in doubt
_NO_MEANING = 0.25  # how much less sure a reading is that is no line of working
_DOUBTED = 0.8  # … in which no line of print is surer, with all its other readings


@dataclass(frozen=True)
class Hand:
    """What a page was found to be: `print_` or by hand, and whether that is beyond doubt."""

    print_: bool
    sure: bool = True

    def tempered(self, line: ReadLine | None) -> ReadLine | None:
        """Return a line less sure of itself where it was read as print and that is in doubt."""
        if line is None or line.reader != "print" or (self.print_ and self.sure):
            return line
        whole = line.confidence + sum(chance for _, chance in line.alternatives)
        share = min(1.0, _DOUBTED / max(whole, _DOUBTED))
        others = tuple((text, share * chance) for text, chance in line.alternatives)
        return replace(line, confidence=share * line.confidence, alternatives=others)


def told(
    seen: Sequence[Seen], agreement: float, names: Names, known: "Known | None" = None
) -> Hand:
    """Tell what a page is, from its lines as the readers of print saw them.

    `agreement` is how far these agree over the page, 0 to 1. `known` keeps what is read by hand.
    """
    if agreement < _NEVER:
        return Hand(print_=False)
    nats = _AGREED * (agreement - _USUAL) + _evenness([one.glyphs for one in seen])
    if abs(nats) < _READ_BOTH:
        nats += _read_both(seen, names, known)
    return Hand(nats > 0, abs(nats) >= _SURE)


def is_uneven(lines: Sequence[PageLine]) -> bool:
    """Tell whether the longest lines have glyphs as uneven as no print has, so as to be by hand."""
    longest = sorted(lines, key=lambda line: -line.pixels.shape[1])[:_GLANCED]
    count, uneven = unevenness(printed.glyphs_of(longest))
    return count >= _TELLING and uneven >= _UNEVEN


def may_be_print(line: Lattice) -> bool:
    """Tell whether a long line of a page by hand has even glyphs, some of which recur."""
    count, uneven = unevenness([line])
    return uneven < _MAY_BE_EVEN and count >= _FEW


def _evenness(lines: Sequence[Lattice]) -> float:
    """Return what the sizes of equal glyphs say for print, in nats."""
    count, uneven = unevenness(lines)
    nats = max(-_MOST_EVEN, min(_MOST_EVEN, _EVENNESS * (_EVEN - uneven)))
    return nats * min(1.0, count / _FULL)


def unevenness(lines: Sequence[Lattice]) -> tuple[int, float]:
    """Return how many glyphs recur, and by how much equal ones differ, in heights of a capital."""
    sizes: dict[str, list[tuple[float, float]]] = defaultdict(list)
    for lattice in lines:
        line = lattice.best()
        for glyph in line.glyphs:
            if _is_plain(glyph, line.metrics.cap):
                wide, high = glyph.box[2:]
                sizes[glyph.best].append((wide / line.metrics.cap, high / line.metrics.cap))
    off: tuple[list[float], list[float]] = ([], [])
    for alike in sizes.values():
        if len(alike) > 2:
            for told, own in zip(off, zip(*alike, strict=True), strict=True):
                usual = median(own)
                told += [abs(one - usual) for one in own]
    return len(off[0]), sum(median(told) for told in off if told)


def _is_plain(glyph: Glyph, cap: float) -> bool:
    """Whether a glyph is told with certainty, stands on the line and is no mere dot or dash."""
    known = glyph.held > 0.8 and float(glyph.scores.max()) > math.log(0.6)
    return known and int(glyph.scripts.argmax()) == 0 and glyph.box[3] >= 0.5 * cap


def _read_both(seen: Sequence[Seen], names: Names, known: "Known | None") -> float:
    """Return how much surer a few of the longer lines read as print than by hand, in nats."""
    from verifier.reading import handwritten

    longest = sorted(seen, key=lambda one: -one.line.pixels.shape[1])[:_LINES]
    by_print = [printed.write(one, names, 0) for one in longest]
    by_hand = handwritten.read([one.line for one in longest], names, 0, known)
    nats = _log(by_print, names) - _log(by_hand, names)
    return max(-_MOST_READ, min(_MOST_READ, nats))


def _log(lines: Sequence[ReadLine | None], names: Names) -> float:
    """Return how surely lines are read, all of them, in nats: each tells by itself."""
    return sum(math.log(max(0.02, _sure(line, names) if line else 0.0)) for line in lines)


def _sure(line: ReadLine, names: Names) -> float:
    """Return how surely a line is read, less for one without meaning."""
    parts = read_line(line.text, 1, names).parts
    unread = any(isinstance(part, Unread) for part in parts)
    return line.confidence * (_NO_MEANING if unread else 1.0)
