"""A wrong arm that a sentence above gives already: `resultant 6 kN, 1.0 m from A`."""

import re
from collections.abc import Mapping

from verifier.checking.faults import Explanation
from verifier.checking.forms import Form
from verifier.notation.tree import Num, Span

_UNITS = r"(?:\s?(?:m|mm|cm|ft|in))"
_FROM = (
    r"(?:\s*(?:to the (?:left|right)|(?:links|rechts))?\s*"
    r"(?:(?:from|of|von|vom|de|du|da|dal|od|des?|di|del|do|van)\s+|dall'|de l')"
    r"(?:end |point |the |der |Punkt |joint |support |la |el )?"
)
_FIXED = (
    r"(?:fixed end|built-in end|wall|fixing|clamp|Einspannung|Einspannstelle|Wand|encastrement"
    r"|empotramiento|incastro|utwierdzeni[ae]|engaste|inklemming|vetknutí)"
)
"""What people call a fixed support when they tell how far from it a load acts."""
_FAR = re.compile(
    r"\b(?:resultant|total|acts?|acting|abstand|wirkt|angreif\w*|résultante|risultante|resultante"
    r"|wypadkowa|centroid|schwerpunkt|at|in|à|a)\b",
    re.IGNORECASE,
)


def given_above(
    told: Explanation,
    form: Form,
    texts: Mapping[int, str],
    line: int,
    point: str,
    fixed: bool = False,
) -> tuple[int, Span] | None:
    """Return where a sentence above gives the wrong arm of a term, None where none does.

    The sentence says how far from the moment point a load acts, the one `fixed` by its sort too.
    """
    if told.kind != "lever-arm" or not point:
        return None
    arms = [
        factor.expr.text
        for term in form.terms
        for factor in term.factors
        if _within(term.span, told.span) and isinstance(factor.expr, Num) and factor.expr.text
    ]
    for number in sorted((n for n in texts if n < line), reverse=True):
        for arm in arms:
            place = _said(arm, point, texts[number], fixed)
            if place is not None:
                return number, place
    return None


def _within(inner: Span, outer: Span) -> bool:
    return outer[0] <= inner[0] and inner[1] <= outer[1]


def _said(arm: str, point: str, text: str, fixed: bool = False) -> Span | None:
    """Return where a text gives a distance from a point: `1,0 m von A`, `Abstand von A: 1,0 m`."""
    name = rf"{re.escape(point)}(?![\w])"
    name = rf"(?:{name}|{_FIXED}(?![\w]))" if fixed else name
    number = rf"(?P<n>(?<![\d.,]){re.escape(arm)}){_UNITS}"
    for pattern in (rf"{number}{_FROM}{name})", rf"{_FROM}{name})\s*[:=]?\s*{number}"):
        match = re.search(pattern, text)
        if match is not None and _FAR.search(text[: match.end()]):
            return match.span("n")
    return None


def instead(written: str, wanted: str) -> str:
    """Return the number in which a term differs from what it should be: the 2 of 6(1) and 6(2)."""
    was, should = (re.findall(r"\d[\d.,]*", text) for text in (written, wanted))
    odd = [new for old, new in zip(was, should, strict=False) if old != new]
    return odd[0] if len(was) == len(should) and len(odd) == 1 else wanted
