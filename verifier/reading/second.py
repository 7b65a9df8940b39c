"""A second opinion on doubtful print: its readings held against another reader's."""

import math
import re
from dataclasses import replace

from verifier.reading.lines import ReadLine

_WEIGHT = 2.2  # nats that a character counts for in which the other reader differs
_STRUCK = "~~"
_ALIKE = str.maketrans({"-": "−", "x": "×", "l": "I", "1": "1", "·": ".", "'": "", " ": ""})


def weighed(line: ReadLine, other: ReadLine | None) -> ReadLine:
    """Return the line with its readings ranked anew by their nearness to another reading.

    Only readings that the line itself holds possible are ranked; the other reader's own slips
    cost all of them alike.
    """
    if other is None or not line.alternatives or line.text.startswith(_STRUCK):
        return line if other is None or line.alternatives else _seconded(line, other)
    ways = [(line.text, line.confidence), *line.alternatives]
    heard = bare(other.text)
    off = [distance(bare(text), heard) for text, _ in ways]
    nearest = min(off)
    odds = [
        chance * math.exp(-_WEIGHT * min(far - nearest, 4))
        for (_, chance), far in zip(ways, off, strict=True)
    ]
    # What no reading of the line accounts for stays as it was: its own doubt.
    known = sum(chance for _, chance in ways)
    total = sum(odds)
    ranked = sorted(
        ((text, odd / total * known) for (text, _), odd in zip(ways, odds, strict=True)),
        key=lambda way: -way[1],
    )
    first, sure = ranked[0]
    if nearest == 0:
        sure = 1 - (1 - sure) * 0.3
    rest = tuple((text, chance) for text, chance in ranked[1:] if chance > 0.006)
    line = line.saying(first, sure, rest)
    return line if nearest == 0 else _with_other(line, other)


def _with_other(line: ReadLine, other: ReadLine) -> ReadLine:
    """Hold the other reading possible too where it is near, and differs in what counts."""
    off = distance(bare(line.text), bare(other.text))
    chance = 0.5 * (1 - line.confidence) * min(1.0, other.confidence / 0.5)
    if not 1 <= off <= 2 or chance < 0.01 or any(way == other.text for way, _ in line.alternatives):
        return line
    told = sorted([*line.alternatives, (other.text, chance)], key=lambda way: -way[1])
    return replace(line, alternatives=tuple(told))


def _seconded(line: ReadLine, other: ReadLine) -> ReadLine:
    if bare(line.text) != bare(other.text):
        return _with_other(line, other)
    return replace(line, confidence=1 - (1 - line.confidence) * 0.3)


def bare(text: str) -> str:
    """Take off what two readers may write differently: scripts' dress, spaces, kinds of dash."""
    text = text.replace("^{-1}", "⁻¹").replace("^{−1}", "⁻¹")
    text = re.sub(r"[_{}^]", "", text)
    return text.translate(_ALIKE).replace("²", "2").replace("³", "3")


def distance(a: str, b: str) -> int:
    """Return the number of characters to change, add or leave out (Myers' bit vectors).

    >>> distance("2.5 kN", "25 kN")
    1
    """
    if not a:
        return len(b)
    places: dict[str, int] = {}
    for i, char in enumerate(a):
        places[char] = places.get(char, 0) | (1 << i)
    full, last = (1 << len(a)) - 1, 1 << (len(a) - 1)
    plus, minus, score = full, 0, len(a)
    for char in b:
        eq = places.get(char, 0)
        xv = eq | minus
        xh = (((eq & plus) + plus) ^ plus) | eq
        up, down = minus | ~(xh | plus) & full, plus & xh
        if up & last:
            score += 1
        if down & last:
            score -= 1
        up = ((up << 1) | 1) & full
        plus = ((down << 1) | (~(xv | up) & full)) & full
        minus = up & xv
    return score
