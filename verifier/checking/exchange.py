"""Two terms of a sum whose lever arms, components or angles are each other's."""

import math
from itertools import permutations

from verifier.checking.derived import same
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import length, tidy
from verifier.checking.figure import Figure
from verifier.checking.forms import Factor, Term
from verifier.checking.items import in_words
from verifier.checking.sums import Contribution, Expected
from verifier.notation.tree import Func, Name, Span

_NEAR = 3e-3
_COST = 1.05
_FEW = 2


def exchanged(
    terms: list[Term], ones: list[Contribution], expected: Expected, scale: float, text: str,
    figure: Figure,
) -> Explanation | None:  # fmt: skip
    """Return how two terms at odds have taken each other's share, None where they have not."""
    if len(terms) != _FEW or len(ones) != _FEW or terms[0].side != terms[1].side:
        return None
    for first, second in permutations(terms):
        if (first.variable, second.variable) != (ones[0].variable, ones[1].variable):
            continue
        sizes = [_size(one) for one in ones]
        shares = [
            abs(one.amount) / size if size else 0.0 for one, size in zip(ones, sizes, strict=True)
        ]
        if min(shares) < 1e-9 or abs(shares[0] - shares[1]) <= _NEAR * max(shares):
            continue
        right = zip((first, second), ones, sizes, reversed(shares), strict=True)
        if all(
            _is(term, scale * math.copysign(size * share, one.amount))
            for term, one, size, share in right
        ):
            return _told((first, second), ones, shares, expected, text, figure)
    return None


def _size(one: Contribution) -> float:
    """Return the size of a force, of a component alone where it is taken apart."""
    return math.hypot(*one.action.along) * abs(1.0 if one.variable else one.action.value or 0.0)


def _is(term: Term, amount: float) -> bool:
    slack = term.coefficient.radius + _NEAR * abs(amount)
    return abs(term.coefficient.centre - amount) <= slack


def _told(
    terms: tuple[Term, Term], ones: list[Contribution], shares: list[float], expected: Expected,
    text: str, figure: Figure,
) -> Explanation | None:  # fmt: skip
    span = min(t.span[0] for t in terms), max(t.span[1] for t in terms)
    if not expected.moment:
        turns = [_slope(term, expected) for term in terms]
        if None in turns:
            return None
        right = _turned(turns, text, span)
        names = [in_words(one.action) for one in ones]
        message = (
            f"The angles are exchanged: the share of {names[0]} in the {expected.axis.words} is "
            f"{tidy(shares[0])} and that of {names[1]} {tidy(shares[1])}."
        )
        return Explanation("angle", span, right, message, _COST, key=f"exchanged {names}")
    arms = [_arm(term, share) for term, share in zip(terms, reversed(shares), strict=True)]
    if None in arms:
        return None
    right = _turned(arms, text, span)
    said = [length(figure, share) for share in shares]
    if ones[0].action.item == ones[1].action.item:
        if any(isinstance(f.expr, Func) for term in terms for f in term.factors):
            return None  # sine for cosine, in either term
        if ones[0].variable:
            return _components(ones, said, span, right)
    point = expected.axis.words.removeprefix("moments about ")
    names = [in_words(one.action) for one in ones]
    loads = all(one.action.kind == "load" for one in ones) and names[0] != names[1]
    if loads and not all(_by_letter(t, one) for t, one in zip(terms, ones, strict=True)):
        first, second = names
        message = (
            f"The loads are exchanged: {first} acts {said[0]} from {point}, {second} {said[1]}."
        )
        return Explanation("magnitude", span, right, message, _COST, key=f"exchanged {names}")
    written = [text[slice(*term.span)] for term in terms]
    message = (
        f"The lever arms are exchanged: «{written[0]}» takes {said[0]} from {point} and "
        f"«{written[1]}» {said[1]}."
    )
    return Explanation("lever-arm", span, right, message, _COST, key=f"exchanged {written}")


def _by_letter(term: Term, one: Contribution) -> bool:
    """Tell whether a term names a load by its letter: what is exchanged is then the arms."""
    size = abs(one.action.value or 0.0)
    return any(isinstance(f.expr, Name) and same(f.quantity.centre, size) for f in term.factors)


def _components(ones: list[Contribution], arms: list[str], span: Span, right: str) -> Explanation:
    """Return that the two components of one force turn with each other's arms."""
    item = ones[0].action.item
    parts = sorted(zip(ones, arms, strict=True), key=lambda pair: abs(pair[0].action.along[1]))
    share = [tidy(math.hypot(*one.action.along)) for one, _ in parts]
    message = (
        f"The components of {item} are exchanged: along x it has {share[0]} of its size, with the "
        f"arm {parts[0][1]}, along y {share[1]}, with the arm {parts[1][1]}."
    )
    return Explanation("component", span, right, message, _COST, key=f"component {item}")


def _slope(term: Term, expected: Expected) -> Factor | None:
    """Return the cosine of a term in a sum along x, the sine of one in a sum along y."""
    across = abs(expected.axis.direction[0]) > abs(expected.axis.direction[1])
    wanted = "cos" if across else "sin"
    turns = (f for f in term.factors if isinstance(f.expr, Func) and f.expr.name == wanted)
    return next(turns, None)


def _arm(term: Term, length: float) -> Factor | None:
    """Return the factor of a term that is a length."""
    found = (f for f in reversed(term.factors) if same(abs(f.quantity.centre), length, _NEAR))
    return next(found, None)


def _turned(pair: list[Factor | None], text: str, span: Span) -> str:
    """Return the two terms as written with the two factors in each other's place."""
    places = sorted(factor.expr.span for factor in pair if factor is not None)
    if len(places) < _FEW:
        return text[slice(*span)]
    first, second = places
    if first[1] > second[0] or not span[0] <= first[0] <= second[1] <= span[1]:
        return text[slice(*span)]
    between = text[first[1] : second[0]]
    return (
        text[span[0] : first[0]] + text[slice(*second)] + between + text[slice(*first)]
        + text[second[1] : span[1]]
    )  # fmt: skip
