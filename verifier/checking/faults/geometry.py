"""A length or an angle wrongly worked out."""

from verifier.checking.faults.base import Example, FaultKind

KIND = FaultKind(
    "geometry",
    "a length or an angle is wrongly worked out from the figure",
    "The working derives a length, an angle or a slope from the figure, and the figure says "
    "otherwise: legs of a triangle swapped, a root left out, the wrong joints taken.",
    (
        Example(
            "θ = tan⁻¹(1.5/2.0) = 36.87°",
            "θ = tan⁻¹(2.0/1.5) = 53.13°",
            "θ is measured from the horizontal leg, which is 2.0 m long.",
        ),
    ),
)
