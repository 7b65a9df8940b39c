"""Fractions and roots: which marks hold a part of a line above, below or inside them."""

from collections.abc import Iterator, Sequence
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
_APART = 0.6  # the gap to what else stands on such a row: else the row goes on past the bar …
_HIGHER = 0.6  # … but what is nearer to the bar than this share of the row's gap is no part of it
_LETTER = 0.45  # what is as tall is a letter, not a dot or a dash
_FILLED = 0.45  # of the bar's width, by the wider of both rows
_LEAST_ROOT = 0.9
_LEAST_LONG = 1.2  # its width, in heights: an F is narrower
_ROOF = 0.25  # of a root's height: as far down its roof may be
_EAVES = 0.25  # of a root's width: there is nothing but roof
_NONE = np.zeros(0, np.int32)


@dataclass(frozen=True)
class Nest:
    """A fraction or root: the blob that is its bar or its sign, and the blobs `(N,)` of its parts.

    A fraction has two parts, above and below; a root has one.
    """

    mark: int
    parts: tuple[Ints, ...]


def find(blobs: Blobs, kept: Bools, height: float) -> list[Nest]:
    """Find the outermost fractions and roots among the blobs kept, for letters of this height."""
    free, boxes = kept.copy(), blobs.boxes.copy()
    found: dict[int, Nest] = {}
    for nest in _found(blobs, boxes, free, height):
        found[nest.mark] = nest
        boxes[nest.mark] = _around(boxes[np.concatenate([[nest.mark], *nest.parts])])
        for part in nest.parts:
            free[part] = False
    inner = {mark for nest in found.values() for part in nest.parts for mark in part.tolist()}
    return [
        Nest(nest.mark, tuple(_with_inner(part, found) for part in nest.parts))
        for nest in found.values()
        if nest.mark not in inner
    ]


def _found(blobs: Blobs, boxes: Ints, free: Bools, height: float) -> Iterator[Nest]:
    """Yield roots and then fractions, the narrowest first.

    What was found leaves `free`, and its mark's box in `boxes` `(N, 4)` holds it, before the next.
    """
    for sign in _signs(blobs, free, height):
        inside = _inside(boxes, free, sign, height)
        if len(inside) and _is_root(blobs, sign):
            yield Nest(sign, (inside,))
    for bar in _bars(blobs, free, height):
        if not free[bar]:
            continue
        above = _row(boxes, free, bar, height, -1)
        below = _row(boxes, free, bar, height, 1) if len(above) else _NONE
        width = _FILLED * blobs.boxes[bar, 2]
        if len(below) and max(_width(boxes, above), _width(boxes, below)) >= width:
            yield Nest(bar, (above, below))


def _with_inner(part: Ints, found: dict[int, Nest]) -> Ints:
    """Return a part with what the fractions and roots in it hold."""
    more = [
        _with_inner(inner, found)
        for mark in part.tolist()
        if mark in found
        for inner in found[mark].parts
    ]
    return np.concatenate([part, *more])


def _bars(blobs: Blobs, kept: Bools, height: float) -> Sequence[int]:
    """Return what may be a bar, the narrowest first."""
    wide, tall = blobs.boxes[:, 2], blobs.boxes[:, 3]
    slim = (tall < _THICKEST * height) & (wide > _SLIMNESS * tall)
    able = np.flatnonzero(kept & slim & (wide > _NARROWEST * height))
    return [int(one) for one in able[np.argsort(wide[able], kind="stable")]]


def _signs(blobs: Blobs, kept: Bools, height: float) -> Sequence[int]:
    """Return what may be a root's sign by its size, the narrowest first."""
    wide, tall = blobs.boxes[:, 2], blobs.boxes[:, 3]
    able = np.flatnonzero(kept & (tall > _LEAST_ROOT * height) & (wide > _LEAST_LONG * tall))
    return [int(one) for one in able[np.argsort(wide[able], kind="stable")]]


def _inside(boxes: Ints, kept: Bools, sign: int, height: float) -> Ints:
    """Return the blobs under a root's roof."""
    x, y, w, h = boxes.T
    left, top = x[sign] + 0.2 * h[sign], y[sign]
    inside = kept & (x > left) & (x + w < x[sign] + w[sign] + 0.1 * height)
    inside &= (y > top) & (y + h < y[sign] + h[sign] + 0.35 * height)
    inside[sign] = False
    return (
        np.flatnonzero(inside).astype(np.int32) if (h[inside] > _LETTER * height).any() else _NONE
    )


def _is_root(blobs: Blobs, sign: int) -> bool:
    """Whether a blob is a hook with a roof: to the right there is ink along its top alone."""
    x, y, w, h = blobs.boxes[sign]
    ink = blobs.labels[y : y + h, x : x + w] == sign + 1
    eaves = ink[:, w - max(1, int(_EAVES * w)) :]
    roof = eaves[: max(1, int(_ROOF * h))]
    foot = np.flatnonzero(ink[int(0.9 * h) :].any(axis=0))
    covered = roof.any(axis=0).mean() > 0.9 and not eaves[len(roof) :].any()
    return bool(covered and len(foot) and foot.max() < 0.6 * w)


def _row(boxes: Ints, kept: Bools, bar: int, height: float, side: int) -> Ints:
    """Return the row that stands above (−1) or below (1) a bar; none where it goes on past it."""
    x, y, w, h = boxes.T
    left, right = x[bar], x[bar] + w[bar]
    gap = (y - y[bar] - h[bar] if side > 0 else y[bar] - y - h) / height
    middle = x + w / 2
    over = kept & (middle > left - 0.1 * height) & (middle < right + 0.1 * height)
    over[bar] = False
    near = over & (gap > -0.1) & (gap < _NEAR) & (h > _LETTER * height)
    if not near.any():
        return _NONE
    top, low = y[near].min(), (y + h)[near].max()
    level = kept & (y + h > top + 0.15 * height) & (y < low - 0.15 * height) & (gap > -0.1)
    own = over & level & (gap < _REACH)
    if (x[own] < left - _OVER * height).any() or ((x + w)[own] > right + _OVER * height).any():
        return _NONE
    first, last = x[own].min(), (x + w)[own].max()
    beside = level & ~own & (h > _LETTER * height) & (gap > _HIGHER * gap[near].min())
    goes_on = beside & (x + w > first - _APART * height) & (x < last + _APART * height)
    if goes_on.any():
        return _NONE
    small = over & (h <= _LETTER * height) & (gap > -0.1) & (gap < _REACH)
    small &= (y + h > top - 0.3 * height) & (y < low + 0.5 * height)
    return np.flatnonzero(own | small).astype(np.int32)


def _width(boxes: Ints, row: Ints) -> float:
    return float(_around(boxes[row])[2])


def _around(boxes: Ints) -> Ints:
    """Return the box around boxes `(N, 4)`."""
    first, last = boxes[:, :2].min(axis=0), (boxes[:, :2] + boxes[:, 2:]).max(axis=0)
    return np.concatenate([first, last - first]).astype(np.int32)
