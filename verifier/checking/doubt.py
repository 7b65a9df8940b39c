"""Doubtful readings of a picture: a fault counts only where every plausible reading shares it."""

from collections.abc import Sequence
from dataclasses import replace

from verifier.checking.choice import Choice
from verifier.checking.state import Outcome
from verifier.checking.trial import Trial
from verifier.checking.written import Written
from verifier.notation.tree import Name, Part, Relation

PLAUSIBLE = 0.01
"""An other reading counts from this share of the likeliest one's probability on."""
SURE = 0.9
"""Below this confidence a fault is a question, even where no other reading is known."""
RIVAL = 0.5
"""From this share on, another reading that would be a fault makes an agreeing line doubtful."""
_MOST_LINES = 60
_BAD = ("fault", "unread", "undecided")


def settle(
    trial: Trial, choice: Choice, outcome: Outcome
) -> tuple[Trial, Choice, Outcome, frozenset[int]]:
    """Return the pass under plausible readings, and the lines whose verdict hangs on the reading.

    Where another plausible reading of a bad line agrees, the working is followed with that one and
    the line is doubtful; where none is known but the reader was unsure, or only the middle of a
    chain is at odds, it is doubtful as it is.
    """
    if all(one.confidence is None and not one.others for one in trial.written):
        return trial, choice, outcome, frozenset()
    doubtful: set[int] = set()
    seen: set[int] = set()
    for _ in range(_MOST_LINES):
        line = _next_bad(trial.written, outcome, seen)
        if line is None:
            break
        seen.add(line)
        better = _agreeing(trial, choice, outcome, line)
        if better is not None:
            unread = outcome.lines[line].status == "unread"
            trial, choice, outcome = better
            if not unread:
                doubtful.add(line)
        elif outcome.lines[line].status == "fault" and (
            _unsure(trial.written, line) or _ends_right(trial, choice, line)
        ):
            doubtful.add(line)
    doubtful |= _rivals(trial, choice, outcome)
    return trial, choice, outcome, frozenset(doubtful)


def _next_bad(written: Sequence[Written], outcome: Outcome, seen: set[int]) -> int | None:
    for one in written:
        number = one.line.number
        picture = one.confidence is not None or one.others
        if picture and number not in seen and outcome.lines[number].status in _BAD:
            return number
    return None


def _unsure(written: Sequence[Written], line: int) -> bool:
    """Tell whether what was read, with the other readings that share its fault, stays unsure.

    It is asked only where no plausible reading agrees, so all the readings known share the fault.
    """
    one = next(one for one in written if one.line.number == line)
    if one.confidence is None:
        return False
    return one.confidence + sum(probability for _, probability in one.others) < SURE


def _ends_right(trial: Trial, choice: Choice, line: int) -> bool:
    """Tell whether chains of a bad line hold between their name and their end.

    `F = 71 cos 53.13° = 11.67` after an equation that gives 11.67: what stands between was
    misread, or is a slip without effect; a picture cannot tell which.
    """
    place = next(i for i, one in enumerate(trial.written) if one.line.number == line)
    one = trial.written[place]
    parts = tuple(_ends(part) for part in one.line.parts)
    if one.confidence is None or parts == one.line.parts:
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
    trial: Trial, choice: Choice, outcome: Outcome, line: int
) -> tuple[Trial, Choice, Outcome] | None:
    """Return the pass with the likeliest other reading of a line under which it is not bad."""
    place = next(i for i, one in enumerate(trial.written) if one.line.number == line)
    one = trial.written[place]
    floor = PLAUSIBLE * (one.confidence if one.confidence is not None else 1.0)
    for other, probability in one.others:
        if probability < floor:
            continue
        changed = list(trial.written)
        changed[place] = replace(one, line=other)
        second = trial.like(changed)
        second_choice = choice if second.run(choice).cost < outcome.cost else second.best()
        found = second.run(second_choice)
        if found.lines[line].status not in _BAD and found.cost < outcome.cost:
            return second, second_choice, found
    return None


def _rivals(trial: Trial, choice: Choice, outcome: Outcome) -> set[int]:
    """Return agreeing lines that a nearly as likely reading would make a fault."""
    found = set()
    for place, one in enumerate(trial.written):
        number = one.line.number
        if outcome.lines[number].status not in ("agrees", "carried") or one.confidence is None:
            continue
        for other, probability in one.others:
            if other == one.line or probability < RIVAL * one.confidence:
                continue
            changed = list(trial.written)
            changed[place] = replace(one, line=other)
            if other.reads_as == one.line.reads_as:
                continue
            if trial.like(changed).run(choice).lines[number].status == "fault":
                found.add(number)
    return found
