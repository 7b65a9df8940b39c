"""One pass over a working that has no sheet: what a name stands for changes with what it is about.

Nothing tells free bodies, cuts and load cases apart there but the writer's words.
"""

import re
from collections.abc import Sequence
from dataclasses import replace

from verifier.checking import derived
from verifier.checking.course import Course
from verifier.checking.forms import NotLinear
from verifier.checking.loadgroups import LOAD, SORTS, UNDER_ONE_LOAD
from verifier.checking.names import Local, Unknown, key_of
from verifier.checking.written import Written
from verifier.notation.tree import Heading, Line, Name, Relation

_INNER = frozenset(("?V", "?M", "?N", "?Q"))
_OF_A_SUPPORT = ("V", "H", "X", "Y", "R")
_AT_A_PLACE = re.compile(r"\s*[A-Z]\d?'?\s?:(?!\d)")
_LETTER = re.compile(r"\s*(?:[Dd]ue to |[Oo]nly |[Nn]ur |[Ss]olo )?[A-Z](?:_?\d)?\s")  # P alone:
_ON = re.compile(r"\b(?:on|auf|am|an|sur|su|sul|sulla|sobre|na|links|rechts|left|right)\b", re.I)


class AloneCourse(Course):
    """Follows one working without a figure, line by line."""

    def _prepare(self, written: Sequence[Written]) -> None:
        """Note where cases begin, where loads are taken one at a time."""
        super()._prepare(written)
        heads = [one.line.number for one in written if _heads_a_case(one.line)]
        self.cases = frozenset(heads if len(heads) > 1 else ())
        self.stated_in: list[set[str]] = []

    def take(self, line: Line) -> None:
        """Judge one line."""
        if line.number in self.cases:
            self._forget(everything=True)
            self.stated_in.append(set())
        if _AT_A_PLACE.match(line.text):
            self._leave_place()
        super().take(line)

    def _part(self, part: object) -> None:
        if isinstance(part, Heading) and part.kind == "section":
            self._forget(everything=False)
        if isinstance(part, Heading) and part.kind == "joint":
            self._leave_place()
        super()._part(part)

    def _leave_place(self) -> None:
        """Leave what stood at another support: `A: V = 8 kN`, and below it `D: V = 16 kN`."""
        for letter in _OF_A_SUPPORT:
            self.ledger.locals.pop(letter, None)
        self._forget_names(frozenset(f"?{letter}" for letter in _OF_A_SUPPORT))

    def _forget(self, everything: bool) -> None:
        """Leave what was found under other loads, or of the inner forces of another cut."""
        if not everything:
            self._forget_names(_INNER)
            return
        self.ledger.values.clear()
        self.ledger.rows.clear()
        self.forms = []

    def _forget_names(self, names: frozenset[str]) -> None:
        for name in names & self.ledger.values.keys():
            del self.ledger.values[name]
        for pivot, row in list(self.ledger.rows.items()):
            if {pivot, *row.coefficients} & names:
                del self.ledger.rows[pivot]

    def _relation(self, relation: Relation) -> None:
        lengths = self._lengths(relation)
        if lengths is not None:
            self.judged.worsen("agrees")
            if len(lengths.sides) > 1:
                super()._relation(lengths)
            return
        if self._of_the_other_body(relation):
            self.judged.worsen("agrees")
            return
        self._note_case(relation)
        super()._relation(relation)

    def _lengths(self, relation: Relation) -> Relation | None:
        """Return what is reckoned of `AB = AC = √5 = 2.24 m`, lengths by their unit."""
        unit = getattr(derived.bare_number(relation.sides[-1]), "unit", None)
        names = 0
        while names < len(relation.sides) and isinstance(relation.sides[names], Name):
            names += 1
        if unit is None or unit.kind != "length" or not names or names == len(relation.sides):
            return None
        if any(self._variable_of(side)[:1] in ("", "?") for side in relation.sides[:names]):
            return None
        marks = relation.marks[names:] if relation.marks else ()
        return replace(
            relation, sides=relation.sides[names:], ops=relation.ops[names:], marks=marks
        )

    def _of_the_other_body(self, relation: Relation) -> bool:
        """Tell whether `On CEB: C_x = 3.8` gives a pin's force as it acts on its other body."""
        found = self.ledger.values.get(self._variable_of(relation.sides[0]))
        if found is None or len(relation.sides) != 2 or not _ON.search(self.text):
            return False
        try:
            value = self.reader.evaluate(relation.sides[1])
        except NotLinear:
            return False
        own = found.quantity.centre * self.reader.sense(self._variable_of(relation.sides[0]))
        return bool(own) and derived.same(value.centre, -own, 5e-3)

    def _variable_of(self, side: object) -> str:
        meaning = self.reader.meaning(side) if isinstance(side, Name) else None
        if isinstance(meaning, Unknown):
            return meaning.variable
        return f"?{meaning.key}" if isinstance(meaning, Local) else ""

    def _note_case(self, relation: Relation) -> None:
        """Note what a case gives; what every case gave and is given anew is their sum."""
        first = relation.sides[0]
        if not self.stated_in or not isinstance(first, Name):
            return
        key, current = key_of(first), self.stated_in[-1]
        if key in current and any(key in earlier for earlier in self.stated_in[:-1]):
            self._forget(everything=True)
            self.stated_in = []
        else:
            current.add(key)


def _heads_a_case(line: Line) -> bool:
    """Tell whether a line says that it is about one load: `8 kN alone`, `Effect of the 4 kN`."""
    relations = [part.span[0] for part in line.parts if isinstance(part, Relation)]
    head = line.text[: min(relations, default=None)]
    told = any(ch.isdigit() for ch in head) or bool(_LETTER.match(head))
    told = told or any(sort.search(head) for sort in (LOAD, *SORTS.values()))
    return bool(UNDER_ONE_LOAD.search(head)) and told
