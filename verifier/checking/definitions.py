"""Names that the writer gives a meaning or a value: angles, lengths, own names."""

import math
import re
from dataclasses import replace

from verifier.checking import derived, drawn
from verifier.checking.centroids import odd_arm
from verifier.checking.faults import Explanation
from verifier.checking.forms import NotLinear
from verifier.checking.ledger import Found
from verifier.checking.likenesses import Likenesses
from verifier.checking.loadparts import other_part
from verifier.checking.meeting import meeting_named
from verifier.checking.names import Known, Local, Meaning, Unknown, key_of, letter_behind
from verifier.checking.quantity import Quantity
from verifier.checking.state import close
from verifier.notation.tree import (
    Expr,
    Name,
    Num,
    Relation,
    walk,
)

_LET = re.compile(
    r"^\W*(?:let|call|denote|put|write|setze|sei(?:en)?|soit|posons|sea|sean|sia(?:no)?|poniamo|niech)\b",
    re.IGNORECASE,
)
_CORNER = re.compile(
    r"^(?:(?:the\s)?angle|[Ww]inkel|∠|∡|angolo|ángulo|kąt)\s?([A-Z]\d?)([A-Z]\d?)([A-Z]\d?)$"
)
_LETTER = re.compile(r"[A-Z]_?\d?")
_BESIDE = re.compile(
    r"and|und|et|y|e|i|to|zu|à|a|from|von|de|di|da|do|od|of|between|zwischen|entre|tra|in|on", re.I
)
_LEANS = re.compile(r"inclin|slop|lean|tilt|neig|nachyl|pochyl", re.IGNORECASE)
_PULLS = {"tension": 1.0, "compression": -1.0}


class Definitions(Likenesses):
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
        if self._names_an_angle(first, second):
            return True
        own, meant = self.reader.meaning(first), self.reader.meaning(second)
        if isinstance(own, Unknown) and isinstance(meant, Local) and _LET.search(self.text):
            own, meant, first = meant, own, second  # Let R_A = X
        if self._now_names_a_bar(first, second):
            own = self.reader.names.meanings(first)[-1]
        if not isinstance(own, Local) or own.key in self.ledger.locals:
            return False
        if not isinstance(meant, Unknown):
            return False
        self.reader.aliases[own.key] = (meant.variable, meant.factor)
        self.out.called[meant.variable] = first.text
        self.judged.worsen("agrees")
        return True

    def _behind_its_part(self, relation: Relation) -> Relation | None:
        """Return what stands behind N_x in `N_x = N sin 30° = 0.5 N`, None for another chain."""
        if len(relation.sides) < 3 or self.context.fresh:
            return None
        first, second = relation.sides[:2]
        if not isinstance(first, Name) or isinstance(second, Name | Num):
            return None
        if not self._is_part(first, second) and not self._tells_share(first, second):
            return None
        return replace(relation, sides=relation.sides[1:], ops=relation.ops[1:], marks=())

    def _names_an_angle(self, name: Name, angle: Name) -> bool:
        """Take `α = angle CAB` as the angle of the figure at A."""
        said = _CORNER.search(angle.text)
        if said is None or self.alone or not isinstance(self.reader.meaning(name), Local):
            return False
        first, at, last = (
            self.figure.points.get(self.around.joint(j) or "") for j in said.groups()
        )
        if first is None or at is None or last is None:
            return False
        ways = [math.atan2(p[1] - at[1], p[0] - at[0]) for p in (first, last)]
        degrees = abs((math.degrees(ways[1] - ways[0]) + 180) % 360 - 180)
        found = Found(Quantity(degrees), False, self.line, None, "angle")
        self.ledger.locals.setdefault(key_of(name), found)
        self.judged.worsen("agrees")
        return True

    def _now_names_a_bar(self, name: Name, bar: Name) -> bool:
        """Tell whether a letter in use is from here on a bar's: `D = EC`, where D was a reaction.

        Its force so far is not that of the bar.
        """
        own, meant = self.reader.meaning(name), self.reader.meaning(bar)
        if not isinstance(own, Unknown) or not isinstance(meant, Unknown) or self.alone:
            return False
        if not _LETTER.fullmatch(name.text) or "-" not in meant.variable or len(bar.base) < 2:
            return False
        sizes = [abs(self.figure.true.get(m.variable, 0.0)) for m in (own, meant)]
        return own.variable != meant.variable and not derived.same(sizes[0], sizes[1], 1e-3)

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
        alike = [side for side in relation.sides[1 : 1 + at] if isinstance(side, Name)]
        relation = replace(relation, sides=(name, *relation.sides[1 + at :]))  # W = mg = 80(9.81)
        values = values[at:]
        values = self._in_own_length(known, relation, values)
        assert values[0] is not None
        if self._contradicts(name, relation, values[0]):
            self.ledger.locals[key_of(name)] = Found(
                values[0], True, self.line, self.ledger.locals[key_of(name)].quantity.centre
            )
            return
        ahead = self.text[: relation.sides[1].span[0]]
        said = drawn.distance_said(ahead, self.figure)
        said = said or drawn.length_said(ahead, relation.sides[1], self.figure)
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
                    self.figure,
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
        other = self._other_part_named(relation, values)
        if other is not None:
            self._slip(other, "the load")
        before = self.ledger.locals.get(key_of(name))
        if before is not None and before.kind == "angle" and before.line == self.line:
            self._numbers(relation, 0, before.quantity, values[0], ())  # tan α = 4/3 ⇒ α = 53.1
        last = next(v for v in reversed(values) if v is not None)
        wrong = tainted or self.judged.status == "fault"
        target = truth if truth is not None else values[0].centre
        if before is not None and before.tainted and before.line == self.line:
            wrong, target = True, before.truth if before.truth is not None else target
        inverse = derived.is_angle(relation.sides[1])
        turned = before is not None and before.kind == "angle"
        if turned and not wrong:
            self._widen_ratios(key_of(name), last)
        kind = "angle" if inverse or turned else self._written_kind(relation)
        found = Found(last, wrong, self.line, target, kind)
        if wrong or not self._names_a_force_too(name):
            self.ledger.locals[key_of(name)] = found
            for one in alike:  # c = s = 0.7071
                if isinstance(self.reader.meaning(one), Local):
                    self.ledger.locals.setdefault(key_of(one), found)
        *words, letter = name.text.split()
        leans = _LEANS.search(name.text)  # `cable inclined at α`
        beside = words and not leans and _BESIDE.fullmatch(words[-1])  # `the angle between T and W`
        if letter != name.text and not beside and isinstance(known, Local) and self._is_own(letter):
            self.ledger.locals.setdefault(letter_behind(name), found)  # span L = 6 m
        self.ledger.note_result(values[0].centre)
        if not wrong:
            self._is_bar(name, relation, last)

    def _other_part_named(
        self, relation: Relation, values: list[Quantity | None]
    ) -> Explanation | None:
        """Return that `X = 80 cos 60° = 40 N →` is the load's other component."""
        marks, value = (relation.marks or ((),))[-1], values[-1]
        if len(relation.sides) < 3 or value is None or self.alone:
            return None
        return other_part(relation, len(relation.sides) - 2, value, marks, self.figure, self.text)

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
