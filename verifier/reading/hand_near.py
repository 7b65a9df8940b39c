"""Readings near a likely one: a single sign is another one, is too many, or was passed over.

A search keeps few whole lines, and on a long line they are soon spent on one doubtful word. Here
each place by itself is asked what else the ink there may be, wherever the search stopped looking.
Places within words are left out: what a heading says is seldom what a line is judged by.
"""

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from verifier.reading.hand_beam import Path, chances
from verifier.reading.hand_tokens import SPACE, Token, tokens

_LEAST = -7.0  # a sign less likely than this (a log) at its best column is not tried
_AT_A_PLACE = 5
_MOST = 20  # readings added
_BEHIND = 6.0  # nats by which they may fall behind the reading that they are near to
Way = tuple[tuple[int, ...], tuple[int, ...]]


def near(logs: NDArray[np.float64], path: Path, stream: int) -> list[Path]:
    """Return readings of a stream's log probabilities (T, tokens) that differ at a single place.

    Likeliest first; those that differ in a blank or a sign's level alone say nothing new.
    """
    known = tokens(stream)
    ways = [*_others(logs, path, known), *_fewer(path, known)]
    if not ways:
        return []
    found = chances(logs, [row for row, _ in ways])
    ranked = sorted(zip(found, ways, strict=True), key=lambda one: -one[0])
    return [
        Path(row, columns, score)
        for score, (row, columns) in ranked[:_MOST]
        if score > path.score - _BEHIND
    ]


def _others(logs: NDArray[np.float64], path: Path, known: tuple[Token | None, ...]) -> list[Way]:
    """Return the readings with another sign at a place, or one more between two."""
    found: list[Way] = []
    at, row = path.columns, path.tokens
    worded = _in_words(path, known)
    for i, column in enumerate(at):
        if worded[i]:
            continue
        left = (at[i - 1] + column) // 2 + 1 if i else 0
        right = (column + at[i + 1]) // 2 + 1 if i + 1 < len(at) else len(logs)
        for sign, place in _likely(logs, left, max(right, left + 1), known, known[row[i]]):
            found.append(((*row[:i], sign, *row[i + 1 :]), (*at[:i], place, *at[i + 1 :])))
    edges = [-1, *at, len(logs)]
    for i, (left, right) in enumerate(pairwise(edges)):
        within = 0 < i < len(row) and worded[i - 1] and worded[i]
        if right - left > 1 and not within:
            for sign, place in _likely(logs, left + 1, right, known, None):
                found.append(((*row[:i], sign, *row[i:]), (*at[:i], place, *at[i:])))
    return found


def _fewer(path: Path, known: tuple[Token | None, ...]) -> list[Way]:
    """Return the readings that lack one sign."""
    worded = _in_words(path, known)
    return [
        (path.tokens[:i] + path.tokens[i + 1 :], path.columns[:i] + path.columns[i + 1 :])
        for i, n in enumerate(path.tokens)
        if not worded[i] and (one := known[n]) is not None and one.sign != SPACE
    ]


def _likely(
    logs: NDArray[np.float64], left: int, right: int, known: tuple[Token | None, ...],
    own: Token | None,
) -> list[tuple[int, int]]:  # fmt: skip
    """Return what else may stand between two columns, each with the column where it stands out."""
    best = logs[left:right].max(axis=0)
    found: list[tuple[int, int]] = []
    for k in np.argsort(-best)[: 2 * _AT_A_PLACE]:
        sign = known[int(k)]
        if best[k] < _LEAST or len(found) == _AT_A_PLACE:
            break
        if sign is None or sign.sign == SPACE or (own is not None and sign.sign == own.sign):
            continue
        found.append((int(k), left + int(logs[left:right, k].argmax())))
    return found


def _in_words(path: Path, known: tuple[Token | None, ...]) -> list[bool]:
    """Tell of each sign whether it stands in a word: among letters, four or more in a row."""
    letters = [(one := known[n]) is not None and one.sign.isalpha() for n in path.tokens]
    found = [False] * len(letters)
    start = 0
    for i, letter in enumerate([*letters, False]):
        if letter:
            continue
        if i - start >= 4:
            found[start:i] = [True] * (i - start)
        start = i + 1
    return found
