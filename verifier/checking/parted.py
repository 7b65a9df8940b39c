"""Names of a roller by an axis, as R_x of one that pushes left: drawn against it when rightward."""

from verifier.checking.figure import Figure
from verifier.notation.names import AXES, canonical

_NOTHING = 1e-9


def turned_by_axis(variable: str, called: str, figure: Figure) -> float:
    """Return −1 where a roller's name has its positive sense along an axis against the roller."""
    axis = canonical(called)[-1:]
    words = variable.split(" ")
    if len(words) != 2 or words[0] != "reaction" or axis not in AXES or called[:1] == axis:
        return 1.0
    for item, along, turns in figure.reactions.get(words[1], []):
        if item == variable and not turns:
            part = along["xy".index(AXES[axis])]
            return -1.0 if part < -_NOTHING else 1.0
    return 1.0
