"""Passes over one working under different choices, each run from where it parts from another."""

import math
from collections.abc import Mapping, Sequence
from functools import cached_property

from verifier.checking.assumptions import declared_senses
from verifier.checking.choice import Choice
from verifier.checking.context import Surroundings, axes_tilted
from verifier.checking.course import Course
from verifier.checking.figure import Figure
from verifier.checking.forms import NAMES_OF
from verifier.checking.measures import measures_of
from verifier.checking.names import Dictionary
from verifier.checking.rounded_angles import rounded_angles
from verifier.checking.state import Outcome
from verifier.checking.written import Written
from verifier.notation.tree import Name, Part, Relation, Statement

_OPEN = 9.5
_READ = 0.9
"""Below this confidence, letters of a line may be others."""
_CLEAN = ("agrees", "remark", "unread")
_KEPT = 40
"""How many passes are kept to go on from, beside the first."""


class Passes:
    """Runs passes over one working, each choice once."""

    kind: type[Course] = Course

    def __init__(
        self, figure: Figure, written: Sequence[Written], model: "Passes | None" = None
    ) -> None:
        self.figure = figure
        self.written = written
        self.names: Dictionary = model.names if model else Dictionary(figure)
        self.around: Surroundings = model.around if model else Surroundings(figure)
        self.around.tilted = axes_tilted(one.line.text for one in written)
        self.declared = declared_senses(written, figure, self.names)
        self.runs = 0
        self.skimmed: dict[Choice, Outcome] = {}
        self._done: dict[Choice, Outcome] = {}
        self._begun: list[tuple[Choice, Course]] = []
        self._left: dict[Choice, Course] = {}

    def run(self, choice: Choice, limit: float = math.inf) -> Outcome:
        """Judge the working once under a choice, and say why its faulty lines are at fault.

        A pass that comes to cost more than the limit is left there, and not kept.
        """
        known, skimmed = self._done.get(choice), self.skimmed.get(choice)
        if known is None and skimmed is not None and not skimmed.cut and not skimmed.cost:
            known = skimmed
        if known is None:
            course, start = self._begin(choice, self._clean(skimmed) if skimmed else 0)
            course.explains = True
            known = course.run(self.written, start, limit)
        if not known.cut:
            self._done[choice] = known
        return known

    def skim(self, choice: Choice, limit: float = math.inf) -> Outcome:
        """Judge the working under a choice without asking why a line is at fault: much faster.

        A pass that comes to cost more than the limit is left there (`Outcome.cut`); asked again
        with a higher limit it goes on.
        """
        known = self.skimmed.get(choice)
        if known is None:
            self.runs += 1
            known = self.skimmed[choice] = self._skimmed(choice, limit)
        elif known.cut and known.cost <= limit:
            self._left[choice].go_on(self.written, limit, self._turns)
        return known

    def before(self, choice: Choice, index: int, limit: float = math.inf) -> float:
        """Return what a pass costs up to a line, given by its index; a new one is left there.

        One that comes to cost more than the limit is left before.
        """
        if choice not in self.skimmed:
            self.runs += 1
            self.skimmed[choice] = self._skimmed(choice, limit, index)
        return self.skimmed[choice].cost_before(self.written[index].line.number)

    def state_before(self, choice: Choice, index: int) -> Course:
        """Return a course of its own that has judged all lines before one, given by its index."""
        course, start = self._begin(choice, index)
        course.explains = False
        course.run(self.written, start, end=index)
        course.reader.line = index
        return course

    def faulty_before(self, choice: Choice, index: int) -> bool:
        """Tell whether a pass finds a line at fault before one, given by its index."""
        self.before(choice, index)
        number = self.written[index].line.number
        return any(not s.remark and s.line < number for s in self.skimmed[choice].slips)

    def course(self, choice: Choice) -> Course:
        """Return a course for one pass under a choice."""
        course = self.kind(
            self.figure,
            self.names,
            self.around,
            senses={**dict(choice.senses), **self.declared},
            aliases=dict(choice.aliases),
            distrust={key: truth for key, (truth, _) in choice.distrust},
            plain=choice.plain,
            long=choice.long,
            also=self.measures,
        )
        course.angles = self.angles
        return course

    @cached_property
    def angles(self) -> dict[float, float]:
        """The angles in degrees that the working rounds, with their half widths."""
        return rounded_angles(self.written, self.figure)

    @cached_property
    def measures(self) -> list[tuple[float, float]]:
        """The units of force and length that the working writes, as multiples of the sheet's."""
        return measures_of(
            self.written, self.figure.structure, [load.value for load in self.figure.loads]
        )

    def _course(self, choice: Choice) -> Course:
        """Return a course; a letter that may be misread from a picture is not sought at a price."""
        course = self.course(choice)
        if not self._names_read:
            course.out.nameless = _OPEN
        return course

    def _skimmed(self, choice: Choice, limit: float, end: int | None = None) -> Outcome:
        course, start = self._begin(choice, len(self.written) if end is None else end)
        course.explains = False
        if self.kind is not Course:
            outcome = course.run(self.written, 0, limit, (), end)
        else:
            outcome = course.run(self.written, start, limit, self._turns, end)
            self._begun = [*self._begun[:1], *self._begun[1:][-_KEPT:], (choice, course)]
        if outcome.cut:
            self._left[choice] = course
        return outcome

    def _begin(self, choice: Choice, most: int) -> tuple[Course, int]:
        """Return a course and the line, `most` or before, from which it is to go on."""
        course, start = self._course(choice), 0
        states: list[tuple[int, Course]] = []
        for other, done in self._begun:
            if start >= most or not done.states or done.states[-1][0] <= start:
                continue  # it has no later line to go on from
            last = min(_parting(choice, other, done.reader.asked), most)
            known = [state for state in done.states if state[0] <= last]
            if known and known[-1][0] > start:
                start, states = known[-1][0], known
        if states:
            course = _turned(states[-1][1], course)
        course.states = list(states)
        return course, start

    def _clean(self, outcome: Outcome) -> int:
        """Return how many lines a pass judged before one that it has anything against."""
        told = {slip.line for slip in outcome.slips}
        told |= {n for n, judged in outcome.lines.items() if judged.status not in _CLEAN}
        first = min(told, default=math.inf)
        return sum(1 for one in self.written if one.line.number < first)

    @cached_property
    def _names_read(self) -> bool:
        """Whether all names in equations were read, or typed, beyond doubt."""
        return all(_has_names_read(one) for one in self.written)

    @cached_property
    def _turns(self) -> frozenset[int]:
        """The lines that hold a name for the first time: what passes part at."""
        seen: set[str] = set()
        found = []
        for index, one in enumerate(self.written):
            names = {name.text for part in one.line.parts for name in _names_in(part)}
            if index and names - seen:
                found.append(index)
            seen |= names
        return frozenset(found)


def _parting(one: Choice, other: Choice, asked: Mapping[str, int]) -> int:
    """Return the line at which the pass under `other` first asked for what `one` has otherwise."""
    if (one.distrust, one.plain, one.long) != (other.distrust, other.plain, other.long):
        return 0
    turned = {variable for variable, _ in {*one.senses} ^ {*other.senses}}
    for key, (variable, _) in {*one.aliases} ^ {*other.aliases}:
        turned |= {key, NAMES_OF + variable}
    return min((asked[what] for what in turned if what in asked), default=10**9)


def _turned(state: Course, fresh: Course) -> Course:
    """Return the state of another pass, to go on from with the senses and names of a fresh one."""
    course = state.copied()
    for key in state.given.keys() - fresh.given.keys():
        del course.reader.aliases[key]
    course.reader.aliases |= fresh.given
    course.given = fresh.given
    course.reader.senses = fresh.reader.senses
    course.said = fresh.said
    return course


def _has_names_read(one: Written) -> bool:
    if one.confidence is None or one.confidence >= _READ:
        return True
    if one.line.above or len(one.certainties) != len(one.line.text):
        return False
    spans = [name.span for part in one.line.parts for name in _names_in(part)]
    return all(min(one.certainties[a:b], default=1.0) >= _READ for a, b in spans)


def _names_in(part: Part) -> list[Name]:
    if isinstance(part, Statement):
        return [*part.names]
    return [*part.named] if isinstance(part, Relation) else []
