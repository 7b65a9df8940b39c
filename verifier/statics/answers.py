"""What a sheet asks for, answered: values, units and senses."""

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

    Values are numbers in the sheet's units, or expressions as text where the sheet has letters;
    the sense is that of the value at the letters' stand-ins.
    """
    return tuple(_answer(structure, solution, item) for item in wanted(structure))


def _answer(structure: Structure, solution: Solution, item: str) -> Answer:
    value = solution.values[item]
    shown: float | str = value
    if structure.letters:
        exact = solution.exact(item)
        shown = expression(exact) if exact.free_symbols else value
    way = sense(structure, item, value)
    if isinstance(shown, str):
        way = _letter_sense(way, value)
    return Answer(item, shown, unit_of(structure, item), way, None, "missing")


def _letter_sense(way: str, value: float) -> str:
    """Return the sense beside an expression, which keeps its own sign."""
    return way if value > 0 else ""
