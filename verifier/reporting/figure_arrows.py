"""Arrows, turning arrows, rows of arrows and supports as marks."""

import math

from verifier.reporting.figure_scene import Disc, Mark, Point, Stroke

_HEAD = 9.0


def along(start: Point, way: Point, far: float, aside: float = 0.0) -> Point:
    """Return a point `far` along a direction and `aside` to its left (page, y down)."""
    return (start[0] + way[0] * far + way[1] * aside, start[1] + way[1] * far - way[0] * aside)


def unit(start: Point, end: Point) -> Point:
    """Return the unit vector from one point to another, to the right where they are one."""
    far = math.dist(start, end)
    return ((end[0] - start[0]) / far, (end[1] - start[1]) / far) if far else (1.0, 0.0)


def arrow(tail: Point, tip: Point, style: str, head: float = _HEAD) -> list[Mark]:
    """Return a straight arrow; `style` names the shaft, `style head` its head."""
    way = unit(tail, tip)
    base = along(tip, way, -head)
    corners = (tip, along(base, way, 0, head * 0.36), along(base, way, 0, -head * 0.36))
    return [
        Stroke((tail, along(tip, way, -head * 0.6)), style),
        Stroke(corners, f"{style} head", True),
    ]


def turning(centre: Point, anticlockwise: bool, style: str, radius: float = 21.0) -> list[Mark]:
    """Return a three-quarter circle with a head, which turns as the page is seen."""
    sense = -1 if anticlockwise else 1
    start = math.radians(135 if anticlockwise else 45)
    turns = [start + sense * math.radians(15 * step) for step in range(18)]
    arc = tuple((centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in turns)
    return [Stroke(arc, style), *arrow(arc[-2], _past(arc[-2], arc[-1], 6.0), style)[1:]]


def _past(start: Point, end: Point, more: float) -> Point:
    return along(end, unit(start, end), more)


def arc(centre: Point, first: float, last: float, radius: float) -> Stroke:
    """Return an arc between two directions in degrees, anticlockwise from +x as seen."""
    count = max(2, int(abs(last - first) / 6))
    angles = [math.radians(first + (last - first) * step / count) for step in range(count + 1)]
    points = tuple(
        (centre[0] + radius * math.cos(a), centre[1] - radius * math.sin(a)) for a in angles
    )
    return Stroke(points, "dimension")


def ground(middle: Point, away: Point, half: float = 17.0) -> list[Mark]:
    """Return a line of ground with hatching on the side `away`."""
    ends = along(middle, away, 0, half), along(middle, away, 0, -half)
    marks: list[Mark] = [Stroke(ends, "ground")]
    count = max(4, round(half / 3.4))
    for step in range(count):
        place = half - (step + 0.25) * 2 * half / count
        top = along(middle, away, 0, place)
        marks.append(Stroke((top, along(top, away, 6.5, -5.0)), "hatch"))
    return marks


def pin(joint: Point, away: Point) -> list[Mark]:
    """Return a pinned support whose ground lies in the direction `away`."""
    return [*_triangle(joint, away, 17.0, 10.0), *ground(along(joint, away, 17.0), away)]


def roller(joint: Point, away: Point) -> list[Mark]:
    """Return a roller whose ground lies in the direction `away`."""
    wheels: list[Mark] = [
        Disc(along(joint, away, 16.6, place), 2.9, "support") for place in (-5.5, 5.5)
    ]
    marks = _triangle(joint, away, 13.5, 9.0)
    return [*marks, *wheels, *ground(along(joint, away, 19.8), away)]


def fixed(joint: Point, away: Point) -> list[Mark]:
    """Return a wall that holds a body which comes from the side opposite to `away`."""
    return ground(joint, away, 24.0)


def _triangle(joint: Point, away: Point, height: float, half: float) -> list[Mark]:
    corners = (joint, along(joint, away, height, half), along(joint, away, height, -half))
    return [Stroke(corners, "support", closed=True)]


def row(
    first: Point, last: Point, sizes: tuple[float, float], way: Point, lift: float
) -> list[Mark]:
    """Return the arrows of a distributed load that press along `way` onto a line.

    `sizes` are the arrows' lengths in points at both ends, negative where they pull; `lift` keeps
    the tips off the line.
    """
    count = max(2, min(26, round(math.dist(first, last) / 19)))
    tips, tails = [], []
    for step in range(count + 1):
        share = step / count
        size = sizes[0] + (sizes[1] - sizes[0]) * share
        spot = (first[0] + (last[0] - first[0]) * share, first[1] + (last[1] - first[1]) * share)
        side = 1 if size >= 0 else -1
        tips.append(along(spot, way, -lift * side))
        tails.append(along(spot, way, -lift * side - size))
    marks: list[Mark] = [Stroke((*tips, *reversed(tails)), "spread area", closed=True)]
    marks.append(Stroke((tails[0], tails[-1]), "spread"))
    for tail, tip in zip(tails, tips, strict=True):
        far = math.dist(tail, tip)
        if far > 3:
            head = min(6.5, far * 0.6)
            shaft, tip_mark = arrow(tail, tip, "load", head)
            marks += [Stroke(shaft.points, "spread"), tip_mark]  # type: ignore[union-attr]
    return marks
