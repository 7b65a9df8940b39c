"""Lengths, directions and angles as exact values, folded where they come out rational."""

from collections.abc import Callable
from fractions import Fraction
from math import isqrt

from verifier.structure.values import Value, call, value

Vector = tuple[Value, Value]
Sign = Callable[[Value], int]
"""Tells whether a value is positive (1), zero (0) or negative (−1)."""

WAYS: dict[str, Vector] = {
    "right": (value(1), value(0)),
    "up": (value(0), value(1)),
    "left": (value(-1), value(0)),
    "down": (value(0), value(-1)),
}


def root(square: Value) -> Value:
    """Return the square root, rational where it is.

    >>> root(value(Fraction(25, 4))).number()
    2.5
    """
    if square.op == "num" and square.args[0] >= 0:
        top, bottom = square.args[0].numerator, square.args[0].denominator
        if isqrt(top) ** 2 == top and isqrt(bottom) ** 2 == bottom:
            return value(Fraction(isqrt(top), isqrt(bottom)))
    return call("sqrt", square)


def length(along: Vector) -> Value:
    """Return the length of a vector."""
    across, up = along
    if _zero(across) or _zero(up):
        only = across if _zero(up) else up
        if only.op == "num":
            return value(abs(only.args[0]))
    return root(across * across + up * up)


def unit(along: Vector) -> Vector:
    """Return the unit vector along a vector that is not zero."""
    size = length(along)
    return along[0] / size, along[1] / size


def toward(degrees: Value) -> Vector:
    """Return the unit vector at an angle anticlockwise from +x, rational where it is."""
    turned, rest = _quarter_turns(degrees)
    across, up = _first(rest)
    for _ in range(turned):
        across, up = -up, across
    return across, up


def angle(first: Vector, second: Vector, sign: Sign) -> Value:
    """Return the angle between two vectors in degrees, 0 to 180."""
    dot = first[0] * second[0] + first[1] * second[1]
    cross = first[0] * second[1] - first[1] * second[0]
    cross = cross if sign(cross) >= 0 else -cross
    match sign(dot):
        case 0:
            return value(90)
        case 1:
            return _arc(cross / dot)
    return value(180) - _arc(cross / -dot)


def _arc(ratio: Value) -> Value:
    if _zero(ratio):
        return value(0)
    return value(45) if ratio == value(1) else call("atan", ratio)


def _quarter_turns(degrees: Value) -> tuple[int, Value]:
    if degrees.op == "num":
        quarters = degrees.args[0] // 90
        return int(quarters) % 4, value(degrees.args[0] - 90 * quarters)
    if degrees.op in ("+", "-"):
        left, right = degrees.args
        if left.op == "num" and left.args[0] % 90 == 0:
            return int(left.args[0] / 90) % 4, right if degrees.op == "+" else -right
        if right.op == "num" and right.args[0] % 90 == 0:
            quarters = right.args[0] / 90 * (1 if degrees.op == "+" else -1)
            return int(quarters) % 4, left
    return 0, degrees


def _first(degrees: Value) -> Vector:
    """Return (cos, sin), exact for an inverse tangent, sine or cosine."""
    if degrees == value(0):
        return WAYS["right"]
    if degrees.op == "neg":
        across, up = _first(degrees.args[0])
        return across, -up
    if degrees.op == "atan":
        ratio = degrees.args[0]
        return unit((value(1), ratio))
    if degrees.op in ("asin", "acos"):
        ratio = degrees.args[0]
        other = root(value(1) - ratio * ratio)
        return (other, ratio) if degrees.op == "asin" else (ratio, other)
    return call("cos", degrees), call("sin", degrees)


def _zero(amount: Value) -> bool:
    return amount.op == "num" and not amount.args[0]
