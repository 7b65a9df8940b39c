"""Exact numbers with square roots: sums of rationals times roots of square-free whole numbers.

They make up the field Q(√2, √3, √5, …); the roots are linearly independent, so a sum is zero only
when every coefficient is, and division is by conjugates. No sympy: a sheet's geometry is mostly
rational or quadratic, and rank decisions on it must be exact and quick.
"""

import math
from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache
from typing import Union

from verifier.structure.values import Value

Number = Union["Surd", Fraction, int]
_LARGEST_PRIME = 10_000


class Surd:
    """An exact number Σ cᵢ √rᵢ; `terms` maps each square-free rᵢ to its cᵢ ≠ 0."""

    __slots__ = ("terms",)

    def __init__(self, terms: Mapping[int, Fraction]) -> None:
        self.terms = {root: part for root, part in terms.items() if part}

    def __bool__(self) -> bool:
        return bool(self.terms)

    def __float__(self) -> float:
        return math.fsum(float(part) * math.sqrt(root) for root, part in self.terms.items())

    def __abs__(self) -> float:
        return abs(float(self))

    def __eq__(self, other: object) -> bool:
        if isinstance(other, Surd | Fraction | int):
            return not (self - other)
        return NotImplemented

    def __hash__(self) -> int:
        return hash(frozenset(self.terms.items()))

    def __neg__(self) -> "Surd":
        return Surd({root: -part for root, part in self.terms.items()})

    def __add__(self, other: Number) -> "Surd":
        terms = dict(self.terms)
        for root, part in _terms(other).items():
            terms[root] = terms.get(root, Fraction(0)) + part
        return Surd(terms)

    __radd__ = __add__

    def __sub__(self, other: Number) -> "Surd":
        return self + -other

    def __rsub__(self, other: Number) -> "Surd":
        return -self + other

    def __mul__(self, other: Number) -> "Surd":
        terms: dict[int, Fraction] = {}
        for a, x in self.terms.items():
            for b, y in _terms(other).items():
                common = math.gcd(a, b)
                root = (a // common) * (b // common)
                terms[root] = terms.get(root, Fraction(0)) + x * y * common
        return Surd(terms)

    __rmul__ = __mul__

    def __truediv__(self, other: Number) -> "Surd":
        if isinstance(other, Surd):
            return self * other.inverse()
        return Surd({root: part / other for root, part in self.terms.items()})

    def __rtruediv__(self, other: Number) -> "Surd":
        return self.inverse() * other

    def inverse(self) -> "Surd":
        """Return 1 over this number; raises `ZeroDivisionError` for zero."""
        if not self.terms:
            raise ZeroDivisionError("division by an exact zero")
        rest, above = self, Surd({1: Fraction(1)})
        while True:
            root = max(rest.terms)
            if root == 1:
                return Surd({key: part / rest.terms[1] for key, part in above.terms.items()})
            prime = primes(root)[-1]
            conjugate = Surd(
                {key: part if key % prime else -part for key, part in rest.terms.items()}
            )
            rest, above = rest * conjugate, above * conjugate

    @property
    def rational(self) -> Fraction | None:
        """The number as a fraction, None where it is none."""
        if set(self.terms) <= {1}:
            return self.terms.get(1, Fraction(0))
        return None


def surd(value: Value) -> Surd | None:
    """Return a sheet's value as an exact number, None for letters and other irrationals."""
    match value.op:
        case "num":
            return Surd({1: value.args[0]})
        case "letter":
            return None
        case "sin" | "cos" | "tan":
            return _trig(value.op, value.args[0])
        case "asin" | "acos" | "atan":
            return None
    parts = [surd(arg) for arg in value.args]
    first = parts[0]
    if first is None:
        return None
    if value.op == "neg":
        return -first
    if value.op == "sqrt":
        return root_of(first)
    second = parts[1]
    if second is None:
        return None
    match value.op:
        case "+":
            return first + second
        case "-":
            return first - second
        case "*":
            return first * second
        case "/":
            return first / second if second else None
    return _power(first, second)


def root_of(number: Surd) -> Surd | None:
    """Return the square root of a rational that is not negative, None where it is nested."""
    plain = number.rational
    if plain is None or plain < 0:
        return None
    if not plain:
        return Surd({})
    whole = plain.numerator * plain.denominator
    square, free = 1, 1
    factors = primes(whole)
    if not factors and whole != 1:
        return None
    for prime in set(factors):
        count = factors.count(prime)
        square *= prime ** (count // 2)
        free *= prime ** (count % 2)
    return Surd({free: Fraction(square, plain.denominator)})


def _power(base: Surd, exponent: Surd) -> Surd | None:
    power = exponent.rational
    if power is None or power.denominator > 2 or abs(power) > 16:
        return None
    if power < 0 and not base:
        return None
    stem = base if power.denominator == 1 else root_of(base)
    if stem is None:
        return None
    made = Surd({1: Fraction(1)})
    for _ in range(abs(power.numerator)):
        made = made * stem
    return made.inverse() if power < 0 else made


def _trig(name: str, degrees: Value) -> Surd | None:
    pair = _turned(degrees)
    if pair is None:
        return None
    if name == "tan":
        return pair[1] / pair[0] if pair[0] else None
    return pair[0] if name == "cos" else pair[1]


def _turned(degrees: Value) -> tuple[Surd, Surd] | None:
    """Return (cos, sin) of an angle in degrees where both are exact numbers."""
    match degrees.op:
        case "num":
            return _fifteens(degrees.args[0])
        case "neg":
            pair = _turned(degrees.args[0])
            return None if pair is None else (pair[0], -pair[1])
        case "+" | "-":
            one, two = _turned(degrees.args[0]), _turned(degrees.args[1])
            if one is None or two is None:
                return None
            sine = two[1] if degrees.op == "+" else -two[1]
            return one[0] * two[0] - one[1] * sine, one[1] * two[0] + one[0] * sine
        case "asin" | "acos" | "atan":
            return _inverse(degrees.op, degrees.args[0])
    return None


def _inverse(name: str, argument: Value) -> tuple[Surd, Surd] | None:
    ratio = surd(argument)
    if ratio is None:
        return None
    if name == "atan":
        long = root_of(ratio * ratio + 1)
        return None if long is None else (1 / long, ratio / long)
    other = root_of(1 - ratio * ratio)
    if other is None:
        return None
    return (other, ratio) if name == "asin" else (ratio, other)


def _fifteens(degrees: Fraction) -> tuple[Surd, Surd] | None:
    if degrees.denominator != 1 or degrees % 15:
        return None
    cosine = {
        0: {1: Fraction(1)},
        15: {6: Fraction(1, 4), 2: Fraction(1, 4)},
        30: {3: Fraction(1, 2)},
        45: {2: Fraction(1, 2)},
        60: {1: Fraction(1, 2)},
        75: {6: Fraction(1, 4), 2: Fraction(-1, 4)},
        90: {},
    }

    def of(turn: int) -> Surd:
        turn %= 360
        turn = min(turn, 360 - turn)
        return Surd(cosine[turn]) if turn <= 90 else -Surd(cosine[180 - turn])

    whole = int(degrees)
    return of(whole), of(whole - 90)


def _terms(number: Number) -> Mapping[int, Fraction]:
    return number.terms if isinstance(number, Surd) else {1: Fraction(number)}


@lru_cache(maxsize=4096)
def primes(whole: int) -> tuple[int, ...]:
    """Return the prime factors in rising order; empty for 1 and where it is too hard to say."""
    factors = []
    prime = 2
    while prime * prime <= whole and prime <= _LARGEST_PRIME:
        while whole % prime == 0:
            factors.append(prime)
            whole //= prime
        prime += 1 if prime == 2 else 2
    if whole > 1:
        side = math.isqrt(whole)
        if whole <= _LARGEST_PRIME:
            factors.append(whole)
        elif side * side == whole:
            factors += [side, side]
        else:
            return ()
    return tuple(factors)
