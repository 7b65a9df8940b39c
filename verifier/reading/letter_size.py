"""A page has one size of a letter whose shape tells none: v = 2067 where it is V everywhere else.

A capital and a small letter of one shape are told apart by their size alone, which a single line
shows badly. Which of the two a page means is settled by all its lines together, among readings
that a line has anyhow; letters that the sheet has in both sizes stay.
"""

import re
from collections.abc import Sequence
from dataclasses import replace

from verifier.notation.tree import Names
from verifier.reading.lines import ReadLine

_SHAPES = "csuvwp"
_ALONE = r"(?<![A-Za-z_{{\]°]){}(?![A-Za-z_'\d(]|\s?[A-Za-z]{{2}})"
_AHEAD = 1.5  # times as often as in the other size
_LEAST = 0.3  # of the first reading's chance: what the line may say as well


def agreed(lines: Sequence[ReadLine | None], names: Names) -> list[ReadLine | None]:
    """Return a page's lines by hand with lone letters in the size that the page shows most."""
    found = list(lines)
    known = names.letters | names.joints | names.extra
    for small in _SHAPES:
        seen = {one: _shown(lines, one) for one in (small, small.upper())}
        usual, other = sorted(seen, key=lambda one: -seen[one])
        if {usual, other} <= known or not seen[other] or seen[usual] < _AHEAD * seen[other]:
            continue
        found = [line and _sized(line, other, usual) for line in found]
    return found


def _pattern(letter: str) -> re.Pattern[str]:
    return re.compile(_ALONE.format(letter))


def _shown(lines: Sequence[ReadLine | None], letter: str) -> float:
    """Return in how many lines a letter stands alone, each as likely as it is so read."""
    pattern = _pattern(letter)
    return sum(
        chance
        for line in lines
        if line and line.reader == "hand"
        for text, chance in [(line.text, line.confidence), *line.alternatives]
        if pattern.search(text)
    )


def _sized(line: ReadLine, other: str, usual: str) -> ReadLine:
    """Return a line that has a letter in the other size with the usual one, where it may be so."""
    text = _pattern(other).sub(usual, line.text)
    ways = dict(line.alternatives)
    if text == line.text or ways.get(text, 0.0) < _LEAST * line.confidence:
        return line
    both = line.confidence + ways.pop(text)
    return replace(line.saying(text, both, ()), alternatives=tuple(ways.items()))
