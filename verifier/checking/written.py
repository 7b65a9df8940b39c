"""A written line as it reaches judging: its tree, and what else it may say."""

from dataclasses import dataclass

from verifier.findings import Box
from verifier.notation.tree import Line


@dataclass(frozen=True)
class Written:
    """One line of the working with its place on the page and its other plausible readings.

    `others` are whole other readings of the line with their probabilities; `confidence` is the
    probability of `line` itself; both are empty for typed work. `char_boxes` has one box (or None)
    for each character of the line, `certainties` the probability that it was read right.
    """

    line: Line
    others: tuple[tuple[Line, float], ...] = ()
    confidence: float | None = None
    page: int | None = None
    box: Box | None = None
    char_boxes: tuple[Box | None, ...] = ()
    certainties: tuple[float, ...] = ()
