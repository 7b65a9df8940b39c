"""The names that a working tells as numbers, whatever they were taken for."""

from collections.abc import Iterator, Sequence

from verifier.checking.derived import bare_number
from verifier.checking.written import Written
from verifier.notation.reckoning import worked_out
from verifier.notation.tree import Name, Num, Relation


def results(written: Sequence[Written]) -> Iterator[tuple[str, float]]:
    """Yield every name that is told a number, and that number's size."""
    for relation in (p for one in written for p in one.line.parts if isinstance(p, Relation)):
        first, last = relation.sides[0], relation.sides[-1]
        if isinstance(first, Name) and isinstance(bare_number(last), Num):
            yield first.text, abs(worked_out(last) or 0.0)


__all__ = ["results"]
