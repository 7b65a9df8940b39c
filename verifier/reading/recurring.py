"""What a page shows elsewhere is likelier here: names, words and figures come again and again.

A light preference among the readings that a line already has. It knows nothing of statics and of
the sheet, and asks only what else the same page shows; a line that was read with certainty stays.
"""

import math
import re
from collections.abc import Sequence

from verifier.reading.lines import ReadLine

_TOKENS = re.compile(r"\d+(?:[.,]\d+)*|[^\W\d_]+'?")
_LOWERED = re.compile(r"_\{([^{}]*)\}|_")
_WEIGHT = 0.8  # nats for each step of `_often`
_ENOUGH = 2.0  # that a token comes more often than this says no more
_SELDOM = 0.15  # how often a token is held to come that was not seen elsewhere
_MOST = 4.0  # nats by which the preference can move one reading against another
_SURE = 0.97  # a line that is read so surely stays …
_MADE_SURE = 0.92  # … and no other one is made surer than this
_PASSES = 2
_Ways = list[tuple[str, float]]


def settled(lines: Sequence[ReadLine | None]) -> list[ReadLine | None]:
    """Return the lines of one page with their readings ranked anew by what recurs on the page."""
    before = [_ways(line) for line in lines]
    ways = before
    for _ in range(_PASSES):
        shown = [_expected(own) for own in ways]
        whole: dict[str, float] = {}
        for one in shown:
            for token, count in one.items():
                whole[token] = whole.get(token, 0.0) + count
        ways = [_ranked(told, whole, own) for told, own in zip(before, shown, strict=True)]
    return [line and _told(line, own) for line, own in zip(lines, ways, strict=True)]


def _ways(line: ReadLine | None) -> _Ways:
    return [(line.text, line.confidence), *line.alternatives] if line else []


def tokens(text: str) -> set[str]:
    """Return the names, words and figures of a line, without the dress of indices.

    >>> sorted(tokens("F_{PQ} = 2,5 kN"))
    ['2,5', 'FPQ', 'kN']
    """
    return set(_TOKENS.findall(_LOWERED.sub(r"\1", text)))


def _expected(ways: _Ways) -> dict[str, float]:
    """Return how likely each token stands in a line."""
    found: dict[str, float] = {}
    for text, chance in ways:
        for token in tokens(text):
            found[token] = min(1.0, found.get(token, 0.0) + chance)
    return found


def _ranked(ways: _Ways, whole: dict[str, float], own: dict[str, float]) -> _Ways:
    """Weigh a line's readings by how often their tokens come on the page's other lines."""
    if len(ways) < 2 or ways[0][1] > _SURE:
        return ways
    every = [tokens(text) for text, _ in ways]
    common = set.intersection(*every)
    gains = [
        sum(_often(whole.get(token, 0.0) - own.get(token, 0.0)) for token in one - common)
        for one in every
    ]
    top = max(gains)
    odds = [
        chance * math.exp(max(-_MOST, _WEIGHT * (gain - top)))
        for (_, chance), gain in zip(ways, gains, strict=True)
    ]
    mass = sum(chance for _, chance in ways) / max(sum(odds), 1e-9)
    # It can make a reading likelier, but not certain.
    ranked = [
        (text, min(odd * mass, max(chance, _MADE_SURE)))
        for (text, chance), odd in zip(ways, odds, strict=True)
    ]
    return sorted(ranked, key=lambda way: -way[1])


def _often(count: float) -> float:
    """Return what it says, 0 or less, that a token comes so often elsewhere."""
    return math.log((min(max(count, 0.0), _ENOUGH) + _SELDOM) / (_ENOUGH + _SELDOM))


def _told(line: ReadLine, ways: _Ways) -> ReadLine:
    (text, sure), *rest = ways
    return line.saying(text, min(1.0, sure), tuple(rest))
