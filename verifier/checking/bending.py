"""The words beside a bending moment: sagging or hogging, held against the way in which it bends."""

import math
import re
from collections.abc import Mapping

from verifier.checking.derived import same
from verifier.checking.faults import Explanation
from verifier.checking.figure import Figure
from verifier.checking.state import Outcome, Slip

_MOMENT = "moment at "
_NEAR = 0.02
_WORD = re.compile(
    r"(?P<sag>sag(?:ging|s)?\b|zug unten|unten (?:zug|gezogen)|fibres? inférieures? tendues?"
    r"|(?:tese le )?fibre inferiori(?: tese)?|tracción (?:abajo|inferior)"
    r"|(?:rozciągane )?dolne włókna|bottom in tension|tension (?:at|in|on) (?:the )?bottom)"
    r"|(?P<hog>hog(?:ging|s)?\b|zug oben|oben (?:zug|gezogen)|fibres? supérieures? tendues?"
    r"|(?:tese le )?fibre superiori(?: tese)?|tracción (?:arriba|superior)"
    r"|(?:rozciągane )?górne włókna|top in tension|tension (?:at|in|on) (?:the )?top)",
    re.IGNORECASE,
)
_STEEP = 1e-3


def misnamed(figure: Figure, outcome: Outcome, texts: Mapping[int, str]) -> list[Slip]:
    """Return a fault for every right moment at a cut that is said to bend the other way."""
    slips = []
    for variable, found in outcome.stated.items():
        truth, place = figure.true.get(variable, 0.0), outcome.places.get(variable)
        if not variable.startswith(_MOMENT) or place is None or not truth:
            continue
        line, span = place
        text = texts.get(line, "")
        word = _WORD.search(text, span[1])
        if word is None or "=" in text[span[1] : word.start()] or not _lies(figure, variable):
            continue
        sags = word["sag"] is not None
        if sags == (truth > 0) or not same(abs(found.quantity.centre), abs(truth), _NEAR):
            continue
        slips.append(_slip(variable, line, word.span(), sags, outcome))
    return slips


def _slip(variable: str, line: int, span: tuple[int, int], sags: bool, outcome: Outcome) -> Slip:
    name = outcome.called.get(variable, variable)
    message = (
        f"{name} bends the beam upwards (hogging): the top is in tension, not the bottom."
        if sags
        else f"{name} bends the beam downwards (sagging): the bottom is in tension, not the top."
    )
    right = "hogging" if sags else "sagging"
    return Slip(
        line,
        Explanation("sense", span, right, message, 1.0, key=f"bends {variable}"),
        "result",
    )


def _lies(figure: Figure, variable: str) -> bool:
    """Tell whether the body runs across at a cut: upright, it has no top and no bottom."""
    joint = variable.removeprefix(_MOMENT).partition(",")[0]
    for body in figure.structure.bodies:
        if joint in body.points:
            at = body.points.index(joint)
            near = [figure.points[name] for name in body.points[max(at - 1, 0) : at + 2]]
            return all(math.isfinite(x) and abs(x - near[0][0]) > _STEEP for x, _ in near[1:])
    return False
