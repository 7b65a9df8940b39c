"""The structure laid on a page: where its joints fall, and which ways from them are taken."""

import math
from collections.abc import Iterable, Mapping

from verifier.reporting.figure_arrows import unit
from verifier.reporting.figure_scene import Point
from verifier.structure.model import Body, Structure

WIDEST, TALLEST = 620.0, 380.0
_LARGEST = 6000.0
_NEAR = math.cos(math.radians(35))


class Plan:
    """Page places (points, y down) of some joints, all that a drawing of them needs.

    `joints` are those that set the scale; `extra` are further points of the figure (world) that
    must fit in.
    """

    def __init__(
        self, structure: Structure, joints: Iterable[str], extra: Iterable[Point] = ()
    ) -> None:
        self.structure = structure
        self.letters: Mapping[str, float] = structure.letters
        self.joints = tuple(joints)
        world = [structure.point(name) for name in self.joints] + list(extra)
        xs, ys = [p[0] for p in world] or [0.0], [p[1] for p in world] or [0.0]
        self.left, self.bottom = min(xs), min(ys)
        wide, tall = max(xs) - self.left, max(ys) - self.bottom
        room = (_room(xs, WIDEST), _room(ys, TALLEST))
        self.scale = min(room[0] / wide if wide else math.inf, room[1] / tall if tall else math.inf)
        if not math.isfinite(self.scale):
            self.scale = 1.0
        self.at = {name: self.page(structure.point(name)) for name in structure.joints}
        places = [self.at[name] for name in self.joints] or [(0.0, 0.0)]
        self.sides = min(p[0] for p in places), max(p[0] for p in places)
        self.taken: dict[Point, list[Point]] = {}

    def page(self, world: Point) -> Point:
        """Return where a point of the figure falls on the page."""
        return ((world[0] - self.left) * self.scale, (self.bottom - world[1]) * self.scale)

    def take(self, at: Point, way: Point) -> None:
        """Note that something leaves a page place in a direction."""
        self.taken.setdefault(_rounded(at), []).append(way)

    def take_line(self, start: Point, end: Point) -> None:
        """Note a line between two page places at both of its ends."""
        if math.dist(start, end) > 1e-6:
            self.take(start, unit(start, end))
            self.take(end, unit(end, start))

    def ways(self, at: Point) -> list[Point]:
        """Return the directions in which something leaves a page place."""
        return self.taken.get(_rounded(at), [])

    def is_free(self, at: Point, way: Point) -> bool:
        """Return whether a direction from a page place is clear of everything by 35 degrees."""
        return all(way[0] * w[0] + way[1] * w[1] < _NEAR for w in self.ways(at))

    def clearance(self, at: Point, way: Point) -> float:
        """Return the angle from a direction to the nearest thing at a page place, in radians."""
        nearest = max((way[0] * w[0] + way[1] * w[1] for w in self.ways(at)), default=-1.0)
        return math.acos(max(-1.0, min(1.0, nearest)))

    def open_way(self, at: Point) -> list[Point]:
        """Return page directions from a place, the widest gap's middle first."""
        angles = sorted(math.atan2(y, x) for x, y in self.ways(at))
        if not angles:
            return [(0.0, -1.0)]
        gaps = [
            (after - before, before)
            for before, after in zip(angles, [*angles[1:], angles[0] + math.tau], strict=True)
        ]
        gaps.sort(reverse=True)
        return [(math.cos(a + g / 2), math.sin(a + g / 2)) for g, a in gaps[:2] if g > 0.6]


def body_line(structure: Structure, body: Body) -> list[str]:
    """Return a body's joints in the order in which its outline runs.

    A straight body runs from end to end, any other through its joints as the sheet lists them.
    """
    points = {name: structure.point(name) for name in body.points}
    some = points[body.points[0]]
    end = max(points, key=lambda name: math.dist(points[name], some))
    other = max(points, key=lambda name: math.dist(points[name], points[end]))
    ends = (end, other)
    (ax, ay), (bx, by) = points[ends[0]], points[ends[1]]
    far = math.dist((ax, ay), (bx, by)) or 1.0
    off = max(abs((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / far for x, y in points.values())
    if off > 1e-3 * far:
        return list(points)
    return sorted(points, key=lambda name: math.dist(points[name], (ax, ay)))


def _room(places: list[float], usual: float) -> float:
    """Return how many points an axis gets: more where many joints have to stand apart."""
    apart = len({round(place, 9) for place in places})
    return min(_LARGEST, max(usual, 42.0 * apart))


def _rounded(at: Point) -> Point:
    return (round(at[0], 1), round(at[1], 1))
