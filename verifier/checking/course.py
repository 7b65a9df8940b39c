"""One pass over a working with fixed senses: every line judged with what came before it."""

import re
from collections.abc import Iterable, Sequence
from copy import deepcopy
from dataclasses import dataclass, field, replace

from verifier import units
from verifier.checking import derived
from verifier.checking.context import Context, Surroundings
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import tidy
from verifier.checking.figure import SENSES, Figure
from verifier.checking.forms import Form, NotLinear, Reader
from verifier.checking.ledger import Found, Ledger, three_figures
from verifier.checking.names import Dictionary, Known, Local, Unknown, key_of
from verifier.checking.pairing import Diagnosis, Manner, Pairing
from verifier.checking.quantity import ZERO, Quantity
from verifier.checking.sums import Expected, Fit, differs, fit
from verifier.checking.written import Written
from verifier.findings import Certainty, Finding, Status
from verifier.notation.tree import (
    Add,
    Assumption,
    Expr,
    Func,
    Heading,
    Line,
    Mark,
    Name,
    Num,
    Pow,
    Prose,
    Relation,
    Span,
    Statement,
    Struck,
    SumLabel,
    Unread,
    walk,
)

_WORST: tuple[Status, ...] = (
    "fault", "doubtful", "undecided", "unread", "carried", "agrees", "remark",
)  # fmt: skip
_ELSEWHERE = 0.25
_PLAIN_SLIP = 1.6


@dataclass
class Judged:
    """What one pass says of one line."""

    status: Status = "remark"
    notes: list[str] = field(default_factory=list)

    def worsen(self, status: Status) -> None:
        """Take on a status where it weighs more than the line's own."""
        if _WORST.index(status) < _WORST.index(self.status):
            self.status = status


@dataclass(frozen=True)
class Slip:
    """A fault or remark before it becomes a finding: `key` tells repeats."""

    line: int
    explanation: Explanation
    where: str
    certainty: Certainty = "proved"
    remark: bool = False


@dataclass
class Outcome:
    """All that one pass found."""

    lines: dict[int, Judged]
    slips: list[Slip]
    ledger: Ledger
    stated: dict[str, Found]
    called: dict[str, str]
    loose: set[str]
    repeated: set[int] = field(default_factory=set)
    borrowed: set[int] = field(default_factory=set)
    doubted: dict[str, tuple[float, bool]] = field(default_factory=dict)

    @property
    def first_fault(self) -> int:
        """The first line with a fault, a large number where there is none."""
        return min((s.line for s in self.slips if not s.remark), default=10**9)

    @property
    def cost(self) -> float:
        """How badly the pass went: fewer faults are better, then fewer undecided lines."""
        faults = sum(1 for slip in self.slips if not slip.remark)
        bad = sum(1 for judged in self.lines.values() if judged.status == "fault")
        open_ = sum(1 for judged in self.lines.values() if judged.status == "undecided")
        return (
            10.0 * bad
            + 0.5 * faults
            + 9.5 * open_
            + 3.0 * len(self.repeated)
            + 2.0 * len(self.borrowed)
        )


@dataclass(frozen=True)
class Kept:
    """The state of a pass before a line with several readings."""

    ledger: Ledger
    context: Context
    judged: Judged
    slips: list[Slip]
    stated: dict[str, Found]
    seen_keys: dict[str, Slip]
    forms: list[tuple[int, Form]]
    last_side: Expr | None


class Course:
    """Follows one working; `senses` and `aliases` are fixed for the pass."""

    def __init__(
        self,
        figure: Figure,
        names: Dictionary,
        surroundings: Surroundings,
        *,
        senses: dict[str, float] | None = None,
        aliases: dict[str, tuple[str, float]] | None = None,
        distrust: dict[str, float] | None = None,
        plain: float = 1.0,
    ) -> None:
        self.figure = figure
        self.names = names
        self.around = surroundings
        self.ledger = Ledger()
        self.reader = Reader(figure, names, self.ledger)
        self.reader.senses = senses or {}
        self.reader.aliases = dict(aliases or {})
        self.reader.plain = plain
        sheet = figure.structure
        self.reader.force_scale = units.FORCE[sheet.force_unit]
        self.reader.length_scale = units.LENGTH[sheet.length_unit]
        self.distrust = distrust or {}
        self.pairing = Pairing(figure, self.ledger)
        self.context = Context()
        self.line = 0
        self.text = ""
        self.out = Outcome({}, [], self.ledger, {}, {}, set())
        self.judged = Judged()
        self.alone = False
        self.explains = True
        self.withdrawn: frozenset[int] = frozenset()
        self.claimed = False
        self.subject = ""
        self.drawn: set[str] = set()
        self.last_side: Expr | None = None
        self.forms: list[tuple[int, Form]] = []
        self.seen_keys: dict[str, Slip] = {}

    def run(self, written: Sequence[Written]) -> Outcome:
        """Judge every line in turn."""
        self.withdrawn = withdrawn_parts(written)
        for one in written:
            self.take(one.line)
        return self.out

    def take(self, line: Line) -> None:
        """Judge one line."""
        self.line, self.text = line.number, line.text
        self.judged = self.out.lines.setdefault(line.number, Judged())
        self._look_ahead(line)
        for part in line.parts:
            if id(part) in self.withdrawn:
                self.judged.notes.append("withdrawn by the writer")
            else:
                self._part(part)

    def _look_ahead(self, line: Line) -> None:
        """Take 'M = 12 kN m' at the end of a line for the M in front of it."""
        used: set[str] = set()
        for part in line.parts:
            if not isinstance(part, Relation):
                continue
            name, number = part.sides[0], part.sides[-1]
            if (
                len(part.sides) == 2
                and isinstance(name, Name)
                and isinstance(number, Num)
                and key_of(name) in used
            ):
                own = self.reader.meaning(name)
                value = self.reader.quantity(number)
                given = any(derived.same(value.centre, d.value, 1e-9) for d in self.figure.loads)
                if isinstance(own, Local) and given:
                    self.ledger.locals.setdefault(own.key, Found(value, False, self.line))
            used |= {key_of(n) for s in part.sides for n in walk(s) if isinstance(n, Name)}

    def _part(self, part: object) -> None:
        match part:
            case Heading():
                if part.kind == "section" and not part.names:
                    said = tuple(re.findall(r"\w+(?:[-–]\w+)?'*", self.text[slice(*part.span)]))
                    part = replace(part, names=said)
                bodies = self.around.bodies_of(part)
                if bodies or part.kind in ("joint", "body", "section", "whole", "reactions"):
                    self.context.bodies = bodies
                    self.reader.inner = frozenset(
                        action.item
                        for body in bodies
                        for action in body.actions
                        if action.kind == "cut" and " at " in action.item
                    )
                self.context.label, self.context.fresh = None, False
            case SumLabel():
                self.context.label, self.context.fresh = part, True
            case Relation():
                self._relation(part)
            case Statement():
                self._statement(part)
            case Unread():
                self.judged.worsen("unread")
                self.judged.notes.append(part.reason)
            case Assumption() | Mark() | Prose() | Struck():
                pass

    # -- relations ---------------------------------------------------------------------------

    def _relation(self, relation: Relation) -> None:
        """Judge a relation in the reading of it that holds, where its writing allows several."""
        if not relation.others:
            self._read_as(relation)
            return
        readings = (relation, *relation.others)
        before = first = self._keep()
        for reading in readings:
            self._read_as(reading)
            if self.judged.status not in ("fault", "undecided"):
                return
            after = self._keep()
            self._restore(before)
            if reading is relation:
                first = after
        self._restore(first)

    def _keep(self) -> Kept:
        return Kept(
            deepcopy(self.ledger),
            deepcopy(self.context),
            deepcopy(self.judged),
            list(self.out.slips),
            dict(self.out.stated),
            dict(self.seen_keys),
            list(self.forms),
            self.last_side,
        )

    def _restore(self, kept: Kept) -> None:
        for name, value in vars(deepcopy(kept.ledger)).items():
            setattr(self.ledger, name, value)
        self.context = deepcopy(kept.context)
        self.judged.status, self.judged.notes = kept.judged.status, list(kept.judged.notes)
        self.out.slips[:] = kept.slips
        self.out.stated, self.seen_keys = dict(kept.stated), dict(kept.seen_keys)
        self.forms, self.last_side = list(kept.forms), kept.last_side

    def _read_as(self, relation: Relation) -> None:
        sides = relation.sides
        if self._restates(relation):
            relation = replace(
                relation, sides=sides[:1], ops=(), marks=relation.marks[:1], continues=True
            )
            sides = relation.sides
        if relation.continues and len(sides) == 1:
            self._restated_sense(relation)
        if relation.continues and self.last_side is not None:
            own = relation.marks or ((),) * len(sides)
            relation = Relation(
                relation.span, (self.last_side, *sides), ("=", *relation.ops), ((), *own)
            )
        if self._idle(relation) or self._renames(relation):
            return
        first = relation.sides[0]
        self.claimed = False
        if isinstance(first, Name) and len(relation.sides) > 1 and self._defines(first, relation):
            self._definition(first, relation)
        else:
            for index in range(len(relation.sides) - 1):
                self._pair(relation, index)
            self._finish(relation)
        self.last_side = relation.sides[-1]
        self.context.fresh = False
        if isinstance(first, Name):
            meaning = self.reader.meaning(first)
            self.subject = meaning.variable if isinstance(meaning, Unknown) else ""

    def _idle(self, relation: Relation) -> bool:
        """Tell whether a relation is only a quantity in a sentence, with nothing to judge."""
        last = relation.sides[-1]
        implied = isinstance(last, Num) and not last.text and len(relation.sides) == 2
        if not implied or self.context.fresh:
            return False
        return not any(self._is_force(n) for n in walk(relation.sides[0]) if isinstance(n, Name))

    def _renames(self, relation: Relation) -> bool:
        """Take 'R = B_y' as what the writer's own name means."""
        if len(relation.sides) != 2 or self.context.fresh:
            return False
        first, second = relation.sides
        if not isinstance(first, Name) or not isinstance(second, Name):
            return False
        own, meant = self.reader.meaning(first), self.reader.meaning(second)
        if not isinstance(own, Local) or own.key in self.ledger.locals:
            return False
        if not isinstance(meant, Unknown):
            return False
        self.reader.aliases[own.key] = (meant.variable, meant.factor)
        self.out.called[meant.variable] = first.text
        self.judged.worsen("agrees")
        return True

    def _restated_sense(self, relation: Relation) -> None:
        """Hold the label of a value that is said again against the value said before."""
        marks = relation.marks[0] if relation.marks else ()
        sense = self._sense(marks, self.subject) if self.subject else 0.0
        value = self.ledger.values.get(self.subject)
        if sense and value is not None and value.quantity.centre * sense < -1e-9:
            self._sense_fault(marks, self.subject, value.quantity)

    def _restates(self, relation: Relation) -> bool:
        """Tell whether a relation is only a number, said again of what came before."""
        if len(relation.sides) != 2 or self.last_side is None or self.context.fresh:
            return False
        first, zero = relation.sides
        implied = isinstance(zero, Num) and not zero.text
        return implied and not any(self._is_force(n) for n in walk(first) if isinstance(n, Name))

    def _form(self, expr: Expr) -> Form | None:
        try:
            return self.reader.form(expr)
        except NotLinear as problem:
            self.judged.notes.append(problem.why)
            return None

    def _pair(self, relation: Relation, index: int) -> None:
        left, right = self._form(relation.sides[index]), self._form(relation.sides[index + 1])
        if left is None or right is None:
            self.judged.worsen("undecided")
            return
        variables = {t.variable for t in (*left.terms, *right.terms) if t.variable}
        marks = relation.marks[index + 1] if index + 1 < len(relation.marks) else ()
        if not variables and not (self.context.fresh and index == 0):
            self._numbers(relation, index, left.constant, right.constant, marks)
            return
        self._equation(relation, index, left, right, marks)

    def _finish(self, relation: Relation) -> None:
        """Take the value at the end of a chain that starts with a force's name."""
        first = relation.sides[0]
        if not isinstance(first, Name) or not self._plain(relation.sides[-1]):
            return
        meaning = self.reader.meaning(first)
        if not isinstance(meaning, Unknown) or (len(relation.sides) == 2 and self.claimed):
            return
        factor = meaning.factor * self.reader.sense(meaning.variable)
        try:
            value = self.reader.form(relation.sides[-1]).constant.scaled(1 / factor)
            before = self.reader.form(relation.sides[-2]).constant.scaled(1 / factor)
        except NotLinear:
            return
        marks = relation.marks[-1] if len(relation.marks) == len(relation.sides) else ()
        if len(relation.sides) == 2:
            before = value
        sense = self._sense(marks, meaning.variable)
        if sense and before.centre * sense < -1e-9:
            self._sense_fault(marks, meaning.variable, before)
        elif sense:
            value = Quantity(sense * abs(value.centre), value.radius)
        elif marks and derived.same(abs(value.centre), abs(before.centre), 1e-6):
            value = before
        tainted = self.judged.status in ("fault", "carried")
        if self._unit_fits(relation.sides[-1], meaning.variable):
            self._state(meaning.variable, value, tainted)

    def _plain(self, side: Expr) -> bool:
        """Tell whether a side is a finished value: a number, or with letters a plain multiple."""
        side = derived.bare_number(side)
        if isinstance(side, Num):
            return True
        if not self.figure.structure.letters or isinstance(side, Name) and self._is_force(side):
            return False
        return not any(
            isinstance(node, Add)
            or (isinstance(node, Func) and node.name != "sqrt")
            or (isinstance(node, Name) and self._is_force(node))
            for node in walk(side)
        )

    # -- numbers -----------------------------------------------------------------------------

    def _numbers(
        self,
        relation: Relation,
        index: int,
        left: Quantity,
        right: Quantity,
        marks: tuple[Mark, ...],
    ) -> None:
        """Hold two numbers that are said to be equal against each other."""
        gap = abs(left.centre - right.centre)
        allowed = left.radius + right.radius + 1e-9 * max(abs(left.centre), abs(right.centre), 1e-9)
        turned = any(mark.meaning in SENSES for mark in marks)
        if gap <= allowed or (turned and abs(abs(left.centre) - abs(right.centre)) <= allowed):
            self.judged.worsen("agrees")
            self.ledger.note_result(left.centre)
            return
        side = relation.sides[index + 1]
        unit = derived.last_place(side)
        rounding = gap <= right.radius + left.radius + 1.2 * unit and unit > 0
        jump = derived.unit_slip(side, right, left)
        wanted = tidy(left.centre)
        explanation = Explanation(
            "unit" if jump else "rounding" if rounding else "arithmetic",
            jump or self._bare(side),
            wanted,
            f"{self._written(relation.sides[index])} comes to {wanted}, not {self._written(side)}.",
            1.0,
            key=f"arithmetic {self.line} {index}",
        )
        self._slip(explanation, "arithmetic", remark=rounding)

    def _bare(self, expr: Expr) -> Span:
        expr = derived.bare_number(expr)
        if isinstance(expr, Num) and expr.text and self.text[expr.span[0] :].startswith(expr.text):
            return (expr.span[0], expr.span[0] + len(expr.text))
        return expr.span

    def _written(self, expr: Expr) -> str:
        return self.text[expr.span[0] : expr.span[1]].strip() or "this"

    # -- equations ---------------------------------------------------------------------------

    def _equation(
        self,
        relation: Relation,
        index: int,
        left: Form,
        right: Form,
        marks: tuple[Mark, ...],
    ) -> None:
        for term in (*left.terms, *right.terms):
            if term.variable and term.name is not None:
                self.out.called.setdefault(term.variable, term.name.text)
        difference = left.minus(right, 1)
        claim = self._claim(relation, index, left, right, marks)
        if claim is not None:
            self.claimed = True
            self._result(relation, index, *claim)
            return
        loose = {t.variable for t in difference.terms if t.variable.startswith("?")}
        loose = set() if self.alone else loose
        if loose and self._settles(difference, loose):
            return
        if loose:
            self.out.loose |= {name[1:] for name in loose}
            self.judged.worsen("undecided")
            self.judged.notes.append(f"no meaning found for {', '.join(sorted(loose))[1:]}")
            self._learn(difference, False)
            return
        self._judge_sum(relation, index, difference)

    def _settles(self, form: Form, loose: set[str]) -> bool:
        """Take a length or other plain number from a line that holds no force but one own name."""
        if len(loose) != 1 or set(form.coefficients) != loose or self.context.fresh:
            return False
        (name,) = loose
        coefficient = form.coefficients[name].centre
        if not coefficient or f"?{name}" in self.ledger.rows or self._force_like(form):
            return False
        value = form.constant.scaled(-1.0 / coefficient)
        self.ledger.locals[name[1:]] = Found(value, False, self.line)
        self.judged.worsen("agrees")
        return True

    def _force_like(self, form: Form) -> bool:
        """Tell whether a line weighs loads: some number in it is one of the sheet's."""
        sizes = [abs(f.quantity.centre) for t in form.terms for f in t.factors]
        return any(derived.same(s, d.value, 1e-6) for s in sizes for d in self.figure.loads)

    def _judge_alone(self, relation: Relation, index: int, difference: Form) -> None:
        """Hold a line against the lines above; what is new is taken as given."""
        implied = self._implied(difference)
        if implied is not None:
            self._accept(difference, implied)
            return
        coefficients = {n: q.centre for n, q in difference.coefficients.items()}
        told = self.ledger.reduce(coefficients, difference.constant.scaled(-1.0))
        if told.left:
            self.judged.notes.append("taken as given")
            self._learn(difference, False)
            self.judged.worsen("agrees")
            return
        explained = derived.explain(difference, relation, index, self.forms, self.ledger, self.text)
        if explained is None:
            self.judged.worsen("undecided")
            self.judged.notes.append("this does not follow from the lines above")
        else:
            self._slip(explained, "the equation above")
        self._learn(difference, True)

    def _judge_sum(self, relation: Relation, index: int, difference: Form) -> None:
        if self.alone:
            self._judge_alone(relation, index, difference)
            return
        strict = self.around.strict(self.context, difference) if index == 0 else []
        found = self._fits(difference, strict)
        if found is None and not (self.context.fresh and index == 0):
            implied = self._implied(difference)
            if implied is not None:
                self._accept(difference, implied)
                return
        if found is None:
            found = self._fits(difference, self.around.wide(difference))
        if found is not None:
            self._note_sign(found)
            if found.borrowed:
                self.out.borrowed.add(self.line)
            self._accept(difference, found.carried)
            return
        if self._true(difference):
            if any(f.tainted for f in self.ledger.values.values()):
                self.out.borrowed.add(self.line)
            self._accept(difference, False)
            return
        with_truth = self._with_truth(relation, index, strict)
        if with_truth:
            self._accept(difference, True)
            return
        self._fault_in_sum(relation, index, difference, strict)

    def _fits(self, form: Form, sums: Iterable[Expected]) -> Fit | None:
        for expected in sums:
            found = fit(form, expected, self.ledger, self.figure.true)
            if found is not None:
                return found
        return None

    def _note_sign(self, found: Fit) -> None:
        self.drawn |= set(found.expected.coefficients)
        kind = "moment" if found.expected.moment else found.expected.axis.words
        if abs(abs(found.scale) - 1) < 1e-6:
            self.context.signs.setdefault(kind, found.scale)

    def _implied(self, form: Form) -> bool | None:
        """Return None where a line does not follow from the working, else whether from a fault."""
        coefficients = {n: q.centre for n, q in form.coefficients.items()}
        told = self.ledger.reduce(coefficients, form.constant.scaled(-1.0))
        rest = told.rest
        if told.left:
            return None
        spread = sum(q.radius * abs(self._value(n)) for n, q in form.coefficients.items())
        noise = 1e-9 * max([form.size, *(abs(c * self._value(n)) for n, c in coefficients.items())])
        if abs(rest.centre) > rest.radius + told.coarse + spread + noise:
            return None
        return told.tainted and not self._true(form)

    def _value(self, variable: str) -> float:
        found = self.ledger.values.get(variable)
        if found is not None:
            return found.quantity.centre
        row = self.ledger.rows.get(variable)
        return row.constant if row is not None else self.figure.true.get(variable, 0.0)

    def _true(self, form: Form) -> bool:
        """Tell whether a line holds at the true values of its forces."""
        total = form.constant
        for name, quantity in form.coefficients.items():
            if name not in self.figure.true:
                return False
            total = total.plus(quantity.scaled(self.figure.true[name]))
        return abs(total.centre) <= total.radius + 1e-9 * max(form.size, 1e-12) * 10

    def _with_truth(self, relation: Relation, index: int, strict: Sequence[Expected]) -> bool:
        """Tell whether a line is right once names with a faulty definition have their true value."""
        spoilt = {k: f for k, f in self.ledger.locals.items() if f.tainted and f.truth is not None}
        if not spoilt:
            return False
        kept = dict(self.ledger.locals)
        for key, found in spoilt.items():
            assert found.truth is not None
            self.ledger.locals[key] = Found(
                Quantity(found.truth), False, found.line, None, found.kind
            )
        try:
            left, right = self._form(relation.sides[index]), self._form(relation.sides[index + 1])
            if left is None or right is None:
                return False
            form = left.minus(right, 1)
            sums = strict or list(self.around.wide(form))
            return self._fits(form, sums) is not None or self._true(form)
        finally:
            self.ledger.locals.clear()
            self.ledger.locals.update(kept)

    def _accept(self, form: Form, carried: bool) -> None:
        self.judged.worsen("carried" if carried else "agrees")
        self._learn(form, carried)

    def _learn(self, form: Form, tainted: bool) -> None:
        self.forms.append((self.line, form))
        coefficients = {n: q.centre for n, q in form.coefficients.items() if q.centre}
        if tainted:
            self.ledger.forget_contradicted(coefficients, form.constant.scaled(-1.0))
        if len(coefficients) == 1:
            (name,) = coefficients
            if name in self.ledger.values:
                value = form.constant.scaled(-1.0 / coefficients[name])
                kept = self.ledger.values[name]
                self.ledger.values[name] = replace(kept, quantity=value, line=self.line)
        if coefficients:
            self.ledger.learn(coefficients, form.constant.scaled(-1.0), tainted, self.line)

    def _fault_in_sum(
        self, relation: Relation, index: int, form: Form, strict: Sequence[Expected]
    ) -> None:
        if not self.explains:
            mark = Explanation("algebra", relation.span, "", "", 1.0, key=f"{self.line} {index}")
            self._slip(mark, "")
            self._learn(form, True)
            return
        explained = None
        if not (self.context.fresh and index == 0):
            explained = derived.explain(form, relation, index, self.forms, self.ledger, self.text)
        best, second = self._diagnose(relation, index, form, strict)
        if explained is not None and (best is None or explained.cost <= best.cost):
            self._slip(explained, "the equation above")
        elif best is not None:
            certainty: Certainty = "proved"
            if second is not None and second.cost < best.cost + 0.2:
                certainty = "best explanation"
            for explanation in best.explanations:
                self._doubt_definition(explanation, form)
                explanation = self._against_first(explanation, form)
                self._slip(explanation, best.expected.where, certainty)
        else:
            self.judged.worsen("undecided")
        self._learn(form, True)

    def _diagnose(
        self, relation: Relation, index: int, form: Form, strict: Sequence[Expected]
    ) -> tuple[Diagnosis | None, Diagnosis | None]:
        label = self.context.label if self.context.fresh else None
        sums = [(expected, 0.0) for expected in strict]
        sums += [
            (e, _ELSEWHERE if strict else 0.0) for e in self.around.elsewhere(self.context, form)
        ]
        sums = sums or [(expected, 0.0) for expected in self.around.wide(form)]
        found: list[Diagnosis] = []
        seen: set[str] = set()
        for expected, penalty in sums:
            if expected.where in seen:
                continue
            seen.add(expected.where)
            kind = "moment" if expected.moment else expected.axis.words
            manner = Manner(
                self.text,
                relation.span if len(relation.sides) == 2 else self._pair_span(relation, index),
                label.positive if label is not None else "",
                self.context.signs.get(kind, 0.0),
                self.out.called,
            )
            told = self.pairing.diagnose(form, expected, manner)
            found.append(replace(told, cost=told.cost + penalty))
        found.sort(key=lambda d: d.cost)
        others = [d for d in found[1:] if d.explanations != found[0].explanations]
        return (found[0] if found else None), (others[0] if others else None)

    def _against_first(self, explanation: Explanation, form: Form) -> Explanation:
        """Call a wrong sign of a pin force what it is: the same sense on both bodies."""
        if explanation.kind != "sign":
            return explanation
        for term in form.terms:
            inside = explanation.span[0] <= term.span[0] and term.span[1] <= explanation.span[1]
            if inside and term.variable.startswith("pin ") and term.variable in self.drawn:
                message = (
                    "This pin force was drawn on the other body first; on this one it acts the "
                    "opposite way, equal and opposite."
                )
                return replace(explanation, kind="inconsistent", message=message)
        return explanation

    def _doubt_definition(self, explanation: Explanation, form: Form) -> None:
        """Note that a faulty angle in a term may come from its name's definition above."""
        for term in form.terms:
            for factor in term.factors:
                if not isinstance(factor.expr, Func) or not isinstance(factor.expr.arg, Name):
                    continue
                key = key_of(factor.expr.arg)
                found = self.ledger.locals.get(key)
                if found is None or found.kind != "angle" or not _inside(factor.expr, explanation):
                    continue
                slope = found.quantity.centre
                if explanation.kind == "component" and not self.figure.is_slope(slope):
                    self.out.doubted.setdefault(key, (90 - slope, False))
                elif explanation.kind == "angle" and explanation.angle is not None:
                    if not any(abs(a - slope) < 0.06 for a in self.figure.drawn_angles):
                        self.out.doubted.setdefault(key, (explanation.angle, True))

    @staticmethod
    def _pair_span(relation: Relation, index: int) -> Span:
        return (relation.sides[index].span[0], relation.sides[index + 1].span[1])

    # -- results -----------------------------------------------------------------------------

    def _claim(
        self, relation: Relation, index: int, left: Form, right: Form, marks: tuple[Mark, ...]
    ) -> tuple[str, float, Quantity, tuple[Mark, ...]] | None:
        """Return (variable, factor, value, marks) where a line says name = number."""
        side = relation.sides[index + 1]
        if len(left.terms) != 1 or not left.terms[0].variable or right.coefficients:
            return None
        term = left.terms[0]
        alone = isinstance(relation.sides[index], Name)
        if not alone or not self._plain(side):
            return None
        if term.variable.startswith("?") and not self.alone:
            return None
        if self.context.fresh and index == 0 and not isinstance(derived.bare_number(side), Num):
            return None
        if self.context.fresh and index == 0:
            form = left.minus(right, 1)
            strict = self.around.strict(self.context, form)
            if not marks and self._fits(form, strict) is not None:
                return None
            best = self._diagnose(relation, index, form, strict)[0] if self.explains else None
            copied = best is not None and all(e.kind == "magnitude" for e in best.explanations)
            result = bool(marks) or getattr(derived.bare_number(side), "unit", None) is not None
            if best is not None and 0.5 < best.cost <= _PLAIN_SLIP and not (copied and result):
                return None
        return term.variable, term.coefficient.centre, right.constant, marks

    def _result(
        self,
        relation: Relation,
        index: int,
        variable: str,
        factor: float,
        value: Quantity,
        marks: tuple[Mark, ...],
    ) -> None:
        """Judge a name with its value against the working's equations and the solution."""
        as_written = value.scaled(1 / factor)
        if not self._unit_fits(relation.sides[index + 1], variable):
            return
        sense = self._sense(marks, variable)
        labelled = Quantity(sense * abs(as_written.centre), as_written.radius) if sense else None
        told = self.ledger.reduce({variable: 1.0}, ZERO)
        tainted, known = told.tainted, None if told.left else told.rest.scaled(-1.0)
        truth = self.figure.true.get(variable)
        side = relation.sides[index + 1]
        slack = max(1.2 * derived.last_place(side) * abs(1 / factor), told.coarse)
        for claim in (as_written, labelled):
            if claim is None:
                continue
            by_working = known is not None and _close(claim, known, 0.0)
            near_truth = three_figures(truth) if truth else 0.0
            by_truth = truth is not None and _close(claim, Quantity(truth), near_truth)
            if not by_working and not by_truth:
                continue
            if sense and claim.centre * sense < -1e-9:
                self._sense_fault(marks, variable, claim)
            tainted_here = by_working and not by_truth and (truth is not None or tainted)
            self.judged.worsen("carried" if tainted_here else "agrees")
            self._state(variable, claim, tainted_here)
            return
        claim = (
            labelled
            if labelled is not None and known is not None and (labelled.centre * known.centre > 0)
            else as_written
        )
        if known is not None and _close(claim, known, slack):
            self._slip(
                derived.rounded(self._bare(side), known, self._written(side)), "", remark=True
            )
            self._state(variable, claim, tainted)
            return
        if self._by_forms(variable, claim):
            self.judged.worsen("carried" if tainted else "agrees")
            self._state(variable, claim, tainted)
            return
        if self._by_sums(relation, index):
            self._state(variable, claim, False)
            return
        explanation = derived.wrong_result(
            variable,
            self.out.called.get(variable, variable),
            claim.scaled(factor),
            known.scaled(factor) if known is not None else None,
            None if truth is None else truth * factor,
            self.forms,
            self._bare(side),
            self._written(side),
            derived.unit_slip(side, claim, known if known is not None else Quantity(truth or 0.0)),
        )
        self._slip(explanation, "the equation above" if known is not None else "result")
        self._state(variable, claim, True)

    def _by_forms(self, variable: str, claim: Quantity) -> bool:
        """Tell whether a value follows from an equation above as it was written, rounded."""
        for _, form in reversed(self.forms[-12:]):
            coefficient = form.coefficients.get(variable)
            if coefficient is None or not coefficient.centre:
                continue
            total = form.constant
            for name, quantity in form.coefficients.items():
                found = self.ledger.values.get(name)
                if name != variable and found is not None:
                    total = total.plus(quantity.times(found.quantity))
                elif name != variable:
                    break
            else:
                value = total.scaled(-1.0 / coefficient.centre)
                if _close(claim, value, 0.0):
                    return True
        return False

    def _by_sums(self, relation: Relation, index: int) -> bool:
        """Tell whether a stated value is an equilibrium sum worked out in one step."""
        left, right = self._form(relation.sides[index]), self._form(relation.sides[index + 1])
        if left is None or right is None:
            return False
        form = left.minus(right, 1)
        sums = [*self.around.strict(self.context, form), *self.around.wide(form)]
        found = self._fits(form, sums)
        if found is not None:
            self.judged.worsen("carried" if found.carried else "agrees")
        return found is not None

    def _sense(self, marks: tuple[Mark, ...], variable: str) -> float:
        """Return the sign of a force's own value that a label claims, 0 where none does."""
        for mark in marks:
            claimed = self.figure.claimed_sense(variable, mark.meaning, self._on())
            if claimed:
                return claimed
        return 0.0

    def _on(self) -> str:
        """The rigid body that the lines are about, '' where it is none or several."""
        names = {part for body in self.context.bodies for part in body.parts}
        bodies = [b.name for b in self.figure.structure.bodies if b.name in names]
        return bodies[0] if len(bodies) == 1 else ""

    def _unit_fits(self, side: Expr, variable: str) -> bool:
        """Hold a result's unit against what the item is measured in; tell whether it fits."""
        number = derived.bare_number(side)
        unit = getattr(number, "unit", None)
        turns = variable.endswith(" moment") or variable.startswith("moment ")
        if unit is None or unit.dims == ((1, 1) if turns else (1, 0)):
            return True
        name = self.out.called.get(variable, variable)
        what = "a moment, a force times a length" if turns else "a force"
        wanted = self.figure.structure.force_unit
        wanted += f" {self.figure.structure.length_unit}" if turns else ""
        self._slip(
            Explanation(
                "unit",
                unit.span,
                wanted,
                f"{name} is {what}; {unit.text} is no unit of that.",
                1.0,
                key=f"unit {variable}",
            ),
            "result",
        )
        return False

    def _state(self, variable: str, claim: Quantity, tainted: bool) -> None:
        told = self.ledger.reduce({variable: 1.0}, ZERO)
        coarse = 0.0 if told.left else told.coarse
        truth = self.figure.true.get(variable)
        found = Found(claim, tainted, self.line, truth, "force", coarse)
        self.out.stated[variable] = found
        self.subject = variable
        self.ledger.set_value(variable, found)

    def _sense_fault(self, marks: tuple[Mark, ...], variable: str, claim: Quantity) -> None:
        mark = next(m for m in marks if m.meaning in SENSES)
        pairs = {"tension": "compression", "up": "down", "right": "left"}
        pairs |= {"anticlockwise": "clockwise"}
        pairs |= {b: a for a, b in pairs.items()}
        right = pairs[mark.meaning]
        name = self.out.called.get(variable, variable)
        self._slip(
            Explanation(
                "sense",
                mark.span,
                right,
                f"{name} comes to {tidy(claim.centre)} with its positive sense, which is {right}, "
                f"not {mark.meaning}.",
                1.0,
                key=f"sense {variable}",
            ),
            "result",
        )

    def _statement(self, statement: Statement) -> None:
        """Judge a claim in words: a sense, or a force that is zero."""
        if self._introduces(statement):
            return
        for name in statement.names:
            meaning = self.reader.meaning(name)
            if not isinstance(meaning, Unknown) or meaning.variable not in self.figure.true:
                continue
            variable = meaning.variable
            self.out.called.setdefault(variable, name.text)
            truth = self.figure.true[variable]
            value = self._value(variable)
            for mark in statement.marks:
                if mark.meaning == "zero-force":
                    self._zero_claim(variable, truth, mark)
                elif mark.meaning in SENSES and variable in self.ledger.values:
                    wanted = self._sense((mark,), variable)
                    if truth * wanted < -1e-9 and value * wanted < -1e-9:
                        self._sense_fault((mark,), variable, Quantity(value))
                    else:
                        self.judged.worsen("agrees")

    def _introduces(self, statement: Statement) -> bool:
        """Take 'R is the upward reaction at A' as what the writer's own name means."""
        if len(statement.names) != 2:
            return False
        name, place = statement.names
        own = self.names.meanings(name)[-1]
        joint = self.around.joint(place.text)
        if not isinstance(own, Local) or joint is None or len(self.names.meanings(name)) > 1:
            return False
        meanings = [m.meaning for m in statement.marks]
        across = any(m in ("left", "right") for m in meanings)
        upright = any(m in ("up", "down") for m in meanings)
        phrase = f"{'horizontal' if across else 'vertical' if upright else ''} reaction at {joint}"
        found = self.names.in_words(phrase.lower())
        if isinstance(found, Unknown):
            sense = 1.0
            for meaning in meanings:
                sense = self.figure.claimed_sense(found.variable, meaning) or sense
            self.reader.aliases.setdefault(own.key, (found.variable, sense))
        return True

    def _zero_claim(self, variable: str, truth: float, mark: Mark) -> None:
        name = self.out.called.get(variable, variable)
        scale = max((abs(v) for v in self.figure.true.values()), default=1.0)
        if abs(truth) <= 1e-9 * scale:
            self.judged.worsen("agrees")
            self._state(variable, ZERO, False)
            return
        self._slip(
            Explanation(
                "missing-force",
                mark.span,
                tidy(truth),
                f"{name} is not zero: {tidy(truth)} is needed for equilibrium.",
                1.2,
                key=f"zero {variable}",
            ),
            "by inspection",
        )
        self._state(variable, ZERO, True)

    # -- definitions -------------------------------------------------------------------------

    def _defines(self, name: Name, relation: Relation) -> bool:
        meaning = self.reader.meaning(name)
        value = relation.sides[1]
        if self._is_resultant(value) and not self._looks_like_length(name, relation):
            return True
        if any(self._is_force(node) for node in walk(value) if isinstance(node, Name)):
            return False
        if isinstance(meaning, Known | Local):
            return not (isinstance(meaning, Local) and self._is_force_letter(name, relation))
        return self._looks_like_length(name, relation)

    def _is_force(self, name: Name) -> bool:
        meaning = self.reader.meaning(name)
        if isinstance(meaning, Local):
            return meaning.key not in self.ledger.locals
        return isinstance(meaning, Unknown)

    @staticmethod
    def _is_resultant(expr: Expr) -> bool:
        """Tell whether a side is the size or the slope of a resultant: √(a² + b²), tan⁻¹(a/b)."""
        if not isinstance(expr, Func) or expr.name not in ("sqrt", "atan", "asin", "acos"):
            return False
        return expr.name != "sqrt" or (
            isinstance(expr.arg, Add) and any(isinstance(t, Pow) for _, t in expr.arg.terms)
        )

    def _is_force_letter(self, name: Name, relation: Relation) -> bool:
        return f"?{key_of(name)}" in self.ledger.rows or (
            self.context.fresh and key_of(name) not in self.ledger.locals
        )

    def _looks_like_length(self, name: Name, relation: Relation) -> bool:
        options = self.names.meanings(name)
        if not any(isinstance(o, Known) and o.kind == "length" for o in options):
            return False
        if any(m.meaning in ("tension", "compression") for ms in relation.marks for m in ms):
            return False
        for side in relation.sides[1:]:
            unit = getattr(side, "unit", None)
            if unit is not None and unit.kind == "length":
                return True
            for node in walk(side):
                if isinstance(node, Func) and node.name == "sqrt" and isinstance(node.arg, Add):
                    return any(isinstance(term, Pow) for _, term in node.arg.terms)
        return False

    def _definition(self, name: Name, relation: Relation) -> None:
        """Take a name's value from the working; check it where the figure knows better."""
        self.reader.prefer_lengths = True
        known = self.reader.meaning(name)
        values: list[Quantity | None] = []
        for side in relation.sides[1:]:
            try:
                values.append(self.reader.evaluate(side))
            except NotLinear as problem:
                self.judged.notes.append(problem.why)
                values.append(None)
        self.reader.prefer_lengths = False
        if values[0] is None:
            self.judged.worsen("undecided")
            return
        truth = derived.true_value(name, known, relation, values[0], self.figure, self.distrust)
        tainted = truth is not None and not _close(values[0], Quantity(truth), 0.0)
        if tainted and truth is not None:
            self._slip(
                derived.wrong_geometry(
                    name,
                    known,
                    relation.sides[1],
                    values[0],
                    truth,
                    self._written(relation.sides[1]),
                ),
                "the figure",
            )
        self.judged.worsen("agrees")
        for index in range(1, len(relation.sides) - 1):
            first, second = values[index - 1], values[index]
            if first is not None and second is not None:
                self._numbers(relation, index, first, second, ())
        last = next(v for v in reversed(values) if v is not None)
        wrong = tainted or self.judged.status == "fault"
        target = truth if truth is not None else values[0].centre
        inverse = isinstance(relation.sides[1], Func) and relation.sides[1].name in derived.INVERSES
        kind = "angle" if inverse else "plain"
        self.ledger.locals[key_of(name)] = Found(last, wrong, self.line, target, kind)
        self.ledger.note_result(values[0].centre)

    # -- slips -------------------------------------------------------------------------------

    def _slip(
        self,
        explanation: Explanation,
        where: str,
        certainty: Certainty = "proved",
        remark: bool = False,
    ) -> None:
        if remark:
            self.judged.worsen("agrees")
            self.out.slips.append(Slip(self.line, explanation, where, certainty, True))
            return
        if explanation.key and explanation.key in self.seen_keys:
            self.judged.worsen("carried")
            self.judged.notes.append("the same slip again")
            self.out.repeated.add(self.line)
            self.out.slips.append(Slip(self.line, explanation, where, certainty, False))
            return
        self.seen_keys[explanation.key] = Slip(self.line, explanation, where, certainty)
        self.judged.worsen("fault")
        self.out.slips.append(self.seen_keys[explanation.key])


def withdrawn_parts(written: Sequence[Written]) -> frozenset[int]:
    """Return the identities of the relations that the writer takes back: 'wrong, should be …'."""
    found: set[int] = set()
    last: Relation | None = None
    for one in written:
        for part in one.line.parts:
            if isinstance(part, Relation):
                if any(m.meaning == "wrong" for marks in part.marks for m in marks):
                    found.add(id(part))
                last = part
            elif isinstance(part, Mark) and part.meaning == "wrong" and last is not None:
                found.add(id(last))
    return frozenset(found)


def _inside(expr: Expr, explanation: Explanation) -> bool:
    return explanation.span[0] <= expr.span[0] and expr.span[1] <= explanation.span[1]


def _close(claim: Quantity, known: Quantity, slack: float) -> bool:
    noise = 1e-9 * max(abs(claim.centre), abs(known.centre))
    return abs(claim.centre - known.centre) <= claim.radius + known.radius + slack + noise


def finding_of(slip: Slip, text: str, repeats: tuple[int, ...]) -> Finding:
    """Return a slip as a finding at its place in the line's text."""
    start, end = slip.explanation.span
    return Finding(
        slip.explanation.kind,
        slip.line,
        (start, end),
        text[start:end],
        slip.where,
        slip.explanation.expected,
        slip.explanation.message,
        certainty=slip.certainty,
        repeats=repeats,
    )


__all__ = ["Course", "Judged", "Outcome", "Slip", "differs", "finding_of"]
