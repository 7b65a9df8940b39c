"""The components of a load, as a writer works them out before they are used: 90 cos 70° ↓."""

from collections.abc import Sequence

from verifier.checking.derived import same
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import say, with_function
from verifier.checking.figure import Figure
from verifier.checking.quantity import Quantity
from verifier.notation.tree import Add, Func, Mark, Num, Relation, walk

_AXES = {"left": 0, "right": 0, "up": 1, "down": 1}
_RESOLVING = ("sin", "cos")
_NEAR = 5e-3


def other_part(
    relation: Relation,
    index: int,
    value: Quantity,
    marks: Sequence[Mark],
    figure: Figure,
    text: str,
) -> Explanation | None:
    """Return that a load's component along x is told as the one along y, or the other way.

    `value` is what `relation.sides[index + 1]` comes to, with its arrow among `marks`.
    """
    axes = [_AXES[mark.meaning] for mark in marks if mark.meaning in _AXES]
    side = relation.sides[index]
    turns = [node for node in walk(side) if isinstance(node, Func) and node.name in _RESOLVING]
    summed = any(isinstance(node, Add) for node in walk(side))  # it is no part of one load
    if len(axes) != 1 or len(turns) != 1 or summed or figure.structure.letters:
        return None
    numbers = [abs(node.value) for node in walk(side) if isinstance(node, Num)]
    parts = [
        (f, [abs(f.size.number({}) * d.number({})) for d in f.direction]) for f in figure.forces
    ]
    if any(same(abs(value.centre), own[axes[0]], _NEAR) for _, own in parts):
        return None
    for force, own in parts:
        wanted, have = own[axes[0]], own[1 - axes[0]]
        written = any(same(number, abs(force.size.number({})), 1e-6) for number in numbers)
        if not written or not wanted or not same(abs(value.centre), have, _NEAR):
            continue
        (start, end), (a, b) = side.span, turns[0].span
        new = with_function(text, turns[0])
        message = (
            f"{force.label} has {say(figure, wanted)} along {'xy'[axes[0]]}; "
            f"{say(figure, have)} is its other component."
        )
        right = text[start:a] + new + text[b:end]
        key = f"component {force.label}"
        return Explanation("component", side.span, right, message, 1.0, key=key)
    return None
