"""What a line's own reckoning says of how it was read: sides of numbers that come to the same.

`R = −16.1 + 18.5 = 2.40` was read right in both of its sums, whatever R should be: had a figure or
a sign been misread, they would not agree. Numbers alone are worked out here, no statics.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from verifier.notation.reckoning import worked_out
from verifier.notation.tree import Expr, Line, Name, Neg, Num, Relation, Span, walk

_FIGURES = 3
"""A result of fewer figures may agree by chance."""
_ROOM = 1.02
_OFF = 0.02


def borne_out_by_reckoning(
    relation: Relation, values: Mapping[str, float] | None = None
) -> Iterator[Span]:
    """Yield where the sides stand that a chain's next or last side bears out, each with its `=`.

    `values` are what names were given above.
    """
    for one, other in pairwise(relation.sides):
        for sum_, result in ((one, other), (other, one)):
            if _is_result(result) and _is_sum(sum_) and _agree(sum_, result, values):
                yield one.span[0], other.span[1]
                break


def comes_out(line: Line, values: Mapping[str, float]) -> bool:
    """Tell whether some side of numbers comes to what a line says next, and none to another."""
    relations = [part for part in line.parts if isinstance(part, Relation)]
    return any(any(borne_out_by_reckoning(one, values)) for one in relations) and not any(
        (value := worked_out(one, values)) is not None
        and (result := worked_out(other)) is not None
        and abs(value - result) > _OFF * abs(result)
        for relation in relations
        for one, other in pairwise(relation.sides)
    )


def values_told(lines: Sequence[Line]) -> dict[str, float]:
    """Return what names are given as numbers on a page, as it stands there last."""
    found = {}
    for line in lines:
        for part in line.parts:
            if not isinstance(part, Relation):
                continue
            first, value = part.sides[0], worked_out(part.sides[-1])
            if isinstance(first, Name) and value is not None:
                found[first.text] = value
    return found


def _is_result(side: Expr) -> bool:
    number = side.inner if isinstance(side, Neg) else side
    return isinstance(number, Num) and number.digits >= _FIGURES


def _is_sum(side: Expr) -> bool:
    return sum(isinstance(node, Num) for node in walk(side)) > 1


def _agree(side: Expr, result: Expr, values: Mapping[str, float] | None) -> bool:
    number = result.inner if isinstance(result, Neg) else result
    value = worked_out(side, values)
    if value is None or not isinstance(number, Num):
        return False
    value = -value if isinstance(result, Neg) else value
    half = (number.high - number.low) / 2
    return abs(value - number.value) <= _ROOM * half
