"""One sign convention for the inner forces of a beam: a change from cut to cut is told."""

import math
import re
from collections.abc import Mapping
from itertools import pairwise

from verifier.checking.faults import Explanation
from verifier.checking.faults.base import tidy
from verifier.checking.figure import Figure
from verifier.checking.state import Outcome, Slip

_KINDS = {"shear at ": "shear", "moment at ": "bending moment", "axial at ": "axial force"}
_ZERO = 0.01
_SAID = re.compile(
    r"sag|hog|[↺↻↑↓←→]|clockwise|\bc?cw\b|\btop\b|bottom|upward|downward|tens|compr|positiv|negativ"
    r"|oben|unten|uhrzeiger|durchh|\bzug|druck|haut|\bbas\b|horaire|arriba|abajo|horario|antihor"
    r"|supér|infér|super|infer|sopra|sotto|orario|antior|gór|doł|dół|zegar|rozciąg|ściska",
    re.IGNORECASE,
)
"""Words and signs beside a result that say which way it acts: then its sign need not."""


def changed(
    figure: Figure,
    senses: Mapping[str, float],
    declared: Mapping[str, float],
    outcome: Outcome,
    texts: Mapping[int, str],
) -> list[Slip]:
    """Return the first change of convention for every kind of inner force on a straight run.

    Both conventions are right, and a sense that the writer declares is the writer's choice; what
    is not is taking a bending moment positive when it sags at one cut and when it hogs at another.
    """
    first: dict[tuple[str, str, float], tuple[str, float]] = {}
    told: set[tuple[str, str, float]] = set()
    slips = []
    for variable, found in sorted(outcome.stated.items(), key=lambda item: item[1].line):
        kind = next((kind for kind in _KINDS if variable.startswith(kind)), None)
        place = outcome.places.get(variable)
        if kind is None or place is None or variable in declared or found.tainted:
            continue
        if _SAID.search(texts.get(place[0], "")):
            continue
        run = _run(figure, variable.removeprefix(kind))
        if run is None or abs(found.quantity.centre) <= _ZERO * figure.scale(variable):
            continue
        key = (kind, *run)
        sense = senses.get(variable, 1.0)
        if key not in first:
            first[key] = variable, sense
        elif first[key][1] != sense and key not in told:
            told.add(key)
            slips.append(_slip(kind, variable, first[key][0], sense, outcome))
    return slips


def _slip(kind: str, variable: str, before: str, sense: float, outcome: Outcome) -> Slip:
    line, span = outcome.places[variable]
    name = outcome.called.get(variable, variable)
    other = outcome.called.get(before, before)
    value = outcome.stated[variable].quantity.centre * sense
    message = (
        f"{name} is {tidy(-value)} in the convention in which {other} was found: the sign of the "
        f"{_KINDS[kind]} changes its meaning from one cut to the next."
    )
    explanation = Explanation(
        "inconsistent", span, tidy(-value), message, 1.0, key=f"convention {variable}"
    )
    return Slip(line, explanation, "convention of the inner forces")


def _run(figure: Figure, joint: str) -> tuple[str, float] | None:
    """Return the body and the slope of the straight run on which a joint lies, None at a bend."""
    for body in figure.structure.bodies:
        if joint not in body.points:
            continue
        at = body.points.index(joint)
        near = body.points[max(at - 1, 0) : at + 2]
        slopes = {_slope(figure, *pair) for pair in pairwise(near)}
        return (body.name, slopes.pop()) if len(slopes) == 1 else None
    return None


def _slope(figure: Figure, first: str, second: str) -> float:
    (x1, y1), (x2, y2) = figure.points[first], figure.points[second]
    return round(math.degrees(math.atan2(y2 - y1, x2 - x1)) % 180, 6)
