"""The functions of a working by our own names, whatever dress they are written in."""

import math
from dataclasses import replace

from verifier.notation.tree import Expr, Func, Num, walk

RECIPROCAL = {"cot": "tan", "sec": "cos", "csc": "sin"}
_FUNCTION_NAMES = {
    "sen": "sin", "tg": "tan", "ctg": "cot", "cosec": "csc", "√": "sqrt", "arcsen": "asin",
    "arctg": "atan", "sind": "sin", "cosd": "cos", "tand": "tan", "asind": "asin",
    "acosd": "acos", "atand": "atan", "arcsin": "asin", "arccos": "acos", "arctan": "atan",
}  # fmt: skip


def function_name(token: str) -> str:
    """Return our name of a written function: `tan⁻¹`, `arctan`, `arctg` are all atan."""
    letters = "".join(c for c in token.lower() if c.isalpha()) or token
    bare = letters.removeprefix("inverse").removeprefix("inv")
    name = _FUNCTION_NAMES.get(bare, bare)
    inverse = "-" in token or "⁻" in token or bare != letters
    return f"a{name}" if inverse and name in ("sin", "cos", "tan") else name


def radians(arg: Expr) -> Expr:
    """Wrap an angle that can only be in radians: it carries π, or the unit says so."""
    if isinstance(arg, Num) and arg.unit is not None and arg.unit.text.lower().startswith("rad"):
        return Func(arg.span, "rad", replace(arg, unit=None))
    if any(isinstance(node, Num) and node.value == math.pi for node in walk(arg)):
        return Func(arg.span, "rad", arg)
    return arg
