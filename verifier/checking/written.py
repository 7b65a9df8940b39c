"""A written line as it reaches judging: its tree, and what else it may say."""

from dataclasses import dataclass

from verifier.findings import Box
from verifier.notation.tree import Line, Relation, SumLabel


@dataclass(frozen=True)
class Written:
    """One line of the working with its place on the page and its other plausible readings.

    `others` are whole other readings of the line with their probabilities; `confidence` is the
    probability of `line` itself; both are empty for typed work. `char_boxes` has one box (or None)
    for each character of the line, `certainties` the probability that it was read right.
    `by_hand` says that the reader of handwriting read it, which asks every place what else it is.
    """

    line: Line
    others: tuple[tuple[Line, float], ...] = ()
    confidence: float | None = None
    page: int | None = None
    box: Box | None = None
    char_boxes: tuple[Box | None, ...] = ()
    certainties: tuple[float, ...] = ()
    by_hand: bool = False

    def chance(self, line: Line | None = None) -> float:
        """Return how likely it says what one of its readings says, however that is dressed."""
        line = self.line if line is None else line
        own = (self.line, self.confidence if self.confidence is not None else 1.0)
        return sum(
            chance for way, chance in (own, *self.others) if way is line or _alike(way, line)
        )


def _alike(one: Line, other: Line) -> bool:
    """Tell whether two readings say the same, a label before it that one has not read aside."""
    if one.reads_as == other.reads_as:
        return True
    (label, said), (further, own) = _said(one), _said(other)
    return bool(said) and said == own and (not label or not further or label == further)


def _said(line: Line) -> tuple[str, tuple[str, ...]]:
    """Return the label before a line's first relation, and its relations without blanks."""
    relations = [part for part in line.parts if isinstance(part, Relation)]
    spans = [part.span for part in relations]
    labels = [part for part in line.parts if isinstance(part, SumLabel)]
    label = f"{labels[0].axis} {labels[0].about}" if labels else ""
    return label, tuple("".join(line.text[a:b].split()) for a, b in spans)
