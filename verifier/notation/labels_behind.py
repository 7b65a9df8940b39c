"""Labels told behind the last line of an equation that runs over lines: put before its first.

`C_y = (2·3 + 4·1)/5` and below it `= 2   (ΣM_B)`.
"""

from collections.abc import Sequence
from dataclasses import replace

from verifier.notation import render
from verifier.notation.tree import Line, Part, Relation, SumLabel


def put_first(lines: Sequence[Line]) -> tuple[Line, ...]:
    """Return the lines with each such label before the equation that it is about."""
    told = list(lines)
    for index, line in enumerate(lines):
        match line.parts:
            case (SumLabel() as label, Relation(continues=True), *_) if _is_behind(label):
                at = _begun(told, index)
                if at is not None:
                    told[index] = _of(line, line.parts[1:])
                    told[at] = _headed(told[at], label)
    return tuple(told)


def _is_behind(label: SumLabel) -> bool:
    """Tell whether a label was read at a line's end: it has no width before its equation."""
    return label.span[0] == label.span[1]


def _begun(lines: list[Line], index: int) -> int | None:
    """Return the line in which an equation without a label began that goes on at `index`."""
    for at in range(index - 1, -1, -1):
        relations = [part for part in lines[at].parts if isinstance(part, Relation)]
        if any(isinstance(part, SumLabel) for part in lines[at].parts) or len(relations) != 1:
            return None
        if not relations[0].continues:
            return at
    return None


def _headed(line: Line, label: SumLabel) -> Line:
    at = next(i for i, part in enumerate(line.parts) if isinstance(part, Relation))
    start = line.parts[at].span[0]
    before = replace(label, span=(start, start))
    return _of(line, (*line.parts[:at], before, *line.parts[at:]))


def _of(line: Line, parts: Sequence[Part]) -> Line:
    return replace(line, parts=tuple(parts), reads_as=render.line(tuple(parts)))
