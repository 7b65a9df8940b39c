"""Tells a working that solves another sheet than the one it is held against."""

from bisect import insort
from collections.abc import Iterator, Sequence

from verifier import units
from verifier.checking.derived import bare_number
from verifier.checking.figure import Figure
from verifier.checking.ledger import nearest
from verifier.checking.names import Dictionary, Unknown, key_of
from verifier.checking.written import Written
from verifier.notation.tree import Expr, Func, Name, Num, Relation, walk
from verifier.structure.model import Force

_PLAIN = (0.0, 0.5, 1.0, 2.0, 9.8, 9.81, 90.0, 180.0)
_NEAR = 1e-6
_CLOSE = 2e-3
_DEGREES = 0.06
_KILOGRAMS = tuple(size / g for size in (1, 1000) for g in (9.81, 9.80665, 9.8, 10.0))
_UNITS = (1.0, 1000.0, 0.001)
_LEAST, _SHARE = 2, 0.6
_PLACES = (1.0, 1 / 2, 1 / 3, 2 / 3)
_FEW_LOADS, _MOST_STRANGE = 1 / 3, 0.75
_MOST_FIGURES = 3
_SAID = 3


def about_another(written: Sequence[Written], names: Dictionary) -> str:
    """Return the sentence for a working whose numbers are another sheet's, '' for any other.

    It is one where none of the sheet's loads occurs, or few do, and most lengths, angles and loads
    that it puts in are not on the sheet.
    """
    figure = names.figure
    if figure.structure.letters or not figure.loads:
        return ""
    relations = [part for one in written for part in one.line.parts if isinstance(part, Relation)]
    results: list[float] = []
    put_in: dict[float, tuple[Num, bool]] = {}
    met: set[str] = set()
    for relation in relations:
        for number, angle in _put_in(relation, met, names):
            plain = abs(number.value) in _PLAIN or (_worked_out(number) and not angle)
            if not plain and not _is_result(number, results):
                put_in.setdefault(abs(number.value), (number, angle))
        for number in _results(relation):
            insort(results, abs(number.value))
        met |= {key_of(n) for n in relation.named}
    strange = [
        number
        for number, angle in put_in.values()
        if not (_is_drawn(number, figure) if angle else _known(number, figure))
    ]
    used, loads = _loads_used(relations, figure)
    if used:
        another = used <= _FEW_LOADS * loads and len(strange) >= _MOST_STRANGE * len(put_in)
    else:
        another = loads > 1 or len(strange) >= _SHARE * len(put_in)
    least = 1 if loads > 1 and not used else _LEAST
    if len(strange) < least or not another:
        return ""
    said = ", ".join(number.text.replace("{,}", ",") for number in strange[:_SAID])
    return (
        f"The working seems to be about another figure: {said} and others are not on this sheet, "
        "and its loads are not in the working."
    )


def _put_in(relation: Relation, met: set[str], names: Dictionary) -> Iterator[tuple[Num, bool]]:
    """Yield the numbers of a line's terms, and whether each is an angle.

    What a chain comes to is none of them; W = 5 is, where W is new.
    """
    first = relation.sides[0]
    given = isinstance(first, Name) and key_of(first) not in met and len(relation.sides) == 2
    if isinstance(first, Name):
        given = given and not isinstance(names.meanings(first)[0], Unknown)
    named = [any(isinstance(n, Name) for n in walk(side)) for side in relation.sides]
    for at, side in enumerate(relation.sides):
        result = isinstance(first, Name) or (at and not named[at - 1])
        if at and isinstance(bare_number(side), Num) and result and not given:
            continue
        turned = {id(n) for f in walk(side) if isinstance(f, Func) for n in walk(f.arg)}
        yield from ((n, id(n) in turned) for n in walk(side) if isinstance(n, Num) and n.text)


def _worked_out(number: Num) -> bool:
    """Tell whether a number has more figures than sheets give: a sine, a coefficient."""
    figures = len("".join(filter(str.isdigit, number.text)).strip("0"))
    return figures > _MOST_FIGURES or (abs(number.value) < 1 and figures > _MOST_FIGURES - 1)


def _results(relation: Relation) -> Iterator[Num]:
    sides: tuple[Expr, ...] = relation.sides[1:] or relation.sides
    for side in sides:
        number = bare_number(side)
        if isinstance(number, Num):
            yield number


def _is_result(number: Num, results: list[float]) -> bool:
    half = max((number.high - number.low) / 2, _NEAR)
    return nearest(results, abs(number.value), half) is not None


def _is_drawn(number: Num, figure: Figure) -> bool:
    """Tell whether an angle is one of the figure's, or completes one to a right or straight one."""
    half = max((number.high - number.low) / 2, _DEGREES)
    size = abs(number.value)
    return any(
        abs(abs(one) - angle) <= half
        for angle in figure.drawn_angles
        for one in (size, 90 - size, 180 - size)
    )


def _known(number: Num, figure: Figure) -> bool:
    """Tell whether the sheet has a number: as it is, rounded, or as load times length."""
    sheet = figure.structure
    value, half = abs(number.value), (number.high - number.low) / 2
    if number.unit is not None and number.unit.dims == (0, 1):
        size = number.unit.factor / units.LENGTH[sheet.length_unit]
        value, half = value * size, half * size
    if figure.is_datum(value) or figure.gap_to_value(value, min(half, 0.01 * value)) is not None:
        return True
    loads = [datum.value for datum in figure.loads if datum.value]
    loads += [load * kilogram for load in loads for kilogram in _KILOGRAMS]
    return any(abs(value * unit - load) <= _NEAR * load for load in loads for unit in _UNITS) or (
        any(
            abs(value / load - length.value * share) <= min(half, _CLOSE * value) / load + _NEAR
            for load in loads
            for length in figure.lengths
            for share in _PLACES
        )
    )


def has_all_loads(written: Sequence[Written], figure: Figure) -> bool:
    """Tell whether every load of the sheet is in a working, by number."""
    relations = [part for one in written for part in one.line.parts if isinstance(part, Relation)]
    used, loads = _loads_used(relations, figure)
    return used == loads


def _loads_used(relations: Sequence[Relation], figure: Figure) -> tuple[int, int]:
    """Return how many of the sheet's loads a working has, by number, and how many there are."""
    numbers = sorted(
        abs(number.value) for r in relations for side in r.sides for number in _outside(side)
    )
    loads = {datum.value for datum in figure.loads}
    for load in figure.structure.loads:
        sizes = {size for size in figure.intensities(load) if size}
        if sizes:
            letters = figure.structure.letters
            forces = (part for part in load.resultants() if isinstance(part, Force))
            loads -= {abs(force.size.number(letters)) for force in forces}
            loads.add(max(sizes))
    near = [
        size
        for size in loads
        if any(
            nearest(numbers, size * unit, _NEAR * size * unit) is not None
            for unit in (*_UNITS, *_KILOGRAMS)
        )
    ]
    return len(near), len(loads)


def _outside(side: Expr) -> Iterator[Num]:
    """Yield the numbers of a side that are no angles: in no function, without a degree sign."""
    inside = {id(n) for f in walk(side) if isinstance(f, Func) for n in walk(f.arg)}
    for node in walk(side):
        degrees = getattr(getattr(node, "unit", None), "kind", "") == "angle"
        if isinstance(node, Num) and id(node) not in inside and not degrees:
            yield node
