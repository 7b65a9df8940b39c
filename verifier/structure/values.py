"""Numbers of a sheet: exact trees of arithmetic that give a float at once and sympy on demand."""

import math
import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Union

Plain = Union["Value", int, Fraction]

_FUNCTIONS: dict[str, Callable[[float], float]] = {
    "sqrt": math.sqrt,
    "sin": lambda d: math.sin(math.radians(d)),
    "cos": lambda d: math.cos(math.radians(d)),
    "tan": lambda d: math.tan(math.radians(d)),
    "asin": lambda r: math.degrees(math.asin(r)),
    "acos": lambda r: math.degrees(math.acos(r)),
    "atan": lambda r: math.degrees(math.atan(r)),
}
ARITHMETIC: dict[str, Callable[..., Any]] = {
    "+": operator.add,
    "-": operator.sub,
    "*": operator.mul,
    "/": operator.truediv,
    "^": operator.pow,
    "neg": operator.neg,
}


@dataclass(frozen=True, slots=True)
class Value:
    """An exact value: `op` is num, letter, + - * / ^, neg, or a function of degrees.

    `args` holds one `Fraction` (num), one name (letter) or the operands. Arithmetic on plain
    numbers is done at once, so a tree without functions or letters is always a single num.
    """

    op: str
    args: tuple[Any, ...]

    def number(self, letters: Mapping[str, float] | None = None) -> float:
        """Return the value as a float, letters replaced by the given stand-ins.

        Raises `KeyError` for a letter without a stand-in, `ZeroDivisionError` and `ValueError`
        where the arithmetic has no value.
        """
        found = self.worked_out(
            float,
            lambda name: (letters or {})[name],
            lambda name, argument: _FUNCTIONS[name](argument),
        )
        return float(found)

    def exact(self) -> Any:
        """Return the value as a sympy expression, letters as positive symbols."""
        import sympy

        def function(name: str, argument: Any) -> Any:
            if name == "sqrt":
                return sympy.sqrt(argument)
            if name in ("sin", "cos", "tan"):
                return getattr(sympy, name)(argument * sympy.pi / 180)
            return getattr(sympy, name)(argument) * 180 / sympy.pi

        return self.worked_out(
            lambda number: sympy.Rational(number.numerator, number.denominator),
            lambda name: sympy.Symbol(name, positive=True),
            function,
        )

    def worked_out(
        self,
        number: Callable[[Fraction], Any],
        letter: Callable[[str], Any],
        function: Callable[[str, Any], Any],
    ) -> Any:
        """Return the value over other numbers, made by three makers of the leaves and functions."""
        match self.op:
            case "num":
                return number(self.args[0])
            case "letter":
                return letter(self.args[0])
        parts = [arg.worked_out(number, letter, function) for arg in self.args]
        if self.op in ARITHMETIC:
            return ARITHMETIC[self.op](*parts)
        return function(self.op, parts[0])

    @property
    def letters(self) -> frozenset[str]:
        """The names of the letters that stay letters in this value."""
        if self.op == "num":
            return frozenset()
        if self.op == "letter":
            return frozenset(self.args)
        return frozenset().union(*(arg.letters for arg in self.args))

    def __add__(self, other: Plain) -> "Value":
        return _combine("+", self, value(other))

    def __sub__(self, other: Plain) -> "Value":
        return _combine("-", self, value(other))

    def __mul__(self, other: Plain) -> "Value":
        return _combine("*", self, value(other))

    def __truediv__(self, other: Plain) -> "Value":
        return _combine("/", self, value(other))

    def __neg__(self) -> "Value":
        if self.op == "neg":
            inner: Value = self.args[0]
            return inner
        return value(-self.args[0]) if self.op == "num" else Value("neg", (self,))


def value(number: Plain) -> Value:
    """Return a plain number as a `Value`; a `Value` comes back as it is."""
    return number if isinstance(number, Value) else Value("num", (Fraction(number),))


def letter(name: str) -> Value:
    """Return a letter that stays a letter."""
    return Value("letter", (name,))


def call(name: str, argument: Value) -> Value:
    """Return `name(argument)`, with name one of sqrt sin cos tan asin acos atan (degrees)."""
    return Value(name, (argument,))


def power(base: Value, exponent: Value) -> Value:
    """Return base to the exponent; sizes are bounded by whoever builds the tree."""
    return _combine("^", base, exponent)


def _combine(op: str, left: Value, right: Value) -> Value:
    if left.op == "num" and right.op == "num":
        a, b = left.args[0], right.args[0]
        match op:
            case "+":
                return value(a + b)
            case "-":
                return value(a - b)
            case "*":
                return value(a * b)
            case "/" if b:
                return value(a / b)
            case "^" if b.denominator == 1 and abs(b) <= 16 and (a or b > 0):
                return value(Fraction(a**b))
    return _neutral(op, left, right) or Value(op, (left, right))


def _neutral(op: str, left: Value, right: Value) -> Value | None:
    """Return the result where one side is 0 or 1 and changes nothing, else None."""
    a = left.args[0] if left.op == "num" else None
    b = right.args[0] if right.op == "num" else None
    match op:
        case "+":
            return right if a == 0 else left if b == 0 else None
        case "-":
            return -right if a == 0 else left if b == 0 else None
        case "*" if a == 0 or b == 0:
            return value(0)
        case "*":
            return right if a == 1 else left if b == 1 else None
        case "/" | "^":
            return left if b == 1 else None
    return None
