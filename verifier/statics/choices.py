"""The free bodies that a working is likely to choose."""

from collections.abc import Iterator
from itertools import combinations
from typing import TYPE_CHECKING

from verifier.statics.actions import FreeBody

if TYPE_CHECKING:
    from verifier.statics.freebodies import FreeBodies

_MOST_BURDENED = 4
_MOST_BESIDE_A_HINGE = 40
_MOST_IN_PAIRS = 10


def candidates(bodies: "FreeBodies", most: int) -> Iterator[FreeBody]:
    """Yield the free bodies that a working is likely to choose, likeliest first."""
    yield bodies.whole()
    for name in bodies.layout.bodies:
        own = bodies.own_joints(name)
        yield bodies.body(name)
        if own:
            yield bodies.body(name, with_joints=True)
        burdened = _burdened(bodies, name)[:_MOST_BURDENED]
        for count in range(len(burdened), 0, -1):
            for some in combinations(burdened, count):
                if set(some) != set(own):
                    yield bodies.part((name, *some))
    for name in bodies.layout.joints:
        yield bodies.joint(name)
    yield from _body_sets(bodies)
    yield from _hinge_sections(bodies)
    yield from bodies.sections(most)


def _body_sets(bodies: "FreeBodies") -> Iterator[FreeBody]:
    """Yield sets of two and more bodies, bare and with the joints that they alone hold."""
    names = bodies.layout.bodies
    if not 2 <= len(names) <= 8:
        return
    for mask in range(3, 2 ** len(names) - 1):
        some = [name for index, name in enumerate(names) if mask >> index & 1]
        if len(some) < 2:
            continue
        inside = bodies.closed(frozenset(some))
        own = {joint for name in some for joint in bodies.own_joints(name)}
        yield bodies.part(inside)
        if own - inside:
            yield bodies.part(inside | own)


def _hinge_sections(bodies: "FreeBodies") -> Iterator[FreeBody]:
    """Yield both parts of every cut through a hinge and one member, or two of a few members."""
    members = list(bodies.layout.member_ends)
    if len(members) > _MOST_BESIDE_A_HINGE:
        return
    sets: list[tuple[str, ...]] = [(member,) for member in members]
    if len(members) <= _MOST_IN_PAIRS:
        sets += combinations(members, 2)
    for hinge in bodies.hinges:
        for some in sets:
            yield from (part for part in bodies.cut(some, hinge) if len(part.parts) > 1)


def _burdened(bodies: "FreeBodies", body: str) -> list[str]:
    """Return the joints of a body at which something acts besides bodies."""
    layout = bodies.layout
    return [
        joint
        for joint in layout.joints
        if body in layout.on_bodies.get(joint, ())
        and (
            layout.knowns_by_part[joint]
            or any(touch.kind != "pin" for touch in layout.by_part[joint])
        )
    ]
