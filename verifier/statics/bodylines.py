"""A rigid body as a line of joints, along which it can be cut."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

Point = tuple[float, float]


@dataclass(frozen=True)
class BodyLine:
    """The joints of a body in order along it, with their distances from its first end.

    A straight body runs from its left end (its lower end where it is vertical); any other runs
    through its joints as the sheet lists them, from whichever end lies further left.
    """

    joints: tuple[str, ...]
    points: tuple[Point, ...]
    distances: tuple[float, ...]

    def place(self, point: Point) -> float:
        """Return how far along the line the nearest place to a point is."""
        best = (math.inf, 0.0)
        for (a, b), start in zip(
            zip(self.points, self.points[1:], strict=False), self.distances, strict=False
        ):
            length = math.dist(a, b)
            share = 0.0
            if length:
                share = ((point[0] - a[0]) * (b[0] - a[0]) + (point[1] - a[1]) * (b[1] - a[1])) / (
                    length * length
                )
                share = min(1.0, max(0.0, share))
            off = math.dist(point, (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])))
            if off < best[0] - 1e-12:
                best = (off, start + share * length)
        return best[1]

    def tangent(self, distance: float, after: bool) -> Point:
        """Return the unit vector along the line at a place, just after it or just before."""
        slack = 1e-9 * (self.distances[-1] or 1.0)
        chosen = 0
        for index, start in enumerate(self.distances[:-1]):
            if start < distance - slack or (after and start <= distance + slack):
                chosen = index
        a, b = self.points[chosen], self.points[chosen + 1]
        length = math.dist(a, b) or 1.0
        return (b[0] - a[0]) / length, (b[1] - a[1]) / length


def body_line(joints: Sequence[str], points: Sequence[Point]) -> BodyLine:
    """Return a body's joints in order along it."""
    named = dict(zip(joints, points, strict=True))
    order = list(named)
    far = max(order, key=lambda name: math.dist(named[order[0]], named[name]))
    a, b = named[order[0]], named[far]
    size = math.dist(a, b) or 1.0
    offs = (
        abs((p[0] - a[0]) * (b[1] - a[1]) - (p[1] - a[1]) * (b[0] - a[0])) / size
        for p in named.values()
    )
    if max(offs) <= 1e-9 * size:
        order.sort(
            key=lambda n: (
                (named[n][0] - a[0]) * (b[0] - a[0]) + (named[n][1] - a[1]) * (b[1] - a[1])
            )
        )
    first, last = named[order[0]], named[order[-1]]
    lean = last[0] - first[0]
    if lean < -1e-9 * size or (abs(lean) <= 1e-9 * size and last[1] < first[1]):
        order.reverse()
    distances = [0.0]
    for one, two in pairwise(order):
        distances.append(distances[-1] + math.dist(named[one], named[two]))
    return BodyLine(tuple(order), tuple(named[name] for name in order), tuple(distances))
