"""Where labels go: beside what they name, over nothing else."""

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence

from verifier.reporting.figure_scene import (
    STYLES,
    Box,
    Disc,
    Label,
    Mark,
    Point,
    Stroke,
    label_box,
    text_width,
)

_WAYS = tuple((math.cos(math.tau * t / 16), math.sin(math.tau * t / 16)) for t in range(16))
_MOST = 200
_FAR = (0.0, 7.0, 15.0, 27.0)
_CELL = 48.0
Cell = tuple[int, int]
Line = tuple[Point, Point]


class Placing:
    """Finds room for labels among the marks of one drawing."""

    def __init__(self) -> None:
        self._boxes: dict[Cell, list[Box]] = {}
        self._lines: dict[Cell, list[Line]] = {}

    def occupy(self, marks: Iterable[Mark]) -> None:
        """Take note of what is drawn already."""
        for mark in marks:
            match mark:
                case Label():
                    self._take_box(label_box(mark))
                case Disc():
                    (x, y), r = mark.centre, mark.radius
                    self._take_box((x - r, y - r, x + r, y + r))
                case Stroke():
                    points = [*mark.points, mark.points[0]] if mark.closed else mark.points
                    half = STYLES[mark.style].width / 2
                    for start, end in itertools.pairwise(points):
                        for line in _edges(start, end, half) if half > 2 else [(start, end)]:
                            self._take_line(line)

    def label(
        self, at: Point, text: str, style: str, prefer: Sequence[Point] = (), gap: float = 8.0
    ) -> Label:
        """Return a label near a point, in a preferred direction (page, y down) if it fits."""
        size = STYLES[style].size
        width, height = text_width(text, size), size
        best: tuple[float, Box] | None = None
        for dislike, way, far in _tries(prefer):
            if best is not None and dislike >= best[0]:
                break
            box = _beside(at, way, gap + far, width, height)
            cost = dislike + self._crowding(box)
            if best is None or cost < best[0] - 1e-9:
                best = (cost, box)
        assert best is not None
        left, top, _, _ = best[1]
        label = Label((left + width / 2, top + 0.78 * size), text, style)
        self._take_box(label_box(label))
        return label

    def _crowding(self, box: Box) -> float:
        grown = (box[0] - 2, box[1] - 2, box[2] + 2, box[3] + 2)
        boxes: set[Box] = set()
        lines: set[Line] = set()
        for cell in _cells(grown):
            boxes.update(self._boxes.get(cell, ())[:_MOST])
            lines.update(self._lines.get(cell, ())[:_MOST])
        apart = (box[0] - 6, box[1] - 2, box[2] + 6, box[3] + 2)  # words run together sideways
        over = sum(_overlap(apart, other) for other in boxes)
        return over * 0.6 + 25.0 * sum(_crosses(grown, *line) for line in lines)

    def _take_box(self, box: Box) -> None:
        for cell in _cells(box):
            self._boxes.setdefault(cell, []).append(box)

    def _take_line(self, line: Line) -> None:
        (ax, ay), (bx, by) = line
        count = max(1, math.ceil(math.dist(*line) / _CELL))
        for step in range(count):
            x, y = ax + (bx - ax) * step / count, ay + (by - ay) * step / count
            u, v = ax + (bx - ax) * (step + 1) / count, ay + (by - ay) * (step + 1) / count
            for cell in _cells((min(x, u), min(y, v), max(x, u), max(y, v))):
                self._lines.setdefault(cell, []).append(line)


def _cells(box: Box) -> Iterator[Cell]:
    """Yield the squares of a coarse grid that a box touches, so that search stays local."""
    for column in range(math.floor(box[0] / _CELL), math.floor(box[2] / _CELL) + 1):
        for row in range(math.floor(box[1] / _CELL), math.floor(box[3] / _CELL) + 1):
            yield column, row


def _edges(start: Point, end: Point, half: float) -> list[tuple[Point, Point]]:
    far = math.dist(start, end) or 1.0
    across, down = (end[1] - start[1]) / far * half, (start[0] - end[0]) / far * half
    return [
        ((start[0] + s * across, start[1] + s * down), (end[0] + s * across, end[1] + s * down))
        for s in (-1, 0, 1)
    ]


def _tries(prefer: Sequence[Point]) -> list[tuple[float, Point, float]]:
    """Return directions and distances to try with how little each is liked, best first."""
    tries = []
    for way in _WAYS:
        off = min((1 - way[0] * w[0] - way[1] * w[1] for w in prefer), default=0.0) * 6
        tries += [(off + far * 0.5, way, far) for far in _FAR]
    return sorted(tries, key=lambda one: one[0])


def _beside(at: Point, way: Point, gap: float, width: float, height: float) -> Box:
    reach = gap + min(
        width / 2 / abs(way[0]) if abs(way[0]) > 1e-9 else math.inf,
        height / 2 / abs(way[1]) if abs(way[1]) > 1e-9 else math.inf,
    )
    x, y = at[0] + way[0] * reach, at[1] + way[1] * reach
    return (x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def _overlap(one: Box, two: Box) -> float:
    across = min(one[2], two[2]) - max(one[0], two[0])
    down = min(one[3], two[3]) - max(one[1], two[1])
    return across * down if across > 0 and down > 0 else 0.0


def _crosses(box: Box, start: Point, end: Point) -> bool:
    """Clip a line against a box (Liang and Barsky, 1984)."""
    low, high = 0.0, 1.0
    for here, along, least, most in (
        (start[0], end[0] - start[0], box[0], box[2]),
        (start[1], end[1] - start[1], box[1], box[3]),
    ):
        if abs(along) < 1e-12:
            if here < least or here > most:
                return False
            continue
        first, last = (least - here) / along, (most - here) / along
        low, high = max(low, min(first, last)), min(high, max(first, last))
        if low > high:
            return False
    return True
