"""Sections: straight cuts through a few members that leave two parts."""

from collections.abc import Iterable, Mapping

from verifier.statics.layout import Layout

Point = tuple[float, float]


def fragments(layout: Layout, removed: frozenset[str]) -> list[frozenset[str]]:
    """Return the connected sets of parts once some members are taken away."""
    beside: dict[str, list[str]] = {part: [] for part in layout.parts}
    for touch in layout.touches:
        if touch.other and touch.item not in removed:
            beside[touch.part].append(touch.other)
    groups: list[frozenset[str]] = []
    seen: set[str] = set()
    for part in layout.parts:
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
    joint or through a body is left out.
    """
    middles = {
        name: ((points[a][0] + points[b][0]) / 2, (points[a][1] + points[b][1]) / 2)
        for name, (a, b) in layout.member_ends.items()
    }
    names = list(middles)
    found: dict[frozenset[str], None] = {}
    for index, first in enumerate(names):
        for second in names[index + 1 :]:
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


def short(member: str) -> str:
    """Return a member as prose calls it: PR for P-R, longer names as they are."""
    start, _, end = member.partition("-")
    return start + end if len(start) == len(end) == 1 else member


def listed(members: Iterable[str]) -> str:
    """Return members as prose lists them."""
    return ", ".join(short(name) for name in members)
