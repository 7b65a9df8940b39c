"""A page writes its indices in one way, R_{A} or RA: what its lines show together settles each.

Whether an index is lowered changes no meaning, and the ink of one name often says little; a whole
page of names says which way this hand writes them.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from verifier.reading.hand_views import LOWERED_IS_USUAL, Groups, Scored, Told, meaning

_HABITS = np.linspace(-4, 4, 33)  # what a lowered index counts for, in nats
_SPREAD = 3.0  # of habits
_LEAST = 3  # lines that may be read both ways


def settled(page: Sequence[list[Scored]], lines: Sequence[Groups]) -> list[list[Scored]]:
    """Return a page's readings with the indices as its hand writes them."""
    lowered = habit([groups[_key(one[0])] for one, groups in zip(page, lines, strict=True) if one])
    if lowered == LOWERED_IS_USUAL:
        return list(page)
    return [
        [_shown(one, groups[_key(one)], lowered) for one in found]
        for found, groups in zip(page, lines, strict=True)
    ]


def habit(lines: Sequence[Sequence[Told]]) -> float:
    """Return what a lowered index counts for on a page, from the ways to write each of its lines.

    A line tells it by how likely each number of lowered indices is by its ink.
    """
    known = -(((_HABITS - LOWERED_IS_USUAL) / _SPREAD) ** 2) / 2
    telling = 0
    for line in lines:
        best: dict[int, float] = {}
        for told in line:
            count, score = told.lowered(), told.ink() + told.liked
            best[count] = max(score, best.get(count, score))
        if len(best) > 1:
            counts = np.array([*best])[:, None] * _HABITS
            ink = np.array([*best.values()])[:, None]
            known += np.logaddexp.reduce(ink + counts) - np.logaddexp.reduce(counts)
            telling += 1
    if telling < _LEAST:
        return LOWERED_IS_USUAL
    shares = np.exp(known - known.max())
    return float(shares @ _HABITS / shares.sum())


def _key(one: Scored) -> str:
    return meaning(one.reading.text)


def _shown(one: Scored, group: Sequence[Told], lowered: float) -> Scored:
    told = max(group, key=lambda told: told.shown(lowered))
    return replace(one, reading=told.reading, numbers=told.numbers)
