"""Stacked fractions in print: their parts, and what they are written as on the line."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from verifier.reading.choice import Choice
from verifier.reading.page import PageLine
from verifier.reading.segment import Box4

Told = tuple[Box4, dict[str, float], dict[str, float]]
"""A fraction: the box of its bar, and the readings of its parts, the likeliest first."""

_ONE = re.compile(r"[−-]?[\d.,]+|\w(?:_\w|_\{\w+\})?")
_FREE_BEFORE = frozenset("=+−-·×*/(:,;≈⇒→")
_FREE_BEHIND = frozenset("=+−-·×*):,;≈⇒→")
_WORTH = 0.02
_MOST_OTHERS = 4


def parts(line: PageLine) -> Iterator[PageLine]:
    """Yield what stands above and below each bar of a line."""
    for stack in line.stacks:
        yield stack.above
        yield stack.below


def put_in(choices: Sequence[Choice], told: Sequence[Told]) -> list[Choice]:
    """Put fractions among the glyphs of their line, each as one choice `(4 + 2)/3`."""
    found = list(choices)
    for bar, above, below in told:
        x, _, w, _ = bar
        at = sum(1 for one in found if one.box[0] + one.box[2] / 2 < x + w / 2)
        before = found[at - 1].char[-1:] if at else "="
        behind = found[at].char[:1] if at < len(found) else "="
        readings = {
            _stacked(top, low, before, behind): one * other
            for top, one in _likeliest(above)
            for low, other in _likeliest(below)
        }
        (text, sure), *others = readings.items()
        others = [one for one in others if one[1] > _WORTH]
        found.insert(at, Choice(text, bar, sure, 0, at > 0, tuple(others)))
        if at + 1 < len(found):
            found[at + 1] = replace(found[at + 1], space=True)
    return found


def _likeliest(readings: dict[str, float]) -> list[tuple[str, float]]:
    (first, *others) = readings.items()
    return [first, *sorted(others, key=lambda one: -one[1])[:_MOST_OTHERS]]


def _stacked(top: str, low: str, before: str, behind: str) -> str:
    """Write a fraction on the line, in brackets where what stands beside it would join it."""
    top = top if _ONE.fullmatch(top) else f"({top})"
    low = low if _ONE.fullmatch(low) else f"({low})"
    alone = before in _FREE_BEFORE and behind in _FREE_BEHIND
    return f"{top}/{low}" if alone else f"({top}/{low})"
