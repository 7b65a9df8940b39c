"""Faults that rest on what was not understood: a name of which an unread part speaks as well.

A force that is told in words or in a manner without a meaning here has a value that is not known.
A line further down that uses it can then be found wrong only where the slip shows in the line
itself; that it does not fit, or comes to something else, says nothing. So it is with a letter that
stands for several things in turn, as V, H and F do in the rows of a table without its lines.
"""

import re
from collections import defaultdict
from collections.abc import Sequence

from verifier.checking.results_told import results
from verifier.checking.unitless import left_out
from verifier.checking.written import Written
from verifier.findings import Finding
from verifier.notation.names import canonical
from verifier.notation.tree import Line, Name, Relation, Unread

_TOKEN = re.compile(r"[^\W\d_][\w{},']*")
_RESTING = frozenset({"algebra", "arithmetic", "magnitude", "sense", "inconsistent"})
"""Kinds in which a line is at odds with what stands above it."""
_VALUES = 3
"""So many sizes under one name are those of several things."""
_ALIKE = 1e-3


def of_unknown(fault: Finding, written: Sequence[Written]) -> bool:
    """Tell whether a fault that shows in no term of its own rests on what was not understood."""
    of_load = " load " in fault.message.partition(" at ")[0]
    if fault.kind not in _RESTING or fault.where == "arithmetic" or of_load:
        return False
    line = next(one.line for one in written if one.line.number == fault.line)
    names = {canonical(name.text) for name in _named(line)}
    many = fault.kind != "magnitude" and _of_many(line, written)
    many = many or bool(names & left_out(written))
    return many or bool(names & _unread(written, fault.line))


def _named(line: Line) -> list[Name]:
    return [name for part in line.parts if isinstance(part, Relation) for name in part.named]


def _unread(written: Sequence[Written], number: int) -> set[str]:
    """Return what may be names in the unread parts of the lines up to one."""
    texts = [
        one.line.whole[slice(*part.span)]
        for one in written
        for part in one.line.parts
        if one.line.number <= number and isinstance(part, Unread)
    ]
    return {canonical(match.group()) for text in texts for match in _TOKEN.finditer(text)}


def _of_many(line: Line, written: Sequence[Written]) -> bool:
    """Tell whether a line tells the value of a name that has several values in the working."""
    sizes: dict[str, list[float]] = defaultdict(list)
    for name, size in results(written):
        if not any(abs(size - other) <= _ALIKE * size for other in sizes[name]):
            sizes[name].append(size)
    own = {name for name, _ in results([one for one in written if one.line.number == line.number])}
    return any(len(sizes[name]) >= _VALUES for name in own)


__all__ = ["of_unknown"]
