"""A slip in working numbers out."""

from verifier.checking.faults.base import Example, Explanation, FaultKind, Pair, Plant, say, tidy
from verifier.checking.figure import Figure
from verifier.notation.tree import Num, Relation


def recognise(pair: Pair) -> Explanation | None:
    """Explain a product worked out in the head that comes to something else."""
    if not pair.worked_out or pair.near(-1.0):
        return None
    size = pair.load_size or 1.0
    wanted = abs(pair.contribution.amount)
    return Explanation(
        "arithmetic",
        pair.term.span,
        say(pair.figure, wanted),
        f"{pair.words} turns about the moment point with {say(pair.figure, size)} times "
        f"{say(pair.figure, wanted / size)}, which is {say(pair.figure, wanted)}, not "
        f"{pair.written}.",
        1.6 if pair.ratio > 0 else 2.6,
        key=f"product {pair.contribution.action.item} {pair.written}",
    )


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
    recognise,
    plant,
)
