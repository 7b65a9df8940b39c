"""A term with the wrong sign."""

import math

from verifier.checking.faults.base import Example, Explanation, FaultKind, Pair, Plant
from verifier.checking.figure import Figure
from verifier.checking.forms import Term
from verifier.notation.tree import Add, Relation, Span

_AXES = {
    (1.0, 0.0): ("right", "left"),
    (0.0, 1.0): ("up", "down"),
}
_WHOLE = 0.999
_ARROWS = frozenset("↑↓→←↺↻⟲⟳↶↷")


def signed_span(text: str, span: Span) -> Span:
    """Return a term's place together with the sign in front of it, where one is written.

    The + of ↑+ says which sense is positive.
    """
    place = min(span[0], len(text))
    while place and text[place - 1].isspace():
        place -= 1
    signed = place and text[place - 1] in "+-−–" and text[place - 2 : place - 1] not in _ARROWS
    return (place - 1, span[1]) if signed else span


def _drawn(term: Term) -> float:
    """Return 1 where a force's name is drawn in the tool's own sense of it, else −1."""
    if not term.variable:
        return 1.0
    written = term.sign * (-1.0 if term.side else 1.0)
    for factor in term.factors:
        written *= math.copysign(1.0, factor.effect.centre)
    return math.copysign(1.0, term.coefficient.centre * written)


def which_way(pair: Pair) -> str:
    """Return in words what a force does in this sum, in the sense in which its writer drew it."""
    amount = pair.contribution.amount * _drawn(pair.term)
    if pair.expected.moment:
        point = pair.expected.axis.words.removeprefix("moments about ")
        return f"turns {'anticlockwise' if amount > 0 else 'clockwise'} about {point}"
    names = _AXES.get(pair.expected.axis.direction, ("along the axis", "against the axis"))
    return f"acts {names[0] if amount > 0 else names[1]}"


def _plain_sign(pair: Pair) -> str:
    """Return the sign that a force has by its way alone, with the positive sense as declared."""
    along = pair.contribution.amount * _drawn(pair.term) > 0
    turned = pair.positive in ("down", "left", "clockwise")
    return "+" if along != turned else "−"


def _part(pair: Pair) -> str:
    """Return what the force is called, its part along x or y where that alone is at odds."""
    across, up = pair.contribution.action.along
    if not 0.0 < math.hypot(across, up) < _WHOLE or (across and up):
        return pair.words
    return f"the {'horizontal' if across else 'vertical'} part of {pair.words}"


def recognise(pair: Pair) -> Explanation | None:
    """Explain a pair whose term is the expected one but for its sign."""
    if not pair.near(-1.0):
        return None
    span = signed_span(pair.text, pair.term.span)
    sign = "−" if pair.text[span[0] : span[0] + 1] == "+" or span == pair.term.span else "+"
    action = pair.contribution.action
    drawn = " as drawn" if action.value is None else ""
    positive = (
        f" with {pair.positive} positive" if pair.positive else " as the other terms are signed"
    )
    moved = pair.term.side and sign != _plain_sign(pair)
    here = " on this side of the equals sign" if moved else ""
    return Explanation(
        "sign",
        span,
        f"{sign} {pair.written}",
        f"{_part(pair)}{drawn} {which_way(pair)}, so{positive} this term takes {sign}{here}.",
        1.0,
        key=f"sign {action.item} {pair.expected.where}",
        slip=f"sense of {action.item}",
    )


def plant(relation: Relation, text: str, moment: bool, figure: Figure) -> Plant | None:
    """Flip the sign of the second term of a sum."""
    del moment, figure
    for side in relation.sides:
        if isinstance(side, Add) and len(side.terms) > 2:
            sign, term = side.terms[1]
            start = signed_span(text, term.span)[0]
            if start == term.span[0]:
                continue
            flipped = "−" if sign > 0 else "+"
            return Plant(text[:start] + flipped + text[start + 1 :], (start, term.span[1]))
    return None


KIND = FaultKind(
    "sign",
    "a term carries the wrong sign",
    "A force that acts, or turns, against the positive sense of the sum is added, or one that acts "
    "with it is taken away. The positive sense of a sum is the writer's choice, and so is "
    "the sense "
    "in which an unknown is drawn; but within one sum all terms follow the same choice.",
    (
        Example(
            "↺+ ΣM_K = 0: 9 L_y − 14(6) + 5(1.5) = 0",
            "↺+ ΣM_K = 0: 9 L_y − 14(6) − 5(1.5) = 0",
            "The 5 kN force turns anticlockwise about K, so with anticlockwise positive it "
            "is added.",
        ),
    ),
    recognise,
    plant,
)
