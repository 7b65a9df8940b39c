"""A length and the force that it stands for: `BC = 5 m → 10 kN`, `4.5 cm, i.e. 9 kN`."""

from verifier.checking.derived import bare_number
from verifier.notation.tree import Expr, Num

_KINDS = frozenset({"length", "force"})


def drawn_to_scale(before: Expr, behind: Expr) -> bool:
    """Tell whether of two values one is a length and the other a force: no one comes to the other.

    That is how triangles of forces and drawings to scale are written.
    """
    numbers = [bare_number(before), bare_number(behind)]
    kinds = {one.unit.kind for one in numbers if isinstance(one, Num) and one.unit is not None}
    return kinds == _KINDS


__all__ = ["drawn_to_scale"]
