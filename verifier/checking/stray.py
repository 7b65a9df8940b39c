"""What a term that does not belong in a sum may be, said as one would say it to its writer."""

from collections.abc import Iterator, Mapping

from verifier.checking.derived import same
from verifier.checking.faults.base import say
from verifier.checking.figure import Figure
from verifier.checking.forms import Term
from verifier.checking.items import in_words
from verifier.checking.ledger import Found
from verifier.checking.sums import Expected

_SAME, _NOTHING = 1e-3, 1e-9


def why_extra(
    term: Term, text: str, expected: Expected, figure: Figure, values: Mapping[str, Found]
) -> str:
    """Return why a term has no place in a sum: what it stands for, as far as that can be told.

    `values` are those that the working has found.
    """
    body, axis = expected.body.name, expected.axis.words
    told = dict.fromkeys(_idle(term, expected))
    away = dict.fromkeys(_elsewhere(term, expected, figure, values))
    if len(told) == 1:
        (words,) = told
        if expected.moment:
            point = axis.removeprefix("moments about ")
            return f"The line of {words} goes through {point}: it has no moment there ({axis})."
        return f"{words} acts square to this axis, so it has no part in this sum ({axis})."
    product = _turned_idly(term, text, expected, figure) if not (told or away) else ""
    if product:
        return product
    if len(away) == 1 and not told:
        (words,) = away
        return f"{words} does not act on the {body}, so it has no place in this sum ({axis})."
    return f"Nothing that acts on the {body} accounts for «{text}» in this sum ({axis})."


def _sizes(term: Term) -> list[float]:
    return [abs(term.coefficient.centre), *(abs(f.quantity.centre) for f in term.factors)]


def _idle(term: Term, expected: Expected) -> Iterator[str]:
    """Yield the forces on the free body that a term may be and that have no part in the sum."""
    for one in expected.contributions:
        if one.action.along == (0.0, 0.0) or abs(one.amount) > _NOTHING * expected.scale:
            continue
        value = abs(one.action.value or 0.0)
        named = bool(one.variable) and one.variable == term.variable
        if named or (value and not term.variable and _is(term, value)):
            yield in_words(one.action)


def _turned_idly(term: Term, text: str, expected: Expected, figure: Figure) -> str:
    """Return what a product worked out is where it is a force through the point times a length."""
    if not expected.moment or term.variable or len(term.factors) != 1:
        return ""
    made, found = abs(term.coefficient.centre), set[tuple[str, float, float]]()
    for one in expected.contributions:
        value = abs(one.action.value or 0.0)
        through = one.action.along != (0.0, 0.0) and abs(one.amount) <= _NOTHING * expected.scale
        if through and value:
            found |= {
                (in_words(one.action), value, arm.value)
                for arm in figure.lengths
                if same(value * arm.value, made, _SAME)
            }
    if len({(words, round(arm, 6)) for words, _, arm in found}) != 1:
        return ""
    words, value, arm = found.pop()
    point = expected.axis.words.removeprefix("moments about ")
    return (
        f"«{text}» is {say(figure, value)} times {say(figure, arm)}: the line of {words} goes "
        f"through {point}, so it has no moment there ({expected.axis.words})."
    )


def _elsewhere(
    term: Term, expected: Expected, figure: Figure, values: Mapping[str, Found]
) -> Iterator[str]:
    """Yield the forces that a term may be and that do not act on the free body at all."""
    here = {in_words(one.action) for one in expected.contributions}
    on_it = {one.variable for one in expected.contributions}
    if term.variable:
        if term.variable not in on_it and term.variable[:1] != "?":
            yield term.variable
        return
    if any(_is(term, abs(one.action.value or 0.0)) for one in expected.contributions):
        return  # it stands in the sum more than once
    for datum in figure.loads:
        if datum.words not in here and _is(term, datum.value):
            yield datum.words
    for variable, found in values.items():
        if variable not in on_it and "-" in variable and _is(term, abs(found.quantity.centre)):
            yield variable


def _is(term: Term, value: float) -> bool:
    return bool(value) and any(same(size, value, _SAME) for size in _sizes(term))
