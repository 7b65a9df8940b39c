"""Another angle than the force's own."""

import math

from verifier.checking.faults.base import (
    RATIO_NOISE,
    Example,
    Explanation,
    FaultKind,
    Pair,
    Plant,
    tidy,
)
from verifier.checking.figure import Figure
from verifier.checking.forms import Factor
from verifier.notation.tree import Func, Num, Relation, walk

_INVERSE = {"sin": math.asin, "cos": math.acos, "tan": math.atan}


_OBTUSE = 0.5


def recognise(pair: Pair) -> Explanation | None:
    """Explain a pair that is right with another angle in its sine, cosine or tangent."""
    best: Explanation | None = None
    for factor in pair.turns():
        for sign in (1.0, -1.0):
            explained = _with_other_angle(pair, factor, sign)
            if explained and (best is None or explained.cost < best.cost):
                best = explained
    return best or _slope_of_another(pair)


def _slope_of_another(pair: Pair) -> Explanation | None:
    """Explain a fraction such as 3/5 that is another bar's share, in a sum of forces."""
    variable, have = pair.contribution.variable, abs(pair.term.coefficient.centre)
    shared = abs(pair.contribution.amount) > 1 + RATIO_NOISE  # of several forces that are the same
    if pair.expected.moment or not variable or shared or not 1e-3 < have < 0.9995:
        return None
    wanted = abs(pair.contribution.amount)
    bars = [m for m in pair.figure.structure.members if "-" in m.name]
    ends = {m.name: (pair.figure.points[m.start], pair.figure.points[m.end]) for m in bars}
    for name, (start, end) in ends.items():
        size = math.dist(start, end)
        along = ((end[0] - start[0]) / size, (end[1] - start[1]) / size)
        if name == variable or min(map(abs, along)) < 1e-6 or abs(have - wanted) < 5e-3:
            continue
        own = any(abs(have - abs(part)) <= 2e-3 for part in pair.contribution.action.along)
        if any(abs(have - abs(part)) <= 2e-3 for part in along) and not own:
            return Explanation(
                "angle",
                pair.term.span,
                tidy(wanted),
                f"{tidy(have)} is the share of {name}, which lies otherwise; that of {pair.words} "
                f"in the {pair.expected.axis.words} is {tidy(wanted)}.",
                1.2 if pair.ratio > 0 else 2.2,
                key=f"slope {pair.contribution.action.item}",
            )
    return None


def _with_other_angle(pair: Pair, factor: Factor, sign: float) -> Explanation | None:
    func = factor.expr
    if not isinstance(func, Func):
        return None
    change = (sign * pair.ratio) ** factor.power
    wanted = factor.quantity.centre / change
    if func.name != "tan" and not -1 <= wanted <= 1:
        return None
    degrees = math.degrees(_INVERSE[func.name](wanted))
    if degrees < 0:
        return None
    known = [d for d in pair.figure.angles if abs(d.value - degrees) < max(0.06, 0.004 * degrees)]
    own = any(
        abs(abs(factor.quantity.centre) - abs(part)) < 2e-3
        for part in pair.contribution.action.along
    )
    cost = (1.1 if known else 1.55) + (0.3 if own and pair.expected.moment else 0.0)
    cost += (0.0 if sign > 0 else 1.0) + (_OBTUSE if degrees > 90 and not known else 0.0)
    have = pair.text[func.arg.span[0] : func.arg.span[1]].strip("() ")
    words = f" ({known[0].words})" if known else ""
    new = f"{func.name} {tidy(round(degrees, 2))}°"
    return Explanation(
        "angle",
        pair.term.span,
        pair.with_replaced(factor, new),
        f"{have} is not the angle at which {pair.words} acts here; it is {tidy(round(degrees, 2))}°"
        f"{words}.",
        cost,
        key=f"angle {have} {round(degrees, 1)} {pair.contribution.action.item}",
        angle=degrees,
        slip=f"{have} for {round(degrees, 1)}",
    )


def plant(relation: Relation, text: str, moment: bool, figure: Figure) -> Plant | None:
    """Misread the angle in the first sine or cosine of a number of degrees."""
    del moment, figure
    for side in relation.sides:
        for node in walk(side):
            if (
                isinstance(node, Func)
                and node.name in ("sin", "cos")
                and isinstance(node.arg, Num)
                and 5 < node.arg.value < 80
            ):
                start, end = node.arg.span
                new = tidy(round(node.arg.value + 7.5, 2)) + ("°" if "°" in text[start:end] else "")
                grown = len(new) - (end - start)
                return Plant(text[:start] + new + text[end:], (node.span[0], node.span[1] + grown))
    return None


KIND = FaultKind(
    "angle",
    "another angle is taken than the one at which the force acts",
    "The angle belongs to another member, to another line, or was misread from the figure. The "
    "function may be right; the angle in it is not.",
    (
        Example(
            "ΣF_y = 0: KM sin 41° − 12 = 0",
            "ΣF_y = 0: KM sin 14° − 12 = 0",
            "KM stands at 41° to the horizontal.",
        ),
    ),
    recognise,
    plant,
)
