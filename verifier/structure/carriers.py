"""Which bodies and members lie under a line between two joints."""

import math
from dataclasses import dataclass
from itertools import pairwise

from verifier.structure.draft import Draft
from verifier.structure.geometry import Vector
from verifier.structure.statements import Node, Statement
from verifier.structure.values import Value, value


@dataclass(frozen=True)
class Stretch:
    """A part of the line from `start` to `end` that one body or member carries.

    The shares say how far along the whole line it begins and ends, 0 to 1.
    """

    start: str
    end: str
    on: str
    member: bool
    first_share: Value
    last_share: Value


def stretches(
    statement: Statement, at: Node, draft: Draft, start: str, end: str
) -> tuple[Stretch, ...]:
    """Return what carries the line, in order from its start.

    One body through both ends carries all of it. Raises `SheetError` where a part of the line has
    nothing under it.
    """
    whole = _carrier(draft, start, end)
    if whole is not None:
        return (Stretch(start, end, *whole, value(0), value(1)),)
    found: list[Stretch] = []
    for (one, first), (two, last) in _steps(statement, draft, start, end):
        carrier = _carrier(draft, one, two)
        if carrier is None:
            problem = f"nothing straight runs from {one} to {two}"
            expected = "two joints of one body, of one member or of a straight row of them"
            raise statement.error(at, problem, expected, f"body deck: {start}, {end}")
        if found and found[-1].on == carrier[0] and not carrier[1]:
            found[-1] = Stretch(found[-1].start, two, *carrier, found[-1].first_share, last)
        else:
            found.append(Stretch(one, two, *carrier, first, last))
    return tuple(found)


def _carrier(draft: Draft, one: str, two: str) -> tuple[str, bool] | None:
    for body in draft.bodies:
        if one in body.points and two in body.points:
            return body.name, False
    for member in draft.members:
        if {one, two} == {member.start, member.end}:
            return member.name, True
    return None


def _steps(
    statement: Statement, draft: Draft, start: str, end: str
) -> list[tuple[tuple[str, Value], tuple[str, Value]]]:
    """Return the joints on the line, two by two, each with its share of the way."""
    a, b = draft.at(start), draft.at(end)
    line = (b[0] - a[0], b[1] - a[1])
    square = line[0] * line[0] + line[1] * line[1]
    used = {joint for body in draft.bodies for joint in body.points}
    used |= {joint for member in draft.members for joint in (member.start, member.end)}
    between: list[tuple[str, Value]] = []
    for name in draft.joints:
        if name in (start, end) or name not in used or _is_far(draft, name, start, end):
            continue
        share = _share(statement, draft, (a, line, square), draft.at(name))
        if share is not None:
            between.append((name, share))
    between.sort(key=lambda one: draft.number(one[1]))
    for (_, lower), (_, upper) in pairwise(between):
        draft.sign(statement, upper - lower)
    row = [(start, value(0)), *between, (end, value(1))]
    return list(pairwise(row))


def _is_far(draft: Draft, joint: str, start: str, end: str) -> bool:
    """Return whether a joint is plainly off a line, before anything exact is worked out."""
    whole = math.dist(draft.point(start), draft.point(end))
    detour = math.dist(draft.point(start), draft.point(joint))
    detour += math.dist(draft.point(joint), draft.point(end))
    return detour > whole * 1.001


def _share(
    statement: Statement, draft: Draft, line: tuple[Vector, Vector, Value], at: Vector
) -> Value | None:
    """Return how far along the line a point is, or None off the line or beyond its ends."""
    start, along, square = line
    to = (at[0] - start[0], at[1] - start[1])
    if draft.sign(statement, along[0] * to[1] - along[1] * to[0], of=square):
        return None
    share = (along[0] * to[0] + along[1] * to[1]) / square
    inside = draft.sign(statement, share) > 0 and draft.sign(statement, value(1) - share) > 0
    return share if inside else None
