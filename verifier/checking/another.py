"""Tells a working that solves another sheet than the one it is held against."""

from bisect import insort
from collections.abc import Iterator, Sequence

from verifier.checking.derived import bare_number
from verifier.checking.figure import Figure
from verifier.checking.ledger import nearest
from verifier.checking.names import key_of
from verifier.checking.written import Written
from verifier.notation.tree import Expr, Name, Num, Relation, walk

_PLAIN = (0.0, 0.5, 1.0, 2.0, 9.8, 9.81, 90.0, 180.0)
_NEAR = 1e-6
_UNITS = (1.0, 1000.0, 0.001)
_LEAST, _SHARE = 2, 0.6
_FEW_LOADS, _MOST_STRANGE = 1 / 3, 0.75
_SAID = 3


def about_another(written: Sequence[Written], figure: Figure) -> str:
    """Return the sentence for a working whose numbers are another sheet's, '' for any other.

    It is one where none of the sheet's loads occurs, or few do, and most lengths, angles and loads
    that it puts in are not on the sheet.
    """
    if figure.structure.letters or not figure.loads:
        return ""
    relations = [part for one in written for part in one.line.parts if isinstance(part, Relation)]
    results: list[float] = []
    put_in: dict[float, Num] = {}
    for relation in relations:
        for number in _put_in(relation):
            if abs(number.value) not in _PLAIN and not _is_result(number, results):
                put_in.setdefault(abs(number.value), number)
        for number in _results(relation):
            insort(results, abs(number.value))
    strange = [number for number in put_in.values() if not _known(number, figure)]
    used = _loads_used(relations, put_in, figure)
    few = used <= _FEW_LOADS and len(strange) >= _MOST_STRANGE * len(put_in)
    none = used == 0 and len(strange) >= _SHARE * len(put_in)
    if len(strange) < _LEAST or not (none or few):
        return ""
    said = ", ".join(number.text for number in strange[:_SAID])
    return (
        f"The working seems to be about another figure: {said} and others are not on this sheet, "
        "and its loads are not in the working."
    )


def _put_in(relation: Relation) -> Iterator[Num]:
    """Yield the numbers of a line's terms; what a chain comes to is none of them."""
    for at, side in enumerate(relation.sides):
        if not (at and isinstance(bare_number(side), Num)):
            yield from (node for node in walk(side) if isinstance(node, Num) and node.text)


def _results(relation: Relation) -> Iterator[Num]:
    sides: tuple[Expr, ...] = relation.sides[1:] or relation.sides
    for side in sides:
        number = bare_number(side)
        if isinstance(number, Num):
            yield number


def _is_result(number: Num, results: list[float]) -> bool:
    half = max((number.high - number.low) / 2, _NEAR)
    return nearest(results, abs(number.value), half) is not None


def _known(number: Num, figure: Figure) -> bool:
    """Tell whether the sheet has a number: as it is, rounded, or as load times length."""
    half = (number.high - number.low) / 2
    for unit in _UNITS:
        value = abs(number.value) * unit
        if figure.is_datum(value) or figure.gap_to_value(value, min(half, 0.01 * value)):
            return True
        for load in figure.loads:
            if load.value and any(
                abs(value / load.value - length.value) <= half * unit / load.value + _NEAR
                for length in figure.lengths
            ):
                return True
    return False


def _loads_used(relations: Sequence[Relation], put_in: dict[float, Num], figure: Figure) -> float:
    """Return the share of the sheet's loads that a working puts in, by number or by name."""
    names = {
        key_of(node) for r in relations for side in r.sides for node in walk(side)
        if isinstance(node, Name)
    }  # fmt: skip
    calls = figure.structure.calls.items()
    called = {name for name, what in calls if what[0] == "load"} | {*figure.structure.lets}
    if names & called and not put_in:
        return 1.0
    numbers = sorted(put_in)
    sizes = {datum.value for datum in figure.loads}
    for load in figure.structure.loads:
        sizes |= {abs(number) for number in getattr(load, "numbers", lambda: ())()}
    found = [
        size
        for size in sizes
        if any(nearest(numbers, size * unit, _NEAR * size * unit) is not None for unit in _UNITS)
    ]
    return len(found) / max(len(sizes), 1)
