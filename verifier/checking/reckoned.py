"""What a line's own reckoning says of how it was read: sides of numbers that come to the same.

`R = −16.1 + 18.5 = 2.40` was read right in both of its sums, whatever R should be: had a figure or
a sign been misread, they would not agree. Numbers alone are worked out here, no statics.
"""

from collections.abc import Iterator
from itertools import pairwise

from verifier.notation.reckoning import worked_out
from verifier.notation.tree import Expr, Neg, Num, Relation, Span, walk

_FIGURES = 3
"""A result of fewer figures may agree by chance."""
_ROOM = 1.02


def borne_out_by_reckoning(relation: Relation) -> Iterator[Span]:
    """Yield where the sides stand that a chain's next or last side bears out, each with its `=`."""
    for one, other in pairwise(relation.sides):
        for sum_, result in ((one, other), (other, one)):
            if _is_result(result) and _is_sum(sum_) and _agree(sum_, result):
                yield one.span[0], other.span[1]
                break


def _is_result(side: Expr) -> bool:
    number = side.inner if isinstance(side, Neg) else side
    return isinstance(number, Num) and number.digits >= _FIGURES


def _is_sum(side: Expr) -> bool:
    return sum(isinstance(node, Num) for node in walk(side)) > 1


def _agree(side: Expr, result: Expr) -> bool:
    number = result.inner if isinstance(result, Neg) else result
    value = worked_out(side)
    if value is None or not isinstance(number, Num):
        return False
    value = -value if isinstance(result, Neg) else value
    half = (number.high - number.low) / 2
    return abs(value - number.value) <= _ROOM * half
