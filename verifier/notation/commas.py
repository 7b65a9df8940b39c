"""What commas mean where no number tells it by itself: by the sums of numbers that come out right.

`124/7 = 17,714` has a decimal comma, `3·415 = 1,245` separates thousands.
"""

import math
from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise

from verifier.notation.numbers import Comma
from verifier.notation.reckoning import worked_out
from verifier.notation.tree import Line, Num, Part, Relation

_NEAR = 5e-3


def comma_by_sums(lines: Iterable[Line]) -> Comma:
    """Return how lines read with open commas use them, by the sides that are numbers alone."""
    decimal = thousands = 0
    for relation in (p for line in lines for p in line.parts if isinstance(p, Relation)):
        for other in relation.others[:1]:
            thousands += _right(relation)
            decimal += _right(other)
    if decimal == thousands:
        return "open"
    return "decimal" if decimal > thousands else "thousands"


def either(likely: Line, other: Line) -> Line:
    """Return a line in the likelier reading of its commas, the other kept with each relation."""
    if len(likely.parts) != len(other.parts):
        return likely
    pairs = zip(likely.parts, other.parts, strict=True)
    return replace(likely, parts=tuple(_with_other(one, two) for one, two in pairs))


def _with_other(likely: Part, other: Part) -> Part:
    """Return a part with what the other reading of its commas makes of it."""
    if not (isinstance(likely, Relation) and isinstance(other, Relation)):
        return likely
    if likely.sides == other.sides:
        return likely
    return replace(likely, others=(*likely.others, other))


def _right(relation: Relation) -> int:
    """Count the pairs of sides, numbers alone, that are the same and worked out."""
    pairs = [(one, two) for one, two in pairwise(relation.sides) if not isinstance(one, Num)]
    values = ((worked_out(one), worked_out(two)) for one, two in pairs)
    return sum(
        math.isclose(one, two, rel_tol=_NEAR)
        for one, two in values
        if one is not None and two is not None
    )
