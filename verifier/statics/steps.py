"""The equilibrium equations that lead to the solution, in the order a person takes them."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from verifier.statics.actions import FreeBody
from verifier.statics.answers import wanted
from verifier.statics.freebodies import FreeBodies
from verifier.statics.pieces import Cut
from verifier.statics.search import Search, Taken
from verifier.statics.solution import Step
from verifier.statics.sums import Sum, about, along_x, along_y
from verifier.statics.values import Values, cut_of, held_pin

Write = Callable[[Sum, Mapping[str, float], tuple[str, ...]], Step]
_FEW = 4
_MANY_MEMBERS = 100


def written_steps(bodies: FreeBodies, values: Values, write: Write) -> tuple[Step, ...]:
    """Return the steps to everything that the sheet asks for; `write` puts them into words."""
    asked = wanted(bodies.structure)
    last = [(item, _last_sum(bodies, item)) for item in asked if item not in values.found]
    targets = {item for item in asked if item in values.found}
    targets |= {a.item for _, one in last for a in one.body.actions if a.item in values.found}
    known: dict[str, float] = {}
    steps = []
    for taken in _shortest(bodies, frozenset(targets)):
        steps.append(write(taken.sum, known, taken.gives))
        known |= {item: values[item] for item in taken.gives}
    steps += [write(one, known, (item,)) for item, one in last]
    return tuple(steps)


def _shortest(bodies: FreeBodies, targets: frozenset[str]) -> list[Taken]:
    """Return the way by joints, or by sections where that is shorter to a few members."""
    by_joints = Search(bodies).run(targets)
    members = bodies.layout.member_ends
    few = sum(item in members for item in targets)
    if not 0 < few <= _FEW or len(members) <= 2 * few or len(members) > _MANY_MEMBERS:
        return by_joints
    by_sections = Search(bodies, by_sections=True).run(targets)
    return by_sections if len(by_sections) < len(by_joints) else by_joints


def _last_sum(bodies: FreeBodies, item: str) -> Sum:
    """Return the sum that gives an item which is no unknown of the equations."""
    pinned = held_pin(bodies, item)
    if pinned is not None:
        return along_x(pinned[0]) if pinned[1][0] else along_y(pinned[0])
    return _cut_sum(*_smaller_piece(bodies, item), item)


def _smaller_piece(bodies: FreeBodies, item: str) -> tuple[FreeBody, Cut]:
    _, cut, joint = cut_of(bodies, item)
    just = "after" if cut.after else "before"
    first, last = (
        bodies.through_body(cut.body, joint, side, just=just) for side in ("left", "right")
    )
    if len(last.actions) < len(first.actions):
        return last, replace(cut, first=False)
    return first, replace(cut, first=True)


def _cut_sum(piece: FreeBody, cut: Cut, item: str) -> Sum:
    kind = item.partition(" ")[0]
    face = next(a for a in piece.actions if a.kind == "cut" and a.item.startswith(kind))
    if kind == "moment":
        return replace(about(piece, cut.said, face.at), of=item, cut=cut)
    x, y = face.along
    if abs(abs(x) - 1) < 1e-12:
        made = along_x(piece)
    elif abs(abs(y) - 1) < 1e-12:
        made = along_y(piece)
    else:
        made = Sum(piece, "ΣF along the body" if kind == "axial" else "ΣF across it", (x, y))
    return replace(made, of=item, cut=cut)
