"""A sense at odds with the value it stands beside."""

from verifier.checking.faults.base import Example, FaultKind, Plant
from verifier.checking.figure import Figure
from verifier.notation.tree import Relation

_OTHER = {"(T)": "(C)", "(C)": "(T)", "↑": "↓", "↓": "↑", "→": "←", "←": "→"}


def plant(relation: Relation, text: str, moment: bool, figure: Figure) -> Plant | None:
    """Turn the label of a result round."""
    del moment, figure
    for marks in relation.marks:
        for mark in marks:
            start, end = mark.span
            if text[start:end] in _OTHER:
                return Plant(text[:start] + _OTHER[text[start:end]] + text[end:], (start, end))
    return None


KIND = FaultKind(
    "sense",
    "tension or compression, or a direction, is at odds with the value",
    "The number is right, but its label says the opposite: a negative result for a member drawn in "
    "tension is compression; a negative reaction drawn upwards acts downwards.",
    (
        Example(
            "KM = −18.3 kN (C)",
            "KM = −18.3 kN (T)",
            "KM was drawn pulling; a negative value means that it pushes.",
        ),
    ),
    plant=plant,
)
