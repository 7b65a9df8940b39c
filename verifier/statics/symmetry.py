"""Whether a structure and its loads are symmetric about an upright axis."""

import math

from verifier.statics.freebodies import FreeBodies
from verifier.structure.model import Couple, Structure

Point = tuple[float, float]


def is_symmetric(structure: Structure) -> float | None:
    """Return the x of the upright axis about which geometry, supports and loads mirror, or None.

    A pin may mirror a roller that holds upwards where nothing else holds sideways: mirrored loads
    push sideways by nothing in all, so that the pin's horizontal reaction is zero.
    """
    bodies = FreeBodies(structure)
    used = bodies.layout.used
    if not used:
        return None
    xs = [bodies.points[name][0] for name in used]
    axis = (min(xs) + max(xs)) / 2
    mirror = _mirror(bodies, axis)
    if mirror is None or not _alike(structure, mirror):
        return None
    if not _loads_mirror(bodies, axis) or not _supports_mirror(bodies, mirror):
        return None
    return axis


def _mirror(bodies: FreeBodies, axis: float) -> dict[str, str] | None:
    near = 1e-9 * bodies.size
    mirror = {}
    for name in bodies.layout.used:
        x, y = bodies.points[name]
        image = (2 * axis - x, y)
        twin = next(
            (n for n in bodies.layout.used if math.dist(bodies.points[n], image) <= near), None
        )
        if twin is None:
            return None
        mirror[name] = twin
    return mirror


def _alike(structure: Structure, mirror: dict[str, str]) -> bool:
    members = {(frozenset((m.start, m.end)), m.cable) for m in structure.members}
    bodies = {frozenset(body.points) for body in structure.bodies}
    return members == {
        (frozenset(mirror[end] for end in ends), cable) for ends, cable in members
    } and bodies == {frozenset(mirror[joint] for joint in body) for body in bodies}


def _loads_mirror(bodies: FreeBodies, axis: float) -> bool:
    """Compare what acts at each place with what acts at its mirror image."""
    forces: dict[tuple[int, int], list[float]] = {}
    grain = 1e-7 * bodies.size

    def cell(x: float, y: float) -> tuple[int, int]:
        return round((x - axis) / grain), round(y / grain)

    largest = 0.0
    for known in bodies.layout.knowns:
        action = bodies.acting.of(known)
        assert action.value is not None
        here = forces.setdefault(cell(*action.at), [0.0, 0.0, 0.0])
        turn = action.turn * action.value if isinstance(known.given, Couple) else 0.0
        parts = (action.value * action.along[0], action.value * action.along[1], turn)
        largest = max(largest, *(abs(part) for part in parts))
        for index, part in enumerate(parts):
            here[index] += part
    for (across, up), (x, y, turn) in forces.items():
        other = forces.get((-across, up), [0.0, 0.0, 0.0])
        if max(abs(x + other[0]), abs(y - other[1]), abs(turn + other[2])) > 1e-9 * largest:
            return False
    return True


def _supports_mirror(bodies: FreeBodies, mirror: dict[str, str]) -> bool:
    held: dict[str, set[tuple[float, float, bool]]] = {}
    for support in bodies.structure.supports:
        for one in support.reactions():
            x, y = bodies.acting.unit(one.direction)
            held.setdefault(support.joint, set()).add((round(x, 9), round(y, 9), one.turns))
    sideways = sum(any(x or turns for x, _, turns in ways) for ways in held.values())
    for joint, ways in held.items():
        twin = held.get(mirror.get(joint, ""), set())
        if _mirrored(ways) == {_upward(way) for way in twin}:
            continue
        upright = (0.0, 1.0, False)
        pin = {(1.0, 0.0, False), upright}
        if sideways != 1 or {frozenset(ways), frozenset(twin)} != {
            frozenset(pin), frozenset({upright})
        }:  # fmt: skip
            return False
    return True


def _mirrored(ways: set[tuple[float, float, bool]]) -> set[tuple[float, float, bool]]:
    return {_upward((-x + 0.0, y, turns)) for x, y, turns in ways}


def _upward(way: tuple[float, float, bool]) -> tuple[float, float, bool]:
    """Return a line of action pointing up: it is the same either way."""
    x, y, turns = way
    return (-x + 0.0, -y + 0.0, turns) if y < 0 or (y == 0 and x < 0) else way
