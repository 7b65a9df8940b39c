"""A slip in working numbers out."""

from verifier.checking.faults.base import Example, FaultKind, Plant, tidy
from verifier.checking.figure import Figure
from verifier.notation.tree import Num, Relation


def plant(relation: Relation, text: str, moment: bool, figure: Figure) -> Plant | None:
    """Change the number at the end of a chain."""
    del moment, figure
    last = relation.sides[-1]
    if len(relation.sides) > 2 and isinstance(last, Num) and abs(last.value) > 1:
        start = last.span[0]
        end = start + len(last.text)
        new = tidy(last.value * 1.2)
        return Plant(text[:start] + new + text[end:], (start, start + len(new)))
    return None


KIND = FaultKind(
    "arithmetic",
    "numbers are wrongly worked out",
    "Both sides of an equals sign are numbers, or come to numbers with the values found so "
    "far, and "
    "they are not equal within what rounding allows.",
    (
        Example(
            "L_y = 14(6)/9 = 9.33 kN",
            "L_y = 14(6)/9 = 8.33 kN",
            "14 × 6 ÷ 9 is 9.33.",
        ),
    ),
    plant=plant,
)
