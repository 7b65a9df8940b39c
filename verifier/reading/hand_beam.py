"""The likeliest readings of a stream of CTC scores: a prefix beam search.

Graves et al., 'Connectionist temporal classification' (2006): a reading's probability is the sum
over all ways to spread its tokens over the columns with blanks between.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

_FAR = -1e9
_NOTHING = 1e-300
_BLANK = -2e-4


@dataclass(frozen=True)
class Path:
    """A reading: token numbers, the column where each stands out most, and its log probability."""

    tokens: tuple[int, ...]
    columns: tuple[int, ...]
    score: float


def log_softmax(scores: NDArray[np.float32]) -> NDArray[np.float64]:
    """Return log probabilities of scores (T, tokens)."""
    high = scores.max(axis=1, keepdims=True)
    spread = (scores - high).astype(np.float64)
    return np.asarray(spread - np.log(np.exp(spread).sum(axis=1, keepdims=True)))


def best_paths(logs: NDArray[np.float64], width: int = 10, least: float = -6.0) -> list[Path]:
    """Return up to `width` readings of log probabilities (T, tokens), likeliest first.

    Tokens less likely than `least` (a log) in a column are not tried there.
    """
    parent, token, column, peak = [-1], [0], [-1], [_FAR]
    children: dict[tuple[int, int], int] = {}
    beam: dict[int, tuple[float, float]] = {0: (0.0, _FAR)}
    blanks = 0.0
    for t, row in enumerate(logs):
        if row[0] > _BLANK:
            blanks += float(row[0])
            beam = {n: (_add(b, s), _FAR) for n, (b, s) in beam.items()}
            continue
        tried = [int(k) for k in np.flatnonzero(row > least) if k]
        tried = sorted(tried, key=lambda k: -row[k])[:12]
        values = [(k, float(row[k])) for k in tried]
        blank = float(row[0])
        new: dict[int, tuple[float, float]] = {}
        for node, (ends_blank, ends_sign) in beam.items():
            both = _add(ends_blank, ends_sign)
            _merge(new, node, both + blank, _FAR)
            last = token[node]
            if node and last:
                _merge(new, node, _FAR, ends_sign + float(row[last]))
                if row[last] > peak[node]:
                    peak[node], column[node] = float(row[last]), t
            for k, value in values:
                gain = (ends_blank if k == last else both) + value
                if gain < _FAR / 2:
                    continue
                child = children.get((node, k))
                if child is None:
                    child = len(parent)
                    children[node, k] = child
                    parent.append(node)
                    token.append(k)
                    column.append(t)
                    peak.append(value)
                elif value > peak[child]:
                    peak[child], column[child] = value, t
                _merge(new, child, _FAR, gain)
        kept = sorted(new.items(), key=lambda item: -_add(*item[1]))[: 2 * width]
        floor = _add(*kept[0][1]) - 14
        beam = {n: v for n, v in kept if _add(*v) > floor}
    found = sorted(beam.items(), key=lambda item: -_add(*item[1]))[:width]
    return [_unrolled(n, _add(*v) + blanks, parent, token, column) for n, v in found]


def chances(logs: NDArray[np.float64], rows: Sequence[Sequence[int]]) -> list[float]:
    """Return the log probability of each row of token numbers under log probabilities (T, tokens).

    Columns that are blank beyond doubt are passed over at one stride, as in the search.
    """
    count, size = len(rows), 2 * max(map(len, rows), default=0) + 1
    label, last = np.zeros((count, size), np.int64), np.array([2 * len(row) for row in rows])
    for signs, row in zip(label, rows, strict=True):
        signs[1 : 2 * len(row) : 2] = row
    leap = np.zeros((count, size))  # past a blank, from a sign to another one
    leap[:, 3::2] = label[:, 3::2] != label[:, 1:-2:2]
    at = np.zeros((count, size + 2))  # as shares of a row's likeliest state
    at[:, 2] = 1.0
    blank = logs[:, 0] > _BLANK
    total = np.full(count, float(logs[blank, 0].sum()))
    likely = iter(np.exp(logs[~blank]))
    for passed in blank:
        if passed:
            at[:, 4::2] += at[:, 3:-1:2]
            at[:, 3::2] = 0.0
            continue
        new = at[:, :-2] * leap
        new += at[:, 1:-1]
        new += at[:, 2:]
        new *= next(likely)[label]
        high = np.maximum(new.max(axis=1), _NOTHING)
        at[:, 2:] = new / high[:, None]
        total += np.log(high)
    each = np.arange(count)
    ends = at[each, last + 2] + np.where(last > 0, at[each, last + 1], 0.0)
    return [float(one) for one in total + np.log(np.maximum(ends, _NOTHING))]


def _add(a: float, b: float) -> float:
    high, low = (a, b) if a > b else (b, a)
    return high if low < high - 30 else high + math.log1p(math.exp(low - high))


def _merge(
    beam: dict[int, tuple[float, float]], node: int, ends_blank: float, ends_sign: float
) -> None:
    old = beam.get(node)
    if old is None:
        beam[node] = (ends_blank, ends_sign)
    else:
        beam[node] = (_add(old[0], ends_blank), _add(old[1], ends_sign))


def _unrolled(
    node: int, score: float, parent: list[int], token: list[int], column: list[int]
) -> Path:
    tokens, columns = [], []
    while node > 0:
        tokens.append(token[node])
        columns.append(column[node])
        node = parent[node]
    return Path(tuple(reversed(tokens)), tuple(reversed(columns)), score)
