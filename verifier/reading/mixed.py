"""More readings of a line: what is doubtful at one place is doubtful whatever the others say.

A reader hands on whole lines, the likeliest few. With several doubtful places the right line is
often none of them, though each of its places is right in one. Spelling alone, blind to statics.
"""

import math
import re
from collections.abc import Mapping, Sequence
from difflib import SequenceMatcher
from itertools import combinations, islice

from verifier.reading.lines import ReadLine

_MOST = 32  # readings added to a line
_PLACES = 8  # doubtful places that are put together …
_CHANGED = 3  # … and how many of them at once
_WORTH = 3e-4  # of the likeliest reading's chance
_LEAST = 1e-4  # … which a reading that shows a place has at least
_WORD = re.compile(r"[^\W\d_]{4,}")

Change = tuple[int, int, str]
Place = tuple[int, int, list[tuple[str, float]]]


def mixed(line: ReadLine) -> list[tuple[str, float]]:
    """Return readings put together of those that a line has, with their chances, likeliest first.

    One that it has as well comes with what it gains.

    >>> line = ReadLine("P = 47-1", 1, None, 0.6, (("P = 4.7-1", 0.2), ("P = 47-7", 0.15)))
    >>> mixed(line)[0][0]
    'P = 4.7-7'
    """
    places = _places(line.text, line.confidence, line.alternatives)
    words = [found.span() for found in _WORD.finditer(line.text)]

    def rank(place: Place) -> tuple[bool, float]:
        in_word = any(a <= place[0] and place[1] <= b for a, b in words)
        return in_word, -max(odds for _, odds in place[2])

    places.sort(key=rank)
    known: dict[str, float] = {line.text: 1.0}
    for text, chance in line.alternatives:
        known[text] = known.get(text, 0.0) + chance
    found: dict[str, float] = {}
    for count in range(1, _CHANGED + 1):
        for chosen in combinations(places[:_PLACES], count):
            for text, odds in _spelt(line.text, sorted(chosen)):
                more = odds * line.confidence - known.get(text, 0.0)
                if more >= _WORTH * line.confidence:
                    found[text] = max(found.get(text, 0.0), more)
    ranked = sorted(found.items(), key=lambda way: -way[1])  # of equal ones what changes less
    kept = dict(islice(ranked, _MOST))
    for text, odds in _throughout(line):
        if (more := odds * line.confidence - known.get(text, 0.0)) >= _WORTH * line.confidence:
            kept[text] = max(found.get(text, 0.0), more)
    return sorted(kept.items(), key=lambda way: -way[1])


def _throughout(line: ReadLine) -> list[tuple[str, float]]:
    """Return a line with one sign taken for another wherever it may well be, with the least odds.

    A hand whose 4 looks like a 1 writes them all so; its own 1 is hardly ever taken for a 4.
    """
    text, changes = line.text, dict[tuple[str, str], dict[int, float]]()
    for other, chance in line.alternatives:
        if len(other) != len(text):
            continue
        for at, (own, said) in enumerate(zip(text, other, strict=True)):
            if own != said:
                odds = changes.setdefault((own, said), {})
                odds[at] = max(odds.get(at, 0.0), chance / line.confidence)
    found = []
    for (_, said), odds in changes.items():
        likely = sorted(odds, key=lambda at: -odds[at])
        for count in range(_CHANGED, len(likely) + 1):
            every = {*likely[:count]}
            way = "".join(said if at in every else sign for at, sign in enumerate(text))
            found.append((way, odds[likely[count - 1]]))
    return found


def _places(text: str, sure: float, others: Sequence[tuple[str, float]]) -> list[Place]:
    """Return where readings differ from the likeliest, with what else stands there and its odds."""
    likely = [(other, chance) for other, chance in others if chance >= _LEAST * sure]
    every = [(_changes(text, other), chance) for other, chance in likely]
    spans: list[tuple[int, int]] = []
    for start, end in sorted({(a, b) for changes, _ in every for a, b, _ in changes}):
        if spans and start <= spans[-1][1]:
            spans[-1] = (spans[-1][0], max(end, spans[-1][1]))
        else:
            spans.append((start, end))
    places = []
    for start, end in spans:
        own = text[start:end]
        weights: dict[str, float] = {own: sure}
        for changes, chance in every:
            said = _said(text, changes, start, end)
            weights[said] = weights.get(said, 0.0) + chance
        options = [(said, w / weights[own]) for said, w in weights.items() if said != own]
        places.append((start, end, options))
    return places


def _changes(text: str, other: str) -> list[Change]:
    matcher = SequenceMatcher(None, text, other, autojunk=False)
    return [(a, b, other[c:d]) for kind, a, b, c, d in matcher.get_opcodes() if kind != "equal"]


def _said(text: str, changes: Sequence[Change], start: int, end: int) -> str:
    """Return what stands at a place once a reading's changes are made there."""
    out, at = "", start
    for a, b, new in changes:
        if start <= a and b <= end:
            out += text[at:a] + new
            at = b
    return out + text[at:end]


def _spelt(text: str, places: Sequence[Place]) -> list[tuple[str, float]]:
    """Return a line with all of some places said otherwise, in each way, with its odds.

    What a hand writes alike is taken alike: the same change at several places is one doubt.
    """
    ways: list[tuple[str, dict[tuple[str, str], float], int]] = [("", {}, 0)]
    for start, end, options in places:
        own = text[start:end]
        ways = [
            (before + text[at:start] + said, {**odds, (own, said): least}, end)
            for before, odds, at in ways
            for said, more in options
            if (least := min(more, odds.get((own, said), 1.0))) * _other(odds, own, said) >= _WORTH
        ]
    return [(before + text[at:], math.prod(odds.values())) for before, odds, at in ways]


def _other(odds: Mapping[tuple[str, str], float], own: str, said: str) -> float:
    return math.prod(value for change, value in odds.items() if change != (own, said))
