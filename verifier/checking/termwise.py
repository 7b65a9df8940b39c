"""Two sums of numbers said to be equal, term by term: which one went wrong from side to side."""

from verifier.checking.derived import same
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import tidy
from verifier.checking.faults.sign import signed_span
from verifier.checking.forms import Form, Term
from verifier.checking.ledger import half_width
from verifier.checking.matching import agrees
from verifier.notation.tree import Num


def odd_term(left: Form, right: Form, text: str, key: str) -> Explanation | None:
    """Return the one term of `12·6 + 8·3 = 72 + 42` that is not the one before, None for more."""
    before, after = list(left.terms), list(right.terms)
    if len(before) != len(after) or len(after) < 2 or any(t.variable for t in (*before, *after)):
        return None
    for term in list(after):
        match = next((b for b in before if agrees(term, b.coefficient.centre)), None)
        if match is not None:
            before.remove(match)
            after.remove(term)
    if len(after) != 1 or after[0].span[0] >= after[0].span[1]:
        return None
    return _told(before[0], after[0], text, key)


def rounds_each(left: Form, right: Form) -> bool:
    """Tell whether each term of a sum is the one before rounded: `0.8 − 0.0533 = 0.8 − 0.053`."""
    pairs = list(zip(left.terms, right.terms, strict=False))
    if len(left.terms) != len(right.terms) or len(pairs) < 2:
        return False
    return all(_rounds(before, after) for before, after in pairs)


def _rounds(before: Term, after: Term) -> bool:
    wanted, have = before.coefficient.centre, after.coefficient.centre
    numbers = [f.expr for f in after.factors if isinstance(f.expr, Num) and f.expr.value]
    if before.variable or after.variable or len(numbers) != 1:
        return False
    step = half_width(numbers[0]) * abs(have / numbers[0].value)
    return abs(wanted - have) <= step + before.coefficient.radius + 1e-9 * abs(wanted)


def _told(before: Term, after: Term, text: str, key: str) -> Explanation:
    wanted, have = before.coefficient.centre, after.coefficient.centre
    said, was = text[slice(*after.span)], text[slice(*before.span)].strip()
    if same(have, -wanted):
        span = signed_span(text, after.span)
        sign = "+" if text[span[0] : span[0] + 1] in ("-", "−", "–") else "−"
        message = f"«{said}» has the other sign on the side before."
        return Explanation("sign", span, f"{sign} {said}", message, 1.0, key=key)
    message = f"{was} comes to {tidy(abs(wanted))}, not {said}."
    return Explanation("arithmetic", after.span, tidy(abs(wanted)), message, 1.0, key=key)
