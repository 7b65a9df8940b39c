"""A force that acts on the free body but is not in the sum."""

from verifier.checking.faults.base import Example, FaultKind, Plant
from verifier.checking.faults.sign import signed_span
from verifier.checking.figure import Figure
from verifier.notation.tree import Add, Relation


def plant(relation: Relation, text: str, moment: bool, figure: Figure) -> Plant | None:
    """Leave the last term out of a sum of three or more."""
    del moment, figure
    for side in relation.sides:
        if isinstance(side, Add) and len(side.terms) > 2:
            _, term = side.terms[-1]
            start = signed_span(text, term.span)[0]
            if start != term.span[0]:
                kept = text[:start].rstrip()
                return Plant(kept + text[term.span[1] :], (side.span[0], len(kept)))
    return None


KIND = FaultKind(
    "missing-force",
    "a force that acts on the free body is left out of the sum",
    "Every load, reaction, cut member and couple that has a component along the axis, or a moment "
    "about the point, belongs in the sum, unless it is shown to be zero. A fixed end brings "
    "a moment "
    "with it; a cut brings every member it goes through.",
    (
        Example(
            "ΣF_y = 0: K_y + L_y − 14 − 5 = 0",
            "ΣF_y = 0: K_y + L_y − 14 = 0",
            "The 5 kN load acts downwards on the same body.",
        ),
    ),
    plant=plant,
)
