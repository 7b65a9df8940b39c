"""What passes over one working cost, and which of several is the cheapest."""

import math
import re
from collections.abc import Iterable, Iterator
from functools import cached_property

from verifier.checking.choice import Choice
from verifier.checking.course import Course
from verifier.checking.declared import letters_said
from verifier.checking.hints import Hints
from verifier.checking.names import Unknown, key_of
from verifier.checking.passes import Passes
from verifier.checking.state import Outcome
from verifier.notation.tree import Name, Neg, Relation

NEAR = 1.0
_NOISE = 1e-6
_PULL = re.compile(r"\b(?:tension|tensile|taut|pull|zug|tracti|tracci|trazion|ro[zs]ciąg)", re.I)
_TWO_NAMES = 11.0
"""The price of two names for one force while another force asked for has none."""
_IDLE = 0.5
"""The price of a name without a meaning beside a force asked for that has no name."""
_UNTOLD = 0.06
"""The price of a force asked for that no line gives: more than a pin drawn askew."""
_BAR = 12.0
"""The price of a bar's force under a name that is said to act up or to the left, say."""
PUSHED = 12.0
"""The price of a taut cable that is drawn pushing: more than a line."""
_AGAINST = 12.0
"""The price of a name in another sense than 'R_x taken to the right' says: more than a line."""
_FIRST_BOUND = 4.0
"""What passes side by side may cost at first: less than a line at fault."""


class Pricing(Passes):
    """Tells what each pass costs."""

    def course(self, choice: Choice) -> Course:
        """Return a course for one pass under a choice."""
        course = super().course(choice)
        course.said = frozenset({*self.declared, *self._said(choice)})
        course.forces = self.hints.forces
        course.pushing = frozenset(self.hints.pushing)
        return course

    def price(
        self, choice: Choice, outcome: Outcome | None = None, limit: float = math.inf
    ) -> float:
        """Return what a pass costs: its faults, and what it takes for granted.

        Beyond the limit it is infinite.
        """
        outcome = outcome or self.skim(choice, limit)
        if outcome.cut:
            return math.inf
        named = [variable for _, (variable, _) in choice.aliases]
        twice = len(named) - len(set(named))
        asked = {self.figure.variable(item)[0] for item in self.figure.structure.find}
        open_ = asked - set(outcome.stated)
        unnamed = open_ - set(outcome.called) - set(named)
        again = _TWO_NAMES if unnamed else 0.5
        idle = _IDLE * min(len(unnamed), len(outcome.loose))
        odd = self._odd(choice)
        return outcome.cost + choice.price + again * twice + idle + odd + _UNTOLD * len(open_)

    def _odd(self, choice: Choice) -> float:
        """Return the price of names and senses against what their writing says."""
        ways = self.hints.ways
        keys = ways.keys() - self.hints.bars  # 'S = 3 kN (C), pushing up' is a bar's all the same
        bars = sum("-" in variable and key in keys for key, (variable, _) in choice.aliases)
        return _BAR * bars + _AGAINST * len(self.opposing(choice)) + PUSHED * self.pushed(choice)

    def left(self, choice: Choice, limit: float) -> float:
        """Return what a limit on the price leaves for what a pass finds."""
        return limit - choice.price - self._odd(choice) + _NOISE

    def pushed(self, choice: Choice) -> int:
        """Count the taut cables that a choice has drawn pushing though their T says a pull."""
        if not self._taut:
            return 0
        senses = dict(choice.senses)
        for variable, sign in dict(choice.aliases).values():
            senses[variable] = sign * senses.get(variable, 1.0)
        pulls = {self._variable(name, choice) for name in self._pulls}
        return sum(cable in pulls and senses.get(cable, 1.0) < 0 for cable in self._taut)

    @cached_property
    def _taut(self) -> list[str]:
        cables = [m.name for m in self.figure.structure.members if m.cable]
        return [c for c in cables if c not in self.declared and self.figure.true.get(c, 0.0) > 0]

    @cached_property
    def _pulls(self) -> set[Name]:
        """The names in T, but those given a value below zero in a line that speaks of pull."""
        named, told = set[Name](), set[Name]()
        for one in self.written:
            relations = [part for part in one.line.parts if isinstance(part, Relation)]
            marks = [mark for part in relations for many in part.marks for mark in many]
            for part in relations:
                below = any(isinstance(side, Neg) for side in part.sides)
                pull = _PULL.search(one.line.text, part.span[1]) or any(
                    mark.meaning == "tension" and mark.span[0] > part.span[0] for mark in marks
                )
                (told if below and pull else named).update(part.named)
        keys = {key_of(name) for name in told}
        return {name for name in named if name.base[:1] == "T" and key_of(name) not in keys}

    def opposing(self, choice: Choice) -> list[str]:
        """Return the names that stand for a force in the sense opposite to the one declared."""
        senses, taken = {**dict(choice.senses), **self.declared}, self.hints.taken
        return [
            key
            for key, (variable, sign) in choice.aliases
            if key in taken and key not in self.letters
            if self._claimed(variable, taken[key]) * sign * senses.get(variable, 1.0) < 0
        ]

    def _claimed(self, variable: str, meaning: str) -> float:
        """Return the sense of a force that a word claims; of a pin between bodies, either's."""
        joint, _, body = variable.removeprefix("pin ").partition(" ")
        body = body.rpartition("on ")[2] if variable.startswith("pin ") else ""
        holders = [one for one in self.figure.structure.bodies if joint in one.points]
        return self.figure.claimed_sense(variable, meaning, body if len(holders) == 1 else "")

    @cached_property
    def hints(self) -> Hints:
        """What labels and units say of the writer's own names."""
        return Hints(self.written, self.around)

    @cached_property
    def letters(self) -> dict[str, tuple[str, float]]:
        """What the writer says that letters of his own stand for, in the senses declared."""
        said = letters_said(self.written, self.names)
        return {k: (v, sense * self.declared.get(v, 1.0)) for k, (v, sense) in said.items()}

    def _said(self, choice: Choice) -> set[str]:
        """Return the forces whose letters a choice takes as the writer says: no sense to turn."""
        given = dict(choice.aliases)
        return {one[0] for key, one in self.letters.items() if given.get(key) == one}

    def cheapest(self, choice: Choice, others: Iterable[Choice]) -> Choice:
        """Return the choice with the least price, then with the latest first trouble."""
        best = next(self._ranked(others, self.price(choice) + NEAR), choice)
        return best if self._order(best) < self._order(choice) else choice

    def _ranked(self, choices: Iterable[Choice], limit: float) -> Iterator[Choice]:
        """Yield the choices, cheapest first; those beyond a limit come last, as they were given.

        All passes are followed up to the same cost before any is followed further, so that most
        are left within a few lines of where they part.
        """
        waiting, ready = list(choices), list[Choice]()
        bound = min(_FIRST_BOUND, limit)
        while waiting or ready:
            cut = [self.skim(choice, bound).cut for choice in waiting]
            ready += [choice for choice, left in zip(waiting, cut, strict=True) if not left]
            ready.sort(key=self._order)
            waiting = [choice for choice, left in zip(waiting, cut, strict=True) if left]
            settled = [c for c in ready if bound >= limit or self.price(c) <= bound]
            yield from settled
            ready = ready[len(settled) :]
            if bound >= limit:
                break
            bound = min(2 * bound, limit)
        yield from waiting

    def _order(self, choice: Choice) -> tuple[float, int, int]:
        outcome = self.skim(choice, 0.0)
        price = round(self.price(choice, outcome), 6)
        return price, -outcome.first_fault, -outcome.first_open

    def _variable(self, name: Name, choice: Choice) -> str:
        """Return the force that a name is under a choice, '' where it is none."""
        given = dict(choice.aliases).get(key_of(name))
        options = (m.variable for m in self.names.meanings(name) if isinstance(m, Unknown))
        return given[0] if given else next(options, "")

    def _names_of(self, outcome: Outcome) -> dict[Name, int]:
        """Return the names in faulty lines, each with how often it stands there."""
        bad = {n for n, judged in outcome.lines.items() if judged.status in ("fault", "undecided")}
        bad |= outcome.repeated
        found: dict[tuple[str, str], tuple[Name, int]] = {}
        for one in self.written:
            for part in one.line.parts if one.line.number in bad else ():
                for name in part.named if isinstance(part, Relation) else ():
                    first, times = found.get((name.base, name.sub), (name, 0))
                    found[name.base, name.sub] = first, times + 1
        return dict(found.values())

    def _first_use(self) -> dict[str, int]:
        """Return the line in which each name first stands in an equation."""
        found: dict[str, int] = {}
        for one in self.written:
            for part in one.line.parts:
                for name in part.named if isinstance(part, Relation) else ():
                    found.setdefault(key_of(name), one.line.number)
        return found
