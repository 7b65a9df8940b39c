"""Passes over one working under different senses and names, and the search for the best."""

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property
from itertools import combinations, islice

from verifier.checking.choice import Choice, called
from verifier.checking.context import INNER
from verifier.checking.course import Course
from verifier.checking.declared import letters_said
from verifier.checking.derived import same
from verifier.checking.hints import Hints
from verifier.checking.names import Unknown, key_of
from verifier.checking.passes import Passes
from verifier.checking.state import Outcome
from verifier.checking.written import Written
from verifier.notation.tree import Name, Relation, walk

_MOST_TRIALS = 32
_MOST_ALIASES, _MOST_TWICE = 14, 4
_NEAR = 1.0
_ALIKE = 0.02
_NOTHING = 1e-9
_A_LINE, _TWO_LINES = 5.0, 25.0
_SAID_SO = 10.0
_TWO_NAMES = 11.0
"""The price of two names for one force while another force asked for has none."""
_IDLE = 0.5
"""The price of a name without a meaning beside a force asked for that has no name."""
_MOST_SWEEPS, _MOST_NAMINGS, _MOST_RENAMED = 3, 300, 4
_FINALISTS = 10
_MOST_COMPANIONS = 4
_MOST_FITTING = 4
_FIRST_BOUND = 4.0
"""What passes side by side may cost at first: less than a line at fault."""


class Trial(Passes):
    """Runs passes over one working and keeps the best."""

    def like(self, written: Sequence[Written]) -> "Trial":
        """Return a trial of other lines on the same figure."""
        return Trial(self.figure, written, self)

    def course(self, choice: Choice) -> Course:
        """Return a course for one pass under a choice."""
        course = super().course(choice)
        course.said = frozenset({*self.declared, *self._said(choice)})
        course.forces = self.hints.forces
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
        return outcome.cost + choice.price + again * twice + idle + 0.02 * len(open_)

    def better(self, trial: Choice, choice: Choice) -> bool:
        """Tell whether a pass leads on: cheaper, or as faulty but only later."""
        limit = self.price(choice) + _NEAR
        gain = self.price(choice) - self.price(trial, limit=limit)
        one, other = self.skim(trial, limit), self.skim(choice)
        later = one.first_fault - other.first_fault
        if later and not one.cut and abs(one.cost - other.cost) < 1e-9:
            return later > 0
        return gain > 1e-9

    def notes(self) -> tuple[str, ...]:
        """Return sentences on the whole working that belong to the result."""
        return ()

    def start(self) -> Choice:
        """Return the choice to begin with."""
        return Choice()

    def best(self) -> Choice:
        """Search aliases, then senses; what the writer says of his letters weighs a line."""
        choice = self.start()
        if not self.letters:
            return self._searched(choice)
        said = self._searched(called(choice, self.letters))
        if not self.skim(said).cost:
            return said
        other = self._searched(choice)
        gain = self.price(said, self.run(said)) - self.price(other, self.run(other))
        return other if gain > _SAID_SO else said

    @cached_property
    def hints(self) -> Hints:
        """What labels and units say of the writer's own names."""
        return Hints(self.written, self.around)

    @cached_property
    def letters(self) -> dict[str, tuple[str, float]]:
        """What the writer says that letters of his own stand for, in the senses declared."""
        said = letters_said(self.written, self.names)
        return {k: (v, sense * self.declared.get(v, 1.0)) for k, (v, sense) in said.items()}

    def _searched(self, choice: Choice) -> Choice:
        """Search from a choice for the pass under which the working agrees best."""
        if not self.skim(choice).cost:
            return choice
        choice = self._unit(choice)
        keys = self.skim(choice).loose
        named = self._alias(choice, keys)
        sided = self._side(named)
        found = self._flip(sided)
        if sided != named and self.skim(found).cost:
            found = self.cheapest(found, [self._flip(named)])
        if keys and self.skim(found).cost:
            found = self._renamed(found, keys)
        return self._distrust(self._needed(self._finest(found)))

    def _needed(self, choice: Choice) -> Choice:
        """Leave out names that explain nothing: the line with them stays as open as it was."""
        for key, _ in choice.aliases if self.skim(choice).loose else ():
            without = replace(choice, aliases=tuple(a for a in choice.aliases if a[0] != key))
            one, other = self.skim(choice), self.skim(without)
            if other.cost <= one.cost and other.stated.keys() == one.stated.keys():
                choice = without
        return choice

    def _renamed(self, choice: Choice, keys: set[str]) -> Choice:
        """Try what else a name may stand for where senses turn with it."""
        bad = {key_of(name) for name in self._names_of(self.skim(choice))}
        for key in sorted(keys & bad)[:_MOST_RENAMED]:
            likely = self._ranked(self._named(choice, key), self.price(choice) + _TWO_LINES)
            for other in [*islice(likely, _MOST_RENAMED)]:
                if not self.skim(choice).cost or self.runs > _MOST_NAMINGS:
                    return choice
                choice = self.cheapest(choice, [self._flip(self._side(other))])
        return self._exchanged(choice)

    def _exchanged(self, choice: Choice) -> Choice:
        """Give a name without a meaning the force that another holds, and that one a new one."""
        for key in sorted(self.skim(choice).loose)[:_MOST_RENAMED]:
            for holder, held in choice.aliases:
                if self.runs > _MOST_NAMINGS:
                    return choice
                rest = tuple(a for a in choice.aliases if a[0] != holder)
                turned = called(replace(choice, aliases=rest), {key: held})
                choice = self.cheapest(choice, [self._flip(self._alias(turned, {holder}))])
        return choice

    def _finest(self, choice: Choice) -> Choice:
        """Choose among the passes that are about as good by what explains their faults best.

        Here, and not before, it counts in which sense the first sum of a force has it.
        """
        if not self.skim(choice).cost:
            return choice
        most = self._drawn(choice, self.skim(choice)) + _NEAR
        prices = {c: self._drawn(c, self.skim(c, most)) for c in [*self.skimmed]}
        floor = min(prices.values())
        # Of many that cost the same, those that turn a sense come before those that name anew.
        own = {(key, variable) for key, (variable, _) in choice.aliases}
        anew = {c: len(own - {(key, v) for key, (v, _) in c.aliases}) for c in prices}
        near = [c for c in prices if prices[c] <= floor + _NEAR]
        near.sort(key=lambda c: (round(prices[c], 1), anew[c], prices[c]))
        near = [choice, *(c for c in near if c != choice)] if choice in near else near
        last = {c: self._drawn(c, self.run(c)) for c in near[:_FINALISTS]}
        alike = [c for c in last if last[c] <= min(last.values()) + _ALIKE]
        return min(alike, key=lambda c: (-self.run(c).first_fault, last[c]))

    def _drawn(self, choice: Choice, outcome: Outcome) -> float:
        """Return what a pass costs, with what is drawn against its first sum."""
        return self.price(choice, outcome) + outcome.against_drawing

    def _distrust(self, choice: Choice) -> Choice:
        """Blame the definition of an angle where that explains its uses as well or better."""
        for key, truth in self.run(choice).doubted.items():
            trial = replace(choice, distrust=(*choice.distrust, (key, truth)))
            if self.price(trial, self.run(trial)) < self.price(choice, self.run(choice)) - 1e-9:
                choice = trial
        return choice

    def _unit(self, choice: Choice) -> Choice:
        """Take bare numbers in the units that the working writes, where those are others."""
        for plain, long in self.measures:
            trial = replace(choice, plain=plain, long=long)
            if self.price(trial) < self.price(choice) - _A_LINE:
                choice = trial
        return choice

    def _alias(self, choice: Choice, loose: set[str]) -> Choice:
        """Find what the writer's own force names stand for, in the order of their first use."""
        order = self._first_use()
        choice = self.cheapest(choice, [self._by_letter(choice, loose)])
        choice = self._settled(choice, loose)
        named = dict(choice.aliases)  # at first these are but turned, until all have a name
        for _ in range(_MOST_SWEEPS):
            before = choice
            loose = loose | self.skim(choice).loose
            for key in sorted(loose, key=lambda key: (order.get(key, 0), not _axis_of(key), key)):
                if self.price(choice) > _NOTHING:
                    turned = [_turned(choice, key)] if key in named else self._named(choice, key)
                    choice = self.cheapest(choice, turned)
            over = not self.skim(choice).cost or self.runs > _MOST_NAMINGS
            if over or (choice == before and not named):
                break
            named = {}
        return choice

    def _settled(self, choice: Choice, keys: set[str]) -> Choice:
        """Name each force by the lines before the next one appears, where they are right.

        That takes a few lines, while a pass with many names open goes far.
        """
        used = {key: line for key, line in self._first_use().items() if key in keys}
        numbers = [one.line.number for one in self.written]
        for key in sorted(used, key=lambda key: (used[key], key)):
            named = {k for k, _ in choice.aliases}
            ahead = [line for k, line in used.items() if line > used[key] and k not in named]
            if key in named or not ahead:
                continue
            end = numbers.index(min(ahead))
            right = [other for other in self._named(choice, key) if not self.before(other, end)]
            if right and self.before(choice, end):
                choice = self.cheapest(choice, right[:_MOST_FITTING])
        return choice

    def _by_letter(self, choice: Choice, keys: set[str]) -> Choice:
        """Return the names given to what is asked for as their letters say: H across, S a bar."""
        named = {*self.skim(choice).called, *(v for _, (v, _) in choice.aliases)}
        asked = {self.figure.variable(item)[0] for item in self.figure.structure.find} - named
        open_ = set(keys) - set(dict(choice.aliases))
        given: dict[str, tuple[str, float]] = {}
        settled = True
        while settled:
            settled = False
            for key in sorted(open_ - given.keys()):
                left = sorted(asked - {variable for variable, _ in given.values()})
                axis = _axis_of(key)
                fitting = [v for v in left if (self._lies(v) == axis if axis else "-" in v)]
                rivals = [k for k in open_ - given.keys() if _axis_of(k) == axis]
                if len(fitting) == 1 == len(rivals):
                    given[key] = fitting[0], 1.0
                    settled = True
        return called(choice, given)

    def _first_use(self) -> dict[str, int]:
        """Return the line in which each name first stands in an equation."""
        found: dict[str, int] = {}
        for one in self.written:
            for part in one.line.parts:
                for name in _names_in(part) if isinstance(part, Relation) else ():
                    found.setdefault(key_of(name), one.line.number)
        return found

    def _side(self, choice: Choice) -> Choice:
        """Take a name that the sheet allows several meanings in the one that fits.

        The force of a pin with a load is another on each body; `F_A` may be either part at A;
        the parts of an inclined reaction are drawn each in its own sense.
        """
        outcome = self.skim(choice)
        for name in self._names_of(outcome) if outcome.cost else ():
            options = [m for m in self.names.meanings(name) if isinstance(m, Unknown)]
            options = [m for m in options if not m.variable.startswith(INNER)]
            if options and name.text in self.figure.points:  # S for the cable's pull, at a joint S
                options += [Unknown(v) for v in self._free(choice) if "-" in v]
            part = options[:1] and abs(options[0].factor) != 1.0
            if part or (len(options) > 1 and not _spells(name, options[0].variable)):
                taken = [(m.variable, s * m.factor) for m in options for s in (1.0, -1.0)]
                others = [called(choice, {key_of(name): one}) for one in taken]
                choice = self.cheapest(choice, others)
        return choice

    def cheapest(self, choice: Choice, others: Iterable[Choice]) -> Choice:
        """Return the choice with the least price, then with the latest first trouble."""
        best = next(self._ranked(others, self.price(choice) + _NEAR), choice)
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

    def _named(self, choice: Choice, key: str) -> Iterator[Choice]:
        """Yield a choice with a name given to each force that it may be, two names exchanged."""
        given = dict(choice.aliases)
        axis = "" if self.around.joint(key) else _axis_of(key)
        free = self._free(choice)
        lying = (axis, "") if len(key) == 1 else (axis,)  # V may be a shear force as well
        fitting = [v for v in free if not axis or self._lies(v) in lying] or free
        for variable in self.hints.narrow(key, fitting):
            holder = next((k for k, (v, _) in given.items() if v == variable and k != key), "")
            for sign in (1.0, -1.0):
                named = {**given, key: (variable, sign)}
                if not (holder and key in given):
                    yield called(choice, named)
                    continue
                other, turned = given[key]
                for sense in (turned, -turned):
                    yield called(choice, {**named, holder: (other, sense)})

    def _lies(self, variable: str) -> str:
        """Return x or y for a force along that axis, '' for any other."""
        if variable[:4] == "pin ":
            return variable.split()[2]
        across, up = self.figure.along.get(variable, (0.0, 0.0))
        if abs(across) < 1e-9 < abs(up):
            return "y"
        return "x" if abs(up) < 1e-9 < abs(across) else ""

    def _free(self, choice: Choice) -> list[str]:
        """Return the variables that a name may stand for, those without another name first."""
        used = set(self.skim(choice).called) | {v for _, (v, _) in choice.aliases}
        asked = self.figure.structure.find
        items = [self.figure.variable(item)[0] for item in asked]
        items += [item for item in self.figure.true if self.figure.variable(item)[0] == item]
        ordered = sorted(dict.fromkeys(items), key=lambda item: item in used)
        # 'R = 1, so F_DG = −1': what is asked for may have a second name.
        bars = [v for v in ordered[_MOST_ALIASES:] if "-" in v and v in items[: len(asked)]]
        return [*ordered[:_MOST_ALIASES], *bars[:_MOST_TWICE]]

    def _flip(self, choice: Choice) -> Choice:
        """Turn senses round while that makes more of the working agree."""
        improved, best = True, choice
        most = self.runs + _MOST_TRIALS * 4
        seen: set[Choice] = set()
        while improved and self.runs < most and choice not in seen:
            seen.add(choice)
            improved = False
            outcome = self.skim(choice)
            if not outcome.cost:
                return choice
            for trial in self._neighbours(choice, outcome):
                if self.better(trial, best):
                    best, improved = trial, True
                if not self.skim(best).cost:
                    break
            choice = best
        return choice

    def _neighbours(self, choice: Choice, outcome: Outcome) -> list[Choice]:
        held = {*self.declared, *self._said(choice)}
        suspects = [v for v in self._suspects(outcome, choice) if v not in held]
        opposed = tuple(v for v in self._opposed(outcome) if v not in held)
        flips = [opposed] if len(opposed) > 1 else []
        flips += [(v,) for v in suspects] + list(combinations(suspects[:6], 2))
        flips += [
            (v, other)
            for v in suspects[:2]
            for other in self._companions(v, choice)[:_MOST_COMPANIONS]
            if other not in held and other not in suspects
        ]
        senses = dict(choice.senses)
        trials = []
        for flip in flips[:_MOST_TRIALS]:
            turned = dict(senses)
            for variable in flip:
                turned[variable] = -turned.get(variable, 1.0)
            kept = tuple(sorted((v, s) for v, s in turned.items() if s < 0))
            trials.append(replace(choice, senses=kept))
        return trials

    def _said(self, choice: Choice) -> set[str]:
        """Return the forces whose letters a choice takes as the writer says: no sense to turn."""
        given = dict(choice.aliases)
        return {one[0] for key, one in self.letters.items() if given.get(key) == one}

    def _opposed(self, outcome: Outcome) -> list[str]:
        """Return the variables whose stated value is the true one but for its sign."""
        return [
            variable
            for variable, found in outcome.stated.items()
            if same(found.quantity.centre, -self.figure.true.get(variable, 0.0), 0.01)
        ]

    def _suspects(self, outcome: Outcome, choice: Choice) -> list[str]:
        """Return the force variables of faulty lines, the most frequent first."""
        count: Counter[str] = Counter()
        for name, times in self._names_of(outcome).items():
            variable = self._variable(name, choice)
            count.update({variable: times} if variable else {})
        return sorted(count, key=lambda v: -count[v])

    def _companions(self, variable: str, choice: Choice) -> list[str]:
        """Return the forces that stand in a relation with one, the most frequent first."""
        count: Counter[str] = Counter()
        for one in self.written:
            for part in one.line.parts:
                if isinstance(part, Relation):
                    here = {self._variable(name, choice) for name in _names_in(part)} - {""}
                    count.update(here - {variable} if variable in here else ())
        return sorted(count, key=lambda v: (-count[v], v))

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
                for name in _names_in(part) if isinstance(part, Relation) else ():
                    first, times = found.get((name.base, name.sub), (name, 0))
                    found[name.base, name.sub] = first, times + 1
        return dict(found.values())


def _names_in(relation: Relation) -> list[Name]:
    return [node for side in relation.sides for node in walk(side) if isinstance(node, Name)]


def _turned(choice: Choice, key: str) -> Choice:
    """Return a choice with a name in the other sense."""
    variable, sense = dict(choice.aliases)[key]
    return called(choice, {key: (variable, -sense)})


def _spells(name: Name, variable: str) -> bool:
    """Tell whether a name is spelt as the bar that it may be: BC is no reaction at C."""
    ends = variable.split("-")
    return len(ends) > 1 and name.text in ("".join(ends), "".join(reversed(ends)))


def _axis_of(key: str) -> str:
    """Return the axis that a name says: H and R_x lie across, V and R_y upright."""
    last = key[-1:]
    if key in ("H", "X") or last in "xhX":
        return "x"
    return "y" if key in ("V", "Y") or last in "yvY" else ""
