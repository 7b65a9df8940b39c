"""Tells a working that solves another sheet than the one it is held against."""

import math
from bisect import insort
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from verifier import units
from verifier.checking.derived import bare_number
from verifier.checking.figure import Figure
from verifier.checking.ledger import nearest
from verifier.checking.names import Dictionary, Unknown, key_of
from verifier.checking.written import Written
from verifier.notation.tree import Div, Expr, Func, Name, Num, Relation, walk
from verifier.structure.model import Force

_PLAIN = (0.0, 0.5, 1.0, 2.0, 9.8, 9.81, 90.0, 180.0)
_NEAR = 1e-6
_CLOSE = 2e-3
_DEGREES = 0.06
_KILOGRAMS = tuple(size / g for size in (1, 1000) for g in (9.81, 9.80665, 9.8, 10.0))
_UNITS = (1.0, 1000.0, 0.001)
_TURNS = ("sin", "cos", "tan")
_LEAST, _PLENTY, _MANY_FAULTS = 2, 4, 3
_HALF, _SHARE, _MOST = 1 / 2, 0.6, 0.75
_PLACES = (1.0, 1 / 2)
_ROUNDED = 3e-3
_SCALES = (1000.0, 100.0, 12.0)
_MOST_FIGURES = 3
_SAID = 3


@dataclass(frozen=True)
class Evidence:
    """What a working puts in: numbers that the sheet lacks, of how many, and loads of how many."""

    strange: tuple[Num, ...]
    put_in: int
    used: int
    loads: int

    @property
    def plenty(self) -> bool:
        """Tell whether hardly a number is of this sheet, so that a right answer is by chance."""
        many = len(self.strange) >= max(_PLENTY, _MOST * self.put_in)
        return many and not self.used

    def another(self, faults: int) -> bool:
        """Tell whether most of what is put in is another sheet's, the loads above all."""
        strange, share = len(self.strange), len(self.strange) / max(self.put_in, 1)
        if not self.used:
            return (
                (strange > 0 and faults >= _MANY_FAULTS)
                or (self.loads > 1 and strange >= _LEAST)
                or (strange >= (1 if self.loads > 1 else _LEAST) and share >= _HALF)
            )
        if self.used <= _HALF * self.loads:
            return (strange >= _LEAST and share >= _MOST) or (
                strange >= _PLENTY and share >= _SHARE
            )
        return strange >= _PLENTY and share >= _MOST


def about_another(
    written: Sequence[Written], names: Dictionary, faults: int, sound: Collection[int], right: bool
) -> str:
    """Return the sentence for a working whose numbers are another sheet's, '' for any other.

    It is one where none of the sheet's loads occurs, or few do, and most lengths, angles and loads
    that it puts in are not on the sheet; or where hardly any number put in is on it. With none of
    the loads, one such number is enough where several faults are told. What `sound` lines say of
    the sheet's forces, those that are right before any fault, is of this sheet, and so is a
    working that has an answer `right`, unless nothing else in it is.
    """
    figure = names.figure
    if not faults or figure.structure.letters or not figure.loads:
        return ""
    found = evidence(written, names, sound)
    if not found.another(faults) or (right and not found.plenty):
        return ""
    said = ", ".join(number.text.replace("{,}", ",") for number in found.strange[:_SAID])
    return _sentence(said, found.used)


def _sentence(said: str, used: int) -> str:
    start = f"The working seems to solve another sheet: numbers such as {said} are not on this one"
    if used:
        return f"{start}."
    return f"{start}, and the loads of this one are not in the working."


def evidence(
    written: Sequence[Written], names: Dictionary, sound: Collection[int] = ()
) -> Evidence:
    """Gather what a working puts in and hold it against the sheet."""
    figure = names.figure
    relations = [part for one in written for part in one.line.parts if isinstance(part, Relation)]
    results: list[float] = []
    put_in: dict[float, tuple[Num, bool]] = {}
    met: set[str] = set()
    sloping: set[int] = set()
    for relation in relations:
        sloping |= _of_slopes(relation, figure)
        for number, angle in _put_in(relation, met, names):
            plain = abs(number.value) in _PLAIN or (_worked_out(number) and not angle)
            if not plain and id(number) not in sloping and not _is_result(number, results):
                put_in.setdefault(abs(number.value), (number, angle))
        for number in _results(relation):
            insort(results, abs(number.value))
        met |= {key_of(n) for n in relation.named}
    vouched = {
        abs(number.value)
        for one in written
        if one.line.number in sound
        for part in one.line.parts
        if isinstance(part, Relation) and _of_forces(part)
        for side in part.sides
        for number in walk(side)
        if isinstance(number, Num)
    }
    strange = tuple(
        number
        for size, (number, angle) in put_in.items()
        if size not in vouched
        and not (_is_drawn(number, figure) if angle else _known(number, figure))
    )
    return Evidence(strange, len(put_in), *_loads_used(relations, figure))


def _of_forces(relation: Relation) -> bool:
    """Tell whether a relation is more than a name's definition: `540 T = 3 150 000`."""
    return not isinstance(relation.sides[0], Name) and bool(relation.named)


def _of_slopes(relation: Relation, figure: Figure) -> set[int]:
    """Return the numbers of a slope triangle that the figure has: `3/5 T`, `atan(1.2/0.9)`."""
    found: set[int] = set()
    for node in (node for side in relation.sides for node in walk(side)):
        if not isinstance(node, Div):
            continue
        over, under = bare_number(node.top), bare_number(node.bottom)
        if isinstance(over, Num) and isinstance(under, Num) and over.value and under.value:
            ratio = abs(over.value / under.value)
            slopes = [math.degrees(math.atan(ratio))]
            slopes += [math.degrees(math.asin(ratio))] if ratio <= 1 else []
            if any(abs(angle - s) <= _DEGREES for angle in figure.drawn_angles for s in slopes):
                found |= {id(over), id(under)}
    return found


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
        turns = (f for f in walk(side) if isinstance(f, Func) and f.name in _TURNS)
        turned = {id(n) for turn in turns for n in walk(turn.arg)}
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
    if (
        figure.is_datum(value)
        or figure.gap_to_value(value, min(half, _ROUNDED * value)) is not None
    ):
        return True
    if any(figure.is_length(value * unit) or figure.is_length(value / unit) for unit in _SCALES):
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
    loads: dict[float, tuple[float, ...]] = {d.value: (d.value,) for d in figure.loads}
    for load in figure.structure.loads:
        sizes = {size for size in figure.intensities(load) if size}
        if sizes:
            letters = figure.structure.letters
            forces = (part for part in load.resultants() if isinstance(part, Force))
            totals = {abs(force.size.number(letters)) for force in forces}
            loads = {size: told for size, told in loads.items() if size not in totals}
            rise = max(sizes) - min(sizes)  # of a trapezoid, taken apart
            parts = (*sizes, rise) if rise else (*sizes,)
            loads[max(sizes)] = (*parts, sum(totals))  # 0.8 over 500, or 400 in all
    near = [
        told
        for told in loads.values()
        if any(
            nearest(numbers, size * unit, _NEAR * size * unit) is not None
            for size in told
            for unit in (*_UNITS, *_KILOGRAMS)
        )
    ]
    total = sum(datum.value for datum in figure.loads if datum.kind == "load")
    if total and nearest(numbers, total, _NEAR * total) is not None:
        return len(loads), len(loads)  # all of them in one number
    return len(near), len(loads)


def _outside(side: Expr) -> Iterator[Num]:
    """Yield the numbers of a side that are no angles: in no function, without a degree sign."""
    inside = {id(n) for f in walk(side) if isinstance(f, Func) for n in walk(f.arg)}
    for node in walk(side):
        degrees = getattr(getattr(node, "unit", None), "kind", "") == "angle"
        if isinstance(node, Num) and id(node) not in inside and not degrees:
            yield node
