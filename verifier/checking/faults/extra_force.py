"""A term that no force on the free body accounts for."""

from verifier.checking.faults.base import Example, FaultKind, Plant
from verifier.checking.figure import Figure
from verifier.notation.tree import Add, Relation


def plant(relation: Relation, text: str, moment: bool, figure: Figure) -> Plant | None:
    """Add a force that does not act on the body."""
    del moment, figure
    for side in relation.sides:
        if isinstance(side, Add) and len(side.terms) > 1:
            start, end = side.terms[-1][1].span
            del start
            return Plant(f"{text[:end]} − 7.7{text[end:]}", (end + 3, end + 6))
    return None


KIND = FaultKind(
    "extra-force",
    "a term stands for no force that acts on the free body in this sum",
    "A force whose line goes through the moment point has no moment; one square to the axis has no "
    "component; what acts inside the body cancels; a force that acts elsewhere does not "
    "count here.",
    (
        Example(
            "ΣF_x = 0: K_x − 3 = 0",
            "ΣF_x = 0: K_x + L_y − 3 = 0",
            "L_y is vertical: it has no component along x.",
        ),
    ),
    plant=plant,
)
