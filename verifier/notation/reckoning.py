"""What an expression of plain numbers comes to, blind to what they mean."""

import math

from verifier.notation.tree import Add, Div, Expr, Func, Mul, Neg, Num, Pow

_FUNCTIONS = {"sin": math.sin, "cos": math.cos, "tan": math.tan}


def worked_out(expr: Expr) -> float | None:
    """Return what numbers come to, None with a name among them."""
    try:
        return _reckoned(expr)
    except (ArithmeticError, TypeError, ValueError):  # a root of less than nothing
        return None


def _reckoned(expr: Expr) -> float:
    match expr:
        case Num(value=value):
            return value
        case Neg(inner=inner):
            return -_reckoned(inner)
        case Add(terms=terms):
            return math.fsum(sign * _reckoned(term) for sign, term in terms)
        case Mul(factors=factors):
            return math.prod(map(_reckoned, factors))
        case Div(top=top, bottom=bottom):
            return _reckoned(top) / _reckoned(bottom)
        case Pow(base=base, exponent=Num(value=power)) if abs(power) <= 4:
            return float(_reckoned(base) ** power)
        case Func(name="sqrt", arg=arg):
            return math.sqrt(_reckoned(arg))
        case Func(name=name, arg=arg) if name in _FUNCTIONS:
            return _FUNCTIONS[name](math.radians(_reckoned(arg)))
    raise ValueError(expr)
