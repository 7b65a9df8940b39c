"""Why a stated value is not what the equations above, or the solution, come to."""

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import partial

from verifier.checking.derived import Words, same, whole_factor
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import say
from verifier.checking.faults.base import tidy as plainly
from verifier.checking.faults.sign import signed_span
from verifier.checking.figure import Figure
from verifier.checking.forms import Form
from verifier.checking.quantity import Quantity
from verifier.notation.tree import Span


def rounded(span: Span, known: Quantity, written: str) -> Explanation:
    """Return the remark on a result that is off by its last place."""
    return Explanation(
        "rounding",
        span,
        plainly(known.centre),
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
    figure: Figure,
    unit: Span | None = None,
) -> Explanation:
    """Return why a stated value is wrong: by the equations above, or by the solution alone."""
    tidy = partial(say, figure)
    wanted = known.centre if known is not None else truth
    if wanted is None:
        return Explanation(
            "arithmetic", span, "another value", f"{name} does not come to {written}.", 1.5
        )
    key = f"result {variable}"
    if unit is not None:
        measure = _unit_of(variable, figure)
        message = f"{name} is {tidy(wanted)} {measure}; with its unit, {written} is another size."
        return Explanation("unit", unit, f"{tidy(wanted)} {measure}", message, 0.9, key=key)
    if known is None:
        kind = "sense" if same(claim.centre, -wanted) else "arithmetic"
        message = f"Equilibrium gives {name} = {tidy(wanted)}, not {written}."
        free = "-" not in variable and claim.centre > 0  # no bar: it may be drawn either way
        cost = 2.0 if kind != "sense" else 1.8 if free else 1.4
        return Explanation(kind, span, tidy(wanted), message, cost, key=key)
    if abs(wanted) > 1e-12 and same(claim.centre, -wanted, 0.01):
        message = f"The sign of {name} is lost: the equation above gives {tidy(wanted)}."
        if claim.centre < 0:
            message = f"No minus belongs to {name}: the equation above gives {tidy(wanted)}."
        return Explanation("algebra", span, tidy(wanted), message, 1.0, key=key)
    for _, form in reversed(forms):
        slip = _rearranged(variable, claim, form, tidy)
        if slip:
            message = f"The equation above gives {name} = {tidy(wanted)}: {slip}."
            return Explanation("algebra", span, tidy(wanted), message, 1.0, key=key)
    plain = figure.structure.letters or not _measured(written)
    said = tidy(wanted) if plain else f"{tidy(wanted)} {_unit_of(variable, figure)}"
    message = f"The equation above gives {name} = {said}, not {written}."
    larger = abs(claim.centre) > abs(wanted)
    lost = bool(figure.structure.letters) and larger and whole_factor(claim.centre, wanted)
    lost = lost and _has_factor(forms, abs(claim.centre / wanted))
    kind = "algebra" if lost else "arithmetic"
    return Explanation(kind, span, tidy(wanted), message, 1.0, key=key)


def with_its_minus(told: Explanation, text: str) -> Explanation:
    """Point at a minus that does not belong to a result together with it."""
    no_minus = told.message.startswith("No minus belongs to")
    return replace(told, span=signed_span(text, told.span)) if no_minus else told


def _unit_of(variable: str, figure: Figure) -> str:
    turns = variable.endswith(" moment") or variable.startswith("moment ")
    sheet = figure.structure
    return f"{sheet.force_unit} {sheet.length_unit}" if turns else sheet.force_unit


def _measured(written: str) -> bool:
    """Tell whether a value is written with its unit."""
    return re.search(r"\d\s?(?:\\,)?\s?[A-Za-z]", written) is not None


def _has_factor(forms: Sequence[tuple[int, Form]], share: float) -> bool:
    """Tell whether a number of the equations above is what a result is too large by."""
    factors = (f for _, form in forms for term in form.terms for f in term.factors)
    return any(same(abs(f.quantity.centre), share, 1e-6) for f in factors)


def _rearranged(variable: str, claim: Quantity, form: Form, tidy: Words) -> str:
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
