"""Sections: straight cuts through a few members that leave two parts."""

import math
import re
from collections.abc import Iterable, Mapping

from verifier.statics.layout import Layout

Point = tuple[float, float]
_ALL_PAIRS = 40
_NEAR = 14


def fragments(
    layout: Layout, removed: frozenset[str], opened: frozenset[str] = frozenset()
) -> list[frozenset[str]]:
    """Return the connected sets of parts once some members and hinge joints are taken away."""
    left = [part for part in layout.parts if part not in opened]
    beside: dict[str, list[str]] = {part: [] for part in left}
    for touch in layout.touches:
        if touch.part in beside and touch.other in beside and touch.item not in removed:
            beside[touch.part].append(touch.other)
    groups: list[frozenset[str]] = []
    seen: set[str] = set()
    for part in left:
        if part in seen:
            continue
        group, queue = {part}, [part]
        while queue:
            for other in beside[queue.pop()]:
                if other not in group:
                    group.add(other)
                    queue.append(other)
        seen |= group
        groups.append(frozenset(group))
    return groups


def straight_cuts(
    layout: Layout, points: Mapping[str, Point], size: float, most: int
) -> list[frozenset[str]]:
    """Return the sets of at most `most` members that one straight line can cut, fewest first.

    A line through the middles of two members stands for all that cut the same; a line through a
    joint or through a body is left out. In a large truss the two members are near each other.
    """
    middles = {
        name: ((points[a][0] + points[b][0]) / 2, (points[a][1] + points[b][1]) / 2)
        for name, (a, b) in layout.member_ends.items()
    }
    names = list(middles)
    found: dict[frozenset[str], None] = {}
    for first in names:
        others = names
        if len(names) > _ALL_PAIRS:
            others = sorted(names, key=lambda name: math.dist(middles[first], middles[name]))[
                :_NEAR
            ]
        for second in others:
            if second == first:
                continue
            cut = _crossed(layout, points, size, (middles[first], middles[second]))
            if cut is not None and 1 < len(cut) <= most:
                found[cut] = None
    return sorted(found, key=len)


def _crossed(
    layout: Layout, points: Mapping[str, Point], size: float, line: tuple[Point, Point]
) -> frozenset[str] | None:
    (ax, ay), (bx, by) = line
    dx, dy = bx - ax, by - ay
    slack = 1e-9 * size * max(abs(dx), abs(dy))
    sides = {}
    for name in layout.used:
        x, y = points[name]
        off = (x - ax) * dy - (y - ay) * dx
        if -slack <= off <= slack:
            return None
        sides[name] = off > 0
    for body in layout.structure.bodies:
        if len({sides[joint] for joint in body.points}) > 1:
            return None
    return frozenset(
        name for name, (one, two) in layout.member_ends.items() if sides[one] != sides[two]
    )


def two_sides(
    groups: list[frozenset[str]], cut: Iterable[tuple[str, str]]
) -> tuple[frozenset[str], frozenset[str]] | None:
    """Return the groups that a cut through members (as pairs of joints) leaves on its two sides.

    None where some cut member would have both ends on one side, or an end in no group. A group
    that no cut member reaches is on neither.
    """
    place = {part: index for index, group in enumerate(groups) for part in group}
    beside: dict[int, set[int]] = {}
    for start, end in cut:
        if start not in place or end not in place:
            return None
        beside.setdefault(place[start], set()).add(place[end])
        beside.setdefault(place[end], set()).add(place[start])
    side: dict[int, bool] = {}
    for first in beside:
        if first in side:
            continue
        side[first] = False
        queue = [first]
        while queue:
            here = queue.pop()
            for other in beside[here]:
                if other not in side:
                    side[other] = not side[here]
                    queue.append(other)
                elif side[other] == side[here]:
                    return None
    one, two = (
        frozenset(part for index, own in side.items() if own == which for part in groups[index])
        for which in (False, True)
    )
    return (one, two) if one and two else None


_LETTER = re.compile(r"[^\W\d_]\d*'*")


def short(member: str) -> str:
    """Return a member as prose calls it: PR for P-R, L1U2 for L1-U2, longer names as they are."""
    start, _, end = member.partition("-")
    return start + end if _LETTER.fullmatch(start) and _LETTER.fullmatch(end) else member


def listed(members: Iterable[str]) -> str:
    """Return members as prose lists them."""
    return ", ".join(short(name) for name in members)
