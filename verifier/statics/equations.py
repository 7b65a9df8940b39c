"""A free body's equilibrium sums as coefficients of its unknowns."""

from verifier.statics.actions import FreeBody


def equation(body: FreeBody, direction: tuple[float, float]) -> tuple[dict[str, float], float]:
    """Return the sum of forces along a unit vector: {item: coefficient}, and the known part.

    Equilibrium is `Σ coefficient · value + known = 0`; items with coefficient 0 are left out.
    """
    terms: dict[str, float] = {}
    known = 0.0
    for action in body.actions:
        share = action.component(direction)
        if action.value is not None:
            known += action.value * share
        elif abs(share) > 1e-12:
            terms[action.item] = terms.get(action.item, 0.0) + share
    return terms, known


def moment(body: FreeBody, about: tuple[float, float]) -> tuple[dict[str, float], float]:
    """Return the anticlockwise moments about a point: {item: coefficient}, and the known part.

    An arm that is rounding dust beside the distance to its force counts as none.
    """
    terms: dict[str, float] = {}
    known = 0.0
    for action in body.actions:
        share = action.moment(about)
        reach = abs(action.at[0] - about[0]) + abs(action.at[1] - about[1])
        if abs(share) <= 1e-12 * reach:
            continue
        if action.value is not None:
            known += action.value * share
        elif share:
            terms[action.item] = terms.get(action.item, 0.0) + share
    return terms, known
