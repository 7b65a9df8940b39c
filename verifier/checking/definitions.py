"""Names that the writer gives a meaning or a value: angles, lengths, own names."""

import math
import re
from dataclasses import replace

from verifier.checking import derived, drawn
from verifier.checking.centroids import odd_arm
from verifier.checking.forms import NotLinear
from verifier.checking.ledger import Found
from verifier.checking.meeting import meeting_named
from verifier.checking.names import Known, Local, Meaning, Unknown, key_of, letter_behind
from verifier.checking.partshare import share_of
from verifier.checking.quantity import ZERO, Quantity
from verifier.checking.settling import Settling
from verifier.checking.state import close
from verifier.notation.build import undress
from verifier.notation.names import AXES, canonical
from verifier.notation.tree import (
    Add,
    Div,
    Expr,
    Func,
    Mul,
    Name,
    Num,
    Pow,
    Relation,
    walk,
)

_LET = re.compile(
    r"^\W*(?:let|call|denote|put|write|setze|sei(?:en)?|soit|posons|sea|sean|sia(?:no)?|poniamo|niech)\b",
    re.IGNORECASE,
)
_LETTER = re.compile(r"[A-Z]_?\d?")
_PULLS = {"tension": 1.0, "compression": -1.0}
_FRICTION = re.compile(r"[μµ]|\bmu\b|coef|friction|reib|frott|roce|attrito|tarci", re.IGNORECASE)


class Definitions(Settling):
    """Takes definitions, and checks them where the figure knows better."""

    def _renames(self, relation: Relation) -> bool:
        """Take 'R = B_y' as what the writer's own name means, `sin α = 0,8` as its value."""
        if self._by_ratio(relation):
            return True
        if len(relation.sides) != 2 or self.context.fresh:
            return False
        first, second = relation.sides
        if isinstance(first, Name) and self._is_part(first, second):
            return True
        if isinstance(first, Name) and self._tells_share(first, second):
            return True
        if not isinstance(first, Name) or not isinstance(second, Name):
            return False
        own, meant = self.reader.meaning(first), self.reader.meaning(second)
        if isinstance(own, Unknown) and isinstance(meant, Local) and _LET.search(self.text):
            own, meant, first = meant, own, second  # Let R_A = X
        if not isinstance(own, Local) or own.key in self.ledger.locals:
            return False
        if not isinstance(meant, Unknown):
            return False
        self.reader.aliases[own.key] = (meant.variable, meant.factor)
        self.out.called[meant.variable] = first.text
        self.judged.worsen("agrees")
        return True

    def _tells_share(self, name: Name, side: Expr) -> bool:
        """Judge `AC_h = AC cos 37°`: a component, which the writer may sign as he likes."""
        told = share_of(name, side, self.reader, self.text)
        if told is None:
            return False
        if told.slip is not None:
            self._slip(told.slip, "the components")
            return True
        self.reader.aliases[key_of(name)] = (told.variable, told.share)
        self.judged.worsen("agrees")
        return True

    def _is_part(self, name: Name, side: Expr) -> bool:
        """Take `F_x = −F cos 56.3°` as what the writer's own F_x means: a part of his F."""
        own = self.reader.meaning(name)
        axis = AXES.get(canonical(name.text)[-1:], "")
        if not isinstance(own, Local) or own.key in self.ledger.locals or not axis:
            return False
        try:
            form = self.reader.form(side)
        except NotLinear:
            return False
        forces = [t for t in form.terms if t.variable]
        if len(forces) != 1 or len(form.terms) != 1 or forces[0].name is None:
            return False
        variable, whole = forces[0].variable, canonical(forces[0].name.text)
        if canonical(name.text)[:-1] != whole:
            return False
        share = forces[0].coefficient.scaled(self.reader.sense(variable)).centre
        part = self.figure.part_along(variable, axis)
        if not part or not derived.same(abs(share), abs(part), 5e-3):
            return False
        self.reader.aliases[own.key] = (variable, math.copysign(part, share))
        self.judged.worsen("agrees")
        return True

    def _same_loads(self, relation: Relation) -> bool:
        """Take `W1 = W2 = ½(120)(6) = 360 lb` as the sizes of two equal loads of the sheet."""
        sides = relation.sides
        many = next((i for i, side in enumerate(sides) if not isinstance(side, Name)), 0)
        names = [side for side in sides[:many] if isinstance(side, Name)]
        if many < 2 or self.context.fresh or any(n.base[:1] not in "WGPQF" for n in names):
            return False
        own = [self.reader.meaning(name) for name in names]
        if any(not isinstance(one, Local) or one.key in self.ledger.locals for one in own):
            return False
        try:
            size = self.reader.evaluate(sides[many])
        except NotLinear:
            return False
        whole = any(derived.same(abs(size.centre), d.value, 1e-6) for d in self.figure.loads)
        if not whole and not self._is_part_of_load(names[0], sides[many]):
            return False
        marks = relation.marks[many - 1 :] if relation.marks else ()
        tail = replace(relation, sides=sides[many - 1 :], ops=relation.ops[many - 1 :], marks=marks)
        self._definition(names[-1], tail)
        found = self.ledger.locals.get(key_of(names[-1]))
        if found is not None:
            self.ledger.locals |= {key_of(name): found for name in names[:-1]}
        return True

    def _defines(self, name: Name, relation: Relation) -> bool:
        meaning = self.reader.meaning(name)
        value = relation.sides[1]
        if self._all_lengths(relation) or self._is_whole_reaction(name, value):
            return True
        formula = not self.alone and not isinstance(derived.bare_number(value), Num)
        if self._is_its_value(meaning, value) or (formula and self._is_drawn(meaning)):
            return False
        if isinstance(meaning, Local) and name.base == "M" and self._of_simple_beam(value):
            return True
        if self._is_resultant(value) and not self._looks_like_length(name, relation):
            return True
        if self._names_a_load(name, relation, meaning) or self._is_total_load(name, value):
            return True
        named = [node for node in walk(value) if isinstance(node, Name)]
        if self._is_coefficient(name, value) or self._is_part_of_load(name, value):
            return True
        if any(self._is_force(node) and not self._in_letters(node) for node in named):
            return False
        if isinstance(meaning, Known | Local):
            return not (isinstance(meaning, Local) and self._is_force_letter(name, relation))
        return self._looks_like_length(name, relation)

    def _of_simple_beam(self, value: Expr) -> bool:
        """Tell whether a moment is worked out where nothing bends: the beam beside a cable."""
        label = self.context.label if self.context.fresh else None
        numbers = not any(isinstance(node, Name) for node in walk(value))
        at = label is not None and label.axis == "moment"
        return at and numbers and not self.figure.structure.bodies

    def _is_own(self, text: str) -> bool:
        """Tell whether a writing is the writer's own name, none of the sheet's."""
        return isinstance(self.names.meanings(Name((0, 0), text, *undress(text)))[0], Local)

    def _is_coefficient(self, name: Name, value: Expr) -> bool:
        """Tell whether `μ = F/N` gives a coefficient of friction: the share of two forces found."""
        own = isinstance(self.reader.meaning(name), Local) and _FRICTION.search(name.text)
        if not own or not isinstance(value, Div):
            return False
        try:
            self.reader.evaluate(value)
        except NotLinear:
            return False
        return True

    def _names_a_load(self, name: Name, relation: Relation, meaning: Meaning) -> bool:
        """Tell whether `F1 = 9 kN` gives a load its name, though joint 1 has a reaction."""
        size = derived.bare_number(relation.sides[-1])
        if not isinstance(meaning, Unknown) or name.base not in ("F", "P", "W", "Q", "G"):
            return False
        if self.context.fresh or (name.sub in AXES and self.around.joint(name.base)):
            return False  # what a sum gives, or G_v at a support G
        known = {*self.ledger.values, *self.ledger.rows, *self.out.called}
        if len(relation.sides) != 2 or not isinstance(size, Num) or meaning.variable in known:
            return False
        value = self.reader.quantity(size).centre
        return any(derived.same(value, load.value, 1e-9) for load in self.figure.loads)

    def _is_total_load(self, name: Name, value: Expr) -> bool:
        """Tell whether `W = 137 + 294` adds up loads, though joint W has a reaction."""
        meaning = self.reader.meaning(name)
        known = {*self.ledger.values, *self.ledger.rows, *self.out.called}
        if not isinstance(meaning, Unknown) or meaning.variable in known or name.sub:
            return False
        if name.base not in ("F", "P", "W", "Q", "G") or not isinstance(value, Add):
            return False
        sizes = [
            bare.value for _, t in value.terms if isinstance(bare := derived.bare_number(t), Num)
        ]
        loads = [load.value for load in self.figure.loads]
        return len(sizes) == len(value.terms) and all(
            sign > 0 and any(derived.same(size, load, 5e-3) for load in loads)
            for (sign, _), size in zip(value.terms, sizes, strict=True)
        )

    def _is_part_of_load(self, name: Name, value: Expr) -> bool:
        """Tell whether `F1y = 5.4 sin 75°` is worked out from a load: its part, no reaction."""
        if name.base[:1] not in ("F", "P", "W", "Q", "G") or not isinstance(value, Mul | Div):
            return False
        try:
            size = abs(self.reader.evaluate(value).centre)
        except NotLinear:
            return False
        letters = self.figure.structure.letters
        numbers = [node.value for node in walk(value) if isinstance(node, Num)]
        return any(
            derived.same(size, abs(force.size.number(letters) * part.number(letters)), 5e-3)
            for force in self.figure.forces
            if any(derived.same(n, abs(force.size.number(letters)), 1e-6) for n in numbers)
            for part in force.direction
        )

    def _is_drawn(self, meaning: Meaning) -> bool:
        """Tell whether a name without a value is said to pull, push or act some way: a force."""
        own = isinstance(meaning, Local) and meaning.key not in self.ledger.locals
        return own and getattr(meaning, "key", "") in self.forces

    def _all_lengths(self, relation: Relation) -> bool:
        """Tell whether a chain such as `DE = AE = √5 = 2.236 m` is of lengths."""
        unit = getattr(derived.bare_number(relation.sides[-1]), "unit", None)
        if unit is None or unit.kind != "length":
            return False
        named = [side for side in relation.sides if isinstance(side, Name)]
        return all(
            any(isinstance(m, Known) and m.kind == "length" for m in self.names.meanings(name))
            for name in named
        )

    def _is_whole_reaction(self, name: Name, side: Expr) -> bool:
        """Tell whether a side comes to the size of both parts of the reaction that a name means."""
        meaning = self.reader.meaning(name)
        item = meaning.variable if isinstance(meaning, Unknown) else ""
        sub = name.base[:1] + canonical(name.text)[-1:]
        if not item.startswith("reaction ") or set(sub) & set("xyhvXYHV"):
            return False
        joint = item.split()[1]
        parts = [self.figure.true.get(f"reaction {joint} {axis}") for axis in "xy"]
        if None in parts or not all(parts):
            return False
        try:
            value = self.reader.evaluate(side)
        except NotLinear:
            return False
        return derived.same(abs(value.centre), math.hypot(*(p or 0.0 for p in parts)), 5e-3)

    def _in_letters(self, name: Name) -> bool:
        """Tell whether a name is a small letter of a formula, as in W = mg or A = bh."""
        letter = len(name.text) == 1 and name.text.islower()
        return letter and isinstance(self.reader.meaning(name), Local)

    def _is_its_value(self, meaning: Meaning, side: Expr) -> bool:
        """Tell whether a side comes to the value of the force that the name stands for."""
        if not isinstance(meaning, Unknown) or meaning.variable not in self.figure.true:
            return False
        try:
            value = self.reader.evaluate(side)
        except NotLinear:
            return False
        truth = abs(self.figure.true[meaning.variable])
        return truth > 0 and derived.same(abs(value.centre), truth, 5e-3)

    def _named(self, relation: Relation) -> Expr:
        """Return the first side; `|R|` before the size of a resultant is R itself."""
        match relation.sides:
            case (Func(name="abs", arg=Name() as name), value, *_) if self._is_resultant(value):
                return name
        return relation.sides[0]

    @staticmethod
    def _is_resultant(expr: Expr) -> bool:
        """Tell whether a side is the size or the slope of a resultant: √(a² + b²), tan⁻¹(a/b)."""
        if not isinstance(expr, Func) or expr.name not in ("sqrt", "atan", "asin", "acos"):
            return False
        return expr.name != "sqrt" or (
            isinstance(expr.arg, Add) and any(isinstance(t, Pow) for _, t in expr.arg.terms)
        )

    def _by_size(self, relation: Relation) -> bool:
        """Tell whether `AC = √(8.6² + 11.5²)` gives the size of a force known below zero.

        A root says nothing of its sense, which the label behind the value tells; nor does
        `DE = 11.3/0.95 = 11.9 kN compression` where the working has it at −11.9.
        """
        first, second = relation.sides[0], relation.sides[1:2]
        meaning = self.reader.meaning(first) if isinstance(first, Name) else None
        if not isinstance(meaning, Unknown) or not second:
            return False
        marks = relation.marks[-1] if len(relation.marks) > 2 else ()
        pushes = any(mark.meaning == "compression" for mark in marks)
        if not (self._is_resultant(second[0]) or (pushes and "-" in meaning.variable)):
            return False
        told = self.ledger.reduce({meaning.variable: 1.0}, ZERO)
        factor = meaning.factor * self.reader.sense(meaning.variable)
        known = told.rest.scaled(-factor)
        try:
            size = self.reader.evaluate(second[0])
        except NotLinear:
            return False
        below = known.centre < 0 < size.centre and not told.left
        return below and derived.same(size.centre, -known.centre, 5e-3)

    def _is_force_letter(self, name: Name, relation: Relation) -> bool:
        known = (self.ledger.rows, self.ledger.values)
        unit = getattr(derived.bare_number(relation.sides[-1]), "unit", None)
        long = unit is not None and unit.kind == "length"  # an arm, told between label and sum
        return any(f"?{key_of(name)}" in equations for equations in known) or (
            self.context.fresh and not long and key_of(name) not in self.ledger.locals
        )

    def _looks_like_length(self, name: Name, relation: Relation) -> bool:
        options = self.names.meanings(name)
        if not any(isinstance(o, Known) and o.kind == "length" for o in options):
            return False
        if any(m.meaning in ("tension", "compression") for ms in relation.marks for m in ms):
            return False
        if self._is_its_length(options, relation.sides[-1]):
            return True
        for side in relation.sides[1:]:
            unit = getattr(side, "unit", None)
            if unit is not None and unit.kind == "length":
                return True
            for node in walk(side):
                if isinstance(node, Func) and node.name == "sqrt" and isinstance(node.arg, Add):
                    return any(isinstance(term, Pow) for _, term in node.arg.terms)
        return False

    def _is_its_length(self, options: tuple[Meaning, ...], side: Expr) -> bool:
        """Tell whether a bare number is how long a bar is, and not its force: `AC = 4, AB = 3`."""
        if not isinstance(side, Num) or side.unit is not None or not side.text:
            return False
        lengths = [
            o.quantity.centre for o in options if isinstance(o, Known) and o.kind == "length"
        ]
        forces = [self.figure.true.get(o.variable) for o in options if isinstance(o, Unknown)]
        found = any(o.variable in self.ledger.rows for o in options if isinstance(o, Unknown))
        alike = any(derived.same(side.value, length, 1e-6) for length in lengths)
        return (
            alike and not found and not any(f and derived.same(side.value, abs(f)) for f in forces)
        )

    def _definition(self, name: Name, relation: Relation) -> None:
        """Take a name's value from the working; check it where the figure knows better."""
        forces = self._forces_at_the_end(relation)
        self.reader.prefer_lengths = True
        known = self.reader.meaning(name)
        if isinstance(known, Known) and known.kind == "length":
            known = Local(key_of(name)) if self._written_kind(relation) == "force" else known
        values: list[Quantity | None] = []
        for side in relation.sides[1:]:
            if side in forces:
                values.append(None)
                continue
            try:
                values.append(self._worth(_alone(side), relation))
            except NotLinear as problem:
                self.judged.notes.append(problem.why)
                values.append(None)
        self.reader.prefer_lengths = False
        at = next((i for i, value in enumerate(values) if value is not None), None)
        if at is None:
            self.judged.worsen("undecided")
            return
        relation = replace(relation, sides=(name, *relation.sides[1 + at :]))  # W = mg = 80(9.81)
        values = values[at:]
        values = self._in_own_length(known, relation, values)
        assert values[0] is not None
        if self._contradicts(name, relation, values[0]):
            self.ledger.locals[key_of(name)] = Found(
                values[0], True, self.line, self.ledger.locals[key_of(name)].quantity.centre
            )
            return
        said = drawn.distance_said(self.text[: relation.sides[1].span[0]], self.figure)
        known = said or meeting_named(name, self.figure) or known
        truth = drawn.true_value(
            name, known, relation, values[0], self.figure, self.distrust, self.ledger
        )
        tainted = truth is not None and not close(values[0], Quantity(truth), 0.0)
        if tainted and truth is not None:
            self._slip(
                drawn.wrong_geometry(
                    name,
                    known,
                    relation.sides[1],
                    values[0],
                    truth,
                    self._written(relation.sides[1]),
                ),
                "the figure",
            )
        odd = odd_arm(relation.sides[1], self.reader, self.figure, self.text)
        if odd is not None and truth is None:
            tainted, truth = True, odd.place
            self._slip(odd.explanation, "the place of the resultant")
        right = self._should_be(relation.sides[1]) if truth is None else None
        if right is not None and not close(values[0], right, 0.0):
            tainted, truth = True, right.centre
        self.judged.worsen("agrees")
        if isinstance(known, Local) and self._misspelt(name, relation):
            self.judged.notes.append(self.names.not_found(name))
        for index in range(1, len(relation.sides) - 1):
            first, second = values[index - 1], values[index]
            if first is not None and second is not None:
                self._numbers(relation, index, first, second, ())
        before = self.ledger.locals.get(key_of(name))
        if before is not None and before.kind == "angle" and before.line == self.line:
            self._numbers(relation, 0, before.quantity, values[0], ())  # tan α = 4/3 ⇒ α = 53.1
        last = next(v for v in reversed(values) if v is not None)
        wrong = tainted or self.judged.status == "fault"
        target = truth if truth is not None else values[0].centre
        if before is not None and before.tainted and before.line == self.line:
            wrong, target = True, before.truth if before.truth is not None else target
        inverse = isinstance(relation.sides[1], Func) and relation.sides[1].name in derived.INVERSES
        turned = before is not None and before.kind == "angle"
        if turned and not wrong:
            self._widen_ratios(key_of(name), last)
        kind = "angle" if inverse or turned else self._written_kind(relation)
        found = Found(last, wrong, self.line, target, kind)
        if wrong or not self._names_a_force_too(name):
            self.ledger.locals[key_of(name)] = found
        letter = name.text.split()[-1]
        if letter != name.text and isinstance(known, Local) and self._is_own(letter):
            self.ledger.locals.setdefault(letter_behind(name), found)  # span L = 6 m
        self.ledger.note_result(values[0].centre)
        if not wrong:
            self._is_bar(name, relation, last)

    def _worth(self, side: Expr, relation: Relation) -> Quantity:
        """Return a side's value; a force's bare numbers are in the unit that its chain ends in."""
        if self.reader.plain == 1.0 or self._written_kind(relation) != "force":
            return self.reader.evaluate(side)
        form = self.reader.form(side)
        return self.reader.evaluate(side) if form.coefficients else form.constant

    def _is_bar(self, name: Name, relation: Relation, value: Quantity) -> None:
        """Take `T = 1000/0.766 = 1305 N (tension)` as the force of the one bar that has it."""
        meanings = [m.meaning for marks in relation.marks for m in marks]
        own = self.reader.meaning(name)
        if not isinstance(own, Local) or not _LETTER.fullmatch(own.key) or self.alone:
            return
        if len({*meanings} & set(_PULLS)) != 1:
            return
        sense = _PULLS[next(m for m in meanings if m in _PULLS)]
        size = sense * abs(value.centre)
        bars = {m.name for m in self.figure.structure.members if m.name not in self.out.stated}
        same = [b for b in bars if derived.same(self.figure.true.get(b, 0.0), size, 5e-3) and size]
        if len(same) == 1:
            turned = 1.0 if value.centre * sense > 0 else -1.0
            self.ledger.locals.pop(own.key, None)
            self.reader.aliases[own.key] = (same[0], turned)
            self.out.called.setdefault(same[0], name.text)
            self._state(same[0], value.scaled(turned), False)

    @staticmethod
    def _written_kind(relation: Relation) -> str:
        """Return force or length where a unit of a definition says so, else plain."""
        kinds = [unit.kind for unit in relation.units]
        return next((kind for kind in kinds if kind in ("force", "length")), "plain")

    def _in_own_length(
        self, known: Meaning, relation: Relation, values: list[Quantity | None]
    ) -> list[Quantity | None]:
        """Take bare lengths in the unit that the chain ends in, or that this working writes in."""
        if not isinstance(known, Known) or known.kind != "length" or values[0] is None:
            return values
        last = getattr(derived.bare_number(relation.sides[-1]), "unit", None)
        end = last.factor / self.reader.length_scale if last and last.kind == "length" else 1.0
        for factor in (end, self.long):
            if factor != 1.0 and derived.same(values[0].centre * factor, known.quantity.centre):
                sides = zip(values, relation.sides[1:], strict=True)
                return [
                    one.scaled(factor) if one and derived.bare_unit(side) is None else one
                    for one, side in sides
                ]
        return values

    def _names_a_force_too(self, name: Name) -> bool:
        """Tell whether a length's name is a member's force as well: `BC = 2 m` … `BC sin θ`."""
        options = self.names.meanings(name)
        known = any(isinstance(one, Known) and one.kind == "length" for one in options)
        return known and any(isinstance(one, Unknown) for one in options)

    def _forces_at_the_end(self, relation: Relation) -> tuple[Expr, ...]:
        """Return the T of `W = 80(9.81) = 785 N = T`: what was found is a force."""
        end = relation.sides[-1]
        units = [getattr(derived.bare_number(side), "unit", None) for side in relation.sides]
        weighs = any(unit is not None and unit.kind == "force" for unit in units)
        return (end,) if weighs and isinstance(end, Name) and self._is_force(end) else ()

    def _misspelt(self, name: Name, relation: Relation) -> bool:
        """Tell whether a name that the sheet lacks is given a force as a member's is."""
        if self.alone or f"?{key_of(name)}" in self.ledger.rows:
            return False
        if any(m.meaning in ("tension", "compression") for ms in relation.marks for m in ms):
            return True
        units = [getattr(node, "unit", None) for node in walk(relation.sides[-1])]
        force = any(unit is not None and unit.kind == "force" for unit in units)
        return force and name.base in ("F", "S", "N") and len(name.sub) > 1


def _alone(side: Expr) -> Expr:
    """Take an acceleration that is all of a side without its unit: `g = 9.81 m/s²`."""
    if isinstance(side, Num) and side.unit is not None and side.unit.kind == "gravity":
        return replace(side, unit=None)
    return side
