"""What the figure says of a name that the writer defines, and how a definition contradicts it."""

import math
import re

from verifier.checking.derived import is_angle, same
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import tidy
from verifier.checking.figure import Figure
from verifier.checking.ledger import Ledger
from verifier.checking.legs import by_sides, whose_angle
from verifier.checking.names import Known, Meaning, key_of
from verifier.checking.quantity import Quantity
from verifier.findings import begun
from verifier.notation.tree import Add, Expr, Func, Name, Num, Pow, Relation, walk

_TO_A_LINE = re.compile(
    r"(?<!horizontal )(?<!vertical )\b(?:distance|lever arm|abstand|lot|hebelarm|bras de levier"
    r"|distanza|braccio|distancia|brazo|odległość)\s(?:from|of|von|de|di|d[aeu]|od)\s"
    r"(?:point |joint |Punkt )?(?P<p>[A-Z]\d?'?)\s(?:to|from|zu[rm]?|von|bis|à|al?|alla|do|of)\s"
    r"(?:(?:the|der|die|dem|la|le|line|linie|geraden?|stab|cable|member|bar|seil|droite|retta|recta"
    r"|of|action)\s)*(?P<a>[A-Z]\d?'?)(?P<b>[A-Z]\d?'?)\b",
    re.IGNORECASE,
)

_LONG = re.compile(
    r"\W*(?:(?:member|bar|cable|rope|stay|tie|strut|rod|Stab|Seil|barre|asta|barra|pręt)\s)?"
    r"(?P<a>[A-Z]\d?'?)[-–]?(?P<b>[A-Z]\d?'?)\s?:[^=]{0,60}(?<![\w])(?:L|l|ℓ|d|s|c)\s?=\s?$"
)


def length_said(text: str, side: Expr, figure: Figure) -> Known | None:
    """Return how long what a line is about is: `BC: 4 across, 3 up, L = √(4² + 3²)`."""
    said = _LONG.match(text)
    if said is None or not isinstance(side, Func) or side.name != "sqrt":
        return None
    squares = side.arg.terms if isinstance(side.arg, Add) else ()
    ends = [figure.points.get(said[group]) for group in "ab"]
    if not squares or not all(isinstance(one, Pow) for _, one in squares) or None in ends:
        return None
    first, second = (end for end in ends if end is not None)
    words = f"the distance from {said['a']} to {said['b']}"
    return Known(Quantity(math.dist(first, second)), "length", words)


def distance_said(text: str, figure: Figure) -> Known | None:
    """Return the distance that words name: 'distance from A to the line BD'; None for no such."""
    said = _TO_A_LINE.search(text)
    at = [figure.points.get(said[group]) for group in "pab"] if said else []
    if said is None or None in at or said["a"] == said["b"]:
        return None
    (x, y), (x1, y1), (x2, y2) = (point for point in at if point is not None)
    across = abs((x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)) / math.dist((x1, y1), (x2, y2))
    words = f"the distance from {said['p']} to the line {said['a']}{said['b']}"
    return Known(Quantity(across), "length", words) if across else None


def true_value(
    name: Name,
    known: Meaning,
    relation: Relation,
    value: Quantity,
    figure: Figure,
    distrust: dict[str, float],
    ledger: Ledger,
) -> float | None:
    """Return what the figure says a defined name is, or None where it says nothing."""
    if isinstance(known, Known):
        if name.text == "g" and not figure.true and 9.7 <= value.centre <= 10.1:
            return None  # no sheet says which g
        if known.kind == "load" and any(same(value.centre, d.value, 1e-6) for d in figure.loads):
            return None  # a name of the writer's own for another load
        shown = [p for p in known.parts if abs(abs(value.centre) - p) <= value.radius + 1e-9 * p]
        return shown[0] if shown else known.quantity.centre
    side = relation.sides[1]
    if not is_angle(side):
        return None
    if key_of(name) in distrust:
        return distrust[key_of(name)]
    if not isinstance(side, Func):
        return None
    degrees = abs(value.centre)
    if any(abs(d.value - degrees) <= max(0.06, value.radius) for d in figure.angles):
        return None
    numbers = [abs(node.value) for node in walk(side.arg) if isinstance(node, Num)]
    sizes = (1.0, *figure.structure.letters.values())
    lengths = [d.value / size for d in figure.lengths for size in sizes]
    forces = [abs(v) for v in figure.true.values() if v] + [d.value for d in figure.loads]
    if any(same(n, f, 5e-3) for n in numbers for f in forces if n not in (1.0, 2.0)):
        return None
    drawn = [n for n in numbers if any(same(n, length, 1e-6) for length in lengths)]
    own = [n for n in numbers if n not in drawn and n not in (1.0, 2.0)]
    if not drawn or any(ledger.has_found(n) for n in own) or any(map(ledger.has_own, numbers)):
        return None
    options = by_sides(side, figure) or [a for a in figure.drawn_angles if 0 < a < 90]
    return min(options, key=lambda a: abs(a - degrees)) if options else None


def wrong_geometry(
    name: Name,
    known: Meaning,
    side: Expr,
    value: Quantity,
    truth: float,
    written: str,
    figure: Figure,
) -> Explanation:
    """Return the fault of a length, an angle or a given quantity that the figure contradicts."""
    kind = "geometry"
    words = f"{name.text} of the figure"
    if isinstance(known, Known):
        words = known.words
        kind = "magnitude" if known.kind in ("load", "letter") else "geometry"
    angle = not isinstance(known, Known) or known.kind == "angle"
    sign = "°" if angle else ""
    whose = whose_angle(truth, figure) if not isinstance(known, Known) else ""
    message = (
        f"{words} is {tidy(truth)}{sign}{whose}; {written} comes to {tidy(value.centre)}{sign}."
    )
    if math.isclose(value.centre + truth, 90, abs_tol=0.1) and angle:
        message += " The two sides of the triangle are swapped."
    return Explanation(
        kind,
        side.span,
        f"{tidy(truth)}{sign}",
        begun(message),
        1.0,
        key=f"{kind} {name.text}",
    )
