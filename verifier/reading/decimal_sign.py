"""A page has one decimal sign: a point that looks like a comma is settled by the page's others.

The value is the same either way; what is written down then agrees with itself. A comma before
three figures may part thousands and stays, as do commas within brackets, which part a pair.
"""

import re
from collections.abc import Sequence
from dataclasses import replace

from verifier.reading.lines import ReadLine

_FIGURE = re.compile(r"(?<![\d.,_])(\d+)([.,])(\d+)(?![\d]|[.,]\d)")
_PAIR = re.compile(r"\([^()=+\-·×/]*,[^()=+\-·×/]*\)|_\{[^{}]*\}")
_AHEAD = 1.5  # times as many as of the other sign
_LEAST = 1.5  # signs, each as sure as its line


def agreed(lines: Sequence[ReadLine | None]) -> list[ReadLine | None]:
    """Return a page's lines by hand with the decimal sign that most of its figures show."""
    seen = {".": 0.0, ",": 0.0}
    for line in lines:
        if line is not None:
            for sign in signs(line.text):
                seen[line.text[sign]] += line.confidence
    usual, other = sorted(seen, key=lambda sign: -seen[sign])
    if seen[usual] < max(_LEAST, _AHEAD * seen[other]):
        return list(lines)
    return [line and _set(line, usual) for line in lines]


def signs(text: str) -> list[int]:
    """Return the columns of the decimal signs of a line.

    >>> signs("R_{A} = 2,5 + 1.25, (3,4): 1,250")
    [9, 15]
    """
    pairs = [pair.span() for pair in _PAIR.finditer(text)]
    return [
        one.start(2)
        for one in _FIGURE.finditer(text)
        if (len(one[3]) != 3 or len(one[1]) > 3 or one[1] == "0")
        and not any(a < one.start(2) < b for a, b in pairs)
    ]


def _set(line: ReadLine, usual: str) -> ReadLine:
    text = with_sign(line.text, usual)
    chances: dict[str, float] = {}
    for other, chance in line.alternatives:
        new = with_sign(other, usual)
        if new != text:
            chances[new] = chances.get(new, 0.0) + chance
    return replace(line, text=text, alternatives=tuple(chances.items()))


def with_sign(text: str, usual: str) -> str:
    """Return a line with all its decimal signs alike.

    >>> with_sign("F = 2,5·3.0 (1,2)", ".")
    'F = 2.5·3.0 (1,2)'
    """
    letters = list(text)
    for at in signs(text):
        letters[at] = usual
    return "".join(letters)
