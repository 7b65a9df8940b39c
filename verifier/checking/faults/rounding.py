"""A difference that only early or careless rounding explains."""

from verifier.checking.faults.base import Example, FaultKind

KIND = FaultKind(
    "rounding",
    "a result is off by no more than rounding",
    "A value was rounded before it was used again, or cut off instead of rounded. It is a "
    "remark, not "
    "a fault, unless rounding is judged strictly.",
    (
        Example(
            "L_y = 14(6)/9 = 9.33 kN",
            "L_y = 14(6)/9 = 9.34 kN",
            "9.333… rounds to 9.33.",
        ),
    ),
)
