"""Lines that should follow from lines above, and what went wrong where they do not."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from verifier.checking.faults import Explanation
from verifier.checking.faults.base import tidy
from verifier.checking.faults.sign import signed_span
from verifier.checking.figure import Figure
from verifier.checking.forms import Form, Term
from verifier.checking.ledger import Ledger, half_width
from verifier.checking.names import Known, Meaning, key_of
from verifier.checking.quantity import Quantity
from verifier.notation.tree import Expr, Func, Name, Neg, Num, Relation, Span, walk

_NEAR = 2e-3
_LESS_THAN_ONE = 0.99
INVERSES = ("asin", "acos", "atan")


def bare_number(expr: Expr) -> Expr:
    """Return what stands inside minus signs."""
    while isinstance(expr, Neg):
        expr = expr.inner
    return expr


def loosest(expr: Expr) -> float:
    """Return how far a written number may be off that is cut or rounded the wrong way.

    That is less than one unit of its last place; half of one where it has a single figure.
    """
    number = bare_number(expr)
    if not isinstance(number, Num):
        return 0.0
    figures = sum(ch.isdigit() for ch in number.text.lstrip("0.,"))
    return (_LESS_THAN_ONE if figures > 1 else 0.5) * 2 * half_width(number)


def unit_slip(expr: Expr, have: Quantity, wanted: Quantity) -> Span | None:
    """Return the place of a written unit that makes a right number wrong, or None."""
    number = bare_number(expr)
    if not isinstance(number, Num):
        return None
    unit = number.unit
    if unit is None or not have.centre or not wanted.centre:
        return None
    right = same(abs(number.value), abs(wanted.centre), 5e-3)
    return unit.span if right and not same(abs(have.centre), abs(wanted.centre), 5e-3) else None


def same(a: float, b: float, slack: float = _NEAR) -> bool:
    """Tell whether two numbers agree within a relative slack."""
    return abs(a - b) <= slack * max(abs(a), abs(b), 1e-12)


def _put_in(form: Form, keep: set[str], ledger: Ledger) -> list[tuple[Term, float]] | None:
    """Return a form's terms with the forces outside `keep` at the working's values."""
    plain = []
    for term in form.terms:
        amount = term.coefficient.centre
        if term.variable and term.variable not in keep:
            found = ledger.values.get(term.variable)
            if found is None:
                return None
            plain.append((replace(term, variable=""), amount * found.quantity.centre))
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
) -> Explanation | None:
    """Return how a line went wrong that should follow from an equation above, or None."""
    best: Explanation | None = None
    for ratio, plain in _priors(form, forms[-12:], ledger):
        mine = [t for t in form.terms if t.coefficient.centre]
        rest = [(t, a * ratio) for t, a in plain if a]
        found = _compare(mine, rest, text, relation, index, ratio)
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
) -> Explanation | None:
    left, rest = list(mine), list(theirs)
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
        return _one_changed(left[0], rest[0][1], text, ratio)
    if not left and len(rest) == 1 and rest[0][1]:
        return _lost(rest[0], relation, index)
    if len(left) == 1 and len(rest) > 1 and not any(t.variable for t, _ in rest):
        return _gathered(left[0], [amount for _, amount in rest], text, ratio)
    ratios = {
        round(t.coefficient.centre / r[1], 6) for t, r in zip(left, rest, strict=False) if r[1]
    }
    if len(left) == len(rest) > 1 and len(ratios) == 1:
        span = (left[0].span[0], left[-1].span[1])
        return _algebra(
            span,
            "the same equation",
            "The whole of one side is off by one factor "
            f"of {tidy(ratios.pop())}: what divides one side divides the other.",
            0.9,
        )
    return None


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


def _algebra(span: Span, expected: str, message: str, cost: float = 0.9) -> Explanation:
    return Explanation("algebra", span, expected, message, cost, key=f"algebra {message}")


def _one_changed(term: Term, wanted: float, text: str, ratio: float) -> Explanation | None:
    have = term.coefficient.centre
    written = text[term.span[0] : term.span[1]]
    if not have:
        return None
    if term.variable and not same(have, -wanted):
        return None
    if same(have, -wanted):
        span = signed_span(text, term.span)
        sign = "+" if text[span[0]] in "-−–" else "−"
        return _algebra(
            span,
            f"{sign} {written}",
            f"«{written}» changes sides, so it changes its sign.",
        )
    if not same(abs(ratio), 1.0) and any(
        same(abs(have / wanted), abs(ratio) ** power) for power in (-2, -1, 1, 2)
    ):
        return _algebra(
            term.span,
            tidy(abs(wanted)),
            f"The unknown's coefficient goes the other way: this should come to "
            f"{tidy(abs(wanted))}.",
        )
    factors = [f for f in term.factors if f.quantity.centre]
    for factor in factors:
        if same(abs(have / wanted), factor.quantity.centre**2) or same(
            abs(wanted / have), factor.quantity.centre**2
        ):
            number = text[factor.expr.span[0] : factor.expr.span[1]]
            return _algebra(
                term.span,
                tidy(abs(wanted)),
                f"{number} divides here where it should multiply, or the other way round.",
            )
    if len(factors) == 1:
        return Explanation(
            "magnitude",
            term.span,
            tidy(abs(wanted)),
            f"The equation above has {tidy(abs(wanted))} here, not {written}.",
            0.95,
            key=f"copied {written}",
        )
    for factor in factors:
        if factor.power > 0:
            new = factor.quantity.centre * abs(wanted / have)
            return Explanation(
                "magnitude",
                term.span,
                f"{written} with {tidy(new)}",
                f"This term should come to {tidy(abs(wanted))} by the equation above.",
                1.3,
                key=f"copied {written}",
            )
    return None


def _lost(rest: tuple[Term, float], relation: Relation, index: int) -> Explanation:
    span = (relation.sides[index].span[0], relation.sides[index + 1].span[1])
    return _algebra(
        span, tidy(abs(rest[1])), f"A term of {tidy(abs(rest[1]))} of the equation above is lost."
    )


def _gathered(term: Term, amounts: list[float], text: str, ratio: float) -> Explanation | None:
    have, written = term.coefficient.centre, text[term.span[0] : term.span[1]]
    for flipped in amounts:
        if same(have, sum(amounts) - 2 * flipped):
            return _algebra(
                term.span,
                tidy(abs(sum(amounts))),
                f"One of the terms ({tidy(abs(flipped))}) went in with the wrong sign.",
            )
    total = sum(amounts)
    if total and not same(abs(ratio), 1.0):
        for power in (-2, -1, 1, 2):
            if same(abs(have / total), abs(ratio) ** power, 0.01):
                return _algebra(
                    term.span,
                    tidy(abs(total)),
                    "The unknown's coefficient goes the other way: it should divide where it "
                    f"multiplies, or multiply where it divides; this should come to "
                    f"{tidy(abs(total))}.",
                )
    if same(have, -total):
        return _algebra(term.span, tidy(sum(amounts)), "The sign changes on the other side.")
    return Explanation(
        "arithmetic",
        term.span,
        tidy(abs(sum(amounts))),
        f"The terms above come to {tidy(abs(sum(amounts)))}, not {written}.",
        0.98,
        key=f"gathered {written}",
    )


def rounded(span: Span, known: Quantity, written: str) -> Explanation:
    """Return the remark on a result that is off by its last place."""
    return Explanation(
        "rounding",
        span,
        tidy(known.centre),
        f"The equation above gives {known.centre:.6g}; {written} is that, rounded loosely.",
        1.0,
        key=f"rounding {span} {written}",
    )


def wrong_result(
    variable: str,
    name: str,
    claim: Quantity,
    known: Quantity | None,
    truth: float | None,
    forms: Sequence[tuple[int, Form]],
    span: Span,
    written: str,
    unit: Span | None = None,
) -> Explanation:
    """Return why a stated value is wrong: by the equations above, or by the solution alone."""
    wanted = known.centre if known is not None else truth
    if wanted is None:
        return Explanation(
            "arithmetic", span, "another value", f"{name} does not come to {written}.", 1.5
        )
    key = f"result {variable}"
    if unit is not None:
        message = f"{name} is {tidy(wanted)} in the sheet's units; the unit written is another."
        return Explanation("unit", unit, tidy(wanted), message, 0.9, key=key)
    if known is None:
        kind = "sense" if same(claim.centre, -wanted) else "arithmetic"
        message = f"Equilibrium gives {name} = {tidy(wanted)}, not {written}."
        cost = 1.4 if kind == "sense" else 2.0
        return Explanation(kind, span, tidy(wanted), message, cost, key=key)
    if abs(wanted) > 1e-12 and same(claim.centre, -wanted, 0.01):
        message = f"The sign of {name} is lost: the equation above gives {tidy(wanted)}."
        return Explanation("algebra", span, tidy(wanted), message, 1.0, key=key)
    for _, form in reversed(forms):
        slip = _rearranged(variable, claim, form)
        if slip:
            message = f"The equation above gives {name} = {tidy(wanted)}: {slip}."
            return Explanation("algebra", span, tidy(wanted), message, 1.0, key=key)
    message = f"The equation above gives {name} = {tidy(wanted)}, not {written}."
    return Explanation("arithmetic", span, tidy(wanted), message, 1.0, key=key)


def _rearranged(variable: str, claim: Quantity, form: Form) -> str:
    coefficients = {n: q.centre for n, q in form.coefficients.items() if q.centre}
    if set(coefficients) != {variable}:
        return ""
    lead = coefficients[variable]
    plain = [t.coefficient.centre for t in form.terms if not t.variable and t.coefficient.centre]
    total = -sum(plain)
    if not total:
        return ""
    if not same(abs(lead), 1.0, 1e-9):
        if same(claim.centre, total * lead):
            return f"{tidy(abs(lead))} should divide, not multiply"
        if same(abs(claim.centre), abs(total)):
            return f"the division by {tidy(abs(lead))} is left out"
        if same(claim.centre, lead / total):
            return "the fraction is upside down"
    for one in plain:
        if len(plain) > 1 and same(claim.centre, (total + 2 * one) / lead):
            return f"the term {tidy(abs(one))} changed sides without changing its sign"
    return ""


def true_value(
    name: Name,
    known: Meaning,
    relation: Relation,
    value: Quantity,
    figure: Figure,
    distrust: dict[str, float],
    ledger: Ledger,
) -> float | None:
    """Return what the figure says a defined name is, or None where it says nothing."""
    if isinstance(known, Known):
        shown = [p for p in known.parts if abs(abs(value.centre) - p) <= value.radius + 1e-9 * p]
        return shown[0] if shown else known.quantity.centre
    side = relation.sides[1]
    if not (isinstance(side, Func) and side.name in INVERSES):
        return None
    if key_of(name) in distrust:
        return distrust[key_of(name)]
    degrees = abs(value.centre)
    if any(abs(d.value - degrees) <= max(0.06, value.radius) for d in figure.angles):
        return None
    numbers = [abs(node.value) for node in walk(side.arg) if isinstance(node, Num)]
    sizes = (1.0, *figure.structure.letters.values())
    lengths = [d.value / size for d in figure.lengths for size in sizes]
    forces = [abs(v) for v in figure.true.values() if v] + [d.value for d in figure.loads]
    if any(same(n, f, 5e-3) for n in numbers for f in forces if n not in (1.0, 2.0)):
        return None
    drawn = [n for n in numbers if any(same(n, length, 1e-6) for length in lengths)]
    own = [n for n in numbers if n not in drawn and n not in (1.0, 2.0)]
    if not drawn or any(ledger.has_found(n) for n in own) or any(map(ledger.has_own, numbers)):
        return None
    options = [a for a in figure.drawn_angles if 0 < a < 90]
    return min(options, key=lambda a: abs(a - degrees)) if options else None


def wrong_geometry(
    name: Name, known: Meaning, side: Expr, value: Quantity, truth: float, written: str
) -> Explanation:
    """Return the fault of a length, an angle or a given quantity that the figure contradicts."""
    kind = "geometry"
    words = f"{name.text} of the figure"
    if isinstance(known, Known):
        words = known.words
        kind = "magnitude" if known.kind in ("load", "letter") else "geometry"
    angle = not isinstance(known, Known) or known.kind == "angle"
    sign = "°" if angle else ""
    message = (
        f"{words} is {tidy(round(truth, 3))}{sign}; {written} comes to {tidy(value.centre)}{sign}."
    )
    if math.isclose(value.centre + truth, 90, abs_tol=0.1) and angle:
        message += " The two sides of the triangle are swapped."
    return Explanation(
        kind,
        side.span,
        f"{tidy(round(truth, 3))}{sign}",
        message[0].upper() + message[1:],
        1.0,
        key=f"{kind} {name.text}",
    )
