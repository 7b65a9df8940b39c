"""A decimal sign that was not seen: 3275 m, where the same page has 3,275 in another line.

The digits by themselves tell it, whatever the line is about. What was read stays the likelier.
"""

import re
from collections.abc import Sequence
from dataclasses import replace

from verifier.reading.lines import ReadLine

_PLAIN = re.compile(r"(?<![\d.,_{])[1-9]\d{3,5}(?![\d.,])")
_SIGNED = re.compile(r"(?<![\d.,])\d+[.,]\d+(?![\d]|[.,]\d)")
_THOUSANDS = re.compile(r"(?<![\d.,])(\d{1,3}),(\d{3})(?![\d.,])")
_THREE_BEHIND = re.compile(r"(?<![\d.,])\d+\.\d{3}(?![\d.,])")
_SHARE = 0.3
_READ_WELL = 0.3  # a line less sure tells of no other line's figures


def offered(lines: Sequence[ReadLine | None]) -> list[ReadLine | None]:
    """Return the lines of a page with such readings among the others that they have."""
    shown = [_numbers(line) for line in lines]
    return [
        line and _with_points(line, set().union(*shown[:at], *shown[at + 1 :]))
        for at, line in enumerate(lines)
    ]


def _numbers(line: ReadLine | None) -> set[str]:
    if line is None or line.confidence < _READ_WELL:
        return set()
    return {number[0] for number in _SIGNED.finditer(line.text)}


def _with_points(line: ReadLine, elsewhere: set[str]) -> ReadLine:
    """Return a line by hand with its numbers as other lines have them."""
    if line.reader != "hand":
        return line
    known = {text for text, _ in line.alternatives}
    signed = {re.sub(r"\D", "", one): one for one in sorted(elsewhere)}
    text = _PLAIN.sub(lambda found: signed.get(found[0], found[0]), line.text)
    if text == line.text and any(map(_THREE_BEHIND.fullmatch, {*elsewhere, *_numbers(line)})):
        text = _THOUSANDS.sub(r"\1.\2", text)  # 5,000 where 5.500 stands beside it
    if text == line.text or text in known:
        return line
    more = (text, _SHARE * line.confidence)
    others = tuple((way, (1 - _SHARE) * chance) for way, chance in line.alternatives)
    ordered = sorted((more, *others), key=lambda way: -way[1])
    return replace(line, confidence=(1 - _SHARE) * line.confidence, alternatives=tuple(ordered))
