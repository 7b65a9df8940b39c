"""What a working gives a value only after it has used it: `T sin θ = 20, tan θ = 3/4`."""

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations, pairwise

from verifier.checking.derived import bare_number, same
from verifier.checking.forms import NotLinear, Reader
from verifier.checking.ledger import Found
from verifier.checking.names import Local, key_of
from verifier.checking.quantity import Quantity
from verifier.checking.written import Written
from verifier.notation.tree import Expr, Func, Name, Num, Relation, walk

_NEAR, _CLOSE, _PUT_IN = 0.06, 2e-3, 5e-3
_INVERSE = {"sin": math.asin, "cos": math.acos, "tan": math.atan}


def angles_ahead(
    written: Sequence[Written], reader: Reader, alone: bool = False
) -> Iterator[tuple[str, Found]]:
    """Yield the own angles that stand in a line before the one that gives their value.

    Only those that are an angle of the figure, where there is one; any other is judged where it is
    given.
    """
    used: set[str] = set()
    given: set[str] = set()
    for one in written:
        for relation in (part for part in one.line.parts if isinstance(part, Relation)):
            name = _given(relation)
            key = key_of(name) if name is not None else ""
            if name is not None and key in used - given:
                own = isinstance(reader.meaning(name), Local)
                angle = _value(relation, reader, alone) if own else None
                if angle is not None:
                    yield key, Found(Quantity(angle), False, 0, None, "angle")
            given.add(key)
            used |= set(_turned(relation))


def angles_put_in(written: Sequence[Written], reader: Reader) -> Iterator[tuple[str, Found]]:
    """Yield the own angles that no line gives, by the numbers put in: `−5/sin α = −5/0.6`.

    Only those of the figure.
    """
    relations = [p for one in written for p in one.line.parts if isinstance(p, Relation)]
    used = {key: name for relation in relations for key, name in _angles_in(relation.nodes)}
    given = {key_of(name) for relation in relations if (name := _given(relation)) is not None}
    for key in sorted(used.keys() - given):
        if not isinstance(reader.meaning(used[key]), Local) or key in reader.ledger.locals:
            continue
        pairs = (pair for relation in relations for pair in pairwise(relation.sides))
        for one, two in pairs:
            if key in dict(_angles_in(walk(one))) and not any(
                isinstance(n, Name) for n in walk(two)
            ):
                angle = _fitting(key, one, two, reader)
                if angle is not None:
                    yield key, Found(Quantity(angle), False, 0, None, "angle")
                    break


def _angles_in(nodes: Iterable[Expr]) -> Iterator[tuple[str, Name]]:
    for node in nodes:
        if isinstance(node, Func) and node.name in _INVERSE and isinstance(node.arg, Name):
            yield key_of(node.arg), node.arg


def _fitting(key: str, one: Expr, two: Expr, reader: Reader) -> float | None:
    """Return the figure's angle with which a side comes to the next one, None for no such."""
    found: dict[float, float] = {}
    try:
        for angle in (a for a in reader.figure.drawn_angles if 0 < a < 90):
            reader.ledger.locals[key] = Found(Quantity(angle), False, 0, None, "angle")
            value, wanted = reader.evaluate(one).centre, reader.evaluate(two).centre
            if same(value, wanted, _PUT_IN):
                found[angle] = abs(value - wanted)
    except NotLinear:
        return None
    finally:
        reader.ledger.locals.pop(key, None)
    return min(found, key=lambda angle: found[angle], default=None)


def arms_ahead(
    written: Sequence[Written], reader: Reader, alone: bool = False
) -> Iterator[tuple[str, Found]]:
    """Yield the own lengths that stand in a line before the one that gives them: `T d = 2550`.

    Only those of the figure: between two joints, or from one to the line through two others.
    """
    used: set[str] = set()
    for one in written:
        for relation in (part for part in one.line.parts if isinstance(part, Relation)):
            name, end = relation.sides[0], bare_number(relation.sides[-1])
            unit = end.unit if isinstance(end, Num) else None
            long = isinstance(name, Name) and len(relation.sides) > 1 and unit is not None
            if long and isinstance(name, Name) and unit and unit.kind == "length":
                key, value = key_of(name), reader.quantity(end) if isinstance(end, Num) else None
                own = key in used and isinstance(reader.meaning(name), Local)
                if own and value and (alone or _drawn(value.centre, reader)):
                    yield key, Found(value, False, 0, None, "length")
            used |= {key_of(n) for n in relation.named}


def _drawn(length: float, reader: Reader) -> bool:
    """Tell whether a length is one of the figure, or a joint's distance from a line in it."""
    points = list(reader.figure.points.values())
    if any(same(length, d.value, _CLOSE) for d in reader.figure.lengths):
        return True
    for (x1, y1), (x2, y2) in combinations(points, 2):
        span = math.dist((x1, y1), (x2, y2))
        for x, y in points:
            across = abs((x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)) / span
            if same(length, across, _CLOSE):
                return True
    return False


def _given(relation: Relation) -> Name | None:
    """Return the letter that a relation may give a value: `α = …`, `tan α = …`."""
    first = relation.sides[0]
    if isinstance(first, Func) and first.name in _INVERSE and len(relation.sides) > 1:
        first = first.arg
    return first if isinstance(first, Name) and len(relation.sides) > 1 else None


def _turned(relation: Relation) -> Iterator[str]:
    """Yield the letters of which a relation takes the sine, cosine or tangent."""
    for side in relation.sides:
        for node in walk(side):
            if isinstance(node, Func) and isinstance(node.arg, Name):
                yield key_of(node.arg)


def _value(relation: Relation, reader: Reader, alone: bool) -> float | None:
    """Return the figure's angle that a relation gives, in degrees; None for any other."""
    first = relation.sides[0]
    try:
        value = reader.evaluate(relation.sides[1]).centre
    except NotLinear:
        return None
    if isinstance(first, Func):
        if first.name != "tan" and abs(value) > 1:
            return None
        value = math.degrees(_INVERSE[first.name](value))
    if alone:
        return value
    slopes = [angle for angle in reader.figure.drawn_angles if abs(angle - value) <= _NEAR]
    return min(slopes, key=lambda angle: abs(angle - value), default=None)


__all__ = ["angles_ahead", "angles_put_in", "arms_ahead"]
