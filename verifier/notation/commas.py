"""What commas mean where no number tells it by itself: by the sums of numbers that come out right.

`124/7 = 17,714` has a decimal comma, `3·415 = 1,245` separates thousands.
"""

import math
from collections.abc import Iterable
from itertools import pairwise

from verifier.notation.numbers import Comma
from verifier.notation.tree import Add, Div, Expr, Line, Mul, Neg, Num, Relation

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


def _right(relation: Relation) -> int:
    """Count the pairs of sides, numbers alone, that are the same and worked out."""
    pairs = [(one, two) for one, two in pairwise(relation.sides) if not isinstance(one, Num)]
    values = ((_value(one), _value(two)) for one, two in pairs)
    return sum(
        math.isclose(one, two, rel_tol=_NEAR)
        for one, two in values
        if one is not None and two is not None
    )


def _value(expr: Expr) -> float | None:
    """Return what an expression of plain numbers comes to, None for any other."""
    match expr:
        case Num():
            return expr.value
        case Neg():
            inner = _value(expr.inner)
            return None if inner is None else -inner
        case Add():
            terms = [(sign, _value(term)) for sign, term in expr.terms]
            known = [sign * value for sign, value in terms if value is not None]
            return sum(known) if len(known) == len(terms) else None
        case Mul():
            factors = [value for value in map(_value, expr.factors) if value is not None]
            return math.prod(factors) if len(factors) == len(expr.factors) else None
        case Div():
            top, bottom = _value(expr.top), _value(expr.bottom)
            return top / bottom if top is not None and bottom else None
    return None
