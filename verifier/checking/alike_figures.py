"""Figures that a hand writes alike, told by the whole page: 4s that a reader takes for 1s.

Where one figure put for another makes line after line agree, in numbers of every kind, the reader
mistook it. People do not slip so: a number miscopied is one number, however often it is repeated,
and what they work out from it goes on with it.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from verifier.checking.bearing import BAD, blames, burden, says_less
from verifier.checking.choice import Choice
from verifier.checking.course import Course
from verifier.checking.reckoned import comes_out, values_told
from verifier.checking.repeated import numbers_changed
from verifier.checking.sheet_names import names_of
from verifier.checking.state import Outcome
from verifier.checking.trial import Trial
from verifier.checking.written import Written
from verifier.notation.tree import Line, Names
from verifier.notation.working import line_reader

Swap = tuple[str, str]
"""A figure as it is read, and the one that it may be."""

_SHOWN = 2e-4  # of the first reading's chance: from there on another one shows a swap
_MOST_SWAPS, _ROUNDS = 6, 3
_LINES, _NUMBERS = 2, 3
"""So many lines, and different numbers in them, must agree by a swap alone; one number fewer where
what a line comes to agrees by it, which is no chance."""
_MOST_PLACES, _MOST_WAYS = 6, 63
_TRIED = 3  # bad lines with a figure, of which none agrees by its swap


@dataclass(frozen=True)
class Found:
    """What a page says once some figures are taken for others, and which swaps that took."""

    trial: Trial
    choice: Choice
    outcome: Outcome
    swaps: frozenset[Swap]


def told_by_page(trial: Trial, choice: Choice, outcome: Outcome) -> Found:
    """Return the pass with figures read otherwise wherever a swap makes several lines agree."""
    found = Found(trial, choice, outcome, frozenset())
    offered = _offered(trial.written) if trial.kind is Course else []
    if not offered or not _many_bad(trial.written, outcome):
        return found
    names = names_of(trial.figure.structure)
    for _ in range(_ROUNDS):
        left = [swap for swap in offered if swap not in found.swaps]
        ways = [way for swap in left if (way := _swapped(found, swap, names)) is not None]
        if not ways:
            break
        found = min(ways, key=lambda way: burden(way.outcome))
    return found


def _many_bad(written: Sequence[Written], outcome: Outcome) -> bool:
    bad = [one for one in written if _is_bad(one, outcome)]
    return len(bad) >= _LINES


def _is_bad(one: Written, outcome: Outcome) -> bool:
    own = one.by_hand and not one.line.above
    return own and outcome.lines[one.line.number].status in BAD


def _offered(written: Sequence[Written]) -> list[Swap]:
    """Return the swaps that other readings show, those in most lines first."""
    count: Counter[Swap] = Counter()
    for one in written:
        ways = [way.text for way, chance in one.others if chance >= _SHOWN * one.chance()]
        count.update({swap for text in ways for swap in _figures(one.line.text, text)})
    return [swap for swap, _ in count.most_common(_MOST_SWAPS)]


def _figures(text: str, other: str) -> set[Swap]:
    """Return which figures stand for which in two readings that differ in single figures."""
    if len(text) != len(other):
        return set()
    pairs = {(a, b) for a, b in zip(text, other, strict=True) if a != b}
    return pairs if all(a.isdigit() and b.isdigit() for a, b in pairs) else set()


def _swapped(found: Found, swap: Swap, names: Names) -> Found | None:
    """Return the pass with one more swap made in the lines that agree by it, if that is enough."""
    swaps = found.swaps | {swap}
    trial, numbers, lines, tried = found.trial, set[tuple[str, str]](), 0, 0
    values, out = values_told([one.line for one in trial.written]), False
    for place, one in enumerate(trial.written):
        if swap[0] not in one.line.text or not _is_bad(one, trial.skim(found.choice)):
            continue
        if tried >= _TRIED and not lines:
            return None
        tried += 1
        line = _agreeing(trial, found.choice, place, swaps, names)
        if line is not None:
            changed = numbers_changed(one.line.text, line.text)
            out = out or comes_out(line, values) > comes_out(one.line, values)
            lines, numbers = lines + 1, numbers | {*changed.items()}
            trial = trial.like(_with(trial.written, place, line))
    by_swap = {pair for pair in numbers if swap in _figures(*pair)}
    if lines < _LINES or len(by_swap) + out < _NUMBERS:
        return None
    return _followed(found, trial, swaps)


def _followed(found: Found, trial: Trial, swaps: frozenset[Swap]) -> Found | None:
    """Return the pass of lines read otherwise, unless it blames one that was right."""
    choice = found.choice
    if trial.skim(choice).cost:
        anew = trial.rough()
        choice = anew if burden(trial.skim(anew)) < burden(trial.skim(choice)) else choice
    outcome = trial.run(choice)
    pairs = zip(found.trial.written, trial.written, strict=True)
    changed = {one.line.number for one, other in pairs if one is not other}
    if blames(found.outcome, outcome, changed) or burden(outcome) >= burden(found.outcome):
        return None
    return Found(trial, choice, outcome, swaps)


def _with(written: Sequence[Written], place: int, line: Line) -> list[Written]:
    changed = list(written)
    changed[place] = replace(changed[place], line=line)
    return changed


def _agreeing(
    trial: Trial, choice: Choice, place: int, swaps: frozenset[Swap], names: Names
) -> Line | None:
    """Return a line with some of its figures taken for others that is not bad, if there is one."""
    one = trial.written[place]
    read = line_reader("\n".join(each.line.text for each in trial.written), names)
    if read(one.line.text, one.line.number).parts != one.line.parts:
        return None  # it goes on from the line above, or was read with more than this line shows
    course = trial.state_before(choice, place)
    values = values_told([each.line for each in trial.written])
    for text in _ways(one.line.text, swaps):
        line = replace(read(text, one.line.number), page=one.line.page)
        if says_less(trial, one, line):
            continue
        if comes_out(line, values) and not comes_out(one.line, values):
            return line
        if _judged(course, line) in BAD:
            continue
        second = trial.like(_with(trial.written, place, line))
        if second.skim(choice).lines[line.number].status not in BAD:
            return line
    return None


def _judged(course: Course, line: Line) -> str:
    """Return what becomes of a line behind those that a course has judged."""
    other = course.copied()
    other.take(line)
    return other.out.lines[line.number].status


def _ways(text: str, swaps: frozenset[Swap]) -> Iterator[str]:
    """Yield a line with some of its figures swapped, few before many."""
    said = dict(swaps)
    places = [at for at, sign in enumerate(text) if sign in said]
    counts = [*range(1, len(places) + 1)]
    if len(places) > _MOST_PLACES:
        counts = [len(places), 1, 2]
    left = _MOST_WAYS
    for count in counts:
        for chosen in combinations(places, count):
            if not left:
                return
            left -= 1
            yield "".join(said[c] if at in chosen else c for at, c in enumerate(text))
