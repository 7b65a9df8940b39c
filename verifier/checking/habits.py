"""What people write by mistake themselves, and what only a reader makes of their ink.

A lost sign or a sine for a cosine is a slip that people make; a figure that is another one, by
the very stroke by which the ink may be taken for it, hardly ever is. So where a picture's first
reading is at fault and another one agrees, what differs tells how likely the second must be.
"""

import re
from collections.abc import Collection
from difflib import SequenceMatcher

from verifier.notation.tree import Line

BY_SLIP = 0.4
"""From this share of the first reading's chance on, one that agrees is as good, come what may."""
BY_NAME = 0.1
"""… where only names and figures differ …"""
BY_SHAPE = 0.03
"""… and where only figures, points, brackets and blanks do, at one place."""
_AGAIN, _MOST_PLACES = 0.2, 3
"""… and so much less at each further place: that several slips make a line right is no chance."""

_TOKENS = re.compile(r"a?(?:sin|sen|cos|tan|tg)\b|[^\W\d_]+|\d+|[^\s_{}]", re.IGNORECASE)
_SIGNS = re.compile("[-+−–±]")
_SLIPS = tuple(
    re.compile(kind, re.IGNORECASE)
    for kind in ("[×·*/÷]", "a?(?:sin|sen|cos|tan|tg)", "[TC↑↓→←↺↻↶↷]")
)


def needed(line: Line, other: Line, known: Collection[tuple[str, str]] = ()) -> float:
    """Return from which share on a reading that agrees stands for one that does not.

    `known` are signs that were taken for others in lines before: the same hand writes them so.

    >>> from verifier.notation import read_line
    >>> from verifier.notation.tree import Names
    >>> one, other, third = (read_line(t, 1, Names()) for t in ("F-4 = 0", "F+4 = 0", "F-9 = 0"))
    >>> needed(one, other), needed(one, third)
    (0.4, 0.03)
    """
    places = differing(line.text, other.text)
    most = BY_SHAPE * _AGAIN ** (min(max(1, len(places)), _MOST_PLACES) - 1)
    for read, said in places:
        if human(read, said):
            return BY_SLIP
        if any(token[0].isalpha() for token in (*read, *said)):
            most = BY_NAME
    changes = swaps(line.text, other.text)
    return most * _AGAIN if changes and changes <= {*known} else most


def swaps(text: str, other: str) -> frozenset[tuple[str, str]]:
    """Return which signs stand for which in two readings that differ in single signs, else none.

    >>> sorted(swaps("1.1+2", "4.1+3"))
    [('1', '4'), ('2', '3')]
    """
    if len(text) != len(other):
        return frozenset()
    return frozenset((one, two) for one, two in zip(text, other, strict=True) if one != two)


def of_signs(line: Line, other: Line) -> bool:
    """Tell whether two readings differ in plus and minus alone."""
    places = differing(line.text, other.text)
    return bool(places) and all(
        _SIGNS.fullmatch(token) for pair in places for part in pair for token in part
    )


def differing(text: str, other: str) -> list[tuple[list[str], list[str]]]:
    """Return the tokens in which two readings differ, place by place."""
    one, two = _TOKENS.findall(text), _TOKENS.findall(other)
    matcher = SequenceMatcher(None, one, two, autojunk=False)
    return [(one[a:b], two[c:d]) for kind, a, b, c, d in matcher.get_opcodes() if kind != "equal"]


def human(read: list[str], said: list[str]) -> bool:
    """Tell whether one may be written for the other by a slip: signs, functions and senses.

    A sign may be lost as well; a product's dot says nothing that its lack does not.
    """
    if all(_SIGNS.fullmatch(token) for token in (*read, *said)):
        return True
    return bool(read and said) and any(
        all(kind.fullmatch(token) for token in (*read, *said)) for kind in _SLIPS
    )
