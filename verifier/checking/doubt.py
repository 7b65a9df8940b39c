"""Doubtful readings of a picture: a fault counts only where every plausible reading shares it."""

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace

from verifier.checking.alike_figures import told_by_page
from verifier.checking.bearing import (
    BAD,
    READ_BADLY,
    READ_SURELY,
    borne_out,
    burden,
    independent,
    is_result,
    renamed,
    says_less,
    telling,
)
from verifier.checking.choice import Choice
from verifier.checking.gone_on import GONE_ON, gone_on_with, worked_with
from verifier.checking.habits import (
    BY_SHAPE,
    BY_SLIP,
    differing,
    human,
    needed,
    of_signs,
    swaps,
)
from verifier.checking.misread import misread
from verifier.checking.names import Local, key_of
from verifier.checking.repeated import throughout
from verifier.checking.state import Outcome
from verifier.checking.trial import Trial
from verifier.checking.unrelated import unrelated
from verifier.checking.written import Written
from verifier.notation.tree import Name, Part, Prose, Relation, walk

PLAUSIBLE = 0.01
"""An other reading counts from this share of the likeliest one's probability on."""
_PLAUSIBLE_FIGURES = 2e-4
"""… and where only figures differ, which by hand are misread at far less and seldom mistaken."""
_PLAUSIBLE_SIGNS = 0.04
"""… and where only signs do, which people lose and readers seldom: of 362 lines by hand with a
planted mistake none had a sign read as the one that it replaced."""
SURE, SURE_OF_LINE = 0.9, 0.98
"""Below this confidence, of each sign or of the line alone, a fault from which nothing follows is
a question, even where no other reading is known: no more lines are at fault than misread so."""
SURE_OF_ONE, _HARDLY = 0.94, 0.005
"""… and for the only fault of a line by hand, since misread ones mostly seem to have several; so
little doubt at its place alone outweighs a line of which the rest is read badly. On 64 pages of
generated work (seeds 811101 to 811104) 23 such lines were faulty as written, 20 of them in less
doubt than 0.06; of 4 that were not, two were in less."""
RIVAL = 0.5
"""From this share on, another reading that makes a line a fault, by a slip, is a question."""
_SAYS_LESS = 0.2
"""A reading that fits because it claims less stands for nothing below this share."""
_UNIT_MARK = re.compile(r"(?<=[Nbfps])\s?[·×*./-]\s?(?=(?:m|mm|cm|ft|in)\b)")
_READ_FAIRLY = 0.6
_READ_WELL = 0.8  # only a line surer than this, with a right end, may have a fault before it
_AS_FIGURES = re.compile(r"[A-Za-z]_?\d{2,}")
_CLAIMS = re.compile(r"[0-9=≈<>≤≥]")
_SUM = re.compile(r"\d.*[=≈]|[=≈].*\d")
_LEAST_EQUATION = 8  # characters
_MOST_LINES = 60
_MOST_PASSES = 100  # on a page after which senses and names are not sought anew for a reading …
_MOST_SEARCHES = 4  # … nor for more readings of a line than these
_OF_TERMS = frozenset({"missing-force", "extra-force"})  # as where a line is cut badly
_OF_SENSES = frozenset({"sign", "sense", "inconsistent"})


def settle(
    trial: Trial, choice: Choice, outcome: Outcome
) -> tuple[Trial, Choice, Outcome, frozenset[int]]:
    """Return the pass under plausible readings, and the lines whose verdict hangs on the reading.

    Where another plausible reading of a bad line agrees, the working is followed with that one and
    the line is doubtful, unless it was likely enough. Where none is known, but what is at fault
    may well have been misread, or only the middle of a chain is at odds, it is doubtful as it is;
    a middle read badly is passed over. Faults from which other lines follow are none of reading.
    """
    if all(one.confidence is None and not one.others for one in trial.written):
        return trial, choice, outcome, frozenset()
    doubtful: set[int] = set()
    seen: set[int] = set()
    taken: set[tuple[str, str]] = set()
    passes = _MOST_PASSES
    _tell_words(trial, outcome)
    by_page = told_by_page(*renamed(trial, choice, outcome))
    trial, choice, outcome = by_page.trial, by_page.choice, by_page.outcome
    taken |= by_page.swaps
    for _ in range(_MOST_LINES):
        line = _next_bad(trial.written, outcome, seen)
        if line is None:
            break
        seen.add(line)
        better, passes = _agreeing(trial, choice, outcome, line, passes, taken)
        if better is not None:
            unread = outcome.lines[line].status == "unread"
            before = _by_number(trial.written, line).line.text
            trial, choice, outcome, likely = better
            if likely:
                taken |= swaps(before, _by_number(trial.written, line).line.text)
            elif not unread:
                doubtful.add(line)
            continue
        told = telling(trial, choice, outcome, line)
        if told is not None:
            trial, outcome = told
        right = _ending_right(trial, choice, line)
        one = _by_number(trial.written, line)
        badly = one.chance() < _READ_WELL and _is_no_slip(outcome, line)
        badly = badly or (one.by_hand and worked_with(outcome, line, one.line.text))
        if right is not None and badly:
            trial, outcome = right, right.run(choice)
        elif (
            outcome.lines[line].status == "fault"
            and (
                (right is not None and not _is_of_signs(outcome, line))
                or _unsure(trial, outcome, line)
                or (
                    _behind(one, doubtful)
                    and not independent(trial, choice, outcome, line, doubtful)
                    and not unrelated(trial, choice, outcome, line, doubtful)
                )
            )
            and (doubtful or not borne_out(trial, choice, outcome, line))
        ):
            doubtful.add(line)
    _tell_words(trial, outcome)
    doubtful |= _hanging(trial, choice, outcome, doubtful) | _rivals(trial, choice, outcome)
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
            texts = (_UNIT_MARK.sub("·", line.text) for line in (one.line, other))
            if not any(human(*pair) for pair in differing(*texts)):
                continue
            changed = list(trial.written)
            changed[place] = replace(one, line=other)
            if trial.like(changed).skim(choice).lines[number].status == "fault":
                found.add(number)
    return found


def strangers(trial: Trial, choice: Choice) -> frozenset[int]:
    """Return the lines not read surely that give a value to a name told there alone.

    Where an answer is missing, it may be told under that name, which means nothing as it was read.
    """
    given = {key for key, _ in choice.aliases}
    found: dict[str, set[int]] = {}
    for one in trial.written:
        for part in one.line.parts:
            for name in part.named if isinstance(part, Relation) else ():
                if isinstance(trial.names.meanings(name)[0], Local):
                    found.setdefault(key_of(name), set()).add(one.line.number)
    unsure = {
        one.line.number
        for one in trial.written
        if one.confidence is not None
        and one.chance() < READ_SURELY
        and any(is_result(part, trial) for part in one.line.parts if isinstance(part, Relation))
    }
    alone = [lines for key, lines in found.items() if key not in given and len(lines) == 1]
    return frozenset(set().union(*alone) & unsure)


def _next_bad(written: Sequence[Written], outcome: Outcome, seen: set[int]) -> int | None:
    for one in written:
        number = one.line.number
        picture = one.confidence is not None or one.others
        if picture and number not in seen and outcome.lines[number].status in BAD:
            return number
    return None


def _tell_words(trial: Trial, outcome: Outcome) -> None:
    """Make a remark of what was not read and in no reading has a figure or a relation: words.

    What was taken for words but looks like a sum is a question, unless it was read surely.
    """
    for one in trial.written:
        if one.confidence is None:
            continue
        judged = outcome.lines[one.line.number]
        ways = (one.line, *(other for other, _ in one.others))
        words = all(isinstance(part, Prose) for part in one.line.parts)
        if judged.status == "unread" and not any(_CLAIMS.search(way.text) for way in ways):
            judged.status = "remark"
        elif words and _SUM.search(one.line.text) and one.confidence < READ_SURELY:
            judged.worsen("unread")


def _behind(one: Written, doubtful: set[int]) -> bool:
    """Tell whether a line of which no sign is known to be sure stands behind a question."""
    return not one.certainties and any(number < one.line.number for number in doubtful)


def _by_number(written: Sequence[Written], number: int) -> Written:
    return next(one for one in written if one.line.number == number)


def _unsure(trial: Trial, outcome: Outcome, line: int) -> bool:
    """Tell whether a line may have been misread where it is at fault.

    It is asked only where no plausible reading agrees, so all the readings known share the fault.
    """
    lines = {one.line.number: one for one in trial.written}
    one = lines[line]
    slips = [slip for slip in outcome.slips if slip.line == line and not slip.remark]
    likely = max((misread(slip, lines) for slip in slips), default=0.0)
    alone = one.by_hand and len({slip.explanation.span for slip in slips}) == 1
    alone = alone and all(slip.explanation.kind not in _OF_TERMS for slip in slips)
    alone = alone and not any(way is one.line for way, _ in one.others)  # as it was first read
    if not one.certainties and one.chance() < READ_BADLY:
        return not (alone and likely < _HARDLY)
    if one.confidence is not None and _holds_unknown(one, outcome, trial):
        return True
    sure = SURE if one.certainties else SURE_OF_LINE
    sure = SURE_OF_ONE if alone and one.chance() >= _READ_FAIRLY else sure
    return likely > 1 - sure


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


def _hanging(trial: Trial, choice: Choice, outcome: Outcome, doubtful: set[int]) -> set[int]:
    """Return faulty results, by line, that may follow from a line above that was not read well.

    `F = 208` at odds with equilibrium is no fresh fault where an equation before it is a question,
    nor is a sign one, whose sense that equation may have shown.
    """
    found: set[int] = set()
    asked: set[int] = set()
    for one in trial.written:
        number = one.line.number
        status = outcome.lines[number].status
        unsure = one.confidence is not None and one.confidence < READ_SURELY
        kinds = {s.explanation.kind for s in outcome.slips if s.line == number and not s.remark}
        result = all(is_result(part, trial) for part in one.line.parts)
        if (
            asked
            and status == "fault"
            and (result or kinds <= _OF_SENSES)
            and not independent(trial, choice, outcome, number, doubtful)
            and (number in doubtful or not unrelated(trial, choice, outcome, number, asked))
        ):
            found.add(number)
        unread = unsure and status in ("unread", "undecided") and _may_be_equation(one)
        if number in doubtful or unread:
            asked.add(number)
    return found


def _may_be_equation(one: Written) -> bool:
    """Tell whether a line is more than a scrap without a relation, as marks beside a text are."""
    ways = (one.line, *(other for other, _ in one.others))
    return len(one.line.text.strip()) >= _LEAST_EQUATION or any("=" in way.text for way in ways)


def _ending_right(trial: Trial, choice: Choice, line: int) -> Trial | None:
    """Return the pass in which a bad line is right in its end, something before it left out.

    `F = 71 cos 53.13° = 11.67` after an equation that gives 11.67, or `1.9 − 0.4 F = 0 → F = 47.5`:
    what stands before was misread, or is a slip without effect; a reading without its certainties
    cannot tell which.
    """
    place = next(i for i, one in enumerate(trial.written) if one.line.number == line)
    one = trial.written[place]
    if one.confidence is None or one.certainties:
        return None
    for parts in _ended(one.line.parts):
        changed = list(trial.written)
        changed[place] = replace(one, line=replace(one.line, parts=parts))
        ended = trial.like(changed)
        found = ended.skim(choice)
        right = found.lines[line].status in ("agrees", "carried")
        if right and not _spoils(trial.skim(choice), found):
            return ended
    return None


def _is_no_slip(outcome: Outcome, line: int) -> bool:
    """Tell whether a bad line has no fault that people make and that has no effect on its end.

    A sign may be wrong in the sum and right in what is worked out from it; figures are not.
    """
    kinds = {slip.explanation.kind for slip in outcome.slips if slip.line == line}
    return kinds <= {"arithmetic", "rounding"}


def _is_of_signs(outcome: Outcome, line: int) -> bool:
    """Tell whether a bad line has faults of signs alone: people lose them, readers seldom do."""
    kinds = {s.explanation.kind for s in outcome.slips if s.line == line and not s.remark}
    return bool(kinds) and kinds <= _OF_SENSES


def _spoils(before: Outcome, after: Outcome, line: int = 0) -> bool:
    """Tell whether a pass finds a fault where another one did not, or is no cheaper.

    A slip that stood at a line before, and is now told at one that repeats it, is none that is new.
    """
    own = {slip.explanation.key for slip in before.slips if slip.line == line} - {""}
    moved = {slip.line for slip in after.slips if slip.explanation.key in own}
    cost, least = burden(after), burden(before)
    return (cost > least if moved else cost >= least) or any(
        judged.status == "fault" and before.lines[number].status not in BAD and number not in moved
        for number, judged in after.lines.items()
    )


def _ended(parts: tuple[Part, ...]) -> Iterator[tuple[Part, ...]]:
    """Yield the parts of a line with chains cut down to their ends, or without one of several."""
    ends = tuple(_ends(part) for part in parts)
    if ends != parts:
        yield ends
    relations = [at for at, part in enumerate(parts) if isinstance(part, Relation)]
    for at in relations[:-1]:
        yield (*parts[:at], *parts[at + 1 :])


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
    trial: Trial,
    choice: Choice,
    outcome: Outcome,
    line: int,
    passes: int,
    known: Collection[tuple[str, str]],
) -> tuple[tuple[Trial, Choice, Outcome, bool] | None, int]:
    """Return the pass with the likeliest other reading of a line under which it is not bad.

    It says as well whether that reading is likely enough; then after how many more passes no
    search is begun. `known` are signs taken for others in lines before.
    """
    place = next(i for i, one in enumerate(trial.written) if one.line.number == line)
    one = trial.written[place]
    whole = one.chance()
    tried = [one.line.parts]
    left: list[tuple[Trial, bool]] = []
    for other, probability in sorted(one.others, key=lambda way: -way[1]):
        figures = needed(one.line, other) <= BY_SHAPE
        least = _PLAUSIBLE_FIGURES if figures and one.by_hand else PLAUSIBLE
        if one.by_hand and of_signs(one.line, other):
            least = _PLAUSIBLE_SIGNS
        if probability < least * whole or other.parts in tried:
            continue
        tried.append(other.parts)
        less = says_less(trial, one, other)
        if less and one.chance(other) < _SAYS_LESS * whole:
            continue
        changed = list(trial.written)
        changed[place] = replace(one, line=other)
        second = trial.like(changed)
        status = second.skim(choice).lines[line].status
        share = BY_SLIP if less or status == "remark" else needed(one.line, other, known)
        if not less and gone_on_with(trial.written, place, other):
            share = min(share, GONE_ON)
        if status in BAD:
            left.append((second, one.chance(other) >= share * whole))
            continue
        likely = one.chance(other) >= share * whole
        for way in (second, trial.like(throughout(trial.written, place, other))):
            if way is not second and way.written == second.written:
                continue
            found = way.run(choice)
            if found.lines[line].status not in BAD and not _spoils(outcome, found, line):
                return (way, choice, found, likely), passes
    for second, likely in left[:_MOST_SEARCHES]:
        if passes <= 0:
            break
        anew = second.rough()
        passes -= second.runs
        if second.skim(anew).lines[line].status in BAD:
            continue
        found = second.run(anew)
        if found.lines[line].status not in BAD and not _spoils(outcome, found, line):
            return (second, anew, found, likely), passes
    return None, passes
