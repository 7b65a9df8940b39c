"""A bare value that is an equilibrium sum without one of its forces, or with one turned round."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from verifier.checking.faults import Explanation
from verifier.checking.faults.base import say
from verifier.checking.figure import Figure
from verifier.checking.items import in_words
from verifier.checking.ledger import Found, three_figures
from verifier.checking.quantity import Quantity
from verifier.checking.sums import Contribution, Expected
from verifier.notation.tree import Span

_COST = 2.0
_NOTHING = 1e-9
_CLEAR = 4.0
"""How many times a value's own rounding a force must count to be told from it."""


@dataclass(frozen=True)
class Told:
    """A value told for a force without its sum: `claims` are the senses it may be meant in."""

    variable: str
    name: str
    claims: tuple[Quantity, ...]
    span: Span
    written: str
    figure: Figure


def omitted(
    told: Told, sums: Iterable[Expected], values: Mapping[str, Found]
) -> Explanation | None:
    """Return which one force a value leaves out of its sum, or turns round; None without one.

    `values` are those that the working has found.
    """
    found = [
        (times, one, expected, wanted)
        for expected in sums
        for times, one, wanted in _at_odds(told, expected, values)
    ]
    for times, one, expected, wanted in sorted(found, key=lambda each: each[0]):
        words, sum_ = in_words(one.action), expected.axis.words
        message = (
            f"{told.name} = {told.written} is what comes out ({sum_}) without {words}, which acts "
            f"on the {expected.body.name} as well."
            if times == 1
            else f"{told.name} = {told.written} is what comes out ({sum_}) with the sign of "
            f"{words} the other way round."
        )
        kind = "missing-force" if times == 1 else "sign"
        size = say(told.figure, wanted)
        return Explanation(kind, told.span, size, message, _COST, key=f"result {told.variable}")
    return None


def _at_odds(
    told: Told, expected: Expected, values: Mapping[str, Found]
) -> Iterator[tuple[int, Contribution, float]]:
    """Yield the forces once or twice whose share a value is off by, with the right value."""
    lead = expected.coefficients.get(told.variable, 0.0)
    parts = _parts(expected, told.variable, values) if lead else []
    rest = sum(size for _, size in parts)
    for claim in told.claims if parts else ():
        off = lead * claim.centre + rest
        slack = abs(lead) * max(claim.radius, three_figures(claim.centre))
        for one, size in parts:
            for times in (1, 2):
                clear = abs(size) > _CLEAR * slack + _NOTHING * expected.scale
                if clear and abs(off - times * size) <= slack:
                    yield times, one, -rest / lead


def _parts(
    expected: Expected, variable: str, values: Mapping[str, Found]
) -> list[tuple[Contribution, float]]:
    """Return what each other force adds to a sum, nothing where one of them has no value yet."""
    found = []
    for one in expected.contributions:
        if one.variable == variable or abs(one.amount) <= _NOTHING * expected.scale:
            continue
        known = values.get(one.variable) if one.variable else None
        if one.variable and known is None:
            return []
        found.append((one, one.amount * (known.quantity.centre if known else 1.0)))
    return found
