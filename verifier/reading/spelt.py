"""What can only be written one way in a line by hand: a slash like a 1, a root like a v, = like +.

Spelling alone: nobody writes a factor 1 between a bracket and what it is divided by, nor adds a
name to a number to round that number alone.
"""

import re

from verifier.notation.tree import Names
from verifier.reading.lines import ReadLine

_SLASH = re.compile(r"(?<=[)\]])[1lI|](?=sin|cos|tan|[(√])")
_FACTOR = re.compile(r"(?<![\d.,])(\d[\d.,]*)1(?=sin|cos|tan|√)")
_AS_SLASH = 0.3  # how likely the last 1 of a figure before a function is a slash
_ROOT = re.compile(r"(?<![\w)}])[vr](?=\((?:\d|\())")
_ROUNDED = re.compile(
    r"((?:^|[⇒→∴:;])\s*[^\W\d]\w*'?(?:_\{\w+\})?\s*)[+*÷](\s*(\d+[.,]\d+)\s*≈\s*(\d+(?:[.,]\d+)?))"
    r"(?![\d.,]*\d)"
)


def settled(line: ReadLine, names: Names) -> ReadLine:
    """Return a line by hand with such signs settled in all its readings; equal ones are one.

    >>> line = ReadLine("P = -(3)1sin30", 1, (0, 0, 9, 9), 0.8, (("P = -(3)/sin30", 0.1),))
    >>> settled(line, Names()).text
    'P = -(3)/sin30'
    """
    ways: dict[str, float] = {}
    for text, chance in [(line.text, line.confidence), *line.alternatives]:
        text = spelt(text, names)
        for way, share in _with_slash(text):
            ways[way] = ways.get(way, 0.0) + share * chance
    ways = dict(sorted(ways.items(), key=lambda way: -way[1]))
    (text, sure), *others = ways.items()
    if text == line.text and len(others) == len(line.alternatives):
        return line
    return line.saying(text, min(1.0, sure), tuple(others))


def _with_slash(text: str) -> list[tuple[str, float]]:
    """Return a reading and, where `71sin30` may be `7/sin30`, that one too, with their shares."""
    other = _FACTOR.sub(r"\1/", text)
    return [(text, 1.0)] if other == text else [(text, 1 - _AS_SLASH), (other, _AS_SLASH)]


def spelt(text: str, names: Names) -> str:
    """Return a reading with such signs settled; it stays as long as it is."""
    text = _ROUNDED.sub(_equal, _SLASH.sub("/", text))
    known = names.letters | names.joints | names.extra
    return _ROOT.sub(lambda found: found[0] if found[0] in known else "√", text)


def _equal(found: re.Match[str]) -> str:
    """Return `E = 7,4483 ≈ 7,45` for `E + 7,4483 ≈ 7,45`; other sums stay."""
    before, after, exact, rounded = found.groups()
    value, near = (float(one.replace(",", ".")) for one in (exact, rounded))
    places = len(rounded.replace(",", ".").partition(".")[2])
    fewer = places < len(exact.replace(",", ".").partition(".")[2])
    half = 0.5 * 10.0**-places
    return f"{before}={after}" if fewer and abs(value - near) <= 1.02 * half else found[0]
