"""Numbers of equations run on down a page: the (ZII) between (II) and (IV) is a (III).

What stands in brackets at the ends of its lines, and in which order, is all that counts here.
"""

import re
from collections.abc import Sequence

from verifier.reading.lines import ReadLine

_END = re.compile(r"=.*\s\(([A-Za-z\d|]{1,5})\)$")
_ROMAN = ("I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII")
_LEAST = 3  # lines that have one
_SHOWN = 0.5  # of which so many are first read as they run on


def settled(lines: Sequence[ReadLine | None]) -> list[ReadLine | None]:
    """Return a page's lines by hand with the numbers at their ends as they run on down the page.

    >>> from verifier.reading.lines import ReadLine
    >>> ends = (("I", "I"), ("II", "II"), ("ZII", "III"))
    >>> rows = [
    ...     ReadLine(f"P = 4 ({a})", 1, None, 0.6, ((f"P = 4 ({b})", 0.1),), (), "hand")
    ...     for a, b in ends
    ... ]
    >>> settled(rows)[2].text
    'P = 4 (III)'
    """
    ended = [at for at, line in enumerate(lines) if line and _number(line.text)]
    for number in (_roman, str):
        wanted = {at: number(count) for count, at in enumerate(ended, 1)}
        first = sum(_number(_text(lines[at])) == wanted[at] for at in ended)
        if len(ended) < _LEAST or first < _SHOWN * len(ended):
            continue
        ways = {at: _having(lines[at], wanted[at]) for at in ended}
        if all(ways.values()):
            return [ways.get(at, line) for at, line in enumerate(lines)]
    return list(lines)


def _text(line: ReadLine | None) -> str:
    return line.text if line else ""


def _number(text: str) -> str:
    found = _END.search(text)
    return found[1] if found else ""


def _roman(count: int) -> str:
    return _ROMAN[count - 1] if count <= len(_ROMAN) else ""


def _having(line: ReadLine | None, wanted: str) -> ReadLine | None:
    """Return a line read with a number at its end, where one of its readings has it there."""
    if line is None or not wanted or _number(line.text) == wanted:
        return line
    ways: dict[str, float] = {}
    for text, chance in ((line.text, line.confidence), *line.alternatives):
        ways[_with(text, wanted)] = ways.get(_with(text, wanted), 0.0) + chance
    known = any(_number(text) == wanted for text, _ in line.alternatives)
    if not known or line.reader != "hand":
        return None
    (text, chance), *others = sorted(ways.items(), key=lambda way: -way[1])
    return line.saying(text, min(1.0, chance), tuple(others))


def _with(text: str, wanted: str) -> str:
    found = _END.search(text)
    return text[: found.start(1)] + wanted + ")" if found else text
