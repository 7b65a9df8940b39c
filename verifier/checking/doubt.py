"""Doubtful readings of a picture: a fault counts only where every plausible reading shares it."""

import re
from collections.abc import Sequence
from dataclasses import replace

from verifier.checking.choice import Choice
from verifier.checking.misread import misread
from verifier.checking.names import Local, Unknown, key_of
from verifier.checking.state import Outcome
from verifier.checking.trial import Trial
from verifier.checking.written import Written
from verifier.notation.tree import Name, Part, Relation, walk

PLAUSIBLE = 0.01
"""An other reading counts from this share of the likeliest one's probability on."""
SURE = 0.9
"""Below this confidence a fault is a question, even where no other reading is known."""
LIKELY = 0.4
"""From this share on, another reading that agrees is as good as the likeliest one."""
RIVAL = 0.5
"""From this share on, another reading under which a line is at fault makes it a question."""
_READ_BADLY = 0.45  # a line less sure than this tells of no fault
_AS_FIGURES = re.compile(r"[A-Za-z]_?\d{2,}")
_MOST_LINES = 60
_MOST_SEARCHES = 4  # how often, on a page, senses and names are sought anew for another reading
_OF_SENSES = frozenset({"sign", "sense", "inconsistent"})
_BAD = ("fault", "unread", "undecided")


def settle(
    trial: Trial, choice: Choice, outcome: Outcome
) -> tuple[Trial, Choice, Outcome, frozenset[int]]:
    """Return the pass under plausible readings, and the lines whose verdict hangs on the reading.

    Where another plausible reading of a bad line agrees, the working is followed with that one and
    the line is doubtful, unless it was likely enough. Where none is known, but what is at fault
    may well have been misread, or only the middle of a chain is at odds, it is doubtful as it is.
    """
    if all(one.confidence is None and not one.others for one in trial.written):
        return trial, choice, outcome, frozenset()
    doubtful: set[int] = set()
    seen: set[int] = set()
    searches = _MOST_SEARCHES
    for _ in range(_MOST_LINES):
        line = _next_bad(trial.written, outcome, seen)
        if line is None:
            break
        seen.add(line)
        better, searches = _agreeing(trial, choice, outcome, line, searches)
        if better is not None:
            unread = outcome.lines[line].status == "unread"
            trial, choice, outcome, likely = better
            if not (unread or likely):
                doubtful.add(line)
        elif outcome.lines[line].status == "fault" and (
            _unsure(trial, outcome, line) or _ends_right(trial, choice, line)
        ):
            doubtful.add(line)
    doubtful |= _hanging(trial, outcome, doubtful) | _rivals(trial, choice, outcome)
    return trial, choice, outcome, frozenset(doubtful)


def _rivals(trial: Trial, choice: Choice, outcome: Outcome) -> set[int]:
    """Return agreeing lines that a reading about as likely would make a fault."""
    found = set()
    for place, one in enumerate(trial.written):
        number = one.line.number
        if outcome.lines[number].status not in ("agrees", "carried") or one.confidence is None:
            continue
        for other, probability in one.others:
            if probability < RIVAL * one.confidence or other.reads_as == one.line.reads_as:
                continue
            changed = list(trial.written)
            changed[place] = replace(one, line=other)
            if trial.like(changed).skim(choice).lines[number].status == "fault":
                found.add(number)
    return found


def _next_bad(written: Sequence[Written], outcome: Outcome, seen: set[int]) -> int | None:
    for one in written:
        number = one.line.number
        picture = one.confidence is not None or one.others
        if picture and number not in seen and outcome.lines[number].status in _BAD:
            return number
    return None


def _unsure(trial: Trial, outcome: Outcome, line: int) -> bool:
    """Tell whether a line may have been misread where it is at fault.

    It is asked only where no plausible reading agrees, so all the readings known share the fault.
    """
    lines = {one.line.number: one for one in trial.written}
    one = lines[line]
    if not one.certainties and one.confidence is not None and one.confidence < _READ_BADLY:
        return True
    if one.confidence is not None and _holds_unknown(one, outcome, trial):
        return True
    slips = [slip for slip in outcome.slips if slip.line == line and not slip.remark]
    return any(misread(slip, lines) > 1 - SURE for slip in slips)


def _holds_unknown(one: Written, outcome: Outcome, trial: Trial) -> bool:
    """Tell whether a line has a name like C30 that means nothing: figures read as a letter."""
    names = (
        node
        for part in one.line.parts
        if isinstance(part, Relation)
        for side in part.sides
        for node in walk(side)
        if isinstance(node, Name) and _AS_FIGURES.fullmatch(node.text)
    )
    return any(
        isinstance(trial.names.meanings(name)[0], Local)
        and key_of(name) not in outcome.ledger.locals
        for name in names
    )


def _hanging(trial: Trial, outcome: Outcome, doubtful: set[int]) -> set[int]:
    """Return faulty results, by line, that may follow from a line above that was not read well.

    `F = 208` at odds with equilibrium is no fresh fault where an equation before it is a question,
    nor is a sign one, whose sense that equation may have shown.
    """
    found: set[int] = set()
    asked = False
    for one in trial.written:
        number = one.line.number
        status = outcome.lines[number].status
        unsure = one.confidence is not None and one.confidence < SURE
        kinds = {s.explanation.kind for s in outcome.slips if s.line == number and not s.remark}
        result = all(_is_result(part, trial) for part in one.line.parts)
        if asked and status == "fault" and (result or kinds <= _OF_SENSES):
            found.add(number)
        asked |= number in doubtful or (unsure and status in ("unread", "undecided"))
    return found


def _is_result(part: Part, trial: Trial) -> bool:
    """Tell whether a part of a line gives a name its value without another force, or none."""
    if not isinstance(part, Relation):
        return True
    first, *rest = part.sides
    return isinstance(first, Name) and not any(
        isinstance(meaning, Unknown)
        for side in rest
        for node in walk(side)
        if isinstance(node, Name)
        for meaning in trial.names.meanings(node)
    )


def _ends_right(trial: Trial, choice: Choice, line: int) -> bool:
    """Tell whether chains of a bad line hold between their name and their end.

    `F = 71 cos 53.13° = 11.67` after an equation that gives 11.67: what stands between was
    misread, or is a slip without effect; a reading without its certainties cannot tell which.
    """
    place = next(i for i, one in enumerate(trial.written) if one.line.number == line)
    one = trial.written[place]
    parts = tuple(_ends(part) for part in one.line.parts)
    if one.confidence is None or one.certainties or parts == one.line.parts:
        return False
    changed = list(trial.written)
    changed[place] = replace(one, line=replace(one.line, parts=parts))
    return trial.like(changed).run(choice).lines[line].status in ("agrees", "carried")


def _ends(part: Part) -> Part:
    """Return a chain `name = … = number` with its name and its last side alone."""
    if not isinstance(part, Relation) or len(part.sides) < 3 or part.continues:
        return part
    if not isinstance(part.sides[0], Name):
        return part
    return replace(
        part,
        sides=(part.sides[0], part.sides[-1]),
        ops=part.ops[-1:],
        marks=(part.marks[0], part.marks[-1]) if part.marks else (),
        others=(),
    )


def _agreeing(
    trial: Trial, choice: Choice, outcome: Outcome, line: int, searches: int
) -> tuple[tuple[Trial, Choice, Outcome, bool] | None, int]:
    """Return the pass with the likeliest other reading of a line under which it is not bad.

    It says as well whether that reading is nearly as likely as the first; then how many more
    searches may be made.
    """
    place = next(i for i, one in enumerate(trial.written) if one.line.number == line)
    one = trial.written[place]
    whole = one.confidence if one.confidence is not None else 1.0
    tried = [one.line.parts]
    left: list[tuple[Trial, float]] = []
    for other, probability in one.others:
        if probability < PLAUSIBLE * whole or other.parts in tried:
            continue
        tried.append(other.parts)
        changed = list(trial.written)
        changed[place] = replace(one, line=other)
        second = trial.like(changed)
        if second.skim(choice).lines[line].status in _BAD:
            left.append((second, probability))
            continue
        found = second.run(choice)
        if found.lines[line].status not in _BAD and found.cost < outcome.cost:
            return (second, choice, found, probability >= LIKELY * whole), searches
    for second, probability in left[:searches]:
        searches -= 1
        anew = second.best()
        found = second.run(anew)
        if found.lines[line].status not in _BAD and found.cost < outcome.cost:
            return (second, anew, found, probability >= LIKELY * whole), searches
    return None, searches
