"""A quantity in another unit than it is taken for."""

from verifier.checking.faults.base import Example, Explanation, FaultKind, Pair, say
from verifier.checking.forms import Factor

_JUMPS = (1000.0, 0.001)
_FEET = (12.0, 1 / 12)
"""Feet for inches, or the other way, where a sheet is in either."""
_COST = 0.97
"""A factor of exactly a thousand is hardly anything else."""


def recognise(pair: Pair) -> Explanation | None:
    """Explain a pair that is a thousand times too large or too small, or twelve times in feet."""
    feet = pair.figure.structure.length_unit in ("ft", "in") and pair.expected.moment
    for jump in (*_JUMPS, *(_FEET if feet else ())):
        for sign in (1.0, -1.0):
            if pair.near(sign * jump):
                cost = _COST if sign > 0 else 2.1
                key = f"unit {pair.contribution.action.item} {sign:g}"
                factor = _out_of_unit(pair, jump)
                if factor is not None:
                    return _named(pair, factor, jump, cost, key)
                if jump in _FEET:
                    continue  # twelve times by chance
                size = "large" if jump > 1 else "small"
                message = (
                    f"This term is a thousand times too {size}: its unit is not the one that the "
                    "other terms of the sum are in."
                )
                wanted = f"{pair.written} {'÷' if jump > 1 else '×'} 1000"
                return Explanation("unit", pair.term.span, wanted, message, cost, key=key)
    return None


def _out_of_unit(pair: Pair, jump: float) -> Factor | None:
    """Return the one number of a term that is a thousand times a length or load of the sheet."""
    known = [d.value for d in (*pair.figure.lengths, *pair.figure.loads) if d.value]
    found = [
        factor
        for factor in pair.numbers()
        if factor.power > 0
        and not _is_one(abs(factor.quantity.centre), known)
        and _is_one(abs(factor.quantity.centre) / jump, known)
    ]
    return found[0] if len(found) == 1 else None


def _is_one(number: float, known: list[float]) -> bool:
    return any(abs(number - value) <= 1e-6 * value for value in known)


def _named(pair: Pair, factor: Factor, jump: float, cost: float, key: str) -> Explanation:
    have = pair.text[slice(*factor.expr.span)].strip("() ")
    right = say(pair.figure, factor.quantity.centre / jump)
    times = "twelve" if jump in _FEET else "a thousand"
    size = "large" if jump > 1 else "small"
    message = f"«{have}» is {times} times too {size} here: {right} belongs in its place."
    bracketed = pair.text[slice(*factor.expr.span)].startswith("(")
    wanted = pair.with_replaced(factor, f"({right})" if bracketed else right)
    return Explanation("unit", pair.term.span, wanted, message, cost, key=key)


KIND = FaultKind(
    "unit",
    "units are mixed, or a result carries the wrong one",
    "Millimetres stand beside metres or newtons beside kilonewtons in one sum, a moment is given "
    "in a unit of force, or a result in another unit than its number.",
    (
        Example(
            "ΣM_K = 0: 9 L_y − 14(6) = 0",
            "ΣM_K = 0: 9 L_y − 14(6000) = 0",
            "6000 mm are 6 m, the unit of the other arm.",
        ),
        Example("M_K = 38 kN m", "M_K = 38 kN", "A moment is a force times a length."),
    ),
    recognise,
)
