"""Members, bodies, joints and supports as given."""

import itertools
import math
from collections import Counter
from collections.abc import Callable, Iterable

from verifier.reporting.figure_arrows import fixed, pin, roller
from verifier.reporting.figure_plan import Plan, body_line
from verifier.reporting.figure_scene import Disc, Mark, Point, Stroke
from verifier.structure.model import Body, Member, Support

_SIDES: dict[str, Point] = {"down": (0, 1), "left": (-1, 0), "right": (1, 0), "up": (0, -1)}
_SYMBOLS: dict[str, Callable[[Point, Point], list[Mark]]] = {"roller": roller, "fixed": fixed}


def members(plan: Plan, some: Iterable[Member]) -> list[Mark]:
    """Return members and cables from joint to joint."""
    marks: list[Mark] = []
    for member in some:
        start, end = plan.at[member.start], plan.at[member.end]
        plan.take_line(start, end)
        marks.append(Stroke((start, end), "cable" if member.cable else "member"))
    return marks


def bodies(plan: Plan, some: Iterable[Body]) -> list[Mark]:
    """Return rigid bodies as thick bars through their joints."""
    lines = []
    for body in some:
        points = tuple(plan.at[name] for name in body_line(plan.structure, body))
        for start, end in itertools.pairwise(points):
            plan.take_line(start, end)
        lines.append(points)
    return bars(lines)


def bars(lines: Iterable[tuple[Point, ...]]) -> list[Mark]:
    """Return bars through points, the edges of each below the filling of all of it."""
    return [Stroke(points, style) for points in lines for style in ("body edge", "body")]


def joints(plan: Plan, some: Iterable[str]) -> list[Mark]:
    """Return a ring where things turn about each other, a dot where they do not."""
    structure = plan.structure
    ends = {end for member in structure.members for end in (member.start, member.end)}
    held = {support.joint for support in structure.supports if support.kind != "fixed"}
    around = Counter(name for body in structure.bodies for name in body.points)
    marks: list[Mark] = []
    for name in some:
        turns = name in ends or around[name] > 1 or name in held
        marks.append(Disc(plan.at[name], 3.6 if turns else 1.7, "hinge" if turns else "point"))
    return marks


def supports(plan: Plan) -> list[Mark]:
    """Return the supports, each on the side where there is room for it."""
    marks: list[Mark] = []
    for support in plan.structure.supports:
        at = plan.at[support.joint]
        away = _away(plan, support, at)
        plan.take(at, away)
        marks += _SYMBOLS.get(support.kind, pin)(at, away)
    return marks


def _away(plan: Plan, support: Support, at: Point) -> Point:
    """Return the page direction in which a support's ground lies."""
    ways = plan.ways(at)
    if support.kind == "roller":
        across, up = (part.number(plan.letters) for part in support.reactions()[0].direction)
        below = (-across, up)
        blocked = any(w[0] * below[0] + w[1] * below[1] > 0.8 for w in ways)
        return (-below[0], -below[1]) if blocked else below
    if support.kind == "fixed" and len(ways) == 1:
        return (-ways[0][0], -ways[0][1])
    return max(_SIDES.values(), key=lambda side: _room(plan, at, side, ways))


def _room(plan: Plan, at: Point, side: Point, ways: list[Point]) -> float:
    """Score a side for a pin: clear of the structure first, below it rather than elsewhere."""
    near = max((w[0] * side[0] + w[1] * side[1] for w in ways), default=-1.0)
    clear = min(100.0, math.degrees(math.acos(max(-1.0, min(1.0, near)))))
    if side == _SIDES["down"]:
        return clear + 60
    if side == _SIDES["up"]:
        return clear + 10
    edge = plan.sides[0] if side == _SIDES["left"] else plan.sides[1]
    return clear + (35 if abs(at[0] - edge) < 1 else 0)
