"""An unknown worked out in one step, `C = (30·6 + 18·1.5)/4.5`: its sum before the division."""

from verifier.checking.forms import Form, NotLinear, Reader
from verifier.notation.tree import Div, Expr, Mul, Name, Neg, Relation


def multiplied(relation: Relation, index: int, reader: Reader) -> Form | None:
    """Return the sum whose division a side is, the divisor in the unknown's term; None without.

    That term stands where the divisor is written, so that its fault is shown there.
    """
    name, side = relation.sides[index : index + 2]
    turned = isinstance(side, Neg)
    side = side.inner if isinstance(side, Neg) else side
    if not isinstance(name, Name) or not isinstance(side, Div):
        return None
    top: Expr = Neg(side.top.span, side.top) if turned else side.top
    try:
        reader.evaluate(side.bottom)
        left = reader.form(Mul(side.bottom.span, (name, side.bottom)))
        return left.minus(reader.form(top), 1)
    except NotLinear:
        return None
