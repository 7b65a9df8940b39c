"""Answers that lines of numbers end in under no name and in no sense: `31.3/4.33 = 7.23 kN`.

`… so the roller carries 31.32/4.33 = 7.23 kN` names its force in words that no list holds. Where
the size is that of a single item, of no load and of nothing else that is asked for, it is told.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from verifier import units
from verifier.checking.derived import bare_number, same
from verifier.checking.figure import Figure
from verifier.checking.state import Outcome
from verifier.checking.written import Written
from verifier.findings import Answer
from verifier.notation.tree import Name, Num, Relation, walk

_NEAR, _APART = 5e-3, 0.02
_FIGURES = 2
"""A number of one figure is that of many things."""


def told_by_size(
    figure: Figure, written: Sequence[Written], outcome: Outcome, answers: Sequence[Answer]
) -> tuple[Answer, ...]:
    """Fill in the answers that right chains of numbers with a unit end in, told by size alone."""
    if all(answer.status != "missing" for answer in answers):
        return tuple(answers)
    told = [*_sizes(figure, written, outcome)]
    return tuple(
        replace(answer, written=answer.value, status="agrees")
        if answer.status == "missing" and _is_alone(figure, answer, answers, told)
        else answer
        for answer in answers
    )


def _is_alone(
    figure: Figure, answer: Answer, answers: Sequence[Answer], told: Sequence[tuple[str, float]]
) -> bool:
    """Tell whether an answer's size is told, and could be told of nothing else."""
    size = abs(figure.true.get(figure.variable(answer.item)[0], 0.0))
    kind = "moment" if "moment" in answer.item else "force"
    others = [abs(figure.true.get(figure.variable(o.item)[0], 0.0)) for o in answers if o != answer]
    loads = [abs(load.value) for load in figure.loads]
    unlike = size and not any(same(size, other, _APART) for other in (*others, *loads))
    return bool(unlike) and any(k == kind and same(size, one, _NEAR) for k, one in told)


def _sizes(
    figure: Figure, written: Sequence[Written], outcome: Outcome
) -> Iterator[tuple[str, float]]:
    """Yield what right chains of plain numbers come to, each with the kind of its unit."""
    for one in written:
        if outcome.lines[one.line.number].status != "agrees":
            continue
        for part in one.line.parts:
            if not isinstance(part, Relation) or len(part.sides) < 2:
                continue
            end = bare_number(part.sides[-1])
            named = any(isinstance(node, Name) for side in part.sides for node in walk(side))
            if named or not isinstance(end, Num) or end.unit is None:
                continue
            if end.unit.kind in ("force", "moment") and _figures(end.text) >= _FIGURES:
                yield end.unit.kind, abs(end.value) * end.unit.factor / _scale(figure, end)


def _scale(figure: Figure, end: Num) -> float:
    sheet = figure.structure
    long = end.unit is not None and end.unit.kind == "moment"
    return units.FORCE[sheet.force_unit] * (units.LENGTH[sheet.length_unit] if long else 1.0)


def _figures(text: str) -> int:
    return sum(ch.isdigit() for ch in text.lstrip("0.,"))


__all__ = ["told_by_size"]
