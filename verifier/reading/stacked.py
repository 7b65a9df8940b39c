"""Stacked fractions: which bars part what stands above them from what stands below."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from verifier.reading.ink import Blobs, Ints

Bools = NDArray[np.bool_]

# All in letter heights.
_NARROWEST = 0.7  # bars
_THICKEST = 0.3
_SLIMNESS = 3.5  # how many times as wide as thick
_NEAR = 1.25  # how close to its bar the nearest row stands …
_REACH = 2.6  # … and how far what belongs to that row
_OVER = 0.45  # how far a row may reach over its bar's ends
_APART = 0.6  # the gap to what else stands on such a row: else the row goes on past the bar
_LETTER = 0.45  # what is as tall is a letter, not a dot or a dash
_FILLED = 0.45  # of the bar's width, by the wider of both rows


@dataclass(frozen=True)
class Stack:
    """A fraction: the blob that is its bar, and the blobs `(N,)` above and below it."""

    bar: int
    above: Ints
    below: Ints


def find(blobs: Blobs, kept: Bools, height: float) -> list[Stack]:
    """Find the fractions among the blobs kept, for letters of this height; none within another."""
    found: list[Stack] = []
    taken: set[int] = set()
    for bar in _bars(blobs, kept, height):
        above = _row(blobs, kept, bar, height, -1)
        below = _row(blobs, kept, bar, height, 1)
        parts = {*above.tolist(), *below.tolist()}
        if not len(above) or not len(below) or parts & taken or bar in taken:
            continue
        if max(_width(blobs, above), _width(blobs, below)) < _FILLED * blobs.boxes[bar, 2]:
            continue
        taken |= parts
        found.append(Stack(bar, above, below))
    return found


def _bars(blobs: Blobs, kept: Bools, height: float) -> Iterator[int]:
    """Yield what may be a bar, the widest first."""
    wide, tall = blobs.boxes[:, 2], blobs.boxes[:, 3]
    slim = (tall < _THICKEST * height) & (wide > _SLIMNESS * tall)
    able = np.flatnonzero(kept & slim & (wide > _NARROWEST * height))
    yield from able[np.argsort(-wide[able], kind="stable")].tolist()


def _row(blobs: Blobs, kept: Bools, bar: int, height: float, side: int) -> Ints:
    """Return the row that stands above (−1) or below (1) a bar; none where it goes on past it."""
    x, y, w, h = blobs.boxes.T
    left, right = x[bar], x[bar] + w[bar]
    gap = (y - y[bar] - h[bar] if side > 0 else y[bar] - y - h) / height
    middle = x + w / 2
    over = kept & (middle > left - 0.1 * height) & (middle < right + 0.1 * height)
    over[bar] = False
    near = over & (gap > -0.1) & (gap < _NEAR) & (h > _LETTER * height)
    if not near.any():
        return np.zeros(0, np.int32)
    top, low = y[near].min(), (y + h)[near].max()
    level = kept & (y + h > top + 0.15 * height) & (y < low - 0.15 * height) & (gap > -0.1)
    own = over & level & (gap < _REACH)
    if (x[own] < left - _OVER * height).any() or ((x + w)[own] > right + _OVER * height).any():
        return np.zeros(0, np.int32)
    first, last = x[own].min(), (x + w)[own].max()
    beside = level & ~own & (h > _LETTER * height)
    goes_on = beside & (x + w > first - _APART * height) & (x < last + _APART * height)
    if goes_on.any():
        return np.zeros(0, np.int32)
    small = over & (h <= _LETTER * height) & (gap > -0.1) & (gap < _REACH)
    small &= (y + h > top - 0.3 * height) & (y < low + 0.5 * height)
    return np.flatnonzero(own | small).astype(np.int32)


def _width(blobs: Blobs, row: Ints) -> float:
    x, w = blobs.boxes[row, 0], blobs.boxes[row, 2]
    return float((x + w).max() - x.min())
