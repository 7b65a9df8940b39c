"""A load or an earlier value taken at the wrong size."""

from verifier.checking.faults.base import Example, Explanation, FaultKind, Pair, Plant, tidy
from verifier.checking.figure import Figure
from verifier.checking.forms import Factor
from verifier.notation.tree import Add, Num, Relation, walk


def recognise(pair: Pair) -> Explanation | None:
    """Explain a pair that is right but for the size of its force."""
    if pair.term.variable and pair.contribution.variable == pair.term.variable:
        return _coefficient(pair)
    best: Explanation | None = None
    for factor in pair.numbers():
        explained = _size(pair, factor)
        if explained and (best is None or explained.cost < best.cost):
            best = explained
    return best


def _size(pair: Pair, factor: Factor) -> Explanation | None:
    if factor.power < 0 or not factor.quantity.centre:
        return None
    size = factor.quantity.centre
    wanted = abs(size / pair.ratio)
    action = pair.contribution.action
    true = None if action.value is None else abs(action.value)
    fits = true is not None and abs(true - wanted) <= (pair.slack + 2e-3) * wanted
    is_arm = pair.expected.moment and _is_own_arm(pair, abs(size))
    cost = 1.1 if fits else 1.5
    cost += 0.7 if is_arm else 0.0
    cost += 0.8 if true is not None and factor.quantity.holds(true) else 0.0
    cost += 0.0 if pair.ratio > 0 else 1.0
    if fits and _other_load(pair, abs(size)):
        cost -= 0.05
    have = pair.text[factor.expr.span[0] : factor.expr.span[1]].strip("() ")
    return Explanation(
        "magnitude",
        pair.term.span,
        pair.with_replaced(factor, tidy(wanted)),
        f"{pair.words} is {tidy(wanted)} here, not {have}.",
        cost,
        key=f"size {action.item} {have}",
    )


def _is_own_arm(pair: Pair, size: float) -> bool:
    about = pair.expected.axis.about
    if about is None:
        return False
    at = pair.contribution.action.at
    own = (
        abs(at[0] - about[0]),
        abs(at[1] - about[1]),
        abs(pair.contribution.action.moment(about)),
    )
    return any(abs(arm - size) <= 2e-3 * size for arm in own)


def _other_load(pair: Pair, size: float) -> bool:
    return any(abs(datum.value - size) <= 1e-6 * size for datum in pair.figure.loads)


def _coefficient(pair: Pair) -> Explanation | None:
    factors = [f for f in pair.numbers()]
    if pair.expected.moment or not factors:
        return None
    factor = factors[0]
    wanted = factor.quantity.centre / pair.ratio**factor.power
    return Explanation(
        "magnitude",
        pair.term.span,
        pair.with_replaced(factor, tidy(wanted)),
        f"{pair.words} enters this sum {tidy(abs(pair.contribution.amount))} times, not "
        f"{tidy(abs(pair.contribution.amount * pair.ratio))} times.",
        1.7 if pair.ratio > 0 else 2.7,
        key=f"coefficient {pair.contribution.action.item}",
    )


def plant(relation: Relation, text: str, moment: bool, figure: Figure) -> Plant | None:
    """Miscopy a load in a sum."""
    del moment
    loads = {datum.value for datum in figure.loads}
    for side in relation.sides:
        for _, term in side.terms if isinstance(side, Add) else ():
            for node in walk(term):
                if isinstance(node, Num) and node.value in loads:
                    start, end = node.span
                    digits = text[start : start + len(node.text)]
                    new = tidy(node.value + (3 if node.value >= 1 else 0.3))
                    grown = len(new) - len(digits)
                    planted = text[:start] + new + text[start + len(digits) :]
                    return Plant(planted, (term.span[0], term.span[1] + grown))
                del node
    return None


KIND = FaultKind(
    "magnitude",
    "a load or an earlier value is miscopied",
    "The force is the right one, at the right place, but its size is another load's, has its digits "
    "swapped or a power of ten lost; or the resultant of a spread load is taken too large or too "
    "small.",
    (
        Example(
            "ΣF_y = 0: K_y + L_y − 14 − 5 = 0",
            "ΣF_y = 0: K_y + L_y − 41 − 5 = 0",
            "The load is 14 kN.",
        ),
    ),
    recognise,
    plant,
)
