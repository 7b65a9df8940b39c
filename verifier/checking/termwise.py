"""Two sums of numbers said to be equal, term by term: which one went wrong from side to side."""

from collections.abc import Mapping

from verifier.checking.derived import same
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import say, tidy
from verifier.checking.faults.sign import signed_span
from verifier.checking.figure import Figure
from verifier.checking.forms import Form, Term
from verifier.checking.ledger import Found, half_width
from verifier.checking.matching import agrees
from verifier.checking.quantity import EXACT_ONE
from verifier.notation.tree import Name, Num, walk


def odd_term(left: Form, right: Form, text: str, key: str, figure: Figure) -> Explanation | None:
    """Return the one term of `12·6 + 8·3 = 72 + 42` that is not the one before, None for more."""
    if any(t.variable for t in (*left.terms, *right.terms)):
        return None
    odd = _odd_pair(left, right)
    return None if odd is None else _told(*odd, text, key, figure)


def put_in(left: Form, right: Form, values: Mapping[str, Found], text: str) -> Explanation | None:
    """Return the value that was put in for another: the 21 of `5 A − 36 = 21·5 − 36` for 12."""
    terms = []
    for term in left.terms:
        if term.variable and term.variable not in values:
            return None
        value = values[term.variable].quantity if term.variable else EXACT_ONE
        terms.append(term._replace(coefficient=term.coefficient.times(value)))
    odd = None if right.coefficients else _odd_pair(Form(tuple(terms)), right)
    name = odd[0].name if odd is not None else None
    if odd is None or name is None:
        return None
    before, after = odd
    size = values[before.variable].quantity.centre
    ratio = after.coefficient.centre / before.coefficient.centre
    for factor in after.factors:
        put, wanted = abs(factor.quantity.centre), tidy(abs(size))
        if factor.power > 0 and same(put, abs(size * ratio), 6e-3) and ratio > 0:
            have = text[slice(*factor.expr.span)].strip("() ")
            message = f"{name.text} is {wanted}, not {have}."
            key = f"copied {before.variable} {have}"
            return Explanation("magnitude", after.span, wanted, message, 0.95, key=key)
    return None


def _odd_pair(left: Form, right: Form) -> tuple[Term, Term] | None:
    """Return the one term of two sums that is not the other's, None where there are more."""
    before, after = list(left.terms), list(right.terms)
    if len(before) != len(after) or len(after) < 2:
        return None
    for term in list(after):
        match = next((b for b in before if agrees(term, b.coefficient.centre)), None)
        if match is not None:
            before.remove(match)
            after.remove(term)
    alone = len(after) == 1 and after[0].span[0] < after[0].span[1]
    return (before[0], after[0]) if alone and before[0].coefficient.centre else None


def rounds_each(left: Form, right: Form) -> bool:
    """Tell whether each term of a sum is the one before rounded: `0.8 − 0.0533 = 0.8 − 0.053`."""
    pairs = list(zip(left.terms, right.terms, strict=False))
    if len(left.terms) != len(right.terms) or len(pairs) < 2:
        return False
    return all(_rounds(before, after) for before, after in pairs)


def _rounds(before: Term, after: Term) -> bool:
    wanted, have = before.coefficient.centre, after.coefficient.centre
    above = (f.expr for f in after.factors if f.power > 0)  # what all is divided by stays
    numbers = [expr for expr in above if isinstance(expr, Num) and expr.value]
    if before.variable or after.variable or len(numbers) != 1:
        return False
    step = half_width(numbers[0]) * abs(have / numbers[0].value)
    return abs(wanted - have) <= step + before.coefficient.radius + 1e-9 * abs(wanted)


def _told(before: Term, after: Term, text: str, key: str, figure: Figure) -> Explanation:
    wanted, have = before.coefficient.centre, after.coefficient.centre
    said, was = text[slice(*after.span)], text[slice(*before.span)].strip()
    if same(have, -wanted):
        span = signed_span(text, after.span)
        sign = "+" if text[span[0] : span[0] + 1] in ("-", "−", "–") else "−"
        message = f"«{said}» has the other sign on the side before."
        return Explanation("sign", span, f"{sign} {said}", message, 1.0, key=key)
    lettered = any(isinstance(node, Name) for f in before.factors for node in walk(f.expr))
    right = say(figure, abs(wanted)) if lettered else tidy(abs(wanted))
    message = f"{was} comes to {right}, not {said}."
    if not was:  # it stands in the line above
        message = f"The product above comes to {right}, not {said}."
    return Explanation("arithmetic", after.span, right, message, 1.0, key=key)
