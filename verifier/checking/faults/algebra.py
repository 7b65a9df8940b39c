"""A slip in rearranging an equation."""

from verifier.checking.faults.base import Example, FaultKind, Plant
from verifier.checking.faults.sign import signed_span
from verifier.checking.figure import Figure
from verifier.notation.tree import Add, Div, Name, Relation


def plant(relation: Relation, text: str, moment: bool, figure: Figure) -> Plant | None:
    """Keep a term's sign as it changes sides: in `X = a − b` or `X = (a − b)/c`."""
    del moment, figure
    if len(relation.sides) < 2 or not isinstance(relation.sides[0], Name):
        return None
    side = relation.sides[1]
    top = side.top if isinstance(side, Div) else side
    if not isinstance(top, Add):
        return None
    sign, term = top.terms[-1]
    start = signed_span(text, term.span)[0]
    if start == term.span[0]:
        return None
    flipped = "−" if sign > 0 else "+"
    return Plant(text[:start] + flipped + text[start + 1 :], (start, term.span[1]))


KIND = FaultKind(
    "algebra",
    "an equation is wrongly rearranged",
    "The equation above is kept as written, but what is made of it does not follow: a term changes "
    "sides without changing its sign, a factor is multiplied where it should divide, a bracket "
    "is lost.",
    (
        Example(
            "9 L_y − 84 + 12 = 0, so L_y = (84 − 12)/9",
            "9 L_y − 84 + 12 = 0, so L_y = (84 + 12)/9",
            "The + 12 becomes − 12 on the other side.",
        ),
    ),
    plant=plant,
)
