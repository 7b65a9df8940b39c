"""Stubs: joints of a body that stand on a straight run of it, wherever its list names them."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

Point = tuple[float, float]


@dataclass(frozen=True)
class Unclear:
    """Joints of which the list does not tell where they hang, and the cuts that this concerns.

    These are the cuts between the first and the last of `between` along the body, those on either
    side of a joint of `at` and between two such, and those at the joints `names` themselves.
    """

    names: tuple[str, ...]
    between: tuple[str, ...] = ()
    at: tuple[str, ...] = ()


@dataclass(frozen=True)
class Branches:
    """A body's joints in the order of its list without its stubs, and the stubs.

    `stubs` has each stub's joints from its foot outwards, with the joint at its foot.
    """

    main: tuple[str, ...]
    stubs: tuple[tuple[str, tuple[str, ...]], ...] = ()
    unclear: tuple[Unclear, ...] = ()


@dataclass(frozen=True)
class _Run:
    """Three or more joints on one straight line, in order along it; `near` counts as nothing."""

    start: Point
    along: Point
    near: float
    joints: tuple[str, ...] = ()
    places: tuple[float, ...] = ()

    def spot(self, point: Point) -> Point:
        """Return how far along the run a point lies, and how far off it."""
        x, y = point[0] - self.start[0], point[1] - self.start[1]
        u, v = self.along
        return x * u + y * v, u * y - v * x

    def foot(self, point: Point) -> str:
        """Return the joint at the foot of a point, '' where there is none."""
        there = self.spot(point)[0]
        pairs = zip(self.joints, self.places, strict=True)
        return next((name for name, place in pairs if abs(place - there) <= self.near), "")

    def bears(self, point: Point) -> bool:
        """Return whether the foot of a point lies on the run."""
        return self.places[0] - self.near <= self.spot(point)[0] <= self.places[-1] + self.near

    def before(self, end: str, point: Point) -> tuple[str, ...]:
        """Return the joints from the foot of a point up to a joint of the run, it left out."""
        there, last = self.spot(point)[0], self.places[self.joints.index(end)]
        low, high = min(there, last) - self.near, max(there, last) + self.near
        pairs = zip(self.joints, self.places, strict=True)
        return tuple(name for name, place in pairs if low <= place <= high and name != end)


@dataclass(frozen=True)
class _Group:
    """Joints off a run that the list names together, and those on it beside them.

    At an end of the list only one stands beside them; they are in order away from it.
    """

    run: _Run
    names: tuple[str, ...]
    beside: tuple[str, ...]
    feet: tuple[str, ...]


def branches(joints: Sequence[str], points: Mapping[str, Point]) -> Branches:
    """Return a body's stubs and the rest of its list.

    A stub's foot is a joint of a straight run of three or more, and the list names the stub beside
    other joints of that run: `A, C, K, B, T` with T right above C. What turns off at the end of a
    run, as in a frame, is none.
    """
    main, stubs = tuple(joints), list[tuple[str, tuple[str, ...]]]()
    while True:
        groups = _groups(main, points)
        found = next((one for one in groups if _is_stub(one, groups, points)), None)
        if found is None:
            main, jumbled = _in_order(main, points)
            doubts = [doubt for one in groups for doubt in _doubts(one, points)]
            return Branches(main, tuple(stubs), (*doubts, *jumbled))
        foot = points[found.feet[0]]
        column = sorted(found.names, key=lambda name: math.dist(points[name], foot))
        stubs.append((found.feet[0], tuple(column)))
        main = tuple(name for name in main if name not in column)


def _is_stub(group: _Group, groups: Sequence[_Group], points: Mapping[str, Point]) -> bool:
    run, foot = group.run, group.feet[0]
    sides = {run.spot(points[name])[1] > 0 for name in group.names}
    if not foot or len(set(group.feet)) > 1 or len(sides) > 1:
        return False
    if len(group.beside) == 2:
        return True
    rivals = {
        other.run.foot(points[group.names[0]])
        for other in groups
        if group.names[0] in other.names and other.run is not run
    }
    inner = {name for other in groups for name in other.run.joints[1:-1]}
    return foot in run.joints[1:-1] and (foot == group.beside[0] or not rivals & inner)


def _doubts(group: _Group, points: Mapping[str, Point]) -> Iterator[Unclear]:
    names, feet, run, end = group.names, group.feet, group.run, group.beside[0]
    if len(group.beside) == 2:
        if len(names) == 1:
            yield Unclear(names, between=group.beside)
        elif all(feet) and (feet[0], feet[-1]) != group.beside:
            yield Unclear(names, between=(*group.beside, *feet))
    elif feet[0] != end and run.bears(points[names[0]]):
        reach = names if all(feet) else names[:1]
        held = tuple(joint for name in reach for joint in run.before(end, points[name]))
        if held:
            yield Unclear(names, at=held)


def _in_order(
    main: tuple[str, ...], points: Mapping[str, Point]
) -> tuple[tuple[str, ...], list[Unclear]]:
    """Return the list with its straight runs in order, and those for which none can be told."""
    jumbled = []
    for run in _runs(main, points):
        on = [index for index, name in enumerate(main) if name in run.joints]
        first, last = on[0], on[-1] + 1
        named = tuple(main[index] for index in on)
        if named in (run.joints, run.joints[::-1]):
            continue
        fitting = [
            order
            for order in (run.joints, run.joints[::-1])
            if (not first or order[0] == named[0]) and (last == len(main) or order[-1] == named[-1])
        ]
        if last - first == len(on) and fitting:
            main = (*main[:first], *fitting[0], *main[last:])
        else:
            jumbled.append(Unclear(named, at=named))
    return main, jumbled


def _groups(main: tuple[str, ...], points: Mapping[str, Point]) -> list[_Group]:
    """Return the joints off each straight run, in groups; the runs of most joints first."""
    found = []
    for run in _runs(main, points):
        on = [index for index, name in enumerate(main) if name in run.joints]
        ends = [-1, *on, len(main)]
        for a, b in pairwise(ends):
            names, beside = main[a + 1 : b], tuple(main[i] for i in (a, b) if i in on)
            if not names:
                continue
            names = names[::-1] if a < 0 else names
            feet = tuple(run.foot(points[name]) for name in names)
            found.append(_Group(run, names, beside, feet))
    return found


def _runs(names: Sequence[str], points: Mapping[str, Point]) -> list[_Run]:
    near = 1e-9 * max((math.dist(points[names[0]], points[name]) for name in names), default=0.0)
    found: list[_Run] = []
    seen: set[tuple[str, str]] = set()
    for pair in combinations(names, 2):
        a, b = (points[name] for name in pair)
        length = math.dist(a, b)
        if length <= near or pair in seen:
            continue
        line = _Run(a, ((b[0] - a[0]) / length, (b[1] - a[1]) / length), near)
        spots = {name: line.spot(points[name]) for name in names}
        on = tuple(name for name in names if abs(spots[name][1]) <= near)
        if len(on) > 2:
            seen.update(combinations(on, 2))
            order = tuple(sorted(on, key=lambda name: spots[name][0]))
            places = tuple(spots[name][0] for name in order)
            found.append(_Run(a, line.along, near, order, places))
    return sorted(found, key=lambda run: -len(run.joints))
