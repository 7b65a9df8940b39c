"""Products and quotients: what a divisor takes in, units of the whole, mixed numbers."""

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from lark import Token

from verifier.notation.tree import Add, Div, Expr, Mul, Name, Neg, Num, Span

Built = tuple[Expr, int, int]


class Product:
    """Gathers the factors of a term from left to right."""

    def __init__(self, span: Callable[[int, int], Span]) -> None:
        self.span = span
        self.factors: list[Built] = []

    def times(self, factor: Built) -> None:
        """Take a further factor."""
        self.factors.append(factor)

    def over(self, divisor: Built) -> None:
        """Divide what stands so far; `F · 5/13` keeps its slope 5/13 together."""
        last = self.factors[-1]
        names = any(not isinstance(f[0], Num) for f in self.factors[:-1])
        if names and _bare_number(last[0]) and _bare_number(divisor[0]):
            top, kept = last, self.factors[:-1]
        else:
            top, kept = self.done(), []
        low, high = top[1], divisor[2]
        quotient = _lift_unit(Div(self.span(low, high), top[0], divisor[0]))
        self.factors = [*kept, (quotient, low, high)]

    def done(self) -> Built:
        """Return the whole product."""
        if len(self.factors) == 1:
            return self.factors[0]
        low, high = self.factors[0][1], self.factors[-1][2]
        flat = tuple(factor[0] for factor in self.factors)
        return _lift_unit(Mul(self.span(low, high), flat)), low, high


def mixed(side: Expr) -> Expr | None:
    """Return a side `13(1/3)` as the mixed number that it may be, None for any other."""
    match side:
        case Neg(inner=inner):
            number = mixed(inner)
            return replace(side, inner=number) if number else None
        case Mul(factors=(Num() as whole, Div(top=Num() as top, bottom=Num() as bottom) as part)):
            unit = side.unit or part.unit
        case _:
            return None
    parts = (whole, top, bottom)
    if not all(part.text.isdecimal() and part.unit is None for part in parts):
        return None
    if not 0 < top.value < bottom.value:
        return None
    value = whole.value + top.value / bottom.value
    return Num(side.span, whole.text, value, value, value, unit)


_MIXED = re.compile(r"(\d+)\D+(\d+)\D+(\d+)\D*")


def unmixed(side: Expr) -> Expr | None:
    """Return a mixed number `13 1/3` as the product that it may be, None for any other side."""
    match side:
        case Neg(inner=inner):
            product = unmixed(inner)
            return replace(side, inner=product) if product else None
        case Num(text=text) if ("/" in text or "frac" in text) and _MIXED.fullmatch(text):
            digits = _MIXED.fullmatch(text)
        case _:
            return None
    assert digits is not None
    whole, top, bottom = (
        Num(side.span, one, float(one), float(one), float(one)) for one in digits.groups()
    )
    if not bottom.value or (side.unit is not None and side.unit.kind == "length"):
        return None  # `3 1/2 ft`
    return Mul(side.span, (whole, Div(side.span, top, bottom)), side.unit)


def _bare_number(expr: Expr) -> bool:
    return isinstance(expr, Num) and expr.unit is None


def implicit(children: list[Any], index: int) -> int:
    """Count the factors from `index` on that follow without a sign of multiplication."""
    count = 0
    while index + count < len(children) and not isinstance(children[index + count], Token):
        count += 1
    return count


def plain_fraction(run: Product, divisor: Built, follower: Any) -> bool:
    """Tell whether `3/5` before a name is a slope: three fifths of it, and nothing else."""
    first = follower.children[0]
    name = isinstance(first, Token) and first.type == "NAME"
    return name and _bare_number(run.factors[-1][0]) and _bare_number(divisor[0])


def _lift_unit(expr: Mul | Div) -> Mul | Div:
    """Give a force or moment unit behind the last number of a product to the whole of it."""
    parts = expr.factors if isinstance(expr, Mul) else (expr.top, expr.bottom)
    last = parts[-1]
    if not (isinstance(last, Num) and last.unit and last.unit.kind in ("force", "moment")):
        return expr
    if any(_has_unit(part) for part in parts[:-1]):
        return expr
    bare = replace(last, unit=None, span=(last.span[0], last.span[0] + len(last.text)))
    if isinstance(expr, Mul):
        return replace(expr, factors=(*expr.factors[:-1], bare), unit=last.unit)
    return replace(expr, bottom=bare, unit=last.unit)


def _has_unit(expr: Expr) -> bool:
    match expr:
        case Num() | Name():
            return expr.unit is not None and expr.unit.kind != "angle"
        case Mul():
            return expr.unit is not None or any(map(_has_unit, expr.factors))
        case Div():
            return expr.unit is not None or _has_unit(expr.top) or _has_unit(expr.bottom)
        case Add():
            return any(_has_unit(term) for _, term in expr.terms)
        case Neg():
            return _has_unit(expr.inner)
        case _:
            return False
