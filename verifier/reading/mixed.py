"""More readings of a line: what is doubtful at one place is doubtful whatever the others say.

A reader hands on whole lines, the likeliest few. With several doubtful places the right line is
often none of them, though each of its places is right in one. Spelling alone, blind to statics.
"""

from collections.abc import Sequence
from difflib import SequenceMatcher
from itertools import combinations, islice

from verifier.reading.lines import ReadLine

_MOST = 10  # readings added to a line
_PLACES = 6  # doubtful places that are put together …
_CHANGED = 3  # … and how many of them at once
_WORTH = 0.01  # of the likeliest reading's chance

Change = tuple[int, int, str]
Place = tuple[int, int, list[tuple[str, float]]]


def mixed(line: ReadLine) -> list[tuple[str, float]]:
    """Return readings put together of those that a line has, with their chances, likeliest first.

    >>> line = ReadLine("P = 47-1", 1, None, 0.6, (("P = 4.7-1", 0.2), ("P = 47-7", 0.15)))
    >>> mixed(line)[0][0]
    'P = 4.7-7'
    """
    places = _places(line.text, line.confidence, line.alternatives)
    places.sort(key=lambda place: -max(odds for _, odds in place[2]))
    known = {line.text, *(text for text, _ in line.alternatives)}
    found: dict[str, float] = {}
    for count in range(2, _CHANGED + 1):
        for chosen in combinations(places[:_PLACES], count):
            for text, odds in _spelt(line.text, sorted(chosen)):
                if odds >= _WORTH and text not in known:
                    found[text] = max(found.get(text, 0.0), odds * line.confidence)
    ranked = sorted(found.items(), key=lambda way: (-way[1], way[0]))
    return [*islice(ranked, _MOST)]


def _places(text: str, sure: float, others: Sequence[tuple[str, float]]) -> list[Place]:
    """Return where readings differ from the likeliest, with what else stands there and its odds."""
    every = [(_changes(text, other), chance) for other, chance in others]
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
    """Return a line with all of some places said otherwise, in each way, with its odds."""
    ways = [("", 1.0, 0)]
    for start, end, options in places:
        ways = [
            (before + text[at:start] + said, odds * more, end)
            for before, odds, at in ways
            for said, more in options
            if odds * more >= _WORTH
        ]
    return [(before + text[at:], odds) for before, odds, at in ways]
