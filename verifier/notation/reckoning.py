"""What an expression of plain numbers comes to, blind to what they mean."""

import math
from collections.abc import Mapping

from verifier.notation.tree import Add, Div, Expr, Func, Mul, Name, Neg, Num, Pow

_FUNCTIONS = {"sin": math.sin, "cos": math.cos, "tan": math.tan}


def worked_out(expr: Expr, values: Mapping[str, float] | None = None) -> float | None:
    """Return what numbers come to, None with a name among them that is not in `values`."""
    try:
        return _reckoned(expr, values or {})
    except (ArithmeticError, TypeError, ValueError):  # a root of less than nothing
        return None


def _reckoned(expr: Expr, values: Mapping[str, float]) -> float:
    match expr:
        case Num(value=value):
            return value
        case Name(text=text, unit=None) if text in values:
            return values[text]
        case Neg(inner=inner):
            return -_reckoned(inner, values)
        case Add(terms=terms):
            return math.fsum(sign * _reckoned(term, values) for sign, term in terms)
        case Mul(factors=factors):
            return math.prod(_reckoned(factor, values) for factor in factors)
        case Div(top=top, bottom=bottom):
            return _reckoned(top, values) / _reckoned(bottom, values)
        case Pow(base=base, exponent=Num(value=power)) if abs(power) <= 4:
            return float(_reckoned(base, values) ** power)
        case Func(name="sqrt", arg=arg):
            return math.sqrt(_reckoned(arg, values))
        case Func(name=name, arg=arg) if name in _FUNCTIONS:
            return _FUNCTIONS[name](math.radians(_reckoned(arg, values)))
    raise ValueError(expr)
