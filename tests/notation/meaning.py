"""The strict notation in which golden files say what a line means, read without our own parser.

Parts are separated by ` | `. An equation has explicit signs of multiplication, functions of degrees
(`sin(30)`, `atan(0.5)`), names as they are with their dress off, and its marks in brackets:
`PR = -15.6 [compression]`. Other parts are words: `sum y, up positive`, `moments about A`,
`joint Q`, `section QR, PR; left`, `words`, `struck: …`, `unread`.
"""

import ast
import math
import random
import re
from collections.abc import Callable

from verifier.notation.names import canonical
from verifier.notation.tree import (
    Add,
    Div,
    Expr,
    Func,
    Mul,
    Name,
    Neg,
    Num,
    Pow,
)

Lookup = Callable[[str], float]


def values(seed: int) -> Lookup:
    """A value for any name, the same for all its dresses."""

    def look(name: str) -> float:
        return random.Random(f"{seed}:{canonical(name)}").uniform(0.5, 3.0)

    return look


_FUNCTIONS: dict[str, Callable[[float], float]] = {
    "sin": lambda x: math.sin(math.radians(x)),
    "cos": lambda x: math.cos(math.radians(x)),
    "tan": lambda x: math.tan(math.radians(x)),
    "asin": lambda x: math.degrees(math.asin(max(-1.0, min(1.0, x)))),
    "acos": lambda x: math.degrees(math.acos(max(-1.0, min(1.0, x)))),
    "atan": lambda x: math.degrees(math.atan(x)),
    "sqrt": lambda x: math.sqrt(abs(x)),
    "abs": abs,
    "rad": math.degrees,
}


def strict(text: str, look: Lookup) -> float:
    """The value of an expression in strict notation."""
    names: dict[str, str] = {}

    def hide(match: re.Match[str]) -> str:
        word = match.group()
        if word in _FUNCTIONS or word == "pi":
            return word
        names[f"n{len(names)}_"] = word.strip("«»")
        return f"n{len(names) - 1}_"

    hidden = re.sub(r"«[^»]*»|[A-Za-zÀ-ſΑ-ωА-я][\w']*", hide, text.replace("^", "**"))
    return _value(ast.parse(hidden.strip(), mode="eval").body, names, look)


def _value(node: ast.expr, names: dict[str, str], look: Lookup) -> float:
    match node:
        case ast.Constant(value=value):
            return float(value)
        case ast.Name(id="pi"):
            return math.pi
        case ast.Name(id=name):
            return look(names[name])
        case ast.UnaryOp(op=ast.USub(), operand=inner):
            return -_value(inner, names, look)
        case ast.Call(func=ast.Name(id=name), args=[inner]):
            return _FUNCTIONS[name](_value(inner, names, look))
        case ast.BinOp(left=left, op=op, right=right):
            one, two = _value(left, names, look), _value(right, names, look)
            match op:
                case ast.Add():
                    return one + two
                case ast.Sub():
                    return one - two
                case ast.Mult():
                    return one * two
                case ast.Div():
                    return one / two
                case ast.Pow():
                    return abs(one) ** two
    raise ValueError(ast.dump(node))


def tree_value(expr: Expr, look: Lookup) -> float:
    """The value of one of our trees."""
    match expr:
        case Num():
            return expr.value
        case Name():
            return look(f"{expr.base}{expr.sub}")
        case Add():
            return sum(sign * tree_value(term, look) for sign, term in expr.terms)
        case Mul():
            return math.prod(tree_value(factor, look) for factor in expr.factors)
        case Div():
            return tree_value(expr.top, look) / tree_value(expr.bottom, look)
        case Neg():
            return -tree_value(expr.inner, look)
        case Pow():
            return abs(tree_value(expr.base, look)) ** tree_value(expr.exponent, look)
        case Func():
            return _FUNCTIONS[expr.name](tree_value(expr.arg, look))
