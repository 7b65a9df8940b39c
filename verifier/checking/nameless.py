"""Answers told with their sense but under no name: `vertical: 4.8 − 3.5 = 1.3 kN downwards`."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from verifier import units
from verifier.checking.derived import bare_number, same
from verifier.checking.figure import SENSES, Figure
from verifier.checking.state import Outcome
from verifier.checking.written import Written
from verifier.findings import Answer
from verifier.notation.tree import Name, Num, Relation, walk

_NEAR = 5e-3


def told_without_name(
    figure: Figure, written: Sequence[Written], outcome: Outcome, answers: tuple[Answer, ...]
) -> tuple[Answer, ...]:
    """Fill in answers that right lines of numbers end in, each with its sense in words.

    Only where such a value is that of a single item without an answer, in its own sense.
    """
    found = list(answers)
    for size, meaning in _told(figure, written, outcome):
        fits = [
            index
            for index, answer in enumerate(found)
            if answer.status == "missing" and _is(figure, answer.item, size, meaning)
        ]
        if len(fits) == 1:
            answer = found[fits[0]]
            found[fits[0]] = replace(answer, written=answer.value, status="agrees")
    return tuple(found)


def _is(figure: Figure, item: str, size: float, meaning: str) -> bool:
    """Tell whether a size in a sense is that of an item."""
    truth = figure.true.get(item, 0.0)
    body = item.rpartition(" on ")[2] if item.startswith("pin ") else ""
    sense = figure.claimed_sense(item, meaning, body)
    axis = {"left": "x", "right": "x", "up": "y", "down": "y"}.get(meaning, "")
    across = axis and item.startswith(("pin ", "reaction ")) and f" {axis}" not in f"{item} "
    roller = item.startswith("reaction ") and len(item.split()) == 2
    if not truth or sense * truth <= 0 or (across and not roller):
        return False
    return same(size, abs(truth), _NEAR)


def _told(
    figure: Figure, written: Sequence[Written], outcome: Outcome
) -> Iterator[tuple[float, str]]:
    """Yield the size and the sense in which right chains of plain numbers end."""
    scale = units.FORCE[figure.structure.force_unit]
    for one in written:
        if outcome.lines[one.line.number].status != "agrees":
            continue
        for part in one.line.parts:
            if not isinstance(part, Relation) or len(part.sides) < 2 or not part.marks:
                continue
            if any(isinstance(node, Name) for side in part.sides for node in walk(side)):
                continue
            end = bare_number(part.sides[-1])
            senses = {m.meaning for m in part.marks[-1] if m.meaning in SENSES}
            if not isinstance(end, Num) or len(senses) != 1 or end.unit is None:
                continue
            if end.unit.kind == "force":
                yield abs(end.value) * end.unit.factor / scale, senses.pop()


__all__ = ["told_without_name"]
