"""The sine rule of three forces in a point: each over the sine of the angle between the others."""

import math
from itertools import combinations

from verifier.checking.faults import Explanation
from verifier.checking.faults.base import tidy
from verifier.checking.figure import Figure, Point
from verifier.checking.forms import NotLinear, Reader
from verifier.notation.tree import Div, Expr, Func, Relation

_NEAR = 4e-3


def odd_angle(relation: Relation, reader: Reader, figure: Figure, text: str) -> Explanation | None:
    """Return the angle that does not lie between the other two forces, None where all three do.

    `F1/sin α = F2/sin β = W/sin γ`: a member, cable or reaction by its name, a load by its size.
    With two of them the third is what balances them.
    """
    if len(relation.sides) not in (2, 3):
        return None
    lines, angles = [], []
    for side in relation.sides:
        if not isinstance(side, Div) or not isinstance(side.bottom, Func):
            return None
        line = _line(side.top, reader, figure)
        if line is None or side.bottom.name != "sin":
            return None
        lines.append(line)
        try:
            angles.append(reader.evaluate(side.bottom.arg).centre)
        except NotLinear:
            return None
    third = _third(relation.sides[0], reader, figure) if len(lines) == 2 else None
    if len(lines) == 2 and third is None:
        return None
    lines += [third] if third is not None else []
    between = [abs(a[0] * b[1] - a[1] * b[0]) for a, b in reversed(list(combinations(lines, 2)))]
    odd = [
        at
        for at, (angle, sine) in enumerate(zip(angles, between, strict=False))
        if abs(abs(math.sin(math.radians(angle))) - sine) > _NEAR
    ]
    if not odd:
        return None
    first = relation.sides[odd[0]]
    assert isinstance(first, Div)
    sharp = math.degrees(math.asin(min(1.0, between[odd[0]])))
    degrees = min((sharp, 180 - sharp), key=lambda one: min(abs(one - other) for other in angles))
    right = f"{tidy(round(degrees, 2))}°"
    over = text[slice(*first.top.span)].strip()
    return Explanation(
        "angle",
        (first.span[0], relation.sides[odd[-1]].span[1]),
        right,
        f"Under {over} belongs the sine of the angle between the other two forces, {right}, not "
        f"{tidy(round(angles[odd[0]], 2))}°.",
        1.0,
        key=f"sine rule {over} {right}",
    )


def _third(side: Expr, reader: Reader, figure: Figure) -> Point | None:
    """Return the direction of the pin's reaction that balances a member's force and a load."""
    assert isinstance(side, Div)
    member = reader.form(side.top).terms[0].variable
    ends = next((pair for pair, item in figure.member_ends.items() if item == member), None)
    if ends is None or len(figure.forces) != 1:
        return None
    found = []
    for joint in figure.reactions.keys() - ends:
        x, y = (figure.true.get(f"reaction {joint} {axis}", 0.0) for axis in "xy")
        if x and y:
            found.append((x / math.hypot(x, y), y / math.hypot(x, y)))
    return found[0] if len(found) == 1 else None


def _line(top: Expr, reader: Reader, figure: Figure) -> Point | None:
    """Return the direction of the force above a sine, None where it is not known."""
    try:
        form = reader.form(top)
    except NotLinear:
        return None
    if len(form.terms) != 1:
        return None
    if form.terms[0].variable:
        return figure.direction(form.terms[0].variable)
    letters, size = figure.structure.letters, abs(form.constant.centre)
    for force in figure.forces:
        if abs(abs(force.size.number(letters)) - size) <= _NEAR / 2 * size:
            x, y = (part.number(letters) for part in force.direction)
            return x, y
    return None
