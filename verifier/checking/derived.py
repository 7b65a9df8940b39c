"""Lines that should follow from lines above, and what went wrong where they do not."""

import math
from collections.abc import Callable, Iterator, Sequence
from functools import partial

from verifier.checking.faults import Explanation
from verifier.checking.faults.base import say
from verifier.checking.faults.sign import signed_span
from verifier.checking.figure import Figure
from verifier.checking.forms import Form, Term
from verifier.checking.ledger import Ledger, half_width
from verifier.checking.quantity import Quantity
from verifier.notation.tree import (
    Add,
    Div,
    Expr,
    Func,
    Mul,
    Name,
    Neg,
    Num,
    Relation,
    Span,
    Unit,
    walk,
)

_NEAR = 2e-3
_LESS_THAN_ONE = 0.99
INVERSES = ("asin", "acos", "atan")
Words = Callable[[float], str]
"""How a number is told: in figures, or on a figure with letters in its letters."""


def bare_number(expr: Expr) -> Expr:
    """Return what stands inside minus signs."""
    while isinstance(expr, Neg):
        expr = expr.inner
    return expr


def bare_unit(side: Expr) -> Unit | None:
    """Return the first unit written in an expression, None where it has none."""
    return next((u for node in walk(side) if (u := getattr(node, "unit", None)) is not None), None)


def is_angle(side: Expr) -> bool:
    """Tell whether an expression is an angle worked out: an inverse function, or half of one."""
    match side:
        case Func():
            return side.name in INVERSES
        case Neg():
            return is_angle(side.inner)
        case Div():
            return is_angle(side.top)
        case Mul():
            return any(map(is_angle, side.factors))
        case Add():
            return any(is_angle(term) for _, term in side.terms)
    return False


def loosest(expr: Expr, size: Callable[[Unit | None], float]) -> float:
    """Return how far a written number may be off that is cut or rounded the wrong way.

    That is less than one unit of its last place; half of one where it has a single figure. `size`
    is what a written unit is worth in the sheet's.
    """
    number = bare_number(expr)
    if not isinstance(number, Num):
        return 0.0
    figures = number.digits
    return (_LESS_THAN_ONE if figures > 1 else 0.5) * 2 * half_width(number) * size(number.unit)


def unit_slip(expr: Expr, have: Quantity, wanted: Quantity) -> Span | None:
    """Return the place of a written unit that makes a right number wrong, or None."""
    number = bare_number(expr)
    match number:
        case Num():
            value = number.value
        case Div(top=Num() as top, bottom=Num() as bottom):  # 70/3 lb
            value = top.value / bottom.value if bottom.value else 0.0
        case _:
            return None
    unit = number.unit
    if unit is None or not have.centre or not wanted.centre:
        return None
    right = any(
        same(abs(size), abs(wanted.centre), 5e-3)
        for size in (value, 1000 * have.centre, have.centre / 1000)
    )
    return unit.span if right and not same(abs(have.centre), abs(wanted.centre), 5e-3) else None


def wrong_way(first: Expr, second: Expr, left: Quantity, right: Quantity) -> Span | None:
    """Return the place of a number turned into another unit the wrong way or by a wrong ten."""
    units = [getattr(bare_number(side), "unit", None) for side in (first, second)]
    if units[0] is None or units[1] is None or units[0].dims != units[1].dims:
        return None
    step = units[0].factor / units[1].factor
    if same(step, 1.0, 1e-9) or not left.centre or not right.centre:
        return None
    off = math.log10(abs(left.centre / right.centre))
    turned = abs(abs(off) - 2 * abs(math.log10(step))) < _NEAR
    tens = all(abs(one - round(one)) < _NEAR for one in (off, math.log10(step)))
    return second.span if turned or tens else None


def same(a: float, b: float, slack: float = _NEAR) -> bool:
    """Tell whether two numbers agree within a relative slack."""
    return abs(a - b) <= slack * max(abs(a), abs(b), 1e-12)


def whole_factor(have: float, wanted: float) -> bool:
    """Tell whether two numbers differ by a small whole factor: a 2 lost or doubled."""
    ratio = abs(have / wanted) if wanted else 0.0
    larger = max(ratio, 1 / ratio) if ratio else 0.0
    return 1.5 < larger < 8.5 and same(larger, round(larger), 1e-6)


def _put_in(form: Form, keep: set[str], ledger: Ledger) -> list[tuple[Term, float]] | None:
    """Return a form's terms with the forces outside `keep` at the working's values."""
    plain = []
    for term in form.terms:
        amount = term.coefficient.centre
        if term.variable and term.variable not in keep:
            found = ledger.values.get(term.variable)
            if found is None:
                return None
            plain.append((term._replace(variable=""), amount * found.quantity.centre))
        else:
            plain.append((term, amount))
    return plain


def _priors(
    form: Form, forms: Sequence[tuple[int, Form]], ledger: Ledger
) -> Iterator[tuple[float, list[tuple[Term, float]]]]:
    """Yield earlier equations in the same forces: (a coefficient's ratio, their terms)."""
    mine = {n: q.centre for n, q in form.coefficients.items() if q.centre}
    for _, prior in reversed(forms):
        theirs = {n: q.centre for n, q in prior.coefficients.items() if q.centre}
        if not mine or not set(mine) <= set(theirs):
            continue
        plain = _put_in(prior, set(mine), ledger)
        if plain is None:
            continue
        for ratio in dict.fromkeys(mine[name] / theirs[name] for name in mine):
            yield ratio, plain


def explain(
    form: Form,
    relation: Relation,
    index: int,
    forms: Sequence[tuple[int, Form]],
    ledger: Ledger,
    text: str,
    figure: Figure,
) -> Explanation | None:
    """Return how a line went wrong that should follow from an equation above, or None."""
    words = partial(say, figure)
    best: Explanation | None = None
    for ratio, plain in _priors(form, forms[-12:], ledger):
        mine = [t for t in form.terms if t.coefficient.centre]
        rest = [(t, a * ratio) for t, a in plain if a]
        found = _compare(mine, rest, text, relation, index, ratio, words)
        if found is not None and (best is None or found.cost < best.cost):
            best = found
    return best


def _compare(
    mine: list[Term],
    theirs: list[tuple[Term, float]],
    text: str,
    relation: Relation,
    index: int,
    ratio: float,
    words: Words,
) -> Explanation | None:
    left, rest = list(mine), _collected(mine, theirs)
    for term in mine:
        match = next(
            (
                r
                for r in rest
                if r[0].variable == term.variable and same(r[1], term.coefficient.centre, 6e-4)
            ),
            None,
        )
        if match is not None:
            left.remove(term)
            rest.remove(match)
    left, rest = _strike_sums(left, rest)
    if len(left) == 1 and len(rest) == 1 and left[0].variable == rest[0][0].variable:
        sides = relation.sides[index : index + 2]
        against_zero = any(isinstance(side, Num) and not side.value for side in sides)
        return _one_changed(left[0], rest[0], text, ratio, words, against_zero)
    if not left and len(rest) == 1 and rest[0][1]:
        return _lost(rest[0], relation, index, words)
    if len(left) == 1 and len(rest) > 1 and not any(t.variable for t, _ in rest):
        return _gathered(left[0], rest, text, ratio, words)
    ratios = {
        round(t.coefficient.centre / r[1], 6) for t, r in zip(left, rest, strict=False) if r[1]
    }
    if len(left) == len(rest) > 1 and len(ratios) == 1:
        span = (left[0].span[0], left[-1].span[1])
        return algebra(
            span,
            "the same equation",
            "The whole of one side is off by one factor "
            f"of {words(ratios.pop())}: what divides one side divides the other.",
            0.9,
        )
    return None


def _collected(mine: list[Term], theirs: list[tuple[Term, float]]) -> list[tuple[Term, float]]:
    """Collect the terms of a force that has one term in the line and several above."""
    rest = list(theirs)
    for term in mine:
        same_force = [r for r in rest if term.variable and r[0].variable == term.variable]
        if len(same_force) > 1 and sum(t.variable == term.variable for t in mine) == 1:
            first = same_force[0]
            rest = [r for r in rest if r not in same_force]
            rest.append((first[0], sum(amount for _, amount in same_force)))
    return rest


def _strike_sums(
    left: list[Term], rest: list[tuple[Term, float]]
) -> tuple[list[Term], list[tuple[Term, float]]]:
    """Take out a number that gathers several numbers of the equation above."""
    plain = [r for r in rest if not r[0].variable]
    total = sum(amount for _, amount in plain)
    for term in left:
        if not term.variable and len(plain) > 1 and same(term.coefficient.centre, total):
            return [t for t in left if t is not term], [r for r in rest if r[0].variable]
    return left, rest


def algebra(span: Span, expected: str, message: str, cost: float = 0.9) -> Explanation:
    """Return a slip in rearranging."""
    return Explanation("algebra", span, expected, message, cost, key=f"algebra {message}")


def _one_changed(
    term: Term,
    other: tuple[Term, float],
    text: str,
    ratio: float,
    words: Words,
    against_zero: bool,
) -> Explanation | None:
    wanted = other[1]
    have = term.coefficient.centre
    written = text[term.span[0] : term.span[1]]
    if not have:
        return None
    if term.variable and not same(have, -wanted):
        return _share_changed(term, wanted, words)
    if same(have, -wanted):
        span = signed_span(text, term.span)
        sign = "+" if text[span[0]] in "-−–" else "−"
        if against_zero:  # it stays on its side: put in with the wrong sign, or copied so
            message = f"By the equation above «{written}» takes {sign} here."
            key = f"sign above {written}"
            return Explanation("sign", span, f"{sign} {written}", message, 0.9, key=key)
        return algebra(
            span,
            f"{sign} {written}",
            f"«{written}» changes sides, so it changes its sign.",
        )
    if not same(abs(ratio), 1.0) and any(
        same(abs(have / wanted), abs(ratio) ** power) for power in (-2, -1, 1, 2)
    ):
        return algebra(
            term.span,
            words(abs(wanted)),
            f"The unknown's coefficient goes the other way: this should come to "
            f"{words(abs(wanted))}.",
        )
    factors = [f for f in term.factors if f.quantity.centre]
    for factor in factors:
        if same(abs(have / wanted), factor.quantity.centre**2) or same(
            abs(wanted / have), factor.quantity.centre**2
        ):
            number = text[factor.expr.span[0] : factor.expr.span[1]]
            return algebra(
                term.span,
                words(abs(wanted)),
                f"{number} divides here where it should multiply, or the other way round.",
            )
    letters = any(isinstance(f.expr, Name) for f in factors)
    if letters and whole_factor(have, wanted):
        message = f"By the equation above this term comes to {words(abs(wanted))}, not {written}."
        return algebra(term.span, words(abs(wanted)), message)
    if len(factors) == 1 and len([f for f in other[0].factors if f.quantity.centre]) > 1:
        return Explanation(
            "arithmetic",
            term.span,
            words(abs(wanted)),
            f"The product above comes to {words(abs(wanted))}, not {written}.",
            0.95,
            key=f"worked out {written}",
        )
    alone = factors[0].expr if len(factors) == 1 else term.name
    place = unit_slip(alone, term.coefficient, Quantity(wanted)) if alone is not None else None
    if place is not None:
        message = (
            f"The equation above gives {words(abs(wanted))} in the units used so far; with its "
            f"unit, {written} is another size."
        )
        key = f"unit above {written}"
        return Explanation("unit", place, words(abs(wanted)), message, 0.9, key=key)
    if len(factors) == 1:
        return Explanation(
            "magnitude",
            term.span,
            words(abs(wanted)),
            f"The equation above has {words(abs(wanted))} here, not {written}.",
            0.95,
            key=f"copied {written}",
        )
    for factor in factors:
        if factor.power > 0:
            new = factor.quantity.centre * abs(wanted / have)
            return Explanation(
                "magnitude",
                term.span,
                f"{written} with {words(new)}",
                f"This term should come to {words(abs(wanted))} by the equation above.",
                1.3,
                key=f"copied {written}",
            )
    return None


def _share_changed(term: Term, wanted: float, words: Words) -> Explanation | None:
    """Explain the share of one force in another that a rearrangement gives upside down."""
    have = term.coefficient.centre
    if not same(have * wanted, 1.0, 5e-3) or same(abs(have), 1.0):
        return None
    message = f"The equation above gives {words(abs(wanted))} here: the fraction is upside down."
    name = f" {term.name.text}" if term.name is not None else ""
    return algebra(term.span, f"{words(abs(wanted))}{name}", message)


def _lost(rest: tuple[Term, float], relation: Relation, index: int, words: Words) -> Explanation:
    span = (relation.sides[index].span[0], relation.sides[index + 1].span[1])
    return algebra(
        span, words(abs(rest[1])), f"A term of {words(abs(rest[1]))} of the equation above is lost."
    )


def _gathered(
    term: Term, rest: list[tuple[Term, float]], text: str, ratio: float, words: Words
) -> Explanation | None:
    have, written = term.coefficient.centre, text[term.span[0] : term.span[1]]
    amounts = [amount for _, amount in rest]
    for flipped in amounts:
        if same(have, sum(amounts) - 2 * flipped):
            return algebra(
                term.span,
                words(abs(sum(amounts))),
                f"The term of {words(abs(flipped / ratio))} in the equation above went in with the "
                "wrong sign.",
            )
    total = sum(amounts)
    if total and not same(abs(ratio), 1.0):
        for power in (-2, -1, 1, 2):
            if same(abs(have / total), abs(ratio) ** power, 0.01):
                return algebra(
                    term.span,
                    words(abs(total)),
                    "The unknown's coefficient goes the other way: it should divide where it "
                    f"multiplies, or multiply where it divides; this should come to "
                    f"{words(abs(total))}.",
                )
    for factor in term.factors if total and not same(abs(ratio), 1.0) else ():
        whole = abs(have) * factor.quantity.centre
        if factor.power < 0 and same(whole, abs(total / ratio)):
            number = text[factor.expr.span[0] : factor.expr.span[1]]
            message = (
                f"The equation above divides by {words(abs(1 / ratio))}, the unknown's "
                f"coefficient, not by {number}."
            )
            return algebra(factor.expr.span, words(abs(1 / ratio)), message)
    if same(have, -total):
        return algebra(
            term.span,
            words(sum(amounts)),
            "What is taken to the other side changes its sign.",
        )
    return Explanation(
        "arithmetic",
        term.span,
        words(abs(sum(amounts))),
        f"The terms above come to {words(abs(sum(amounts)))}, not {written}.",
        0.98,
        key=f"gathered {written}",
    )
