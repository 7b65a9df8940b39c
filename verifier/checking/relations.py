"""Relations: each judged in the reading of it that holds, pair by pair of its sides."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from verifier import units
from verifier.checking import derived
from verifier.checking.apart import drawn_to_scale
from verifier.checking.chainends import ChainEnds
from verifier.checking.commonfactor import without_common
from verifier.checking.context import INNER, Context
from verifier.checking.cutletters import beside
from verifier.checking.forms import Form, NotLinear
from verifier.checking.ledger import Found, Ledger
from verifier.checking.loadparts import other_part
from verifier.checking.names import Unknown, key_of
from verifier.checking.quantity import Quantity
from verifier.checking.rounding import EarlyRounding
from verifier.checking.state import Judged, Slip
from verifier.checking.tallies import products_of, tallies_of
from verifier.checking.wordings import way_of
from verifier.notation.tree import (
    Add,
    Div,
    Expr,
    Mark,
    Name,
    Num,
    Relation,
    SumLabel,
    moved,
    walk,
)

_WITH = re.compile(
    r"[\s,;(]+(?:with|where|for|mit|wobei|avec|où|con|dove|donde|gdzie|przy|com|onde|met|waarbij)\s+"
)
_TURN = re.compile(r"δ_?(?!W)[^\W\d_]")  # a virtual turn δθ, and no angle δ


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


_AS_TOLD = 2e-3


class Relations(ChainEnds):
    """Judges the relations of a line."""

    early: EarlyRounding
    before: Expr | None = None

    def _relation(self, relation: Relation) -> None:
        """Judge a relation; below a cut at a joint where an inner force jumps, on either side."""
        sides = self._either_side(relation)
        status, kept = self.judged.status, self._keep() if sides else None
        if sides:
            self.judged.status = "remark"
        self._as_written(relation)
        for side in sides:
            if self.judged.status not in ("fault", "undecided"):
                break
            found = self._keep()
            assert kept is not None
            self._restore(kept)
            self.judged.status, self.reader.beside = "remark", side
            self._as_written(relation)
            if self.judged.status in ("fault", "undecided"):
                self._restore(found)
                self.reader.beside = {}
        if sides:
            self.judged.worsen(status)

    def _either_side(self, relation: Relation) -> list[dict[str, str]]:
        """Return what a joint's inner forces are on its either side, [] unless one may be meant."""
        if self.alone or self.reader.beside or not any(b.cut for b in self.context.bodies):
            return []
        variables = {self._variable(name) for name in relation.named} - self.out.stated.keys()
        joints = {v.rpartition(" at ")[2] for v in variables if v.startswith(INNER)}
        return [
            pairs
            for joint in sorted(joints & self.figure.points.keys())
            for side in ("left", "right")
            if (pairs := beside(joint, side, self.figure))
        ]

    def _as_written(self, relation: Relation) -> None:
        """Judge a relation in the reading of it that holds, where its writing allows several."""
        if self._of_vectors(relation):
            return
        relation = without_common(self._virtual(relation), self.reader)
        self.early.note(relation, self.line, self.out.stated, self._variable)
        plain = self.reader.plain
        own = self._own_unit(relation)
        # The C of 19.6 C is a label before it is a name.
        shown = sorted((relation, *relation.others), key=lambda one: -sum(map(len, one.marks)))
        readings = [(one, plain, 1.0) for one in shown]
        readings += [(relation, own, 1.0)] if own is not None else []
        readings += [(relation, *both) for both in self._own_lengths(relation)]
        readings += [(relation, plain, self.long)] if self.long != 1.0 else []
        said = (relation, *relation.others)
        readings += [(r, *one) for r in said for one in self.also if one != (plain, 1.0)]
        goes_on = (self.last_side,) if relation.continues and self.last_side is not None else ()
        if goes_on:  # what stands above was taken in one unit, and goes on in it
            readings = [one for one in readings if one[1] in (plain, self.force_read)]
        over = _over_length((*goes_on, *relation.sides))
        turned = [one for one in readings if over and one[2] != 1.0]
        turned_by = self._told_against(relation)
        if len(readings) == 1 and not turned_by:
            self._read_as(relation)
            self.force_read = plain
            return
        status, self.judged.status = self.judged.status, "remark"
        before = first = self._keep()
        for index, (reading, force, length) in enumerate([*readings, *turned]):
            self.reader.plain, self.reader.long = force, length
            self.reader.lone = index < len(readings)
            self._read_as(reading)
            self.reader.plain, self.reader.long, self.reader.lone = plain, 1.0, True
            if self.judged.status not in ("fault", "undecided"):
                self.judged.worsen(status)
                self.force_read = force
                return
            after = self._keep()
            self._restore(before)
            fewer = self._both_at_fault(after, first) and len(after.slips) < len(first.slips)
            if index == 0 or fewer:
                first = after
        if turned_by and self._holds_turned(relation, turned_by):
            self.judged.worsen(status)
            return
        self._restore(first)
        self.force_read = plain
        self.judged.worsen(status)

    def _holds_turned(self, relation: Relation, variable: str) -> bool:
        """Judge a chain with a name drawn the other way; tell whether it holds."""
        kept = self._keep()
        senses = self.reader.senses
        self.reader.senses = {**senses, variable: -self.reader.sense(variable)}
        self._read_as(relation)
        self.reader.senses = senses
        if self.judged.status not in ("fault", "undecided"):
            return True
        self._restore(kept)
        return False

    @staticmethod
    def _both_at_fault(one: Kept, other: Kept) -> bool:
        return one.judged.status == "fault" == other.judged.status

    def _virtual(self, relation: Relation) -> Relation:
        """Take the work of a virtual turn as the sum that it is: `δW = −6·2·δθ + P·3·δθ = 0`.

        One turn stands in every term, so that any number may stand for it.
        """
        named = {key_of(n) for n in relation.named}
        turns = {key for key in named if _TURN.match(key)}
        if len(turns) == 1 and not turns & {*self.ledger.locals, *self.reader.aliases}:
            (turn,) = turns
            self.ledger.locals[turn] = Found(Quantity(1.0), False, self.line)
        first = relation.sides[0]
        if isinstance(first, Name) and key_of(first).startswith("δW") and len(relation.sides) > 2:
            marks = relation.marks[1:] if relation.marks else ()
            return replace(relation, sides=relation.sides[1:], ops=relation.ops[1:], marks=marks)
        return relation

    def _of_vectors(self, relation: Relation) -> bool:
        """Judge an equation of vectors by its parts along x and y; tell whether it is one."""
        self.vectors.text = self.text
        name = self.vectors.named(relation)
        if name is not None:
            tail = replace(relation, sides=relation.sides[1:], ops=relation.ops[1:], marks=())
            for _, one in self.vectors.split(tail) if len(tail.sides) > 1 else ():
                self._relation(one)
            own = self.vectors.of_side(relation.sides[-1])
            assert own is not None
            self.vectors.keep(name, own)
            self.judged.worsen("agrees")
            return True
        label, fresh = self.context.label, self.context.fresh
        found = list(self.vectors.split(relation))
        for axis, one in found:
            if axis != "moment" and not isinstance(relation.sides[0], Name):
                at = label.at if label is not None else ""
                self.context.label, self.context.fresh = SumLabel((0, 0), axis, at=at), True
            else:
                self.context.label, self.context.fresh = label, fresh and axis == "moment"
            self._relation(one)
        return bool(found)

    def _own_unit(self, relation: Relation) -> float | None:
        """Return what a chain's bare numbers count where its end is in another unit than the sheet.

        `M_C = 0.6(0.25) = 0.15 kN·m` on a sheet in newtons and millimetres: a million.
        """
        written = [unit for unit in relation.units if unit.kind != "angle"]
        if len(relation.sides) < 3 or not written or written[0].dims[0] != 1:
            return None
        if (
            len(set(u.dims for u in written)) > 1
            or derived.bare_unit(relation.sides[1]) is not None
        ):
            return None
        force, length = written[0].dims
        sheet = self.reader.force_scale**force * self.reader.length_scale**length
        factor: float = written[0].factor / sheet
        if derived.same(factor, 1.0, 1e-9) or self._weighs_so(relation.sides[1]):
            return None
        return None if not length and self._has_force(relation.sides[1]) else factor

    def _has_force(self, side: Expr) -> bool:
        """Tell whether a side has a force by its number in the sheet's unit: −30.01/cos α."""
        known = [abs(datum.value) for datum in self.figure.loads]
        known += [abs(found.quantity.centre) for found in self.ledger.values.values()]
        numbers = (node.value for node in walk(side) if isinstance(node, Num))
        return any(derived.same(n, size, _AS_TOLD) for n in numbers if n > 1 for size in known)

    def _weighs_so(self, side: Expr) -> bool:
        """Tell whether a mass times g comes to a load of the sheet in newtons: no other unit."""
        if not self._times_gravity(side):
            return False
        try:
            newtons = abs(self.reader.evaluate(side).centre) / self.reader.force_scale
        except NotLinear:
            return False
        return any(derived.same(newtons, load.value, 5e-3) for load in self.figure.loads)

    def _own_lengths(self, relation: Relation) -> Iterator[tuple[float, float]]:
        """Yield what bare forces and arms count where a moment tells their unit.

        `S(0.24) = 450(0.5) + 30 = 255 N·m` on a sheet in millimetres: some arm must be one of the
        sheet's in that unit, and none in the sheet's own.
        """
        moments = [unit for unit in relation.units if unit.kind == "moment"]
        if not moments:
            return
        bare = [n.value for n in relation.nodes if isinstance(n, Num) and n.text and n.unit is None]
        for length in units.LENGTH.values():
            long = length / self.reader.length_scale
            arms = [n for n in bare if self.figure.is_length(n * long)]
            if long != 1.0 and arms and not any(map(self.figure.is_length, bare)):
                yield moments[-1].factor / length / self.reader.force_scale, long

    def _variable(self, name: Name) -> str:
        meaning = self.reader.meaning(name)
        return meaning.variable if isinstance(meaning, Unknown) else ""

    def _keep(self) -> Kept:
        return Kept(
            self.ledger.copied(),
            replace(self.context, signs=dict(self.context.signs)),
            Judged(self.judged.status, list(self.judged.notes)),
            list(self.out.slips),
            dict(self.out.stated),
            dict(self.seen_keys),
            list(self.forms),
            self.last_side,
        )

    def _restore(self, kept: Kept) -> None:
        for name, value in vars(kept.ledger.copied()).items():
            setattr(self.ledger, name, value)
        self.context = replace(kept.context, signs=dict(kept.context.signs))
        self.judged.status, self.judged.notes = kept.judged.status, list(kept.judged.notes)
        self.out.slips[:] = kept.slips
        self.out.stated, self.seen_keys = dict(kept.stated), dict(kept.seen_keys)
        self.forms, self.last_side = list(kept.forms), kept.last_side

    def _read_as(self, relation: Relation) -> None:
        label = self.context.label if self.context.fresh else None
        turns = label is None or label.axis == "moment"
        self.resultants.note(relation, self.line, self.reader, turns)
        point = label.about if label is not None and label.axis == "moment" else ""
        self.worked.note(relation, self.line, point, self.reader)
        self.tallies += tallies_of(relation, self.line)
        self.products += products_of(relation, self.line)
        sides, goes_on = relation.sides, relation.continues
        if self._restates(relation):
            relation = replace(
                relation, sides=sides[:1], ops=(), marks=relation.marks[:1], continues=True
            )
            sides = relation.sides
        if relation.continues and len(sides) == 1:
            if self.before is not None and drawn_to_scale(self.before, sides[0]):
                self.judged.worsen("agrees")
                return
            if self._of_other_part(relation):
                return
            if self._told_apart(relation):
                return
            self._said_again(relation.marks[0] if relation.marks else ())
        if relation.continues and self.subject:
            self._unit_fits(sides[-1], self.subject)
        if relation.continues and self.last_side is not None:
            own = relation.marks or ((),) * len(sides)
            taken = moved(self.last_side, relation.span[0])
            relation = Relation(relation.span, (taken, *sides), ("=", *relation.ops), ((), *own))
        relation = self._without_formulas(self._without_phrases(relation))
        if self._worked_out_below(relation):
            self.last_side = relation.sides[0]
            self.ended = (self.line, relation.span[1], way_of(relation))
            self.judged.worsen("agrees")
            return
        sides = relation.sides
        if self._idle(relation) or self._in_words(relation) or self._runs(relation):
            return
        if self._renames(relation):
            return
        if (rest := self._behind_its_part(relation)) is not None:
            self._each_pair(rest)
            return
        if self._part_in_words(relation) or self._by_squares(relation):
            return
        if self._tallies(relation) or self._same_loads(relation) or self._bends(relation):
            return
        if self._along(relation) or self._loads_alone(relation):
            return
        if self._by_formula(relation):
            if len(sides) < 3:
                self.judged.worsen("agrees")
                return
            tail = relation.marks[1:] if relation.marks else ()
            relation = replace(relation, sides=sides[1:], ops=relation.ops[1:], marks=tail)
            sides = relation.sides
        if self._by_size(relation):
            self._pair(replace(relation, marks=()), 1) if len(sides) > 2 else None
            self.judged.worsen("agrees")
            marks = (*relation.marks[:1], *relation.marks[2:])
            relation = replace(
                relation, sides=(sides[0], *sides[2:]), ops=relation.ops[1:], marks=marks
            )
            sides = relation.sides
        first = self._named(relation)
        self.claimed = False
        if isinstance(first, Name) and len(relation.sides) > 1 and self._defines(first, relation):
            self._definition(first, relation)
            if len(sides) > 2 and self._forces_at_the_end(relation):
                self._pair(relation, len(sides) - 2)
        else:
            before = len(self.out.slips)
            self._each_pair(relation)
            self._finish(relation)
            self._chain_ends(relation, goes_on, len(self.out.slips) > before)
        if not self._only_explains(relation):
            self.last_side = relation.sides[-1]
        self.ended = (self.line, relation.span[1], way_of(relation))
        # 'Vertically, with sin φ = 0.6:' the sum that the label heads is still to come.
        self.context.fresh = self.context.fresh and self._named_angle(sides[0]) is not None
        if isinstance(first, Name):
            meaning = self.reader.meaning(first)
            self.subject = meaning.variable if isinstance(meaning, Unknown) else ""

    def _only_explains(self, relation: Relation) -> bool:
        """Tell whether `with P = 3 kN` stands behind an equation, which the line below goes on."""
        line, end, _ = self.ended
        told = line == self.line and _WITH.fullmatch(self.text[end : relation.span[0]])
        return bool(told) and len(relation.sides) == 2 and isinstance(relation.sides[1], Num)

    def _each_pair(self, relation: Relation) -> None:
        """Judge the sides of a chain pair by pair."""
        for index in range(len(relation.sides) - 1):
            self._pair(relation, index)

    def _pair(self, relation: Relation, index: int) -> None:
        if self._ratio(relation, index):
            return
        left, right = self._form(relation.sides[index]), self._form(relation.sides[index + 1])
        if left is None or right is None:
            if not self._is_rule(relation):
                self.judged.worsen("undecided")
            return
        marks = relation.marks[index + 1] if index + 1 < len(relation.marks) else ()
        first, here = relation.sides[0], relation.sides[index]
        if marks and isinstance(first, Name) and isinstance(here, Name) and first != here:
            before = self._keep()
            self._pair_marked(relation, index, left, right, ())
            if self.judged.status not in ("fault", "undecided"):
                return  # N_1 = N_2 = 30 (T): the sense is N_1's
            self._restore(before)
        self._pair_marked(relation, index, left, right, marks)

    def _pair_marked(
        self, relation: Relation, index: int, left: Form, right: Form, marks: tuple[Mark, ...]
    ) -> None:
        variables = {t.variable for t in (*left.terms, *right.terms) if t.variable}
        if not variables and (
            not (self.context.fresh and index == 0) or self._sums_up(relation, left, right)
        ):
            other = other_part(relation, index, right.constant, marks, self.figure, self.text)
            if other is not None:
                self._slip(other, "the load")
                return
            self._numbers(relation, index, left.constant, right.constant, marks)
            return
        self._equation(relation, index, left, right, marks)

    def _sums_up(self, relation: Relation, left: Form, right: Form) -> bool:
        """Tell whether a line adds numbers up, and wrongly: `28 + 45 + 40 = 103`."""
        first, last = relation.sides[0], relation.sides[1]
        total = isinstance(first, Add) and isinstance(last, Num) and last.value
        off = left.constant.centre - right.constant.centre
        slack = (
            left.constant.radius
            + right.constant.radius
            + derived.loosest(last, self.reader.size_of)
        )
        return bool(total) and len(left.terms) > 1 and abs(off) > slack

    def _equation(
        self,
        relation: Relation,
        index: int,
        left: Form,
        right: Form,
        marks: tuple[Mark, ...],
    ) -> None:
        for term in (*left.terms, *right.terms):
            if term.variable and term.name is not None and self._whole(term.name):
                self.out.called.setdefault(term.variable, term.name.text)
        difference = left.minus(right, 1)
        if self.symmetric and self._mirrored(relation, index, difference):
            return
        if self._taken_whole(relation, index, difference):
            return
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
            unknown = [t.name for t in difference.terms if t.variable in loose and t.name]
            self.judged.notes.append(self.names.not_found(*unknown))
            self._learn(difference, False)
            return
        self._judge_sum(relation, index, difference)


def _over_length(sides: Sequence[Expr]) -> bool:
    """Tell whether a sum of moments is divided by a length with its unit: `V = (…)/(1.6 m)`."""
    divided = (node for side in sides for node in walk(side) if isinstance(node, Div))
    units = (derived.bare_unit(node.bottom) for node in divided)
    return any(unit is not None and unit.kind == "length" for unit in units)
