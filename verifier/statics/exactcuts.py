"""Exact axial force, shear and moment on a cut through a body."""

from collections.abc import Callable
from typing import Any

import sympy

from verifier.statics.freebodies import FreeBodies
from verifier.statics.layout import Known, Touch
from verifier.statics.pieces import Cut, pressing, touching
from verifier.statics.values import cut_of
from verifier.structure.model import Couple, Joint
from verifier.structure.values import Value, value

Vector = tuple[Any, Any]


def exact_internal(bodies: FreeBodies, item: str, solved: Callable[[str], Any]) -> Any:
    """Return an item such as `moment at K` exactly; `solved` gives the unknowns.

    Raises `KeyError` for what is no such item.
    """
    kind, cut, joint = cut_of(bodies, item)
    here = bodies.structure.joints[joint]
    origin = (here.x.exact(), here.y.exact())
    x = y = turn = sympy.Integer(0)
    for touch in touching(cut, bodies.layout, ()):
        size = solved(touch.item)
        if touch.axis == "turn":
            turn += touch.sign * size
            continue
        across, up = _direction(bodies, touch)
        x, y = x + size * across, y + size * up
        turn += size * _arm(bodies.structure.joints[touch.joint], origin, (across, up))
    for known, kept in pressing(cut, bodies.layout, bodies.acting, ()):
        across, up, moment = _load(bodies, known, kept, cut, origin)
        x, y, turn = x + across, y + up, turn + moment
    tangent = _tangent(bodies, cut)
    n = tangent if cut.first else (-tangent[0], -tangent[1])
    match kind:
        case "axial":
            return -(x * n[0] + y * n[1])
        case "shear":
            return -(x * n[1] - y * n[0])
    return -turn * int(cut.turn)


def _direction(bodies: FreeBodies, touch: Touch) -> Vector:
    if touch.reaction is not None:
        return touch.reaction.direction[0].exact(), touch.reaction.direction[1].exact()
    if touch.axis:
        return (touch.sign, 0) if touch.axis == "x" else (0, touch.sign)
    joints = bodies.structure.joints
    return _unit(joints[touch.joint], joints[touch.other])


def _load(
    bodies: FreeBodies, known: Known, kept: tuple[float, float], cut: Cut, origin: Vector
) -> tuple[Any, Any, Any]:
    if isinstance(known.given, Couple):
        return 0, 0, known.given.moment.exact()
    forces = [known.given]
    if kept != (0.0, 1.0):
        share = _share(bodies, known.load, cut)
        low, high = (value(0), share) if kept[0] == 0.0 else (share, value(1))
        parts = known.load.part(low, high)  # type: ignore[attr-defined]
        whole = known.load.resultants()
        forces = list(parts) if len(whole) == 1 else _matching(parts, whole, known)
    x = y = turn = sympy.Integer(0)
    for force in forces:
        size = force.size.exact()
        across, up = (size * part.exact() for part in force.direction)
        at = Joint("", force.at[0], force.at[1])
        x, y, turn = x + across, y + up, turn + _arm(at, origin, (across, up))
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
    across, up = (two.x - one.x).exact(), (two.y - one.y).exact()
    length = sympy.sqrt(sympy.factor(sympy.expand(across**2 + up**2)))
    return across / length, up / length


def _arm(joint: Joint, origin: Vector, along: Vector) -> Any:
    return (joint.x.exact() - origin[0]) * along[1] - (joint.y.exact() - origin[1]) * along[0]
