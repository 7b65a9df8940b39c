"""A fraction within a fraction is cut apart before it is read: every part is a line of its own.

The network's two streams know one bar above which and below which signs stand. Where ink shows a
bar within another's numerator or denominator, what stands above and below the outer one is read by
itself, as often as there are bars, and the parts are put together.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from verifier.reading.hand_image import gray_of, ink_of, paper_of
from verifier.reading.lines import Box

Way = tuple[str, float, tuple[Box | None, ...]]
Read = Callable[[NDArray[np.uint8], float], list[Way]]
Mask = NDArray[np.bool_]
Boxes = NDArray[np.int32]
_TALLEST = 200  # rows in which a line's parts are looked for
_WAYS = 3

# In letter heights.
_SHORTEST = 0.8  # a bar
_RUN = 0.45  # of it that lies level
_THICKEST = 0.45
_LETTER = 0.3  # what is as tall, above and below a bar, makes it a fraction's
_NEAR = 1.3
_OVER = 0.25  # how far a part may stand beside its bar's end
_WITHIN = 0.75  # of a part that is above or below its bar and not beside it, a share
_THIN = 0.3  # half of a stroke that goes through a bar
_ACROSS = 0.3  # what reaches so far to both sides of a bar is no part of a fraction
_SMALL = 0.55  # what is no taller says nothing of the letters' size
_MARGIN = 0.5  # paper about a part


@dataclass(frozen=True)
class Run:
    """Ink `(H, W)` that stands side by side."""

    ink: Mask


@dataclass(frozen=True)
class Fraction:
    """What stands above a bar and below it, and the ink of all of it."""

    top: "Row"
    low: "Row"
    ink: Mask


Row = list[Run | Fraction]


@dataclass(frozen=True)
class Cut:
    """A line whose fractions are cut apart; `scale` times as large as its picture."""

    gray: NDArray[np.uint8]
    paper: NDArray[np.uint8]
    ink: Mask
    height: float
    row: Row
    scale: float


@dataclass(frozen=True)
class _Bar:
    """A long flat stroke from x0 to x1 on the line y = rise · x + start, with its ink."""

    x0: int
    x1: int
    rise: float
    start: float
    ink: Mask


def cut(image: NDArray[np.uint8]) -> Cut | None:
    """Return a line's parts, or None where no fraction holds another."""
    gray = gray_of(image)
    if min(gray.shape) < 8:
        return None
    scale = min(1.0, _TALLEST / gray.shape[0])
    if scale < 1:
        size = (max(8, round(gray.shape[1] * scale)), _TALLEST)
        gray = np.asarray(cv2.resize(gray, size, interpolation=cv2.INTER_AREA), np.uint8)
    ink = ink_of(gray)
    row = _merged(_row(ink))
    if all(isinstance(part, Run) for part in row):
        return None
    return Cut(gray, paper_of(gray), ink, _letters(_pieces(ink)[1]), row, scale)


def _pieces(ink: Mask) -> tuple[NDArray[np.int32], Boxes]:
    """Return which piece of ink each pixel belongs to, and the boxes of the pieces, no specks."""
    count, labels, stats, _ = cv2.connectedComponentsWithStats(ink.astype(np.uint8), connectivity=8)
    kept = np.flatnonzero(stats[:, cv2.CC_STAT_AREA] >= max(3, (ink.shape[0] / 60) ** 2))
    kept = kept[kept > 0]
    new = np.zeros(count, np.int32)
    new[kept] = np.arange(1, len(kept) + 1)
    return new[labels], np.asarray(stats[kept][:, :4], np.int32)


def _letters(boxes: Boxes) -> float:
    """Return the height of what is tall among boxes."""
    if not len(boxes):
        return 4.0
    tall = boxes[:, 3].astype(float)
    tall = tall[tall >= 0.35 * np.quantile(tall, 0.9)]
    return max(4.0, float(np.quantile(tall, 0.6)))


def _row(ink: Mask) -> Row:
    """Return ink as a row of fractions and of what stands between them."""
    height = _letters(_pieces(ink)[1])
    for bar in _bars(ink, height):
        found = _around(ink & ~bar.ink, bar, height)
        if found is None:
            continue
        top, low, left, right = found
        own = Fraction(_row(top), _row(low), top | low | bar.ink)
        return [*(_row(left) if left.any() else []), own, *(_row(right) if right.any() else [])]
    return [Run(ink)]


def _bars(ink: Mask, height: float) -> Iterator[_Bar]:
    """Yield what may be a bar, the longest first."""
    level = np.ones((1, max(5, round(_RUN * height))), np.uint8)
    flat = cv2.morphologyEx(ink.astype(np.uint8), cv2.MORPH_OPEN, level)
    flat = cv2.dilate(flat, np.ones((3, 3), np.uint8)) & ink
    count, labels, stats, _ = cv2.connectedComponentsWithStats(flat, connectivity=8)
    wide, tall = stats[:, cv2.CC_STAT_WIDTH], stats[:, cv2.CC_STAT_HEIGHT]
    able = [n for n in range(1, count) if wide[n] >= _SHORTEST * height]
    for n in sorted(able, key=lambda n: -wide[n]):
        x, y, w, h = (int(k) for k in stats[n, :4])
        near = round(_NEAR * height)
        if not (ink[max(0, y - near) : y, x : x + w].any() and ink[y + h :, x : x + w].any()):
            continue
        part = labels[y : y + h, x : x + w] == n
        ys, xs = np.nonzero(part)
        rise, start = np.polyfit(xs, ys, 1)
        off = np.abs(ys - rise * xs - start)
        if tall[n] < _THICKEST * height + abs(rise) * w and off.max() < 0.3 * height:
            own = np.zeros_like(ink)
            own[y : y + h, x : x + w] = part
            yield _Bar(x, x + w, float(rise), float(start) + y - float(rise) * x, own)


def _around(ink: Mask, bar: _Bar, height: float) -> tuple[Mask, Mask, Mask, Mask] | None:
    """Return the ink above a bar, below it, to its left and its right; None if it is none."""
    labels, boxes = _pieces(ink)
    if not len(boxes):
        return None
    x, y, w, h = boxes.T
    middle, centre = x + w / 2, y + h / 2
    line = bar.rise * middle + bar.start
    own = (middle > bar.x0 - _OVER * height) & (middle < bar.x1 + _OVER * height)
    across = (y < line - _ACROSS * height) & (y + h > line + _ACROSS * height)
    if (own & across & (middle > bar.x0) & (middle < bar.x1)).any():
        return None
    own &= ~across
    thin = own & (w < _THIN * height)
    ends = [middle[thin & (np.abs(edge - line) < 0.12 * height)] for edge in (y + h, y)]
    apart = np.abs(ends[0][:, None] - ends[1])
    if apart.size and apart.min() < 0.15 * height:  # a plus
        return None
    parts = []
    for part, gap in (
        (own & (centre < line), line - y - h), (own & (centre >= line), y - line)
    ):  # fmt: skip
        letters = part & (h > _LETTER * height)
        if not letters.any() or gap[letters].min() > _NEAR * height:
            return None
        first, last = int(x[letters].min()), int((x + w)[letters].max())
        if min(last, bar.x1) - max(first, bar.x0) < _WITHIN * (last - first):
            return None
        parts.append(part)
    beside = ~own
    parts += [beside & (middle < (bar.x0 + bar.x1) / 2), beside & (middle >= (bar.x0 + bar.x1) / 2)]
    above, below, left, right = (np.append(False, part)[labels] for part in parts)
    return above, below, left, right


def _merged(row: Row) -> Row:
    """Return a row in which only fractions that hold others are apart."""
    out: Row = []
    for part in row:
        if isinstance(part, Fraction):
            top, low = _merged(part.top), _merged(part.low)
            if any(isinstance(inner, Fraction) for inner in (*part.top, *part.low)):
                out.append(Fraction(top, low, part.ink))
                continue
        if out and isinstance(out[-1], Run):
            out[-1] = Run(out[-1].ink | part.ink)
        else:
            out.append(Run(part.ink))
    return out


def read(found: Cut, reader: Read) -> list[Way]:
    """Return the readings of a line whose parts are read by themselves, likeliest first.

    `reader` reads a picture whose letters are of a given height, or as tall as they seem (0).
    """
    outer = [_ways(part, found, reader) for part in found.row]
    for part, ways in zip(found.row, outer, strict=True):
        if isinstance(part, Fraction):  # a bar that is read as no bar was a plus or a minus
            ways[:] = [way for way in ways if way[0].count(")/(") > 1]
    return _joined(outer)


def _ways(part: Run | Fraction, found: Cut, reader: Read) -> list[Way]:
    if isinstance(part, Fraction):
        top, low = (
            _joined([_ways(inner, found, reader) for inner in row]) for row in (part.top, part.low)
        )
        return [_over(a, b) for a, b in _pairs(top, low)]
    ys, xs = np.nonzero(part.ink)
    boxes = _pieces(part.ink)[1]
    if not len(boxes):
        return []
    pad = int(_MARGIN * found.height) + 2
    x0, y0 = max(0, int(xs.min()) - pad), max(0, int(ys.min()) - pad)
    x1, y1 = int(xs.max()) + pad + 1, int(ys.max()) + pad + 1
    others = (found.ink & ~part.ink)[y0:y1, x0:x1]
    others = cv2.dilate(others.astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    others &= ~part.ink[y0:y1, x0:x1]
    picture = np.where(others, found.paper[y0:y1, x0:x1], found.gray[y0:y1, x0:x1])
    small = float(boxes[:, 3].max()) < _SMALL * found.height
    ways = reader(np.ascontiguousarray(picture), found.height if small else 0.0)
    return [
        (text, chance, _moved(spots, x0, y0, found.scale)) for text, chance, spots in ways[:_WAYS]
    ]


def _moved(spots: Sequence[Box | None], x0: int, y0: int, scale: float) -> tuple[Box | None, ...]:
    return tuple(
        None if spot is None else (
            int((spot[0] + x0) / scale), int((spot[1] + y0) / scale),
            max(1, int(spot[2] / scale)), max(1, int(spot[3] / scale)),
        )
        for spot in spots
    )  # fmt: skip


def _pairs(one: list[Way], other: list[Way]) -> list[tuple[Way, Way]]:
    """Return pairs of readings, likeliest first, most with one part read otherwise."""
    every = [(a, b) for i, a in enumerate(one) for j, b in enumerate(other) if i + j < _WAYS]
    return sorted(every, key=lambda pair: -pair[0][1] * pair[1][1])[:_WAYS]


def _over(top: Way, low: Way) -> Way:
    text = f"({top[0]})/({low[0]})"
    return text, top[1] * low[1], (None, *top[2], None, None, None, *low[2], None)


def _joined(parts: list[list[Way]]) -> list[Way]:
    """Return the readings of a row from those of its parts; none where one has none."""
    ways: list[Way] = [("", 1.0, ())]
    for part in parts:
        ways = [
            (_beside(a[0], b[0]), a[1] * b[1], _spots(a, b)) for a, b in _pairs(ways, part)
        ]  # fmt: skip
    return ways


def _beside(left: str, right: str) -> str:
    return f"{left} {right}" if _apart(left) else left + right


def _apart(left: str) -> bool:
    return left.endswith(("=", "≈", "⇒", ":"))


def _spots(left: Way, right: Way) -> tuple[Box | None, ...]:
    gap: tuple[Box | None, ...] = (None,) if _apart(left[0]) else ()
    return (*left[2], *gap, *right[2])
