"""The search for the senses, names and units under which most of a working agrees."""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property
from itertools import combinations, islice

from verifier.checking.choice import Choice, called
from verifier.checking.context import INNER
from verifier.checking.derived import same
from verifier.checking.names import Unknown, key_of
from verifier.checking.naming import MOST_NAMINGS, Naming
from verifier.checking.pricing import NEAR
from verifier.checking.scattered import VAGUE
from verifier.checking.state import Outcome
from verifier.checking.written import Written
from verifier.notation.tree import Relation

_MOST_TRIALS = 32
_ALIKE = 0.02
_MEASURES = 1
_AS_FAULTY = 0.75
"""Passes whose costs differ by less have as many lines at fault."""
_A_LINE, _TWO_LINES = 5.0, 25.0
_SAID_SO = 10.0
_MOST_RENAMED = 4
_FINALISTS = 10
_TWO_FAULTS = 20.0
_MANY_BAD, _FEW_FINALISTS = 25.0, 3
"""With three bad lines and more on a picture, the explanation of misread ones tells nothing."""
_DRAWN_DOWN = 0.5
"""The price of a roller drawn against its direction where its value comes out negative."""
_BESIDE = 0.4
"""The price of each further slip in one line."""
_MOST_COMPANIONS = 4

_MOST_TURNED = 4
_PULLS_OF_BAR = ("T", "F", "S")
_PLAIN = 1.2
"""What an explanation costs at most that names one mistake in one term."""


class Trial(Naming):
    """Runs passes over one working and keeps the best."""

    def like(self, written: Sequence[Written]) -> "Trial":
        """Return a trial of other lines on the same figure."""
        return Trial(self.figure, written, self)

    def better(self, trial: Choice, choice: Choice) -> bool:
        """Tell whether a pass leads on: cheaper, or as faulty but only later."""
        limit = self.price(choice) + NEAR
        gain = self.price(choice) - self.price(trial, limit=limit)
        one, other = self.skim(trial, limit), self.skim(choice)
        later = one.first_fault - other.first_fault
        if later and not one.cut and abs(one.cost - other.cost) < _AS_FAULTY:
            return later > 0
        return gain > 1e-9

    def notes(self) -> tuple[str, ...]:
        """Return sentences on the whole working that belong to the result."""
        return ()

    def start(self) -> Choice:
        """Return the choice to begin with."""
        return Choice()

    def best(self) -> Choice:
        """Search for the pass under which the working agrees best."""
        return self._fuller(self._as_declared(self._of_letters()))

    def _as_declared(self, choice: Choice) -> Choice:
        """Look for what else a name may mean where it stands for a force against what is said."""
        for key in self.opposing(choice):
            choice = self.cheapest(choice, self._named(choice, key))
        return choice

    def _of_letters(self) -> Choice:
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

    def rough(self) -> Choice:
        """Search without asking why any line is at fault: for the other readings of a picture."""
        return self._sought(called(self.start(), self.letters))

    def _searched(self, choice: Choice) -> Choice:
        """Search from a choice for the pass that explains the working best."""
        if not self.skim(choice).cost:
            return choice
        found = self._turned_on(self._finest(self._sought(choice)))
        return self._respelt(self.distrusted(self._needed(found)))

    def _respelt(self, choice: Choice) -> Choice:
        """Let two spellings of one force be drawn in two senses where then all is right.

        `F_B·1.5 = 105, F_B = 70 N, pushing down: B = −70 N`.
        """
        outcome = self.skim(choice)
        suspects = self._suspects(outcome, choice) if outcome.cost else []
        spelt: dict[str, set[str]] = {variable: set() for variable in suspects}
        for part in (p for one in self.written for p in one.line.parts if isinstance(p, Relation)):
            for name in part.named:
                meant = self.names.meanings(name)[0]
                if isinstance(meant, Unknown) and meant.variable in spelt and meant.factor == 1.0:
                    spelt[meant.variable].add(key_of(name))
        for variable, keys in spelt.items():
            plain = replace(choice, senses=tuple(s for s in choice.senses if s[0] != variable))
            for key in sorted(keys) if len(keys) > 1 and variable not in self.declared else ():
                turned = called(plain, {key: (variable, -1.0)})
                if not self.skim(turned).cost:
                    return turned
        return choice

    def _turned_on(self, choice: Choice) -> Choice:
        """Turn a force whose line has a wrong sign and a wrong sense at once, and what follows.

        Hardly anybody slips twice there: the force is drawn the other way, and others with it.
        """
        told = [slip for slip in self.run(choice).slips if not slip.remark]
        kinds = {slip.explanation.kind for slip in told if slip.line == told[0].line}
        if kinds != {"sign", "sense"}:
            return choice
        near = [one for one in self._neighbours(choice, self.run(choice)) if one != choice]
        near.sort(key=self.price)
        return self.cheapest(choice, [self._flip(one) for one in near[:_MOST_TURNED]])

    def _sought(self, choice: Choice) -> Choice:
        """Search from a choice for the pass under which the working agrees best."""
        if not self.skim(choice).cost:
            return choice
        found = self._sought_in(self._unit(choice))
        for plain, long in self.measures[:_MEASURES]:  # which shows only once names are found
            if self.skim(found).cost and found.plain == found.long == 1.0:
                other = self._sought_in(replace(choice, plain=plain, long=long))
                found = found if self.skim(other).cost else other
        return found

    def _sought_in(self, choice: Choice) -> Choice:
        """Search in the units of a choice."""
        keys = self.skim(choice).loose
        named = self._alias(choice, keys)
        sided = self._side(named)
        found = self._flip(sided)
        if sided != named and self.skim(found).cost:
            found = self.cheapest(found, [self._flip(named)])
        if keys and self.skim(found).cost:
            sized = self._flip(self._by_size(keys, choice))
            right = not self.skim(sized).cost and not self.pushed(sized)
            found = sized if right else self._renamed(found, keys)
        return self._flipped_anew(found) if self.skim(found).cost > _TWO_FAULTS else found

    def _flipped_anew(self, choice: Choice) -> Choice:
        """Turn senses again from the next best passes, where the best has several lines at fault.

        Senses that hang together may each make things worse alone.
        """
        tried = [c for c in self.skimmed if c != choice and not self.skimmed[c].cut]
        tried = [c for c in tried if c.aliases == choice.aliases]
        tried.sort(key=self.price)
        for one in tried[:_MOST_TURNED]:
            if self.skim(choice).cost > _TWO_FAULTS:
                choice = self.cheapest(choice, [self._flip(one)])
        return choice

    @cached_property
    def _is_picture(self) -> bool:
        return any(one.confidence is not None for one in self.written)

    def _fuller(self, choice: Choice) -> Choice:
        """Let a writer's own name give a force asked for that no line gives, where it may too.

        A pin's force that no line says on which body it acts is drawn as it comes out right.
        """
        outcome = self.skim(choice)
        if min(outcome.first_fault, outcome.first_open) < 10**9:
            return choice
        asked = {self.figure.variable(item)[0] for item in self.figure.structure.find}
        untold = sorted(v for v in asked - outcome.stated.keys() if self.figure.true.get(v))
        own = outcome.ledger.locals
        for variable in untold:  # `R_x = T = 96 N; R_y = 60 N`: the other part as well
            size, axis = self.figure.true[variable], self._lies(variable)
            bars = "SNFT" if "-" in variable else ""  # S_5 = 6 kN
            fits = [k for k in own if self._axis(k) == axis and (axis or k[:1] in bars)]
            keys = [k for k in fits if own[k].kind == "force"]
            keys = [k for k in keys if same(abs(own[k].quantity.centre), abs(size), 5e-3)]
            senses = [(variable, s) for s in (1.0, -1.0)]
            choice = self.cheapest(choice, [called(choice, {k: s}) for k in keys for s in senses])
        choice = self._of_lone_bar(choice, untold)
        for key, _ in choice.aliases if untold else ():
            others = [called(choice, {key: (v, s)}) for v in untold for s in (1.0, -1.0)]
            choice = self.cheapest(choice, others[: 2 * _MOST_RENAMED])
        drawn = dict(choice.senses)
        for pin in (v for v in self._opposed(self.skim(choice)) if v.startswith("pin ")):
            turned = {**drawn, pin: -drawn.get(pin, 1.0)}
            kept = tuple(sorted((v, s) for v, s in turned.items() if s < 0))
            other = replace(choice, senses=kept)
            if pin in asked - {*self.declared} and self.skim(other).cost <= outcome.cost:
                choice, drawn = other, turned
        return choice

    def _of_lone_bar(self, choice: Choice, untold: Sequence[str]) -> Choice:
        """Take an own T or F that is found as the force of the one bar, asked for and not told.

        One line may then be at fault, the one where the letter first stands: it is that bar's sum.
        A strut's must name its one mistake, since F may be much else; a cable's T is its pull.
        """
        members = self.figure.structure.members
        if len(members) != 1 or members[0].name not in untold:
            return choice
        bar, first = members[0], self._first_use()
        own = self.skim(choice).ledger.locals
        keys = [key for key in _PULLS_OF_BAR if key in own and own[key].kind == "force"]
        for key in keys if len(keys) == 1 else ():
            size = abs(own[key].quantity.centre)
            if any(same(size, datum.value, 1e-6) for datum in self.figure.loads):
                continue
            drawn = [self._flip(called(choice, {key: (bar.name, sign)})) for sign in (1.0, -1.0)]
            taken = min(drawn, key=lambda one: self.price(one, self.run(one)))
            outcome = self.run(taken)
            bad = {n for n, one in outcome.lines.items() if one.status in ("fault", "undecided")}
            slips = [slip.explanation for slip in outcome.slips if not slip.remark]
            plain = all(slip.kind not in VAGUE and slip.cost <= _PLAIN for slip in slips)
            sure = len(slips) <= 1 and (plain or (bar.cable and key == "T"))
            if sure and bad <= {first.get(key)} and bar.name in outcome.stated:
                return taken
        return choice

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
                if not self.skim(choice).cost or self.runs > MOST_NAMINGS:
                    return choice
                choice = self.cheapest(choice, [self._flip(self._side(other))])
        return self._exchanged(choice)

    def _exchanged(self, choice: Choice) -> Choice:
        """Give a name without a meaning the force that another holds, and that one a new one."""
        for key in sorted(self.skim(choice).loose)[:_MOST_RENAMED]:
            for holder, held in choice.aliases:
                if self.runs > MOST_NAMINGS:
                    return choice
                rest = tuple(a for a in choice.aliases if a[0] != holder)
                turned = called(replace(choice, aliases=rest), {key: self.held_by(key, held)})
                choice = self.cheapest(choice, [self._flip(self._alias(turned, {holder}))])
        return choice

    def _finest(self, choice: Choice) -> Choice:
        """Choose among the passes that are about as good by what explains their faults best.

        Here, and not before, it counts in which sense the first sum of a force has it.
        """
        if not self.skim(choice).cost:
            return choice
        most = self._drawn(choice, self.skim(choice)) + NEAR
        prices = {c: self._drawn(c, self.skim(c, self.left(c, most))) for c in [*self.skimmed]}
        floor = min(prices.values())
        # Of many that cost the same, those that turn a sense come before those that name anew.
        own = {(key, variable) for key, (variable, _) in choice.aliases}
        anew = {c: len(own - {(key, v) for key, (v, _) in c.aliases}) for c in prices}
        near = [c for c in prices if prices[c] <= floor + NEAR]
        near.sort(key=lambda c: (round(prices[c], 1), anew[c], prices[c]))
        near = [choice, *(c for c in near if c != choice)] if choice in near else near
        last: dict[Choice, float] = {}
        for one in near[:_FINALISTS]:
            least = min(last.values(), default=math.inf)
            outcome = self.run(one, self.left(one, least + _ALIKE))
            last[one] = self._drawn(one, outcome) + _BESIDE * outcome.beside
        alike = [c for c in last if last[c] <= min(last.values()) + _ALIKE]
        return min(alike, key=lambda c: (-self.run(c).first_fault, last[c]))

    def _drawn(self, choice: Choice, outcome: Outcome) -> float:
        """Return what a pass costs, with what is drawn against its first sum."""
        return self.price(choice, outcome) + outcome.against_drawing + self._pulled(choice, outcome)

    def _pulled(self, choice: Choice, outcome: Outcome) -> float:
        """Return the price of rollers drawn pulling whose values come out negative."""
        drawn = dict(choice.senses)
        for variable, sign in dict(choice.aliases).values():
            drawn[variable] = sign * drawn.get(variable, 1.0)
        return sum(
            _DRAWN_DOWN
            for variable, sense in drawn.items()
            if sense < 0 and _is_roller(variable) and variable not in self.declared
            if variable in outcome.stated and outcome.stated[variable].quantity.centre > 0
        )

    def distrusted(self, choice: Choice) -> Choice:
        """Blame the definition of an angle where that explains its uses as well or better."""
        for key, truth in self.run(choice).doubted.items():
            least = self.price(choice, self.run(choice)) - 1e-9
            trial = replace(choice, distrust=(*choice.distrust, (key, truth)))
            for one in (trial, self._flip(trial)):
                if self.price(one, self.run(one)) < least:
                    choice = one
                    break
        return choice

    def _unit(self, choice: Choice) -> Choice:
        """Take bare numbers in the units that the working writes, where those are others."""
        for plain, long in self.measures:
            trial = replace(choice, plain=plain, long=long)
            if self.price(trial) < self.price(choice) - _A_LINE:
                choice = trial
        return choice

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
        # 'GJ = 8.7 kN (C)' without a sign: such bars are drawn pushing, all of them.
        drawn = {"", *held, *(v for v, sense in choice.senses if sense < 0)}
        bars = {self._variable(name, choice) for name in self.hints.pushing.values()}
        pushing = tuple(sorted(bars - drawn))
        flips = [many for many in (opposed, pushing) if len(many) > 1]
        below_cuts = [v for v in opposed if v.startswith(INNER) and v not in suspects]
        flips += [(v,) for v in (*suspects, *below_cuts)] + list(combinations(suspects[:6], 2))
        flips += [
            (v, other)
            for v in suspects[:2]
            for other in self._companions(v, choice)[:_MOST_COMPANIONS]
            if other not in held and other not in suspects
        ]
        # A pin's parts turn together where the writer draws them on the other body.
        pinned = (f for f in flips if len(f) < 3 and sum(v.startswith("pin ") for v in f) == 1)
        flips += [(*f, other) for f in pinned if (other := _other_part(f)) not in held]
        senses = dict(choice.senses)
        trials = []
        for flip in flips[:_MOST_TRIALS]:
            turned = dict(senses)
            for variable in flip:
                turned[variable] = -turned.get(variable, 1.0)
            kept = tuple(sorted((v, s) for v, s in turned.items() if s < 0))
            trials.append(replace(choice, senses=kept))
        return trials

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
                    here = {self._variable(name, choice) for name in part.named} - {""}
                    count.update(here - {variable} if variable in here else ())
        return sorted(count, key=lambda v: (-count[v], v))


def _is_roller(variable: str) -> bool:
    """Tell whether a force is that of a roller, which nobody draws pulling."""
    return variable.startswith("reaction ") and variable.count(" ") == 1


def _other_part(flip: tuple[str, ...]) -> str:
    """Return the other part of the one pin's force in a flip: `pin C y on left` of its x."""
    pin = next(variable for variable in flip if variable.startswith("pin "))
    return pin.replace(" y on ", " x on ") if " y on " in pin else pin.replace(" x on ", " y on ")
