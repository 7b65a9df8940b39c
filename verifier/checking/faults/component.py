"""Sine for cosine, or a force that was left unresolved."""

import math

from verifier.checking.faults.base import (
    Example,
    Explanation,
    FaultKind,
    Pair,
    Plant,
    say,
    tidy,
    with_function,
)
from verifier.checking.figure import Figure
from verifier.checking.forms import Factor
from verifier.notation.tree import Func, Relation, walk

_SWAP = {"sin": "cos", "cos": "sin"}

_NOTHING = 1e-6
"""The share of a force below which it has no part along an axis."""


def recognise(pair: Pair) -> Explanation | None:
    """Explain a pair that is right with the other component, or once resolved."""
    if pair.couple:
        return None
    for factor in pair.turns():
        explained = _swapped(pair, factor)
        if explained:
            return explained
    if pair.worked_out:
        return _swapped_inside(pair) or _unresolved(pair)
    return _swapped_part(pair) or _swapped_number(pair) or _unresolved(pair)


def _shares(pair: Pair) -> tuple[float, float]:
    """Return the parts of a unit force along x and y, of a component taken apart its own first."""
    across, up = (abs(part) for part in pair.contribution.action.along)
    longest = max(across, up)
    if min(across, up) < 1e-9 and 1e-3 < longest < 1 - 1e-6:
        return longest, math.sqrt(1 - longest**2)
    return across, up


def _swapped_part(pair: Pair) -> Explanation | None:
    """Explain a number that is the load's other component, worked out before."""
    across, up = _shares(pair)
    size = pair.load_size
    for have, wanted in ((across, up), (up, across)):
        if size is None or min(have, wanted) < 1e-3 or abs(have - wanted) < 1e-3:
            continue
        cost = _signed_cost(pair, have / wanted, 0.95)
        for factor in pair.numbers():
            value = abs(factor.quantity.centre)
            if cost is None or abs(value - size * have) > factor.quantity.radius + 2e-3 * value:
                continue
            return Explanation(
                "component",
                pair.term.span,
                pair.with_replaced(factor, say(pair.figure, size * wanted)),
                f"{tidy(value)} is the other component of {pair.words}: in the "
                f"{pair.expected.axis.words} its share is {tidy(wanted)}.",
                cost,
                key=f"component {pair.contribution.action.item}",
            )
    return None


def _swapped_inside(pair: Pair) -> Explanation | None:
    """Explain a product worked out in the head with the other component."""
    across, up = _shares(pair)
    for share, other in ((across, up), (up, across)):
        if min(share, other) < 1e-3 or abs(share - other) < 1e-3:
            continue
        cost = _signed_cost(pair, share / other, 1.25)
        if cost is not None:
            return Explanation(
                "component",
                pair.term.span,
                say(pair.figure, abs(pair.contribution.amount)),
                f"{pair.written} is what the other component of {pair.words} gives; the part that "
                f"turns here is {tidy(other)} of it.",
                cost,
                key=f"component {pair.contribution.action.item}",
            )
    return None


def _signed_cost(pair: Pair, change: float, cost: float, more: float = 0.0) -> float | None:
    if pair.near(change, more):
        return cost
    return cost + 1.0 if pair.near(-change, more) else None


def _swapped(pair: Pair, factor: Factor) -> Explanation | None:
    func = factor.expr
    if isinstance(func, Func) and func.name == "tan":
        return _tangent(pair, factor, func)
    if not isinstance(func, Func) or func.name not in _SWAP:
        return None
    have = factor.quantity.centre
    angle = math.degrees(math.asin(max(-1.0, min(1.0, have))))
    other = math.cos(math.radians(angle))
    if func.name == "cos":
        angle = 90 - angle
    if abs(other) < 1e-9 or abs(have) < 1e-9:
        return None
    change = (have / other) ** factor.power
    # cos α = 0.945 leaves its sine open by more than its own last place
    cost = _signed_cost(pair, change, 1.0, factor.quantity.radius * have / other**2)
    if cost is None:
        return None
    new = with_function(pair.text, func)
    return Explanation(
        "component",
        pair.term.span,
        pair.with_replaced(factor, new),
        _which_side(pair, func.name, angle),
        cost,
        key=f"component {pair.contribution.action.item}",
        slip=f"sine for cosine in {'moments' if pair.expected.moment else 'forces'}",
    )


def _tangent(pair: Pair, factor: Factor, func: Func) -> Explanation | None:
    """Explain a tangent that stands for the sine or cosine of its angle."""
    slope = math.atan(factor.quantity.centre)
    for name, share in (("sin", math.sin(slope)), ("cos", math.cos(slope))):
        change = (factor.quantity.centre / share) ** factor.power if share else 0.0
        cost = _signed_cost(pair, change, 1.05)
        own = any(abs(abs(a) - abs(share)) < 2e-3 for a in pair.contribution.action.along)
        if change and cost is not None and own:
            return Explanation(
                "component",
                pair.term.span,
                pair.with_replaced(factor, with_function(pair.text, func, name)),
                f"The tangent is one component over the other; the part of {pair.words} in the "
                f"{pair.expected.axis.words} is its {'sine' if name == 'sin' else 'cosine'}.",
                cost,
                key=f"component {pair.contribution.action.item}",
            )
    return None


def _which_side(pair: Pair, used: str, angle: float) -> str:
    wanted = "along the side next to" if _SWAP[used] == "cos" else "across from"
    if pair.expected.moment:
        return (
            f"With {tidy(angle)}°, the part of {pair.words} that turns about the moment point "
            f"is its "
            f"{_SWAP[used]} component: it lies {wanted} the angle."
        )
    return (
        f"In the {pair.expected.axis.words} the part of {pair.words} lies {wanted} the angle of "
        f"{tidy(angle)}°, which is its {'cosine' if used == 'sin' else 'sine'}, not its "
        f"{'sine' if used == 'sin' else 'cosine'}."
    )


def _swapped_number(pair: Pair) -> Explanation | None:
    for factor in pair.numbers():
        have = abs(factor.quantity.centre)
        ratio = pair.share_in(factor)
        if ratio is None:
            continue
        other = math.sqrt(max(0.0, 1 - ratio * ratio))
        if other < 1e-3:
            continue
        cost = _signed_cost(pair, ratio / other, 1.1)
        if cost is not None:
            return Explanation(
                "component",
                pair.term.span,
                pair.with_replaced(factor, _as_bracketed(pair, factor, have * other / ratio)),
                f"{tidy(ratio)} is the other component of {pair.words}: in the "
                f"{pair.expected.axis.words} its share is {tidy(other)}.",
                cost,
                key=f"component {pair.contribution.action.item}",
                slip=f"sine for cosine in {'moments' if pair.expected.moment else 'forces'}",
            )
    return None


def _as_bracketed(pair: Pair, factor: Factor, number: float) -> str:
    """Return a number as another one stands in the line, in brackets or without."""
    bracketed = pair.text[factor.expr.span[0] : factor.expr.span[1]].startswith("(")
    return f"({tidy(number)})" if bracketed else tidy(number)


def _unresolved(pair: Pair) -> Explanation | None:
    along = pair.contribution.action.along
    if any(pair.turns()) or min(map(abs, along)) < _NOTHING:
        return None  # a component taken apart is resolved already
    cut = pair.expected.moment and bool(pair.expected.body.cut)
    for share, part in ((abs(along[0]), "cos"), (abs(along[1]), "sin")):
        if 1e-6 < share < 1 - 1e-6 and pair.near(math.copysign(1 / share, pair.ratio)):
            slope = math.degrees(math.atan2(abs(along[1]), abs(along[0])))
            resolved = f"{pair.written} {part} {tidy(slope)}°"
            return Explanation(
                "component",
                pair.term.span,
                resolved,
                f"{pair.words} is inclined, {tidy(slope)}° from the horizontal; only its component "
                f"{part} {tidy(slope)}° = {tidy(share)} of it counts here.",
                (1.05 if pair.ratio > 0 else 2.05) + (0.25 if cut else 0.0),
                key=f"unresolved {pair.contribution.action.item} {pair.expected.axis.words}",
            )
    return _unresolved_along(pair)


def _unresolved_along(pair: Pair) -> Explanation | None:
    """Explain a force taken whole in a sum along an inclined axis."""
    size = pair.load_size or 1.0
    share = abs(pair.contribution.amount) / size
    inclined = not pair.expected.moment and min(map(abs, pair.expected.axis.direction)) > 1e-6
    if not inclined or not 1e-6 < share < 1 - 1e-6:
        return None
    if not pair.near(math.copysign(1 / share, pair.ratio)):
        return None
    slope = math.degrees(math.acos(share))
    return Explanation(
        "component",
        pair.term.span,
        f"{pair.written} cos {tidy(slope)}°",
        f"{pair.words} stands at {tidy(slope)}° to this axis; only its component "
        f"cos {tidy(slope)}° = {tidy(share)} of it counts here.",
        1.05 if pair.ratio > 0 else 2.05,
        key=f"unresolved {pair.contribution.action.item} {pair.expected.axis.words}",
    )


def plant(relation: Relation, text: str, moment: bool, figure: Figure) -> Plant | None:
    """Write sine for cosine, or the other way, in the first term that has one."""
    del moment, figure
    for side in relation.sides:
        for node in walk(side):
            if isinstance(node, Func) and node.name in _SWAP:
                start = node.span[0]
                if text[start : start + 3] == node.name:
                    return Plant(
                        text[:start] + _SWAP[node.name] + text[start + 3 :], (start, node.span[1])
                    )
    return None


KIND = FaultKind(
    "component",
    "sine stands for cosine, or an inclined force was not resolved",
    "Only the component of a force along the axis counts in a sum of forces, and only the "
    "one square "
    "to the arm turns about a point. The cosine goes with the side next to the angle, the "
    "sine with "
    "the side across from it.",
    (
        Example(
            "ΣF_x = 0: K_x − 9 cos 25° = 0",
            "ΣF_x = 0: K_x − 9 sin 25° = 0",
            "The 25° is measured from the horizontal, so the horizontal part is 9 cos 25°.",
        ),
    ),
    recognise,
    plant,
)
