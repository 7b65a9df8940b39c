"""A slip in rearranging an equation."""

from verifier.checking.faults.base import Example, FaultKind

KIND = FaultKind(
    "algebra",
    "an equation is wrongly rearranged",
    "The equation above is kept as written, but what is made of it does not follow: a term changes "
    "sides without changing its sign, a factor is multiplied where it should divide, a bracket "
    "is lost.",
    (
        Example(
            "9 L_y − 84 + 12 = 0, so L_y = (84 − 12)/9",
            "9 L_y − 84 + 12 = 0, so L_y = (84 + 12)/9",
            "The + 12 becomes − 12 on the other side.",
        ),
    ),
)
