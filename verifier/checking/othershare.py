"""A bar's force worked out by the other component of a bar: `CB = 12·5/4` for `12·5/3`."""

import math
from collections.abc import Iterator
from itertools import combinations

from verifier.checking.derived import same
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import tidy
from verifier.checking.figure import Figure
from verifier.checking.forms import Factor, NotLinear, Reader
from verifier.checking.names import Unknown
from verifier.notation.tree import Name, Relation

_NEAR = 5e-3


def other_share(
    relation: Relation, index: int, reader: Reader, figure: Figure, text: str
) -> Explanation | None:
    """Return that one factor of a product is a bar's other component, None where it is not.

    With the right one the product must come to the bar's true force.
    """
    name, side = relation.sides[index : index + 2]
    meaning = reader.meaning(name) if isinstance(name, Name) else None
    if not isinstance(meaning, Unknown) or figure.structure.letters:
        return None
    ends = {item: pair for pair, item in figure.member_ends.items()}
    wanted = abs(figure.true.get(meaning.variable, 0.0) * meaning.factor)
    if meaning.variable not in ends or not wanted:
        return None
    try:
        value, terms = abs(reader.evaluate(side).centre), reader.form(side).terms
    except NotLinear:
        return None
    if len(terms) != 1 or terms[0].variable:
        return None
    written = [f.quantity.centre for f in terms[0].factors]

    def likely(item: str) -> tuple[bool, bool]:
        """Put the bar itself first, then those whose forces stand in the product."""
        size = abs(figure.true[item])
        return item != meaning.variable, not any(same(abs(one), size, _NEAR) for one in written)

    near = sorted((item for item in ends if ends[item] & ends[meaning.variable]), key=likely)
    for made in _made_of(terms[0].factors):
        for item in near:
            for have, right in _shares(figure, *sorted(ends[item])):
                if same(made, have, _NEAR) and same(value * right / have, wanted, _NEAR):
                    shown, right_one = text[slice(*side.span)], tidy(wanted)
                    message = (
                        f"«{shown}» takes the other component of {item}: with the one that counts "
                        f"here it comes to {right_one}."
                    )
                    key = f"component {item}"
                    return Explanation("component", side.span, tidy(wanted), message, 1.0, key=key)
    return None


def _made_of(factors: tuple[Factor, ...]) -> Iterator[float]:
    """Yield what single factors of a product come to, and two of them, as in 5/4."""
    sizes = [abs(f.quantity.centre) ** f.power for f in factors if f.quantity.centre]
    yield from sizes
    for one, other in combinations(sizes, 2):
        yield one * other


def _shares(figure: Figure, first: str, second: str) -> Iterator[tuple[float, float]]:
    """Yield a bar's shares and their like, each with what the other component would make of it."""
    (x1, y1), (x2, y2) = figure.points[first], figure.points[second]
    across, up, long = abs(x2 - x1), abs(y2 - y1), math.hypot(x2 - x1, y2 - y1)
    if min(across, up) < 1e-9 * long or same(across, up, 1e-6):
        return
    for one, other in ((across, up), (up, across)):
        yield one / long, other / long
        yield long / one, long / other
        yield one / other, other / one
