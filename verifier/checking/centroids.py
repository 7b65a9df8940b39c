"""The place of the resultant of several loads: x = Σ F·d / Σ F, each d measured from one joint."""

from collections.abc import Iterator
from dataclasses import dataclass

from verifier.checking.derived import same
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import length, say
from verifier.checking.figure import Figure
from verifier.checking.forms import Factor, NotLinear, Reader, Term
from verifier.notation.tree import Add, Div, Expr
from verifier.structure.model import Force

_NEAR = 2e-3


@dataclass(frozen=True)
class OddArm:
    """The one distance of such a quotient that is not its load's, and what the place should be."""

    explanation: Explanation
    place: float


def odd_arm(side: Expr, reader: Reader, figure: Figure, text: str) -> OddArm | None:
    """Return the wrong distance in `(F1·d1 + F2·d2)/(F1 + F2)`, None where no single one is.

    The distances are those of parallel loads of the sheet from one of its joints, in its units.
    """
    if not isinstance(side, Div) or not isinstance(side.top, Add):
        return None
    try:
        terms, whole = reader.form(side.top).terms, reader.evaluate(side.bottom).centre
    except NotLinear:
        return None
    across = [axis for axis in (0, 1) if all(_lies(f, 1 - axis, figure) for f in figure.forces)]
    split = [_split(term, figure) for term in terms]
    loads = [next(pair for pair in pairs) for pairs in split if pairs]
    if len(across) != 1 or len(loads) != len(terms) or len(terms) != len(figure.forces):
        return None
    if not same(whole, sum(size for _, size in loads), _NEAR):
        return None
    odd: dict[str, list[tuple[Term, Factor, Force, float]]] = {}
    for joint, point in figure.points.items():
        odd[joint] = list(_odd(terms, split, point[across[0]], across[0], figure))
    supports = {support.joint for support in figure.structure.supports}
    single = sorted((j for j in odd if len(odd[j]) == 1), key=lambda j: j not in supports)
    if any(not wrong for wrong in odd.values()) or not single:
        return None
    joint = single[0]
    if len(terms) == 2 and joint not in supports:
        return None
    term, arm, force, wanted = odd[joint][0]
    have = text[arm.expr.span[0] : arm.expr.span[1]].strip("() ")
    new = say(figure, wanted)
    message = (
        f"You used {have}; {force.label} acts {length(figure, wanted)} from {joint}, measured "
        "square to its line."
    )
    told = Explanation(
        "lever-arm", term.span, new, message, 1.1, key=f"place {have} {new} {force.label}"
    )
    size = force.size.number(figure.structure.letters)
    change = abs(size) * (wanted - abs(arm.quantity.centre)) / whole
    total = sum(abs(t.coefficient.centre) for t in terms) / abs(whole)
    return OddArm(told, total + change)


def _lies(force: Force, axis: int, figure: Figure) -> bool:
    """Tell whether a load acts along an axis: 0 for x, 1 for y."""
    return abs(force.direction[1 - axis].number(figure.structure.letters)) < 1e-9


def _split(term: Term, figure: Figure) -> list[tuple[Factor, float]]:
    """Return the ways to take a term of two factors as a distance times a load's size."""
    if term.variable or len(term.factors) != 2 or any(f.power < 0 for f in term.factors):
        return []
    sizes = [abs(f.size.number(figure.structure.letters)) for f in figure.forces]
    first, second = term.factors
    return [
        (arm, abs(load.quantity.centre))
        for load, arm in ((first, second), (second, first))
        if any(same(abs(load.quantity.centre), size, _NEAR) for size in sizes)
    ]


def _odd(
    terms: tuple[Term, ...],
    split: list[list[tuple[Factor, float]]],
    origin: float,
    axis: int,
    figure: Figure,
) -> Iterator[tuple[Term, Factor, Force, float]]:
    """Yield the terms whose distance is not that of their load from an origin."""
    letters = figure.structure.letters
    left = list(figure.forces)
    later = []
    for term, ways in zip(terms, split, strict=True):
        arm, size = ways[0]
        own = [f for f in left if same(abs(f.size.number(letters)), size, _NEAR)]
        near = [
            f
            for f in own
            if same(abs(arm.quantity.centre), abs(f.at[axis].number(letters) - origin), _NEAR)
        ]
        if near:
            left.remove(near[0])
        else:
            later.append((term, arm, size))
    for term, arm, size in later:
        own = [f for f in left if same(abs(f.size.number(letters)), size, _NEAR)]
        if own:
            left.remove(own[0])
            yield term, arm, own[0], abs(own[0].at[axis].number(letters) - origin)
