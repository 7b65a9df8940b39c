"""Exact axial force, shear and moment on a cut through a body."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import lru_cache
from typing import Any

import sympy

from verifier.statics.freebodies import FreeBodies
from verifier.statics.layout import Known, Touch
from verifier.statics.pieces import Cut, pressing, touching
from verifier.statics.values import cut_of, held_pin
from verifier.structure.model import Couple, Joint
from verifier.structure.values import Value, value

Vector = tuple[Any, Any]
Shares = tuple[Any, Any, Any]


def exact_internal(bodies: FreeBodies, item: str, solved: Callable[[str], Any]) -> Any:
    """Return an item such as `moment at K` exactly; `solved` gives the unknowns.

    Raises `KeyError` for what is no such item.
    """
    kind, cut, joint = cut_of(bodies, item)
    here = bodies.structure.joints[joint]
    origin = (here.x.exact(), here.y.exact())
    x = y = turn = sympy.Integer(0)
    for item_of, shares in piece_shares(bodies, cut, origin):
        size = solved(item_of) if item_of else 1
        x, y, turn = (
            total + size * share for total, share in zip((x, y, turn), shares, strict=True)
        )
    n = outward(bodies, cut)
    match kind:
        case "axial":
            return -(x * n[0] + y * n[1])
        case "shear":
            return -(x * n[1] - y * n[0])
    return -turn * int(cut.turn)


def exact_held_pin(bodies: FreeBodies, item: str, solved: Callable[[str], Any]) -> Any:
    """Return the pin force on a body where it alone is supported, None for any other item."""
    pinned = held_pin(bodies, item)
    if pinned is None:
        return None
    (joint,) = pinned[0].parts
    body = bodies.layout.home[joint]
    axis = 0 if pinned[1][0] else 1
    total = sympy.Integer(0)
    for touch in bodies.layout.by_part[body]:
        if touch.joint == joint and touch.reaction is not None:
            total += solved(touch.item) * touch.reaction.direction[axis].exact()
    for known in bodies.layout.knowns_by_part[body]:
        if known.joint == joint and not isinstance(known.given, Couple):
            total += known.given.size.exact() * known.given.direction[axis].exact()
    return total


def piece_shares(bodies: FreeBodies, cut: Cut, origin: Vector) -> Iterator[tuple[str, Shares]]:
    """Yield what acts on a piece but for its faces: an unknown's item, or '' for a load."""
    for touch in touching(cut, bodies.layout, ()):
        yield touch.item, touch_shares(bodies, touch, origin)
    for known, kept in pressing(cut, bodies.layout, bodies.acting, ()):
        yield "", _load(bodies, known, kept, cut, origin)


def outward(bodies: FreeBodies, cut: Cut) -> Vector:
    """Return the unit vector out of the piece at its cut face."""
    x, y = _tangent(bodies, cut)
    return (x, y) if cut.first else (-x, -y)


def touch_shares(bodies: FreeBodies, touch: Touch, origin: Vector) -> Shares:
    """Return one unit of an unknown's share along x, along y and about a point."""
    (x, y, turn), over = raw_shares(bodies, touch, origin)
    return x / over, y / over, turn / over


def raw_shares(bodies: FreeBodies, touch: Touch, origin: Vector) -> tuple[Shares, Any]:
    """Return an unknown's shares times a length, and that length (a member's, else 1)."""
    if touch.axis == "turn":
        return (sympy.Integer(0), sympy.Integer(0), sympy.Integer(touch.sign)), sympy.Integer(1)
    across, up, over = line_of(bodies, touch)
    arm = _arm(bodies.structure.joints[touch.joint], origin, (across, up))
    return (across, up, arm), over


def known_shares(known: Known, origin: Vector) -> Shares:
    """Return a known load's share along x, along y and about a point."""
    given = known.given
    if isinstance(given, Couple):
        return sympy.Integer(0), sympy.Integer(0), given.moment.exact()
    size = given.size.exact()
    across, up = (size * part.exact() for part in given.direction)
    return across, up, _arm(Joint("", given.at[0], given.at[1]), origin, (across, up))


def line_of(bodies: FreeBodies, touch: Touch) -> tuple[Any, Any, Any]:
    """Return the vector along which an unknown acts on its part, and its length."""
    if touch.reaction is not None:
        x, y = (part.exact() for part in touch.reaction.direction)
        return x, y, sympy.Integer(1)
    if touch.axis:
        x, y = (touch.sign, 0) if touch.axis == "x" else (0, touch.sign)
        return sympy.Integer(x), sympy.Integer(y), sympy.Integer(1)
    joints = bodies.structure.joints
    return _line(joints[touch.joint], joints[touch.other])


def _load(
    bodies: FreeBodies, known: Known, kept: tuple[float, float], cut: Cut, origin: Vector
) -> Shares:
    if kept == (0.0, 1.0):
        return known_shares(known, origin)
    share = _share(bodies, known.load, cut)
    low, high = (value(0), share) if kept[0] == 0.0 else (share, value(1))
    parts = known.load.part(low, high)  # type: ignore[attr-defined]
    whole = known.load.resultants()
    forces = list(parts) if len(whole) == 1 else _matching(parts, whole, known)
    x = y = turn = sympy.Integer(0)
    for force in forces:
        across, up, arm = known_shares(replace(known, given=force), origin)
        x, y, turn = x + across, y + up, turn + arm
    return x, y, turn


def _matching(parts: Any, whole: Any, known: Known) -> list[Any]:
    """Return all of a part once: with the first of the load's two resultants."""
    return list(parts) if known.given == whole[0] else []


def _share(bodies: FreeBodies, load: Any, cut: Cut) -> Value:
    """Return how far along a distributed load the cut's joint lies."""
    name = cut.line.joints[cut.line.distances.index(cut.place)]
    joint = bodies.structure.joints[name]
    x1, y1, _, x2, y2, _ = load.spread()
    along = (x2 - x1, y2 - y1)
    to = (joint.x - x1, joint.y - y1)
    share: Value = (to[0] * along[0] + to[1] * along[1]) / (
        along[0] * along[0] + along[1] * along[1]
    )
    return share


def _tangent(bodies: FreeBodies, cut: Cut) -> Vector:
    line = cut.line
    index = line.distances.index(cut.place)
    start = index if cut.after and index < len(line.joints) - 1 else index - 1
    joints = bodies.structure.joints
    return _unit(joints[line.joints[start]], joints[line.joints[start + 1]])


def _unit(one: Joint, two: Joint) -> Vector:
    across, up, length = _line(one, two)
    return across / length, up / length


@lru_cache(maxsize=4096)
def _line(one: Joint, two: Joint) -> tuple[Any, Any, Any]:
    across, up = (two.x - one.x).exact(), (two.y - one.y).exact()
    return across, up, sympy.sqrt(sympy.factor(sympy.expand(across**2 + up**2)))


def _arm(joint: Joint, origin: Vector, along: Vector) -> Any:
    return (joint.x.exact() - origin[0]) * along[1] - (joint.y.exact() - origin[1]) * along[0]
