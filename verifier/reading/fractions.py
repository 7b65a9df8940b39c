"""Stacked fractions and roots in print: what they are written as on the line."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product

from verifier.reading.choice import Choice
from verifier.reading.page import PageLine
from verifier.reading.segment import Box4

Told = tuple[Box4, Sequence[dict[str, float]]]
"""The box of a bar or a root's sign, and the readings of its parts, each's likeliest first."""

_ONE = re.compile(r"[−-]?[\d.,]+|\w(?:_\w|_\{\w+\})?")
_FREE_BEFORE = frozenset("=+−-·×*/(:,;≈⇒→")
_FREE_BEHIND = frozenset("=+−-·×*):,;≈⇒→")
_WORTH = 0.02
_MOST_OTHERS = 4


def every(line: PageLine) -> Iterator[PageLine]:
    """Yield a line and what its fractions and roots hold, each part before what is inside it."""
    yield line
    for nest in line.nests:
        for part in nest.parts:
            yield from every(part)


def put_in(choices: Sequence[Choice], told: Sequence[Told]) -> list[Choice]:
    """Put fractions and roots among the glyphs of their line, each as one choice `(4 + 2)/3`."""
    found = list(choices)
    for box, parts in told:
        at = sum(1 for one in found if one.box[0] + one.box[2] / 2 < box[0] + box[2] / 2)
        before = found[at - 1].char[-1:] if at else "="
        behind = found[at].char[:1] if at < len(found) else "="
        readings: dict[str, float] = {}
        for ways in product(*map(_likeliest, parts)):
            chance = 1.0
            for _, one in ways:
                chance *= one
            readings.setdefault(_written([text for text, _ in ways], before, behind), chance)
        (text, sure), *others = readings.items()
        worth = tuple(one for one in others if one[1] > _WORTH)
        found.insert(at, Choice(text, box, sure, 0, at > 0, worth))
        if at + 1 < len(found):
            found[at + 1] = replace(found[at + 1], space=True)
    return found


def _likeliest(readings: dict[str, float]) -> list[tuple[str, float]]:
    first, *others = readings.items()
    return [first, *sorted(others, key=lambda one: -one[1])[:_MOST_OTHERS]]


def _written(parts: Sequence[str], before: str, behind: str) -> str:
    """Write a fraction on the line, in brackets where what stands beside it would join it."""
    parts = [part if _ONE.fullmatch(part) else f"({part})" for part in parts]
    if len(parts) == 1:
        return f"√{parts[0]}"
    alone = before in _FREE_BEFORE and behind in _FREE_BEHIND
    return "/".join(parts) if alone else f"({'/'.join(parts)})"
