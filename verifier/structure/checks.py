"""What must hold of the figure as a whole, told at the statement that breaks it."""

from collections.abc import Sequence

from verifier.structure.draft import Draft
from verifier.structure.names import key
from verifier.structure.slips import EXAMPLES
from verifier.structure.statements import Statement

_SAME = 1e-9


def check(lines: Sequence[Statement], draft: Draft) -> None:
    """Raise `SheetError` where two joints lie in one place."""
    by_key = {key(str(line.parts[0])): line for line in lines if line.kind == "joint"}
    points = {name: draft.point(name) for name in draft.joints}
    size = max((abs(part) for point in points.values() for part in point), default=0.0) or 1.0
    order = sorted(points, key=lambda name: points[name])
    for index, name in enumerate(order):
        for other in order[index + 1 :]:
            if points[other][0] - points[name][0] > _SAME * size:
                break
            if abs(points[other][1] - points[name][1]) <= _SAME * size:
                late = max((by_key[key(name)], by_key[key(other)]), key=lambda line: line.number)
                problem = f"{name} and {other} lie in one place"
                expected = "a place of its own for each joint"
                raise late.error(late.parts[1], problem, expected, EXAMPLES["joint"])
