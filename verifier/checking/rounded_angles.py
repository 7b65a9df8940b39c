"""Sums with inclined loads at the angle as the writer rounds it, where a line shows only totals."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace

from verifier.checking.figure import Figure
from verifier.checking.ledger import half_width
from verifier.checking.sums import Contribution, Expected
from verifier.checking.written import Written
from verifier.notation.tree import Func, Num, Relation

_LEVEL = 1e-6


def rounded_angles(written: Iterable[Written], figure: Figure) -> dict[float, float]:
    """Return the angles in degrees that a working takes functions of, with their half widths.

    Those that the figure has to the last digit are left out.
    """
    relations = (part for one in written for part in one.line.parts if isinstance(part, Relation))
    numbers = (
        node.arg
        for relation in relations
        for node in relation.nodes
        if isinstance(node, Func) and isinstance(node.arg, Num)
    )
    return {n.value: half_width(n) for n in numbers if n.text and not figure.is_drawn(n.value)}


def turned(expected: Expected, angles: Mapping[float, float]) -> Expected | None:
    """Return a sum with its inclined loads at the angles given, None where it has none of them."""
    changed = [_turned(one, expected, angles) for one in expected.contributions]
    if changed == list(expected.contributions):
        return None
    return Expected(expected.body, expected.axis, tuple(changed))


def _turned(one: Contribution, expected: Expected, angles: Mapping[float, float]) -> Contribution:
    across, up = one.action.along
    if one.variable or one.action.value is None or min(abs(across), abs(up)) < _LEVEL:
        return one
    slope = math.degrees(math.atan2(abs(up), abs(across)))
    for angle, half in angles.items():
        for own in (angle, 90.0 - angle):
            if not 1e-9 < abs(own - slope) <= half:
                continue
            cosine, sine = math.cos(math.radians(own)), math.sin(math.radians(own))
            along = math.copysign(cosine, across), math.copysign(sine, up)
            action = replace(one.action, along=along)
            axis = expected.axis
            if axis.about is None:
                unit = action.component(axis.direction)
            else:
                unit = action.moment(axis.about)
            return replace(one, action=action, amount=unit * one.action.value)
    return one
