"""One load at a time: each part judged on the figure under its own loads, then their sum."""

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import permutations, product

from verifier.checking.choice import Choice
from verifier.checking.context import Surroundings
from verifier.checking.course import Course
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import tidy
from verifier.checking.faults.sign import signed_span
from verifier.checking.figure import Figure
from verifier.checking.forms import Form, Term
from verifier.checking.ledger import Found
from verifier.checking.loadgroups import choices, said_loads, under
from verifier.checking.names import Dictionary, Unknown
from verifier.checking.quantity import ZERO, Quantity
from verifier.checking.shares import Case, Plan, plan_of
from verifier.checking.state import Outcome, Slip, close
from verifier.checking.trial import Trial
from verifier.checking.written import Written
from verifier.notation.tree import Line, Name, Relation

_WHERE = "the sum of the parts"
_MOST_NAMINGS = 120
_NAMELESS = 50.0


class SuperposedCourse(Course):
    """Follows a working whose results are sums of parts under single loads."""

    def prepare(self, plan: Plan, cases: dict[str, Case]) -> None:
        """Take the plan, and a course for each case under the senses of this one."""
        self.plan = plan
        self.shares: dict[str, dict[str, Found]] = {}
        self.courses: dict[str, Course] = {}
        for index, case in cases.items():
            course = Course(case.figure, case.names, case.around, plain=self.reader.plain)
            course.reader.senses = self.reader.senses
            course.reader.aliases = dict(self.reader.aliases)
            course.distrust = self.distrust
            self.courses[index] = course

    def take(self, line: Line) -> None:
        """Judge a line of a part with its loads alone, any other with all of them."""
        course = self.courses.get(self.plan.owner.get(line.number, ""))
        if course is None:
            super().take(line)
            return
        index = self.plan.owner[line.number]
        course.explains = self.explains
        course.withdrawn = self.withdrawn
        for key, found in self.ledger.locals.items():
            course.ledger.locals.setdefault(key, found)
        before = len(course.out.slips)
        course.take(line)
        self.out.lines[line.number] = course.judged
        self.out.slips += [_of_case(slip, index) for slip in course.out.slips[before:]]
        self.out.repeated |= course.out.repeated
        self.out.borrowed |= course.out.borrowed
        self.out.loose |= course.out.loose
        for variable, name in course.out.called.items():
            self.out.called.setdefault(variable, name)
        for variable, found in course.out.stated.items():
            if found.line == line.number:
                self._keep_share(variable, index, found)

    def _keep_share(self, variable: str, index: str, found: Found) -> None:
        self.shares.setdefault(variable, {})[index] = found
        for name, (stands_for, sign) in self.reader.aliases.items():
            if stands_for == variable:
                self._keep_name(self.plan.keys.get((f"?{name}", index)), variable, found, sign)
        self._keep_name(self.plan.keys.get((variable, index)), variable, found, 1.0)

    def _keep_name(self, key: str | None, variable: str, found: Found, sign: float) -> None:
        """Give the writer's name with an index the value of its part."""
        if key:
            factor = sign * self.reader.sense(variable)
            truth = None if found.truth is None else found.truth * factor
            own = replace(found, quantity=found.quantity.scaled(factor), truth=truth)
            self.ledger.locals[key] = own

    def _relation(self, relation: Relation) -> None:
        if not self._adds_parts(relation):
            super()._relation(relation)

    def _adds_parts(self, relation: Relation) -> bool:
        """Judge 'R = R' + R'' = 3 + 4 = 7' by the parts that the working found."""
        first = relation.sides[0]
        meaning = self.reader.meaning(first) if isinstance(first, Name) else None
        if not isinstance(meaning, Unknown) or len(relation.sides) < 2:
            return False
        shares = self.shares.get(meaning.variable, {})
        form = self._form(relation.sides[1])
        if len(shares) < 2 or form is None or form.coefficients or len(form.terms) < 2:
            return False
        factor = meaning.factor * self.reader.sense(meaning.variable)
        parts = {index: found.quantity.scaled(factor) for index, found in shares.items()}
        whole = ZERO
        for part in parts.values():
            whole = whole.plus(part)
        tainted = any(found.tainted for found in shares.values())
        if close(form.constant, whole, 0.0):
            self.judged.worsen("carried" if tainted else "agrees")
        else:
            slip = self._odd_part(form, parts)
            if slip is None:
                return False
            self._slip(slip, _WHERE)
        for index in range(1, len(relation.sides) - 1):
            self._pair(relation, index)
        self.claimed = False
        self._finish(relation)
        if len(relation.sides) == 2:
            value = form.constant.scaled(1 / factor)
            self._state(meaning.variable, value, tainted or self.judged.status == "fault")
        elif tainted and meaning.variable in self.out.stated:
            known = self.out.stated[meaning.variable]
            self._state(meaning.variable, known.quantity, True)
        self.out.called.setdefault(meaning.variable, relation_name(first))
        self.last_side = relation.sides[-1]
        self.context.fresh = False
        return True

    def _odd_part(self, form: Form, parts: dict[str, Quantity]) -> Explanation | None:
        """Return why a sum of parts is not the sum of those found, where one term says it."""
        terms, rest = list(form.terms), dict(parts)
        for term in form.terms:
            match = next((i for i, p in rest.items() if close(term.coefficient, p, 0.0)), None)
            if match is not None:
                terms.remove(term)
                del rest[match]
        if len(terms) > 1 or len(rest) > 1:
            return None
        if not terms:
            index, part = next(iter(rest.items()))
            return _part_missing(form, index, part)
        if not rest:
            return None
        return self._odd_term(terms[0], *next(iter(rest.items())))

    def _odd_term(self, term: Term, index: str, part: Quantity) -> Explanation:
        written = self.text[term.span[0] : term.span[1]]
        turned = Quantity(-part.centre, part.radius)
        if close(term.coefficient, turned, 0.0):
            span = signed_span(self.text, term.span)
            sign = "+" if part.centre > 0 else "−"
            return Explanation(
                "sign",
                span,
                f"{sign} {tidy(abs(part.centre))}",
                f"The part under load {_number(index)} is {tidy(part.centre)}; it is added with "
                "the other sign here.",
                1.0,
                key=f"part {index} {written}",
            )
        return Explanation(
            "magnitude",
            term.span,
            tidy(part.centre),
            f"The part under load {_number(index)} is {tidy(part.centre)}, not {written}.",
            1.0,
            key=f"part {index} {written}",
        )


def relation_name(side: object) -> str:
    """Return the name at the head of a relation as written, '' for anything else."""
    return side.text if isinstance(side, Name) else ""


def _part_missing(form: Form, index: str, part: Quantity) -> Explanation:
    span = (form.terms[0].span[0], form.terms[-1].span[1])
    return Explanation(
        "missing-force",
        span,
        tidy(part.centre),
        f"The part under load {_number(index)}, {tidy(part.centre)}, is left out of the sum.",
        1.0,
        key=f"part {index} missing",
    )


def _number(index: str) -> str:
    """Return an index as reports say it: the number of its strokes where it is written in them."""
    return str(len(index)) if index.strip("'") == "" else index


def _of_case(slip: Slip, index: str) -> Slip:
    key = f"case {index} {slip.explanation.key}" if slip.explanation.key else ""
    return replace(slip, explanation=replace(slip.explanation, key=key))


class SuperposedTrial(Trial):
    """Runs passes over a working that takes one load at a time."""

    kind = SuperposedCourse

    def __init__(
        self,
        figure: Figure,
        written: Sequence[Written],
        plan: Plan,
        model: "SuperposedTrial | None" = None,
        parts: Figure | None = None,
    ) -> None:
        super().__init__(figure, plan.written, model)
        self.plan = plan
        self.original = written
        self.cases: dict[str, Case] = model.cases if model else cases_of(plan, parts or figure)

    def like(self, written: Sequence[Written]) -> Trial:
        """Return a trial of other lines on the same figure."""
        plan = plan_of(written, self.figure, self.names)
        if plan is None:
            return super().like(written)
        return SuperposedTrial(self.figure, written, plan, self)

    def start(self) -> Choice:
        """Return the choice to begin with: own names stand for what their parts fit best."""
        choice, keys = super().start(), self.plan.own
        if not keys:
            return choice
        free = self._free(choice)
        options = [
            replace(choice, aliases=tuple(zip(keys, zip(chosen, signs, strict=True), strict=True)))
            for chosen in permutations(free, len(keys))
            for signs in product((1.0, -1.0), repeat=len(keys))
        ]
        return self.cheapest(options[0], options[1:_MOST_NAMINGS]) if options else choice

    def price(
        self, choice: Choice, outcome: Outcome | None = None, limit: float = math.inf
    ) -> float:
        """Return what a pass costs; own names stand for something, likeliest by their letter."""
        named = dict(choice.aliases)
        odd = sum(0.2 for key, (variable, _) in choice.aliases if _unlike(key, variable))
        nameless = sum(_NAMELESS for key in self.plan.own if key not in named)
        return super().price(choice, outcome, limit) + odd + nameless

    def course(self, choice: Choice) -> Course:
        """Return a course that takes each part under its own loads."""
        course = super().course(choice)
        assert isinstance(course, SuperposedCourse)
        course.prepare(self.plan, self.cases)
        return course


def _unlike(key: str, variable: str) -> bool:
    """Tell whether a letter says another direction than the force that it stands for."""
    axis = "x" if key[:1] in "HX" or key[-1:] in "xh" else ""
    axis = axis or ("y" if key[:1] in "VY" or key[-1:] in "yv" else "")
    own = variable[-1:] if variable[-2:] in (" x", " y") else ""
    return axis != own


def cases_of(plan: Plan, figure: Figure) -> dict[str, Case]:
    """Return the figure of every case: what its heading says, else what fits its lines best."""
    cases: dict[str, Case] = {}
    used: set[tuple[int, ...]] = set()
    indices = list(dict.fromkeys(plan.owner.values()))
    for index in indices:
        chosen = said_loads(plan.headings.get(index, ""), figure)
        made = _case(index, chosen, figure) if chosen and chosen not in used else None
        if made is not None:
            cases[index] = made
            used.add(chosen)
    for index in indices:
        if index in cases:
            continue
        loads = [chosen for chosen in choices(figure) if chosen not in used]
        found = [(c, made) for c in loads if (made := _case(index, c, figure)) is not None]
        right = [one for one in found if _is_right(plan, one[1])] if len(found) > 1 else found
        best: tuple[float, tuple[int, ...], Case] | None = None
        for chosen, made in right or found:
            cost = _cost(plan, made)
            if best is None or cost < best[0] - 1e-9:
                best = cost, chosen, made
        if best is not None:
            used.add(best[1])
            cases[index] = best[2]
    return cases


def _is_right(plan: Plan, case: Case) -> bool:
    """Tell whether all lines of a case hold on a figure, without asking why any does not."""
    trial = _trial(plan, case)
    return not trial.skim(trial.rough()).cost


def _case(index: str, chosen: Sequence[int], figure: Figure) -> Case | None:
    part = under(figure, chosen)
    return Case(index, part, Dictionary(part), Surroundings(part)) if part is not None else None


def _cost(plan: Plan, case: Case) -> float:
    """Return how badly the lines of a case fit a figure."""
    trial = _trial(plan, case)
    return trial.price(trial.best())


def _trial(plan: Plan, case: Case) -> Trial:
    lines = [one for one in plan.written if plan.owner.get(one.line.number) == case.index]
    return Trial(case.figure, lines)


__all__ = ["SuperposedCourse", "SuperposedTrial", "cases_of"]
