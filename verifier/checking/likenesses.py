"""What a name looks to be the name of: a load's part, a resultant, a length, a bar."""

import math
import re

from verifier.checking import derived
from verifier.checking.forms import NotLinear
from verifier.checking.names import Known, Local, Meaning, Unknown, key_of
from verifier.checking.partshare import share_of
from verifier.checking.quantity import ZERO
from verifier.checking.settling import Settling
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

_FRICTION = re.compile(r"[μµ]|\bmu\b|coef|friction|reib|frott|roce|attrito|tarci", re.IGNORECASE)


class Likenesses(Settling):
    """Tells what a writer's own name may be by how it is given."""

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
        if self._about_another(meaning, value):
            return True
        if self._is_resultant(value) and not self._looks_like_length(name, relation):
            return True
        if self._names_a_load(name, relation, meaning) or self._is_total_load(name, value):
            return True
        named = [node for node in walk(value) if isinstance(node, Name)]
        if self._is_coefficient(name, value) or self._is_part_of_load(name, value):
            return True
        if self._is_spread_total(name, value) or self._weighs(name, relation):
            return True
        if any(self._is_force(node) and not self._in_letters(node) for node in named):
            return False
        if isinstance(meaning, Known | Local):
            return not (isinstance(meaning, Local) and self._is_force_letter(name, relation))
        return self._looks_like_length(name, relation)

    def _of_simple_beam(self, value: Expr) -> bool:
        """Tell whether the loads turn so about a point where no moment is fixed or asked for.

        So is that of the beam beside a cable, where nothing bends.
        """
        label = self.context.label if self.context.fresh else None
        numbers = not any(isinstance(node, Name) for node in walk(value))
        at = label is not None and label.axis == "moment"
        turned = [*self.figure.true, *self.figure.structure.find]
        free = not any("moment" in item for item in turned)
        return at and numbers and (free or not self.figure.structure.bodies)

    def _about_another(self, meaning: Meaning, value: Expr) -> bool:
        """Tell whether `about A: M_S = 2000·0.8` is a moment about A, though a joint is called S.

        What bends at S is no moment about another point.
        """
        label = self.context.label if self.context.fresh else None
        inside = meaning.variable if isinstance(meaning, Unknown) else ""
        if label is None or label.axis != "moment" or not inside.startswith("moment at "):
            return False
        point, asked = self.around.joint(label.about), self.figure.structure.find
        at = inside.removeprefix("moment at ").partition(",")[0]
        numbers = not any(isinstance(node, Name) for node in walk(value))
        return point is not None and point != at and numbers and f"moment at {at}" not in asked

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

    def _is_spread_total(self, name: Name, value: Expr) -> bool:
        """Tell whether `W = ½·6·1.8` is what a spread load comes to, though joint W has a reaction.

        So is `W = 6·1.8`, where half of that is right.
        """
        if not isinstance(self.reader.meaning(name), Unknown) or not isinstance(value, Mul | Div):
            return False
        if name.base not in ("F", "P", "W", "Q", "G") or name.sub or not self.resultants.loads:
            return False
        try:
            form = self.reader.form(value)
        except NotLinear:
            return False
        size = abs(form.constant.centre)
        wrong = any(t.line == self.line and t.value == size for t in self.resultants.totals)
        right = any(derived.same(size, load.value, 5e-3) for load in self.resultants.loads)
        return not form.coefficients and (right or wrong)

    def _is_part_of_load(self, name: Name, value: Expr) -> bool:
        """Tell whether `F1y = 5.4 sin 75°` is worked out from a load: its part, no reaction."""
        if name.base[:1] not in ("F", "P", "W", "Q", "G") or not isinstance(value, Mul | Div):
            return False
        spelt = canonical(name.text)
        at_joint = spelt[-1:] in AXES and self.around.joint(spelt[:-1]) is not None
        if isinstance(self.reader.meaning(name), Unknown) and (self.context.fresh or at_joint):
            return False  # what a sum gives, or Q_y at a support Q
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

    def _weighs(self, name: Name, relation: Relation) -> bool:
        """Tell whether `W = 250 × 9.81` is a load of the sheet, though joint W has a reaction."""
        meaning = self.reader.meaning(name)
        known = {*self.ledger.values, *self.ledger.rows, *self.out.called}
        if isinstance(meaning, Unknown) and (meaning.variable in known or name.sub):
            return False
        if self.alone or name.base not in ("F", "W", "G", "P", "Q") or len(relation.sides) < 3:
            return False
        try:
            size = abs(self.reader.evaluate(relation.sides[1]).centre)
        except NotLinear:
            return False
        product = isinstance(relation.sides[1], Mul)
        return product and any(derived.same(size, load.value, 5e-3) for load in self.figure.loads)

    def _looks_like_length(self, name: Name, relation: Relation) -> bool:
        options = self.names.meanings(name)
        if not any(isinstance(o, Known) and o.kind == "length" for o in options):
            return False
        if any(m.meaning in ("tension", "compression") for ms in relation.marks for m in ms):
            return False
        if self._is_its_length(options, relation.sides[-1]) or self._of_lengths(relation.sides[1]):
            return True
        for side in relation.sides[1:]:
            unit = getattr(side, "unit", None)
            if unit is not None and unit.kind == "length":
                return True
            for node in walk(side):
                if isinstance(node, Func) and node.name == "sqrt" and isinstance(node.arg, Add):
                    return any(isinstance(term, Pow) for _, term in node.arg.terms)
        return False

    def _of_lengths(self, side: Expr) -> bool:
        """Tell whether a side is in letters of lengths alone, `5a`: no force comes to that."""
        letters = {node.text for node in walk(side) if isinstance(node, Name)}
        return bool(letters) and letters <= self.figure.length_letters

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
