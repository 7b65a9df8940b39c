"""Passes over one working under different senses and names, and the search for the best."""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations
from typing import TypeGuard

from verifier import units
from verifier.checking.context import INNER, Surroundings
from verifier.checking.course import Course
from verifier.checking.declared import drawn_so, letters_said
from verifier.checking.derived import same
from verifier.checking.figure import Figure
from verifier.checking.names import Dictionary, Unknown, key_of
from verifier.checking.state import Outcome
from verifier.checking.written import Written
from verifier.notation.tree import Assumption, Line, Name, Part, Relation, Statement, walk

_MOST_TRIALS = 32
_MOST_ALIASES, _MOST_TWICE = 14, 4
_FLIP_PRICE = 0.3
_NEAR = 1.0
_ASKEW = 0.05
_A_LINE = 5.0
_OPEN = 9.5
_SAID_SO = 10.0
_TWO_NAMES = 11.0
"""The price of two names for one force while another force asked for has none."""
_MOST_SWEEPS, _MOST_NAMINGS, _MOST_RENAMED = 3, 150, 4
_FINALISTS = 10
_MOST_COMPANIONS = 4
_TOLD_UNIT = re.compile(r"(?:[Ii]n|[Ee]n|[Ww]|:)\s+(kN|MN|N|kgf|lbf|kip|mm|cm|m|ft|in)\b")
_EVERY = re.compile(r"\b(?:all|every|each|alle|tous|toutes|todas|todos|tutte|tutti|wszystkie)\b")
_MEMBERS = re.compile(
    r"\b(?:members?|bars?|rods?|forces?|st[äa]be|barres|barras|aste|pręty|unknowns?)\b"
)
_PULL = re.compile(
    r"tension|tensile|pull|zug|traction|tracción|trazione|rozciąg|\btes[aeio]\b|tendu|traccionad"
)
_HYPOTHESIS = re.compile(
    r"hypoth|hipót|ipotes|assum|suppos|suppon|supon|annahme|angenommen|założ|zakład", re.IGNORECASE
)
_PUSH = re.compile(r"compress|push|druck|compresión|ściska|\bcompri[mt]")


@dataclass(frozen=True)
class Choice:
    """What one pass takes for granted."""

    senses: tuple[tuple[str, float], ...] = ()
    aliases: tuple[tuple[str, tuple[str, float]], ...] = ()
    distrust: tuple[tuple[str, tuple[float, bool]], ...] = ()
    plain: float = 1.0
    long: float = 1.0

    @property
    def price(self) -> float:
        """What its assumptions cost when two passes are equally good."""
        flips = sum(1 for v, sense in self.senses if sense < 0 and not v.startswith("pin "))
        turned = sum(1 for _, (_, sign) in self.aliases if sign < 0)
        return (
            _FLIP_PRICE * flips
            + 0.01 * turned
            + _ASKEW * self._askew()
            + sum(-0.4 if sure else 0.1 for _, (_, sure) in self.distrust)
        )

    def _askew(self) -> int:
        """Count the pins whose parts along x and y are drawn against each other."""
        drawn = dict(self.senses)
        for _, (variable, sign) in self.aliases:
            drawn[variable] = drawn.get(variable, 1.0) * sign
        pins = {v: s for v, s in drawn.items() if v.startswith("pin ")}
        others = {v: v.replace(" x on ", " y on ") for v in pins}
        others |= {v: v.replace(" y on ", " x on ") for v in pins if " y on " in v}
        pairs = {frozenset((v, others[v])) for v in pins}
        return sum(1 for a, b in map(sorted, pairs) if drawn.get(a, 1.0) != drawn.get(b, 1.0))


class Trial:
    """Runs passes over one working and keeps the best."""

    kind: type[Course] = Course

    def __init__(
        self, figure: Figure, written: Sequence[Written], model: "Trial | None" = None
    ) -> None:
        self.figure = figure
        self.written = written
        self.names: Dictionary = model.names if model else Dictionary(figure)
        self.around: Surroundings = model.around if model else Surroundings(figure)
        self.declared = self._declared()
        self.runs = 0
        self._done: dict[Choice, Outcome] = {}
        self._skimmed: dict[Choice, Outcome] = {}

    def like(self, written: Sequence[Written]) -> "Trial":
        """Return a trial of other lines on the same figure."""
        return Trial(self.figure, written, self)

    def run(self, choice: Choice) -> Outcome:
        """Judge the working once under a choice."""
        if choice not in self._done:
            self._done[choice] = self._begun(choice).run(self.written)
        return self._done[choice]

    def skim(self, choice: Choice) -> Outcome:
        """Judge the working under a choice without asking why a line is at fault: much faster."""
        if choice not in self._skimmed:
            self.runs += 1
            course = self._begun(choice)
            course.explains = False
            self._skimmed[choice] = course.run(self.written)
        return self._skimmed[choice]

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
        course.said = frozenset({*self.declared, *self._said(choice)})
        return course

    def _begun(self, choice: Choice) -> Course:
        """Return a course; a letter that may be misread from a picture is not sought at a price."""
        course = self.course(choice)
        if any(one.confidence is not None for one in self.written):
            course.out.nameless = _OPEN
        return course

    def price(self, choice: Choice, outcome: Outcome | None = None) -> float:
        """Return what a pass costs: its faults, and what it takes for granted."""
        outcome = outcome or self.skim(choice)
        named = [variable for _, (variable, _) in choice.aliases]
        twice = len(named) - len(set(named))
        asked = {self.figure.variable(item)[0] for item in self.figure.structure.find}
        open_ = asked - set(outcome.stated)
        unnamed = open_ - set(outcome.called) - set(named)
        again = _TWO_NAMES if unnamed else 0.5
        return outcome.cost + choice.price + again * twice + 0.02 * len(open_)

    def better(self, trial: Choice, choice: Choice) -> bool:
        """Tell whether a pass leads on: cheaper, or as faulty but only later."""
        gain = self.price(choice) - self.price(trial)
        later = self.skim(trial).first_fault - self.skim(choice).first_fault
        if later and abs(self.skim(trial).cost - self.skim(choice).cost) < 1e-9:
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
        if not self.run(said).cost:
            return said
        other = self._searched(choice)
        gain = self.price(said, self.run(said)) - self.price(other, self.run(other))
        return other if gain > _SAID_SO else said

    @cached_property
    def letters(self) -> dict[str, tuple[str, float]]:
        """What the writer says that letters of his own stand for, in the senses declared."""
        said = letters_said(self.written, self.names)
        return {k: (v, sense * self.declared.get(v, 1.0)) for k, (v, sense) in said.items()}

    def _searched(self, choice: Choice) -> Choice:
        """Search from a choice for the pass under which the working agrees best."""
        if not self.run(choice).cost:
            return choice
        choice = self._unit(choice)
        keys = self.skim(choice).loose
        named = self._alias(choice, keys)
        sided = self._side(named)
        found = self._flip(sided)
        if sided != named and self.skim(found).cost:
            found = min((found, self._flip(named)), key=self._order)
        if keys and self.skim(found).cost:
            found = self._renamed(found, keys)
        return self._distrust(self._finest(found))

    def _renamed(self, choice: Choice, keys: set[str]) -> Choice:
        """Try what else a name may stand for where senses turn with it."""
        for key in sorted(keys)[:_MOST_RENAMED]:
            others = sorted(self._named(choice, key), key=self._order)[:_MOST_RENAMED]
            for other in others:
                if not self.skim(choice).cost or self.runs > _MOST_NAMINGS * 2:
                    return choice
                choice = min((choice, self._flip(other)), key=self._order)
        return choice

    def _finest(self, choice: Choice) -> Choice:
        """Choose among the passes that are about as good by what explains their faults best.

        Here, and not before, it counts in which sense the first sum of a force has it.
        """
        if not self.skim(choice).cost:
            return choice
        prices = {c: self.price(c) + o.against_drawing for c, o in self._skimmed.items()}
        floor = min(prices.values())
        near = sorted((c for c in prices if prices[c] <= floor + _NEAR), key=lambda c: prices[c])
        near = [choice, *(c for c in near if c != choice)] if choice in near else near
        return min(near[:_FINALISTS], key=lambda c: self._drawn(c, self.run(c)))

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

    @cached_property
    def measures(self) -> list[tuple[float, float]]:
        """The units of force and length that the working writes, as multiples of the sheet's."""
        sheet = self.figure.structure
        forces, lengths = self._written_units()
        plains = _others(forces, units.FORCE[sheet.force_unit])
        longs = _others(lengths, units.LENGTH[sheet.length_unit])
        return [(p, one) for p in (1.0, *plains) for one in (1.0, *longs)][1:]

    def _written_units(self) -> tuple[Counter[float], Counter[float]]:
        """Count the units of force and of length of a working, in newtons and metres."""
        forces: Counter[float] = Counter()
        lengths: Counter[float] = Counter()
        for one in self.written:
            relations = [part for part in one.line.parts if isinstance(part, Relation)]
            for node in (n for part in relations for side in part.sides for n in walk(side)):
                unit = getattr(node, "unit", None)
                if unit is not None and unit.kind in ("force", "length"):
                    (forces if unit.kind == "force" else lengths)[unit.factor] += 1
            head = one.line.text[: min((r.span[0] for r in relations), default=None)]
            for word in _TOLD_UNIT.findall(head):
                forces.update([units.FORCE[word]] if word in units.FORCE else [])
                lengths.update([units.LENGTH[word]] if word in units.LENGTH else [])
        return forces, lengths

    def _declared(self) -> dict[str, float]:
        found: dict[str, float] = {}
        for one in self.written:
            sense = all_members(one.line)
            if sense:
                found |= {m.name: sense for m in self.figure.structure.members}
            for part in one.line.parts:
                if assumed(part, one.line):
                    if not part.names and mark_of(part) in ("tension", "compression"):
                        sense = 1.0 if mark_of(part) == "tension" else -1.0
                        found |= {m.name: sense for m in self.figure.structure.members}
                    for name in part.names:
                        meaning = self.names.meanings(name)[0]
                        if isinstance(meaning, Unknown):
                            claimed = self.figure.claimed_sense(meaning.variable, mark_of(part))
                            if claimed:
                                turned = 1.0 if meaning.factor > 0 else -1.0
                                found[meaning.variable] = claimed * turned
        return found

    def _alias(self, choice: Choice, loose: set[str]) -> Choice:
        """Find what the writer's own force names stand for, those that say a direction first."""
        for _ in range(_MOST_SWEEPS):
            before = choice
            loose = loose | self.skim(choice).loose
            keys = sorted(loose, key=lambda key: (not _axis_of(key), key))
            for key in keys:
                choice = min((choice, *self._named(choice, key)), key=self._order)
            if choice == before or not self.skim(choice).cost or self.runs > _MOST_NAMINGS:
                break
        return choice

    def _side(self, choice: Choice) -> Choice:
        """Take a name that the sheet allows several meanings in the one that fits.

        The force of a pin with a load is another on each body; `F_A` may be either part at A.
        """
        outcome = self.skim(choice)
        for name in self._names_of(outcome) if outcome.cost else ():
            options = [m for m in self.names.meanings(name) if isinstance(m, Unknown)]
            options = [m for m in options if not m.variable.startswith(INNER)]
            if len(options) > 1:
                taken = [(m.variable, sense) for m in options for sense in (1.0, -1.0)]
                others = [called(choice, {key_of(name): one}) for one in taken]
                choice = min((choice, *others), key=self._order)
        return choice

    def _order(self, choice: Choice) -> tuple[float, int, int]:
        """Return what tells the better of two choices: the price, then a later first trouble."""
        outcome = self.skim(choice)
        return round(self.price(choice), 6), -outcome.first_fault, -outcome.first_open

    def _named(self, choice: Choice, key: str) -> Iterator[Choice]:
        """Yield a choice with a name given to each force that it may be, two names exchanged."""
        given = dict(choice.aliases)
        axis = _axis_of(key)
        free = self._free(choice)
        lying = (axis, "") if len(key) == 1 else (axis,)  # V may be a shear force as well
        fitting = [v for v in free if not axis or self._lies(v) in lying] or free
        for variable in fitting:
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


def called(choice: Choice, names: dict[str, tuple[str, float]]) -> Choice:
    """Return a choice with names given to forces beside those that it gives."""
    return replace(choice, aliases=tuple(sorted({**dict(choice.aliases), **names}.items())))


def assumed(part: Part, line: Line) -> TypeGuard[Assumption | Statement]:
    """Tell whether a part declares a sense: 'assume AB pulls', 'AB in tension (hypothesis)'."""
    if isinstance(part, Statement):
        if part.names and len(set(part.marks)) and drawn_so(part, line.whole):
            return True
        return len(part.marks) == 1 and _HYPOTHESIS.search(line.text) is not None
    return isinstance(part, Assumption)


def all_members(line: Line) -> float:
    """Return the sense that a sentence without an equation gives to all members, 0 for none."""
    if any(isinstance(part, Relation) for part in line.parts):
        return 0.0
    said = line.text.lower()
    if not _EVERY.search(said) or not _MEMBERS.search(said):
        return 0.0
    return 1.0 if _PULL.search(said) else -1.0 if _PUSH.search(said) else 0.0


def mark_of(part: Assumption | Statement) -> str:
    """Return what a declared sense says."""
    return part.mark.meaning if isinstance(part, Assumption) else part.marks[0].meaning


def _names_in(relation: Relation) -> list[Name]:
    return [node for side in relation.sides for node in walk(side) if isinstance(node, Name)]


def _axis_of(key: str) -> str:
    """Return the axis that a name says: H and R_x lie across, V and R_y upright."""
    last = key[-1:]
    if key in ("H", "X") or last in "xhX":
        return "x"
    return "y" if key in ("V", "Y") or last in "yvY" else ""


def _others(written: Counter[float], sheet: float) -> list[float]:
    """Return the commonest units as multiples of the sheet's, itself left out.

    One that stands once beside others in the sheet's own unit is a slip, and no habit.
    """
    habit = [f for f, times in written.most_common(2) if times > 1 or written[sheet] < 2]
    found = [factor / sheet for factor in habit]
    return [factor for factor in found if not same(factor, 1.0, 1e-9)]
