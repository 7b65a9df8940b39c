"""One name in two senses, or action and reaction that are not opposite."""

from verifier.checking.faults.base import Example, FaultKind

KIND = FaultKind(
    "inconsistent",
    "one name is used in two senses, or action and reaction do not oppose",
    "A member that pulls on one joint pulls on the other too; a pin pushes its two bodies "
    "with equal "
    "and opposite forces. A name keeps the sense in which it was first drawn.",
    (
        Example(
            "Joint K: KM + 4 = 0; Joint M: −KM + 6 = 0 (KM to the left at M)",
            "Joint K: KM + 4 = 0; Joint M: KM + 6 = 0",
            "KM was drawn pulling at K, towards M; at M it then pulls towards K.",
        ),
    ),
)
