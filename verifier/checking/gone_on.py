"""What a writer goes on with tells what he wrote: 27.25 in the next line, where 77.25 was read.

A slip in a number goes on as it was made; one that a later line does not know was none of his.
"""

import re
from collections.abc import Sequence

from verifier.checking.repeated import numbers_changed
from verifier.checking.state import Outcome
from verifier.checking.written import Written
from verifier.notation.tree import Line

GONE_ON = 1e-3
"""From this share of the first reading's chance on, one that the writer goes on with counts."""
_NUMBER = re.compile(r"\d+(?:[.,]\d+)*")
_FIGURES, _FIGURES_BELOW = 3, 2  # of a number that is known again anywhere, and right below


def gone_on_with(written: Sequence[Written], place: int, other: Line) -> bool:
    """Tell whether later lines repeat every number that a reading has otherwise, and only so."""
    changed = numbers_changed(written[place].line.text, other.text)
    if not changed:
        return False
    below = [set(_NUMBER.findall(one.line.text)) for one in written[place + 1 :]]
    return all(_known_again(read, said, below) for read, said in changed.items())


def _known_again(read: str, said: str, below: Sequence[set[str]]) -> bool:
    figures = sum(map(str.isdigit, said))
    within = len(below) if figures >= _FIGURES else 1
    if figures < _FIGURES_BELOW or any(read in numbers for numbers in below):
        return False
    return any(said in numbers for numbers in below[:within])


def worked_with(outcome: Outcome, line: int, text: str) -> bool:
    """Tell whether what is at fault in a line is one figure apart from what statics wants.

    Where the line goes on rightly all the same, `27.25·1.4 → 51.775`, it was worked out with that.
    """
    slips = [slip.explanation for slip in outcome.slips if slip.line == line and not slip.remark]
    return bool(slips) and all(
        _one_figure_apart(text[slice(*slip.span)], slip.expected) for slip in slips
    )


def _one_figure_apart(read: str, expected: str) -> bool:
    """Tell whether two terms have the same numbers but for a single figure of one."""
    own, wanted = (
        [number.replace(",", ".") for number in _NUMBER.findall(term)] for term in (read, expected)
    )
    if len(own) != len(wanted) or any(map(str.isalpha, read)) != any(map(str.isalpha, expected)):
        return False
    apart = [(a, b) for a, b in zip(own, wanted, strict=True) if a != b]
    return len(apart) == 1 and _figures_apart(*apart[0]) == 1


def _figures_apart(read: str, expected: str) -> int:
    if len(read) != len(expected):
        return len(read)
    return sum(a != b for a, b in zip(read, expected, strict=True))
