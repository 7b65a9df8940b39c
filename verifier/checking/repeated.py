"""A number that a page repeats is misread wherever it stands: 31.7 for 34.7 in two lines.

Where another reading of a line has another number in its place, the lines that repeat it say that
as well, if it is among their readings.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from verifier.checking.written import Written
from verifier.notation.tree import Line

_NUMBER = re.compile(r"\d+(?:[.,]\d+)*")
_FIGURES = 3  # a number of fewer may be another one that happens to be the same


def throughout(written: Sequence[Written], place: int, other: Line) -> list[Written]:
    """Return the lines with one read otherwise, and what it repeats read so wherever it may be."""
    own = written[place]
    changes = {
        a: b
        for a, b in numbers_changed(own.line.text, other.text).items()
        if sum(map(str.isdigit, a)) >= _FIGURES
    }
    return [
        replace(own, line=other) if at == place else _saying(one, changes)
        for at, one in enumerate(written)
    ]


def numbers_changed(text: str, other: str) -> dict[str, str]:
    """Return which numbers of a text another one has otherwise, where it differs in these alone."""
    if _NUMBER.sub("#", text) != _NUMBER.sub("#", other):
        return {}
    pairs = zip(_NUMBER.findall(text), _NUMBER.findall(other), strict=True)
    return {a: b for a, b in pairs if a != b}


def _saying(one: Written, changes: Mapping[str, str]) -> Written:
    """Return a line with numbers read otherwise, where one of its readings is just that."""
    text = one.line.text
    said = _NUMBER.sub(lambda found: changes.get(found[0], found[0]), text)
    if said == text:
        return one
    ways = [way for way, _ in one.others if way.text == said]
    return replace(one, line=ways[0]) if ways else one
