"""One equation put into another, as `T1 = …` into the second sum: whether it was put in rightly."""

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import permutations

from verifier.checking.derived import algebra, same
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import say
from verifier.checking.faults.sign import signed_span
from verifier.checking.figure import Figure
from verifier.checking.forms import Form, Term


def substituted(
    form: Form, forms: Sequence[tuple[int, Form]]
) -> Iterator[tuple[float, list[tuple[Term, float]]]]:
    """Yield what one equation above becomes with another put in: (the factor, its terms).

    Only `x = …` is put in, as people do; the forces that are left are those of the line.
    """
    mine = {n for n, q in form.coefficients.items() if q.centre}
    for (_, one), (_, other) in permutations(forms[-12:], 2):
        for solved in other.terms:
            plain = same(abs(solved.coefficient.centre), 1.0, 1e-9) and not solved.factors
            twice = sum(t.variable == solved.variable for t in other.terms) > 1
            if not solved.variable or solved.variable in mine or not plain or twice:
                continue
            kept = [(t, t.coefficient.centre) for t in one.terms if t.variable != solved.variable]
            share = one.coefficients.get(solved.variable)
            if share is None or not share.centre:
                continue
            factor = -share.centre / solved.coefficient.centre
            put = [(t, t.coefficient.centre * factor) for t in other.terms if t is not solved]
            if {t.variable for t, amount in (*kept, *put) if t.variable and amount} == mine:
                yield abs(factor), [*kept, *put]


def follows(form: Form, forms: Sequence[tuple[int, Form]]) -> bool:
    """Tell whether a line is one equation above with another put in, whatever they are worth."""
    mine = {n: q.centre for n, q in form.coefficients.items() if q.centre}
    if not mine:
        return False
    for _, terms in substituted(form, forms):
        theirs: dict[str, float] = {}
        for term, amount in terms:
            theirs[term.variable] = theirs.get(term.variable, 0.0) + amount
        constant = theirs.pop("", 0.0)
        name = max(mine, key=lambda n: abs(mine[n]))
        ratio = mine[name] / theirs[name] if theirs.get(name) else 0.0
        whole = same(form.constant.centre, constant * ratio, 4e-3)
        if ratio and whole and all(same(mine[n], theirs[n] * ratio, 4e-3) for n in mine):
            return True
    return False


def put_wrongly(
    form: Form, forms: Sequence[tuple[int, Form]], text: str, figure: Figure
) -> Explanation | None:
    """Return the one term that went wrong where one equation was put into another."""
    words = partial(say, figure)
    mine = [t for t in form.terms if t.coefficient.centre]
    for factor, terms in substituted(form, forms):
        for sign in (1.0, -1.0):
            left, rest = list(mine), [(t, sign * a) for t, a in terms if a]
            for term in mine:
                match = next((r for r in rest if _alike(term, r)), None)
                if match is not None:
                    left.remove(term)
                    rest.remove(match)
            if len(left) != 1 or len(rest) != 1 or left[0].variable != rest[0][0].variable:
                continue
            have, wanted = left[0].coefficient.centre, rest[0][1]
            written = text[left[0].span[0] : left[0].span[1]]
            if same(have * factor, wanted, 4e-3) and not same(factor, 1.0, 1e-6):
                message = (
                    f"The factor {words(factor)} multiplies all that is put in: «{written}» "
                    f"becomes {words(abs(wanted))}."
                )
                return algebra(left[0].span, words(abs(wanted)), message)
            if same(have, -wanted, 4e-3):
                message = f"«{written}» is put in with the wrong sign."
                return algebra(signed_span(text, left[0].span), words(wanted), message)
    return None


def _alike(term: Term, other: tuple[Term, float]) -> bool:
    return other[0].variable == term.variable and same(other[1], term.coefficient.centre)
