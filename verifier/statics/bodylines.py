"""A rigid body as a line of joints, along which it can be cut."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from verifier.statics.stubs import Branches, Point, Unclear, branches


@dataclass(frozen=True)
class BodyLine:
    """The joints of a body in order along it, with their distances from its first end.

    A straight body runs from its left end (its lower end where it is vertical); any other runs
    through its joints as the sheet lists them, from whichever end lies further left. What stands on
    the line but is no part of it hangs on one of its joints: `hung` names each such joint with the
    one that it hangs on, `pieces` has the ends of the straight pieces there. `unclear` tells which
    cuts the sheet's list of joints does not settle.
    """

    joints: tuple[str, ...]
    points: tuple[Point, ...]
    distances: tuple[float, ...]
    hung: tuple[tuple[str, str], ...] = ()
    pieces: tuple[tuple[str, Point, Point], ...] = ()
    unclear: tuple[Unclear, ...] = ()

    @property
    def every(self) -> tuple[str, ...]:
        """The joints of the body, those that hang on the line included."""
        return (*self.joints, *(name for name, _ in self.hung))

    @property
    def all_joints(self) -> tuple[tuple[str, float], ...]:
        """Every joint of the body with how far along the line it lies or hangs."""
        along = dict(zip(self.joints, self.distances, strict=True))
        return (*along.items(), *((name, along[foot]) for name, foot in self.hung))

    def place(self, point: Point) -> float:
        """Return how far along the line the nearest place of the body to a point is or hangs."""
        return self.nearest(point)[1]

    def nearest(self, point: Point) -> tuple[float, float]:
        """Return the nearest place to a point: how far off the line's axis, how far along it.

        The first is infinite for a point that is nearest to what hangs on the line.
        """
        best, told = math.inf, (math.inf, 0.0)
        for (a, b), start in zip(pairwise(self.points), self.distances, strict=False):
            off, along = _beside(point, a, b)
            if off < best - 1e-12:
                best, told = off, (off, start + along)
        along_of = dict(self.all_joints)
        for foot, a, b in self.pieces:
            off, _ = _beside(point, a, b)
            if off < best - 1e-12:
                best, told = off, (math.inf, along_of[foot])
        return told

    def doubted(self, joint: str, place: float, after: bool) -> tuple[str, ...]:
        """Return the joints of which the list does not tell on which side of a cut they are.

        The cut is at a place along the line, at a joint just after or before it; `joint` is '' for
        a cut between joints.
        """
        slack = 1e-9 * (self.distances[-1] or 1.0)
        just = place + (0.0 if not joint else slack if after else -slack)
        along = dict(self.all_joints)
        for one in self.unclear:
            inner = [along[name] for name in one.between]
            outer = [along[name] for name in one.at]
            if (
                joint in one.names
                or (inner and min(inner) < just < max(inner))
                or (outer and min(outer) - 2 * slack < just < max(outer) + 2 * slack)
            ):
                return one.names
        return ()

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
    """Return the line through some joints of a body, in the order of its list if not straight."""
    named = dict(zip(joints, points, strict=True))
    order = list(named)
    far = max(order, key=lambda name: math.dist(named[order[0]], named[name]))
    a, b = named[order[0]], named[far]
    size = math.dist(a, b) or 1.0
    if _straight(points):
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


def body_lines(joints: Sequence[str], points: Sequence[Point]) -> tuple[BodyLine, ...]:
    """Return the lines along which a body can be cut: its main one, then one for each stub."""
    named = dict(zip(joints, points, strict=True))
    parts = Branches(tuple(named)) if _straight(points) else branches(tuple(named), named)
    main = body_line(parts.main, [named[name] for name in parts.main])
    arms = tuple((foot, named[foot], named[column[-1]]) for foot, column in parts.stubs)
    hung = tuple((name, foot) for foot, column in parts.stubs for name in column)
    lines = [replace(main, hung=hung, pieces=arms, unclear=parts.unclear)]
    for (foot, column), arm in zip(parts.stubs, arms, strict=True):
        held = (foot, *column)
        line = body_line(held, [named[name] for name in held])
        rest = tuple((name, foot) for name in named if name not in held)
        ends = [*pairwise(main.points), *(other[1:] for other in arms if other != arm)]
        lines.append(replace(line, hung=rest, pieces=tuple((foot, a, b) for a, b in ends)))
    return tuple(lines)


def _straight(points: Sequence[Point]) -> bool:
    a = points[0]
    b = max(points, key=lambda p: math.dist(a, p))
    size = math.dist(a, b) or 1.0
    offs = (abs((x - a[0]) * (b[1] - a[1]) - (y - a[1]) * (b[0] - a[0])) / size for x, y in points)
    return max(offs) <= 1e-9 * size


def _beside(point: Point, a: Point, b: Point) -> tuple[float, float]:
    """Return how far a point lies off a straight piece, and how far along it its place is."""
    length = math.dist(a, b)
    across, up = b[0] - a[0], b[1] - a[1]
    share = 0.0
    if length:
        share = ((point[0] - a[0]) * across + (point[1] - a[1]) * up) / (length * length)
        share = min(1.0, max(0.0, share))
    return math.dist(point, (a[0] + share * across, a[1] + share * up)), share * length
