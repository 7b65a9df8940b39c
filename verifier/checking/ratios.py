"""Ratios of forces, rules in letters, and sizes told with their sense in words."""

from dataclasses import replace
from itertools import pairwise

from verifier.checking import derived
from verifier.checking.beyond import PLAIN
from verifier.checking.following import by_truth_alone
from verifier.checking.forms import Form, NotLinear
from verifier.checking.names import Known, Local, Unknown
from verifier.checking.wordings import Wordings
from verifier.notation.tree import Div, Expr, Line, Name, Num, Relation, walk


class Ratios(Wordings):
    """Judges what is said of forces by their ratios and sizes."""

    below: Line | None

    def _ratio(self, relation: Relation, index: int) -> bool:
        """Judge `A_y/A_x = 3/4` as A_y = (3/4) A_x, `tan α = 5/F` as F tan α = 5.

        Tells whether the line is of that form.
        """
        side, other = relation.sides[index : index + 2]
        if self._by_lengths(relation, index, side, other):
            return True
        if not isinstance(side, Div) or not isinstance(side.bottom, Name):
            side, other = other, side  # tan α = P/F
        if not isinstance(side, Div) or not isinstance(side.bottom, Name):
            return False
        try:
            share = self.reader.evaluate(other)
            top, bottom = self.reader.form(side.top), self.reader.form(side.bottom)
        except NotLinear:
            return False
        if not bottom.coefficients or not share.centre:
            return False
        if not top.coefficients and self._has_value(side.bottom):
            return False
        scaled = [t._replace(coefficient=t.coefficient.times(share)) for t in bottom.terms]
        difference = top.minus(Form(tuple(scaled)), 1)
        loose = {t.variable for t in difference.terms if t.variable.startswith("?")}
        if loose and not self.alone and self._settles(difference, loose):
            return True
        self._judge_sum(relation, index, difference)
        return True

    def _by_lengths(self, relation: Relation, index: int, side: Expr, other: Expr) -> bool:
        """Judge `P/AB = T/BC`, forces in the ratio of the sides of their triangle."""
        if not isinstance(side, Div) or not isinstance(other, Div):
            return False
        bottoms = [one for one in (side.bottom, other.bottom) if isinstance(one, Name)]
        lengths = [m for name in bottoms if (m := self._length(name)) is not None]
        if len(lengths) < 2 or any(self._length(t) for t in (side.top, other.top)):
            return False
        try:
            first, second = (self.reader.form(one.top) for one in (side, other))
        except NotLinear:
            return False
        terms = [
            t._replace(coefficient=t.coefficient.scaled(1 / length.quantity.centre))
            for form, length in zip((first, second), lengths, strict=True)
            for t in form.terms
        ]
        cut = len(first.terms)
        difference = Form(tuple(terms[:cut])).minus(Form(tuple(terms[cut:])), 1)
        loose = {t.variable for t in difference.terms if t.variable.startswith("?")}
        if not (loose and not self.alone and self._settles(difference, loose)):
            self._judge_sum(relation, index, difference)
        return True

    def _length(self, side: Expr) -> Known | None:
        """Return the length that a name may mean, None where it means none."""
        options = self.names.meanings(side) if isinstance(side, Name) else ()
        return next((m for m in options if isinstance(m, Known) and m.kind == "length"), None)

    def _has_value(self, name: Name) -> bool:
        try:
            self.reader.evaluate(name)
        except NotLinear:
            return False
        return True

    def _is_rule(self, relation: Relation) -> bool:
        """Tell whether a line only states a rule in letters: `M = F d`, `t = T/L`."""
        nodes, names = relation.nodes, relation.named
        numbers = [n for n in nodes if isinstance(n, Num) and n.text not in ("", "π", "pi")]
        plain = all(number.value in PLAIN for number in numbers)
        if not plain or len(names) < 3 or self.figure.structure.letters:
            return False
        meanings = [self.reader.meaning(name) for name in names]
        own = [m for m in meanings if isinstance(m, Local)]
        free = any(m.key not in self.ledger.locals for m in own)
        return free and len(own) == len(meanings)

    def _whole(self, name: Name) -> bool:
        """Tell whether a name stands for a force and not for a component of it."""
        meaning = self.reader.meaning(name)
        part = isinstance(meaning, Unknown) and "-" in meaning.variable
        return not part or derived.same(abs(getattr(meaning, "factor", 1.0)), 1.0, 1e-9)

    def _told_against(self, relation: Relation) -> str:
        """Return the force whose size a chain gives with its sense in words, '' for any other.

        `M_A2 = 3·4 = 12 kNm clockwise` is right, whichever way M_A is counted elsewhere.
        """
        first, last = relation.sides[0], derived.bare_number(relation.sides[-1])
        meaning = self.reader.meaning(first) if isinstance(first, Name) else None
        if not isinstance(meaning, Unknown) or len(relation.sides) < 3 or not relation.marks:
            return ""
        truth = self.figure.true.get(meaning.variable)
        sense = self._sense(relation.marks[-1], meaning.variable)
        own = meaning.factor * self.reader.sense(meaning.variable)
        chosen = isinstance(first, Name) and isinstance(self.names.meanings(first)[0], Local)
        if truth is None or chosen or not isinstance(last, Num) or sense * own >= 0:
            return ""
        size = self.reader.quantity(last).scaled(sense / abs(meaning.factor))
        return meaning.variable if by_truth_alone(size, truth) else ""

    def _without_formulas(self, relation: Relation) -> Relation:
        """Leave out sides in letters without values that numbers follow: `EF = −M_B/h = −18/2`."""
        kept = [
            index
            for index, side in enumerate(relation.sides)
            if index in (0, len(relation.sides) - 1)
            or any(isinstance(node, Name) for node in walk(relation.sides[index + 1]))
            or not self._without_value(side)
        ]
        if len(kept) == len(relation.sides):
            return relation
        marks = tuple(relation.marks[i] for i in kept) if relation.marks else ()
        sides = tuple(relation.sides[i] for i in kept)
        return replace(relation, sides=sides, ops=relation.ops[: len(kept) - 1], marks=marks)

    def _worked_out_below(self, relation: Relation) -> bool:
        """Tell whether `B = F·a/l` goes on in numbers alone in the line below."""
        parts = self.below.parts if self.below is not None else ()
        below = next((part for part in parts if isinstance(part, Relation)), None)
        if below is None or not below.continues or len(relation.sides) != 2:
            return False
        numbers = not any(isinstance(node, Name) for node in walk(below.sides[0]))
        first, formula = relation.sides
        return numbers and isinstance(first, Name) and self._without_value(formula)

    def _without_value(self, side: Expr) -> bool:
        if not any(isinstance(node, Name) for node in walk(side)):
            return False
        try:
            self.reader.form(side)
        except NotLinear:
            return True
        return False

    def _loads_alone(self, relation: Relation) -> bool:
        """Take `M_A = 3(−30) − 1(10) = −100` as the moment of the loads about a hinge at A.

        Nothing is fixed there and no moment asked for.
        """
        first = relation.sides[0]
        meaning = self.reader.meaning(first) if isinstance(first, Name) else None
        variable = meaning.variable if isinstance(meaning, Unknown) else ""
        joint = variable.removeprefix("moment at ").partition(",")[0]
        asked = any(item.startswith("moment at ") for item in self.figure.structure.find)
        if joint == variable or asked or self.alone or joint not in self.figure.reactions:
            return False
        relation = self._without_formulas(relation)
        if any(isinstance(node, Name) for side in relation.sides[1:] for node in walk(side)):
            return False
        try:
            values = [self.reader.evaluate(side) for side in relation.sides[1:]]
        except NotLinear:
            return False
        whole = self.figure.loads_about(joint)
        if not values or not derived.same(abs(values[-1].centre), abs(whole), 5e-3):
            return False
        for index, (one, other) in enumerate(pairwise(values), 1):
            self._numbers(relation, index, one, other, ())
        self.judged.worsen("agrees")
        return True
