"""What a sheet asks for, answered: values, units and senses."""

from collections.abc import Callable
from typing import Any

from verifier.findings import Answer
from verifier.statics.solution import Solution
from verifier.statics.wording import expression, sense, unit_of
from verifier.structure.model import Structure


def wanted(structure: Structure) -> tuple[str, ...]:
    """Return the items of `find`; without one, all reactions and members."""
    if structure.find:
        return structure.find
    reactions = [unknown.item for support in structure.supports for unknown in support.reactions()]
    return (*reactions, *(member.name for member in structure.members))


def answers(structure: Structure, solution: Solution) -> tuple[Answer, ...]:
    """Return an answer for each item that the sheet asks for.

    Values are numbers in the sheet's units, or expressions as text where the sheet has letters.
    An expression keeps its sign; its sense is told where that sign is the same for all lengths and
    loads that the letters may stand for.
    """
    return tuple(_answer(structure, solution, item) for item in wanted(structure))


def _answer(structure: Structure, solution: Solution, item: str) -> Answer:
    value = solution.values[item]
    shown: float | str = value
    way = sense(structure, item, value)
    if structure.letters:
        shown, sign = in_letters(solution.exact, item, value)
        if isinstance(shown, str):
            bar = item in {member.name for member in structure.members}
            way = way if sign > 0 or (bar and sign < 0) else ""
    return Answer(item, shown, unit_of(structure, item), way, None, "missing")


def in_letters(exact: Callable[[str], Any], item: str, value: float) -> tuple[float | str, int]:
    """Return an item as an expression in letters, as its number where it has none, and its sign.

    The sign is 0 where it hangs on what the letters, all positive, stand for.
    """
    from verifier.statics.exact import TooInvolved

    try:
        found = exact(item)
    except TooInvolved as reason:
        return f"({reason})", 0
    if not found.free_symbols:
        return value, 0
    return expression(found), 1 if found.is_positive else -1 if found.is_negative else 0
