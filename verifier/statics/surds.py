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
