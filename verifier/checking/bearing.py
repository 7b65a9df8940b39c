"""What the rest of a picture's working says of a line that may have been misread.

A line from which others follow says what they went on with; a name that every line has otherwise
was written otherwise. Nothing here makes a line right: it tells which reading was written.
"""

import re
from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import replace

from verifier.checking.choice import Choice
from verifier.checking.habits import differing, needed
from verifier.checking.misread import LOST_POINT, misread
from verifier.checking.names import Local, Unknown, key_of
from verifier.checking.state import Outcome
from verifier.checking.trial import Trial
from verifier.checking.written import Written
from verifier.notation.tree import Line, Mark, Name, Part, Prose, Relation, Unread, walk

BAD = ("fault", "unread", "undecided")
READ_BADLY = 0.45
"""A line less sure than this tells of no fault."""
READ_SURELY = 0.9
"""A result is in doubt behind a line that is not understood nor so sure."""
_WAYS = frozenset({"up", "down", "left", "right", "clockwise", "anticlockwise"})
_OF_BARS = frozenset({"tension", "compression"})
_BY_ITSELF = frozenset({"geometry", "arithmetic", "unit"})
_OF_A_TERM = frozenset({"lever-arm", "component", "angle", "sign", "missing-force"})
_READ_WELL = 0.8
_TELLING = 0.1  # of the first reading's chance: such a one may show what a line is about
_A_LINE = 5.0  # what a reading must save for it, where the first one is at fault as well
_NAME = re.compile(r"(?!.*[a-z]{3})[^\W\d_]")  # no word
_NAMED, _MOST_NAMES = 0.03, 3  # a name's other reading counts from this share of the first's on


def borne_out(trial: Trial, choice: Choice, outcome: Outcome, line: int) -> bool:
    """Tell whether something follows from a line at fault as it was read.

    Without it another line, or what the line goes on with itself, would be at fault: had this one
    been misread, that would not follow from it. People seldom make several slips in one line,
    readers do.
    """
    place, one = _found(trial, line)
    slips = [slip for slip in outcome.slips if slip.line == line and not slip.remark]
    lines = {other.line.number: other for other in trial.written}
    if any(misread(slip, lines) >= LOST_POINT for slip in slips):
        return False  # a hand whose points are not seen loses those of the next line as well
    several = len({slip.explanation.span for slip in slips})
    chance = one.chance()
    if chance < (READ_SURELY if several > 1 else READ_BADLY):
        return False
    whole = trial.skim(choice)
    left = _with(trial, place, _blank(one.line)).skim(choice)
    if any(
        whole.lines[other.line.number].status == "carried"
        and left.lines[other.line.number].status == "fault"
        and other.chance() >= READ_BADLY
        for other in trial.written
    ):
        return True
    return chance >= READ_SURELY and several == 1 and _goes_on(trial, choice, outcome, line)


def _goes_on(trial: Trial, choice: Choice, outcome: Outcome, line: int) -> bool:
    """Tell whether the rest of a line follows from the equation in it that is at fault."""
    place, one = _found(trial, line)
    start, end = next(s.explanation.span for s in outcome.slips if s.line == line and not s.remark)
    parts = one.line.parts
    at = [
        i for i, part in enumerate(parts)
        if isinstance(part, Relation) and part.span[0] <= start and end <= part.span[1]
    ]  # fmt: skip
    if len(at) != 1 or not any(isinstance(part, Relation) for part in parts[at[0] + 1 :]):
        return False
    rest = replace(one.line, parts=(*parts[: at[0]], *parts[at[0] + 1 :]))
    return _with(trial, place, rest).skim(choice).lines[line].status == "fault"


def independent(
    trial: Trial, choice: Choice, outcome: Outcome, line: int, doubtful: Collection[int]
) -> bool:
    """Tell whether a line read surely is at fault whatever doubtful lines before it say.

    A length or angle of the figure, a unit and what numbers come to rest on no line before; nor
    does a slip in one term of a sum, where that has an unknown and so is no result of theirs.
    """
    said = said_of(outcome, line)
    _, one = _found(trial, line)
    kinds = {kind for kind, _ in said}
    of_a_term = len(said) == 1 and kinds <= _OF_A_TERM
    if of_a_term and all(is_result(part, trial) for part in one.line.parts):
        return False
    least = _READ_WELL if of_a_term else READ_SURELY
    if not kinds <= _BY_ITSELF | _OF_A_TERM or (kinds & _OF_A_TERM and not of_a_term):
        return False
    if one.chance() < least:
        return False
    left = blanked(trial, {number for number in doubtful if number < line}).run(choice)
    return left.lines[line].status == "fault" and said_of(left, line) == said


def blanked(trial: Trial, lines: Collection[int]) -> Trial:
    """Return a trial in which some lines say nothing."""
    return trial.like([
        replace(one, line=_blank(one.line), others=()) if one.line.number in lines else one
        for one in trial.written
    ])  # fmt: skip


def is_result(part: Part, trial: Trial) -> bool:
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


def said_of(outcome: Outcome, line: int) -> set[tuple[str, str]]:
    """Return what kinds of faults a line has, each with what is expected in its place."""
    own = (slip.explanation for slip in outcome.slips if slip.line == line and not slip.remark)
    return {(one.kind, one.expected) for one in own}


def says_less(trial: Trial, one: Written, other: Line) -> bool:
    """Tell whether a reading fits only because it claims less than the likeliest one.

    It lacks an `=` or a sense, or tells of a name without a meaning that no other line has.
    """
    own = _claims(one.line)
    if any(less < told for less, told in zip(_claims(other), own, strict=True)):
        return True
    strange = _without_meaning(trial, other) - _without_meaning(trial, one.line)
    if not strange:
        return False
    rest = [further.line for further in trial.written if further is not one]
    return not strange <= set().union(*(_without_meaning(trial, line) for line in rest))


def _claims(line: Line) -> tuple[int, ...]:
    """Return how many equations, directions and senses of bars a line tells."""
    relations = [part for part in line.parts if isinstance(part, Relation)]
    marks = [mark.meaning for part in relations for own in part.marks for mark in own]
    marks += [part.meaning for part in line.parts if isinstance(part, Mark)]
    sides = [sum(a < b for a, b in (side.span for side in part.sides)) for part in relations]
    senses = (sum(mark in kind for mark in marks) for kind in (_WAYS, _OF_BARS))
    return (sum(count - 1 for count in sides), *senses)


def _without_meaning(trial: Trial, line: Line) -> set[str]:
    return {
        key_of(name)
        for part in line.parts
        for name in (part.named if isinstance(part, Relation) else ())
        if isinstance(trial.names.meanings(name)[0], Local)
    }


def _blank(line: Line) -> Line:
    return replace(line, parts=(Prose((0, len(line.text))),))


def telling(
    trial: Trial, choice: Choice, outcome: Outcome, line: int
) -> tuple[Trial, Outcome] | None:
    """Return the pass with a reading of a bad line from which more of the rest follows.

    It is at fault as well, or this would be no bad line; but what it says is what was gone on with.
    """
    place, one = _found(trial, line)
    status, whole = outcome.lines[line].status, one.chance()
    saved = _A_LINE if status == "fault" else 0.0
    before = trial.skim(choice)
    best = None
    for other, probability in one.others:
        least = min(_TELLING, needed(one.line, other))
        if probability < least * whole or other.parts == one.line.parts:
            continue
        second = _with(trial, place, other)
        found = second.skim(choice)
        gain = burden(before) - burden(found)
        worse = blames(before, found, {line})
        if found.lines[line].status == "fault" and gain > saved and not worse:
            best, saved = second, gain
    return (best, best.run(choice)) if best else None


def renamed(trial: Trial, choice: Choice, outcome: Outcome) -> tuple[Trial, Choice, Outcome]:
    """Return the pass with a name read otherwise in several lines, where that explains them."""
    count: Counter[tuple[str, str]] = Counter()
    for one in trial.written:
        count.update({change for change, _, _ in _names_otherwise(one)})
    for change, times in count.most_common(_MOST_NAMES):
        if times < 2 or not outcome.cost:
            break
        changed = [_saying(one, change) for one in trial.written]
        second = trial.like(changed)
        if burden(second.skim(choice)) >= burden(trial.skim(choice)):
            continue  # no search finds more for it
        anew = second.rough()
        found = second.run(anew)
        touched = {
            one.line.number
            for one, other in zip(trial.written, changed, strict=True)
            if one is not other
        }
        if burden(outcome) - burden(found) > _A_LINE and not blames(outcome, found, touched):
            trial, choice, outcome = second, anew, found
    return trial, choice, outcome


def _names_otherwise(one: Written) -> list[tuple[tuple[str, str], Line, int]]:
    """Return what single name other readings have for another one, and at how many places."""
    found = []
    for other, chance in one.others:
        if chance < _NAMED * one.chance() or any(isinstance(p, Unread) for p in other.parts):
            continue
        places = differing(one.line.text, other.text)
        names = {("".join(own), "".join(said)) for own, said in places}
        if len(names) == 1 and all(_NAME.match(part) for pair in names for part in pair):
            found.append((names.pop(), other, len(places)))
    return found


def _saying(one: Written, change: tuple[str, str]) -> Written:
    """Return a line with a name read otherwise, where one of its readings has it so."""
    ways = [(places, other) for own, other, places in _names_otherwise(one) if own == change]
    return replace(one, line=max(ways, key=lambda way: way[0])[1]) if ways else one


def _found(trial: Trial, line: int) -> tuple[int, Written]:
    return next((i, one) for i, one in enumerate(trial.written) if one.line.number == line)


def _with(trial: Trial, place: int, line: Line) -> Trial:
    """Return a trial in which a line says something else, and nothing besides."""
    changed: Sequence[Written] = [
        replace(one, line=line, others=one.others if line.reads_as else ()) if i == place else one
        for i, one in enumerate(trial.written)
    ]
    return trial.like(changed)


def burden(outcome: Outcome) -> float:
    """Return what a pass costs, a line not understood being as bad as one at fault."""
    unread = sum(judged.status in ("unread", "undecided") for judged in outcome.lines.values())
    return outcome.cost + 3.0 * unread


def blames(before: Outcome, after: Outcome, but: Collection[int]) -> bool:
    """Tell whether a pass finds a fault at another line where another pass did not."""
    return any(
        judged.status == "fault" and number not in but and before.lines[number].status not in BAD
        for number, judged in after.lines.items()
    )
