"""A figure that a whole page lacks: its hand may write it like another one.

Among the figures of a page each comes, sooner or later; where one alone never does, the reader may
take it for a look-alike throughout, and surely, since the hand writes both alike. Whether it is so
cannot be seen, so the other figure is a reading of every place. Nothing is known here of statics.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from verifier.reading.lines import ReadLine

_FIGURES = "0123456789"
_ALIKE = {  # what a figure is taken for, and how many hands write it so
    "4": (("1", 0.02), ("9", 0.005)),
    "7": (("1", 0.005),),
    "1": (("7", 0.005),),
    "9": (("4", 0.003), ("3", 0.003)),
    "6": (("0", 0.003),),
}
_SELDOM = 0.93  # how likely a figure is none of those that come least
_EACH = 0.4  # how many of the look-alikes are then that figure
_LEAST = 0.02  # a chance for which no reading is added
_MOST = 8  # places of a line …
_MOVED = 0.5  # … that make it no less sure than this


def offered(lines: Sequence[ReadLine | None]) -> list[ReadLine | None]:
    """Return the lines of a page with such readings among the others that they have."""
    found = list(lines)
    for own, meant, chance in _written_alike(lines):
        found = [line and _with(line, own, meant, chance) for line in found]
    return found


def _written_alike(lines: Sequence[ReadLine | None]) -> list[tuple[str, str, float]]:
    """Return which figures may stand for one that the page lacks, with the chance at each place."""
    shown = Counter(sign for line in lines if line and line.reader == "hand" for sign in line.text)
    lacking = [one for one in _FIGURES if not shown[one]]
    if len(lacking) != 1:  # several are lacking on pages with few figures
        return []
    luck = _SELDOM ** sum(shown[one] for one in _FIGURES)
    found = []
    for own, hands in _ALIKE.get(lacking[0], ()):
        chance = _EACH * hands / (hands + luck)
        if shown[own] and chance >= _LEAST:
            found.append((own, lacking[0], chance))
    return found


def _with(line: ReadLine, own: str, meant: str, chance: float) -> ReadLine:
    """Return a line with one figure read as the one meant at each of its places by itself."""
    text = line.text
    places = [at for at, sign in enumerate(text) if sign == own][:_MOST]
    if line.reader != "hand" or not places:
        return line
    left = max(_MOVED, (1 - chance) ** len(places))
    each = (1 - left) / len(places)
    known = {way: left * odds for way, odds in line.alternatives}
    for at in places:
        way = text[:at] + meant + text[at + 1 :]
        known[way] = known.get(way, 0.0) + each * line.confidence
    others = tuple(sorted(known.items(), key=lambda way: -way[1]))
    return replace(line, confidence=left * line.confidence, alternatives=others)
