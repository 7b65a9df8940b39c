"""Loads, or their moments, summed up in a line of their own before they go into equilibrium."""

from dataclasses import dataclass, replace

from verifier.checking.derived import same
from verifier.checking.faults import Explanation
from verifier.checking.forms import Form
from verifier.checking.pairing import Diagnosis
from verifier.checking.sums import Expected
from verifier.checking.variants import TOGETHER, is_load
from verifier.notation.tree import Add, Expr, Mul, Name, Num, Relation, walk

_SAME = 1e-6
_IN_ALL = " in all, not "


@dataclass(frozen=True)
class Tally:
    """A sum of numbers and what it comes to: the line, the side, its value."""

    line: int
    side: Expr
    value: float


def tallies_of(relation: Relation, line: int) -> list[Tally]:
    """Return the sums of numbers in a relation that the side behind them gives in one number."""
    found = []
    for side, then in zip(relation.sides, relation.sides[1:], strict=False):
        named = any(isinstance(node, Name) for node in walk(side))
        if isinstance(side, Add) and isinstance(then, Num) and then.value and not named:
            found.append(Tally(line, side, abs(then.value)))
    return found


def products_of(relation: Relation, line: int) -> list[Tally]:
    """Return the products in a relation that the side behind them gives in one number."""
    pairs = zip(relation.sides, relation.sides[1:], strict=False)
    return [
        Tally(line, side, abs(then.value))
        for side, then in pairs
        if isinstance(side, Mul) and isinstance(then, Num) and then.value
    ]


def product_above(told: Explanation, form: Form, products: list[Tally], line: int) -> Tally | None:
    """Return the line above that works out the total of a spread load which a term has wrong."""
    if told.kind != "magnitude" or _IN_ALL not in told.message:
        return None
    sizes = [
        abs(factor.quantity.centre)
        for term in form.terms
        if term.span == told.span
        for factor in term.factors
    ]
    near = (p for p in reversed(products) if any(same(p.value, size, _SAME) for size in sizes))
    return next((p for p in near if p.line < line), None)


def tallied(best: Diagnosis, form: Form, tallies: list[Tally]) -> Tally | None:
    """Return the tally that gives the total of the loads which a line has wrong, None without."""
    told = best.explanations
    if len(told) != 1 or told[0].kind != "magnitude" or not of_all_loads(told[0]):
        return None
    sizes = [
        abs(factor.quantity.centre)
        for term in form.terms
        if not term.variable
        for factor in term.factors
    ]
    near = (t for t in reversed(tallies) if any(same(t.value, size, _SAME) for size in sizes))
    return next(near, None)


def of_all_loads(told: Explanation) -> bool:
    """Tell whether an explanation is about the total of the loads."""
    return told.message.lower().startswith(TOGETHER[0])


def loads_alone(expected: Expected) -> Expected:
    """Return the loads' part of a sum, against which a tally is held."""
    return replace(expected, contributions=tuple(filter(is_load, expected.contributions)))
