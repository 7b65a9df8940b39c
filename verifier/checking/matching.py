"""Which written term is which expected one: what agrees is struck, what is left is assigned."""

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

from verifier.checking.forms import Term
from verifier.checking.items import in_words
from verifier.checking.sums import Contribution

LEFT_OUT = 1.5
"""What a term, or a contribution, costs that stays without a partner."""
_MOST_SPLIT, _FEW = 12, 6
_MOST_FACTORS = 6
_MOST_PAIRS = 20


def _kin(term: Term, one: Contribution, most: int = _MOST_FACTORS) -> bool:
    """Tell whether a term names the very size of a known force, or is that force's variable.

    Its size may be a product of up to `most` factors of the term.
    """
    if one.variable:
        return term.variable == one.variable
    size = abs(one.action.value or 0.0)
    sizes = [abs(f.effect.centre) for f in term.factors if f.quantity.centre][:_MOST_FACTORS]
    return any(
        abs(math.prod(part) - size) <= 1e-3 * size
        for count in range(1, min(len(sizes), most) + 1)
        for part in combinations(sizes, count)
    )


def _found(one: Contribution) -> float:
    """Return how far a value of the working may be off where it is put in rounded."""
    return 5e-4 if one.variable or one.action.kind in ("load", "couple") else 5e-3


def agrees(term: Term, amount: float, slack: float = 5e-4) -> bool:
    """Tell whether a term comes to an amount, within its rounding."""
    if term.variable and term.coefficient.radius:
        slack = max(slack, 3e-3)  # a rounded angle moves its sine that much
    off = abs(term.coefficient.centre - amount)
    return off <= slack * abs(amount) + term.coefficient.radius or term.coefficient.holds(amount)


def strike_equal(
    terms: list[Term], ones: list[Contribution], scale: float
) -> tuple[list[Term], list[Contribution]]:
    """Take out what agrees: term for contribution, then one for the sum of two of the other."""
    terms, ones = list(terms), list(ones)
    if not terms or not ones:
        return terms, ones
    for most in (1, _MOST_FACTORS, 0):
        alike = False
        for term in list(terms):
            equal = [one for one in ones if agrees(term, scale * one.amount, _found(one))]
            if not equal:
                continue
            alike = True
            match = [one for one in equal if _kin(term, one, most or _MOST_FACTORS)]
            if not match and not most and not any(_kin(term, one) for one in ones):
                match = equal
            if match:
                terms.remove(term)
                ones.remove(match[0])
        if not alike:
            break
    if max(len(terms), len(ones)) > _MOST_SPLIT:
        return terms, ones
    if _one_each(terms, ones):
        return terms, ones
    terms, ones = _by_parts(terms, ones, scale, named=True)
    for term in list(terms):
        for some in _sums_of(ones):
            if agrees(term, scale * sum(one.amount for one in some)):
                terms.remove(term)
                ones = [one for one in ones if not any(one is each for each in some)]
                break
    terms, ones = _by_parts(terms, ones, scale)
    return terms, _twins_against(terms, ones, scale)


def _one_each(terms: list[Term], ones: list[Contribution]) -> bool:
    """Tell whether there is a term for each of several loads of one size, all with that size.

    Two of them with half the arm, `2P·2a + 2P·2a`, are not one of them with all of it.
    """
    loads = not any(one.variable for one in ones)
    kin = loads and all(_kin(term, one) for term in terms for one in ones)
    return kin and len(terms) == len(ones) > 1


def _by_parts(
    terms: list[Term], ones: list[Contribution], scale: float, named: bool = False
) -> tuple[list[Term], list[Contribution]]:
    """Take out contributions that two terms come to together; only such as name it where asked.

    `F sin 70° · 1.5 − F cos 70° · 2` is F by its parts before one of them may be chance.
    """
    for one in list(ones):
        for first, second in combinations(terms, 2):
            both = first.coefficient.plus(second.coefficient)
            kin = not named or (_kin(first, one) and _kin(second, one))
            if both.holds(scale * one.amount) and kin:
                ones.remove(one)
                terms = [t for t in terms if t is not first and t is not second]
                break
    return terms, ones


def _sums_of(ones: list[Contribution]) -> Iterator[tuple[Contribution, ...]]:
    """Yield two and more contributions that one number may stand for: those that act alike."""
    most = len(ones) if len(ones) <= _FEW and not any(one.variable for one in ones) else 2
    for count in range(2, most + 1):
        for some in combinations(ones, count):
            if all(one.amount * some[0].amount > 0 for one in some):
                yield some


def _twins_against(terms: list[Term], ones: list[Contribution], scale: float) -> list[Contribution]:
    """Join two equal contributions that one term holds with the other sign: 2 S for −2 S."""
    for term in terms if len(ones) > len(terms) else ():
        for a, b in combinations(ones, 2):
            both = a.amount + b.amount
            if abs(a.amount - b.amount) <= 5e-4 * abs(a.amount) and agrees(term, -scale * both):
                names = (in_words(one.action) for one in (a, b))
                action = replace(a.action, label=" + ".join(names))
                left = [one for one in ones if one is not a and one is not b]
                return [*left, Contribution(action, a.variable, both)]
    return ones


def assign(
    rows: int, columns: int, costs: dict[tuple[int, int], float]
) -> tuple[float, list[tuple[int, int]]]:
    """Return the cheapest pairing; what stays alone costs a fixed amount each."""
    if rows * columns > _MOST_PAIRS:
        return _assign_greedily(rows, columns, costs)
    best: tuple[float, list[tuple[int, int]]] = ((rows + columns) * LEFT_OUT, [])

    def go(row: int, free: tuple[int, ...], cost: float, chosen: list[tuple[int, int]]) -> None:
        nonlocal best
        if cost >= best[0]:
            return
        if row == rows:
            total = cost + len(free) * LEFT_OUT
            if total < best[0]:
                best = (total, list(chosen))
            return
        for column in free:
            price = costs.get((row, column))
            if price is not None:
                rest = tuple(c for c in free if c != column)
                go(row + 1, rest, cost + price, [*chosen, (row, column)])
        go(row + 1, free, cost + LEFT_OUT, chosen)

    go(0, tuple(range(columns)), 0.0, [])
    return best


def _assign_greedily(
    rows: int, columns: int, costs: dict[tuple[int, int], float]
) -> tuple[float, list[tuple[int, int]]]:
    """Pair the cheapest first: where many terms are at odds, the best pairing says no more."""
    chosen: list[tuple[int, int]] = []
    total = (rows + columns) * LEFT_OUT
    for (row, column), price in sorted(costs.items(), key=lambda item: item[1]):
        free = all(row != r and column != c for r, c in chosen)
        if free and price < 2 * LEFT_OUT:
            chosen.append((row, column))
            total += price - 2 * LEFT_OUT
    return total, chosen
