"""A small movement that nothing prevents, and how to say it."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from verifier.statics.assembly import Key, System
from verifier.statics.freebodies import FreeBodies

Point = tuple[float, float]


@dataclass(frozen=True)
class Motion:
    """First displacements of the joints that move, and turns of the bodies that turn.

    `parts` are the joints and bodies that move, `work` what the loads do on the way.
    """

    points: Mapping[str, Point]
    turns: Mapping[str, float]
    parts: frozenset[str]
    work: float
    places: Mapping[str, Point]


def motion_of(
    bodies: FreeBodies, system: System, vector: Mapping[Key, float], work: float
) -> Motion:
    """Return a null vector of the transposed equations as displacements, the loads doing work."""
    sense = _sense(vector, work)
    points: dict[str, Point] = {}
    turns: dict[str, float] = {}
    for joint in bodies.layout.joints:
        points[joint] = _scaled(vector, joint, sense)
    for body in bodies.bodies:
        u, v = _scaled(vector, body, sense)
        turn = sense * vector.get((body, "turn"), 0.0)
        turns[body] = turn
        centre = bodies.points[system.centres[body]]
        for joint in bodies.line(body).every:
            x, y = bodies.points[joint]
            points.setdefault(joint, (u - turn * (y - centre[1]), v + turn * (x - centre[0])))
    largest = max((math.hypot(*p) for p in points.values()), default=0.0)
    spin = max((abs(turn) for turn in turns.values()), default=0.0) * bodies.size
    floor = 1e-9 * max(largest, spin)
    moving = {name: p for name, p in points.items() if math.hypot(*p) > floor}
    turning = {name: turn for name, turn in turns.items() if abs(turn) * bodies.size > floor}
    parts = {name for name in moving if name in bodies.joints} | set(turning)
    parts |= {
        body for body in bodies.bodies if any(joint in moving for joint in bodies.line(body).every)
    }
    return Motion(moving, turning, frozenset(parts), abs(work), bodies.points)


def single(way: Motion) -> tuple[Point, float, Point] | None:
    """Return the one rigid motion (a point, its turn, its displacement) of all that moves.

    None where the moving parts move against each other.
    """
    names = list(way.points)
    if not names:
        return None
    first = names[0]
    start, shift = way.places[first], way.points[first]
    turn = next(iter(way.turns.values()), None)
    if turn is None:
        far = max(names, key=lambda name: math.dist(start, way.places[name]))
        turn = _turn_between(way, first, far)
    scale = max(math.hypot(*p) for p in way.points.values())
    for name in names:
        x, y = way.places[name][0] - start[0], way.places[name][1] - start[1]
        expected = (shift[0] - turn * y, shift[1] + turn * x)
        if math.dist(expected, way.points[name]) > 1e-6 * scale:
            return None
    if any(abs(other - turn) > 1e-6 * abs(turn) for other in way.turns.values()):
        return None
    if abs(turn) * max(math.dist(start, way.places[n]) for n in names) <= 1e-9 * scale:
        still = [b for b in way.parts if b not in way.places and b not in way.turns]
        turn = 0.0 if still or not way.turns else turn
    return start, turn, shift


def describe(bodies: FreeBodies, way: Motion) -> str:
    """Return which part can move and how, as 'joint Q can move right'."""
    motion = single(way)
    if motion is None or (len(way.parts) == 1 and next(iter(way.parts)) in way.points):
        return _piecemeal(bodies, way)
    start, turn, shift = motion
    subject = _subject(bodies, way)
    if not turn:
        return f"{subject} can move {direction_word(shift)}"
    centre = (start[0] - shift[1] / turn, start[1] + shift[0] / turn)
    return f"{subject} can turn about {_place(bodies, centre)}"


def direction_word(along: Point) -> str:
    """Return right, left, up or down, or two of them for a direction between."""
    x, y = along
    size = math.hypot(x, y)
    words = []
    if abs(y) > 0.1 * size:
        words.append("up" if y > 0 else "down")
    if abs(x) > 0.1 * size:
        words.append("right" if x > 0 else "left")
    return " and ".join(words)


def _piecemeal(bodies: FreeBodies, way: Motion) -> str:
    said = []
    for body in bodies.bodies:
        if body in way.turns:
            turn = way.turns[body]
            joint = bodies.line(body).joints[0]
            x, y = bodies.points[joint]
            u, v = way.points.get(joint, (0.0, 0.0))
            said.append(
                f"body {body} can turn about {_place(bodies, (x - v / turn, y + u / turn))}"
            )
    on_bodies = bodies.layout.on_bodies
    free = [name for name in way.points if name not in on_bodies]
    free.sort(key=lambda name: -math.hypot(*way.points[name]))
    said += [f"joint {name} can move {direction_word(way.points[name])}" for name in free]
    shown = said[:3]
    return " while ".join(shown) + (f", and {len(said) - 3} more parts move" if said[3:] else "")


def _subject(bodies: FreeBodies, way: Motion) -> str:
    if len(way.parts) == 1:
        return f"body {next(iter(way.parts))}"
    still = [joint for joint in bodies.joints if joint not in way.points]
    idle = [body for body in bodies.bodies if body not in way.parts]
    if not idle and len(still) <= 1:
        return "the whole structure"
    named = [part for part in bodies.layout.parts if part in way.parts]
    listed = ", ".join(named[:6]) + (", …" if len(named) > 6 else "")
    return f"the part with {listed}"


def _place(bodies: FreeBodies, at: Point) -> str:
    for name, place in bodies.points.items():
        if math.dist(at, place) <= 1e-6 * bodies.size:
            return name
    x, y = (0.0 if abs(part) < 1e-9 * bodies.size else part for part in at)
    return f"the point ({x:.4g}, {y:.4g})"


def _turn_between(way: Motion, first: str, far: str) -> float:
    x, y = (way.places[far][i] - way.places[first][i] for i in (0, 1))
    u, v = (way.points[far][i] - way.points[first][i] for i in (0, 1))
    square = x * x + y * y
    return (x * v - y * u) / square if square else 0.0


def _sense(vector: Mapping[Key, float], work: float) -> float:
    if work:
        return 1.0 if work > 0 else -1.0
    largest = max(vector.values(), key=abs)
    return 1.0 if largest > 0 else -1.0


def _scaled(vector: Mapping[Key, float], part: str, sense: float) -> Point:
    return sense * vector.get((part, "x"), 0.0), sense * vector.get((part, "y"), 0.0)
