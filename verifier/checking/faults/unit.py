"""A quantity in another unit than it is taken for."""

import math

from verifier.checking.faults.base import Example, Explanation, FaultKind, Pair

_JUMPS = (1000.0, 0.001)


def recognise(pair: Pair) -> Explanation | None:
    """Explain a pair that is a thousand times too large or too small."""
    for jump in _JUMPS:
        for sign in (1.0, -1.0):
            if pair.near(sign * jump):
                size = "large" if jump > 1 else "small"
                return Explanation(
                    "unit",
                    pair.term.span,
                    f"{pair.written} {'÷' if jump > 1 else '×'} 1000",
                    f"This term is a thousand times too {size}: its unit is not the one that the "
                    "other terms of the sum are in.",
                    1.05 if sign > 0 else 2.1,
                    key=f"unit {pair.contribution.action.item} {math.copysign(1, sign):g}",
                )
    return None


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
