"""What lies between two cuts of one body, or on the slice at one of its joints.

`M_D = M_C + V (3.5)` and `V_right = V_left − 12` are sums of such a piece.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from itertools import pairwise

from verifier.checking.figure import Figure
from verifier.statics.actions import Action, FreeBody
from verifier.statics.spread import resultant

_FACES = 6
"""How many inner forces act on the two faces of such a piece."""


def segments(figure: Figure, body: str, joint: str) -> Iterator[tuple[FreeBody, tuple[str, ...]]]:
    """Yield the slice of a body at a joint and the pieces up to its neighbours, each with its ends.

    A slice on which nothing acts says nothing and is left out.
    """
    joints = figure.bodies.line(body, joint).joints
    cut = partial(figure.bodies.through_body, body, side="left", with_joints=True)
    before = {one: cut(one, just="before") for one in joints[1:]}
    after = {
        one: cut(one, just="after", name=f"{one}, right" if one in before else "")
        for one in joints[:-1]
    }
    if joint in before and joint in after:
        at = between_cuts(f"slice of {body} at {joint}", before[joint], after[joint])
        if len(at.actions) > _FACES:
            yield at, (joint,)
    for one, two in pairwise(joints):
        if joint in (one, two):
            name = f"part of {body} between {one} and {two}"
            yield between_cuts(name, after[one], before[two]), (one, two)


def is_face(item: str, body: FreeBody) -> bool:
    """Tell whether an item is an inner force on one of the two faces of such a piece."""
    return len(body.cut) == _FACES and item in body.cut and " at " in item


def between_cuts(name: str, near: FreeBody, far: FreeBody) -> FreeBody:
    """Return the piece between two cuts: what is left of the far one and not of the near one."""
    actions = [a for a in far.actions if a not in near.actions]
    shared = {a.item: a for a in near.actions if a.spread is not None and a not in far.actions}
    kept = [_rest(a, shared[a.item]) if a.item in shared else a for a in actions]
    faces = [
        replace(a, along=(-a.along[0] + 0.0, -a.along[1] + 0.0), turn=-a.turn)
        for a in near.actions
        if a.kind == "cut"
    ]
    return FreeBody(name, far.parts - near.parts, (*faces, *kept), (*near.cut, *far.cut))


def _rest(whole: Action, part: Action) -> Action:
    """Return a spread load without the part of it that lies at one of its ends."""
    assert whole.spread is not None
    assert part.spread is not None
    start, end = whole.spread[:3], whole.spread[3:]
    spread = (*part.spread[3:], *end) if part.spread[:3] == start else (*start, *part.spread[:3])
    size, at = resultant(spread)
    return replace(whole, at=at, value=size, spread=spread)
