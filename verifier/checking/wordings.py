"""Relations that say something in words, or hold by themselves: they are told, not paired."""

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from itertools import pairwise

from verifier.checking import derived
from verifier.checking.declared import says_what
from verifier.checking.definitions import Definitions
from verifier.checking.forms import Form, NotLinear
from verifier.checking.ledger import Found
from verifier.checking.names import Local, Unknown, key_of
from verifier.checking.quantity import Quantity
from verifier.checking.running import Run, judged, stretches_of, written_of
from verifier.notation.tree import (
    Expr,
    Name,
    Num,
    Relation,
    walk,
)

_MEETING = re.compile(
    r"\s*(?:the |der |le |el |il )?(?:schnittpunkt|inters\w*|meeting|przeci\w*|incrocio|cruce)\b",
    re.I,
)
_ONE_WAY = re.compile(
    r"\b(?:(?:(?:anti|counter)-?)?clockwise(?:\s+moments?)?|moments? (?:anti|counter)?-?clockwise"
    r"|(?:up|down)wards?(?:\s+forces?)?|forces? (?:up|down)(?:wards?)?|(?:links|rechts)drehend\w*"
    r"|moments? (?:anti)?horaires?|moment[io] (?:anti)?orari[o]?|momentos (?:anti)?horarios"
    r"|nach (?:oben|unten)|aufwärts|abwärts)\b[^=+]*$",
    re.I,
)
_WORDS = re.compile(r"[^\W\d_]{2,}")
_LONG_WORD = re.compile(r"[^\W\d_][^\W\d_A-Z]{4,}")
_PHRASE = re.compile(r"[^\W\d_]{3,}\s\S")
_NAMED_LAST = re.compile(r"\s[A-Z]{1,2}_?\{?[A-Za-z]{0,2}\d?\}?$")
_A_CLAUSE = 5
_TRADE = frozenset("wqplLabhd")
_PLACES = frozenset({"x", "s", "z", "ξ"})
_INNER = {"M": "moment", "BM": "moment", "V": "shear", "Q": "shear", "SF": "shear", "N": "axial"}
_UNIT_LOAD = re.compile(
    r"\b(?:unit (?:point )?load|moving load|influence|Einheitslast|Wanderlast|Einfluss\w*"
    r"|charge unité|charge mobile|carico unitario|carga (?:unitaria|móvil)|linia wpływu)\b",
    re.IGNORECASE,
)
_SUMMED = re.compile(
    r"Σ|=|\b(?:sum|about|abt|um|autour|rispetto|intorno|attorno|respecto|względem|taking|take)\b",
    re.IGNORECASE,
)


class Wordings(Definitions):
    """Takes what a relation only tells."""

    def _restates(self, relation: Relation) -> bool:
        """Tell whether a relation is only a number, said again of what came before."""
        if len(relation.sides) != 2 or self.last_side is None or self.context.fresh:
            return False
        first, zero = relation.sides
        implied = isinstance(zero, Num) and not zero.text
        return implied and not any(self._is_force(n) for n in walk(first) if isinstance(n, Name))

    def _told_apart(self, relation: Relation) -> bool:
        """Tell whether a lone value is of something else: a clause stands between it and the last.

        `… = 10 kN up, and across it must balance the wind, i.e. 3 kN to the left`
        """
        line, end, way = self.ended
        if line == self.line and {way, way_of(relation)} == {"across", "up"}:
            return True  # `A 19 up, 6 left`
        between = self.text[end : relation.span[0]] if line == self.line else ""
        if between.strip() == ";" and "=" not in self.text[relation.span[0] :]:
            return True  # cells of a table: 2-3; F_23 = 0.8 F_35; 10.5; C
        return "=" not in between and len(_WORDS.findall(between)) >= _A_CLAUSE

    def _in_words(self, relation: Relation) -> bool:
        """Tell whether a name is only said in words: P = push of KB, O = meeting of DE and CA."""
        first, last = relation.sides[0], relation.sides[-1]
        if _MEETING.match(self.text[slice(*last.span)]):
            return True
        if not (isinstance(first, Name) and isinstance(last, Name)):
            return False
        worded = " " in self.text[slice(*last.span)].strip()
        return worded and (self.alone or says_what(self.text))

    def _without_phrases(self, relation: Relation) -> Relation:
        """Leave out words that only explain on the way: `arm = distance from O to TF = 3 m`."""
        sides, ops = list(relation.sides), list(relation.ops)
        marks = list(relation.marks) or [()] * len(sides)
        for at in reversed(range(1, len(sides))):
            if len(sides) > 2 and (self._is_phrase(sides[at]) or self._is_formula(sides, at)):
                del sides[at], ops[at - 1], marks[at]
        if len(sides) == len(relation.sides):
            return relation
        return replace(relation, sides=tuple(sides), ops=tuple(ops), marks=tuple(marks))

    def _is_formula(self, sides: list[Expr], at: int) -> bool:
        """Tell whether a side only states a formula of the trade: the wL of `R_A = wL = 3·6`."""
        last = at + 1 == len(sides)
        if last or any(isinstance(n, Name) for n in walk(sides[at + 1])):
            return False
        names = [node for node in walk(sides[at]) if isinstance(node, Name)]
        own = [m for m in map(self.reader.meaning, names) if isinstance(m, Local)]
        free = any(m.key not in self.ledger.locals for m in own)
        small = all(name.text in _TRADE for name in names)
        return small and not self.alone and free and len(own) == len(names)

    def _is_phrase(self, side: Expr) -> bool:
        """Tell whether a side is words that stand for nothing known."""
        if not isinstance(side, Name) or not _PHRASE.search(side.text):
            return False
        meaning = self.reader.meaning(side)
        return isinstance(meaning, Local) and meaning.key not in self.ledger.locals

    def _part_in_words(self, relation: Relation) -> bool:
        """Tell whether words are given a share of a force not found yet: `upward part = 0.6 T`."""
        first, *rest = relation.sides
        if not self._is_phrase(first) or self.context.fresh:
            return False
        if isinstance(first, Name) and _NAMED_LAST.search(first.text):
            return False  # `from the first equation S1 = …`
        return any(self._is_force(n) for side in rest for n in walk(side) if isinstance(n, Name))

    def _idle(self, relation: Relation) -> bool:
        """Tell whether a relation is only a quantity in a sentence, with nothing to judge."""
        last = relation.sides[-1]
        implied = isinstance(last, Num) and not last.text and len(relation.sides) == 2
        if self.context.fresh:
            return False
        if len(relation.sides) == 2 and self._is_word(last) and isinstance(relation.sides[0], Num):
            return True  # `60 Nm = Einzelmoment`
        if not implied:
            return False
        return not any(self._is_force(n) for n in walk(relation.sides[0]) if isinstance(n, Name))

    def _is_word(self, side: Expr) -> bool:
        """Tell whether a side is a long word that stands for nothing known."""
        if not isinstance(side, Name) or not _LONG_WORD.fullmatch(side.text):
            return False
        meaning = self.reader.meaning(side)
        return isinstance(meaning, Local) and meaning.key not in self.ledger.locals

    def _along(self, relation: Relation) -> bool:
        """Take `w = 6s/2.5 = 2.4s`, what holds at any place, or the effect of a unit load at x."""
        first, *rest = relation.sides
        if not isinstance(first, Name) or not rest or self.context.fresh:
            return False
        names = [node for side in rest for node in walk(side) if isinstance(node, Name)]
        keys = {key_of(name) for name in names}
        if len(keys) != 1 or not keys <= _PLACES or keys & set(self.ledger.locals):
            return False
        meaning = self.reader.meaning(first)
        if isinstance(meaning, Unknown) and not _UNIT_LOAD.search(self.text):
            return False
        forms = [self._form(side) for side in rest]
        for one, two in pairwise(forms):
            if one is None or two is None or not _alike(one, two):
                return False
        self.judged.worsen("agrees")
        return True

    def _runs(self, relation: Relation) -> bool:
        """Judge `M(x) = 6.2x − 1.5x²`, an inner force along a stretch; tell whether it is one.

        What is held against nothing, or comes near nothing, is left alone.
        """
        first, *rest = relation.sides
        kind, letter = _inner(first, rest)
        if not kind or not isinstance(first, Name) or self.context.fresh:
            return False
        if " along " not in first.base and isinstance(self.reader.meaning(first), Unknown):
            return False
        self.judged.worsen("agrees")
        sides = [s for s in rest if any(isinstance(n, Name | Num) for n in walk(s))]
        units = any(abs(unit.factor - 1.0) > 1e-9 for unit in relation.units)
        if self.alone or units or not self.figure.structure.bodies:
            return True
        ways = list(stretches_of(self.figure, kind, self._found_value))
        for side in sides:
            written = written_of(side, partial(self._at_place, letter))
            told = judged(written, ways, self.text, letter[:1]) if written is not None else None
            if written is None or told is None:
                continue
            carried = told.carried and self._at_fault
            if carried or told.fault is not None:
                self.running.append(Run(kind, written.whole, told.stretch))
            if told.fault is not None:
                self._slip(told.fault, told.stretch.where)
                break
            self.judged.worsen("carried" if carried else "agrees")
        return True

    def _found_value(self, variable: str) -> float | None:
        found = self.ledger.values.get(variable)
        return found.quantity.centre if found is not None else None

    def _at_place(self, letter: str, side: Expr, at: float) -> float:
        """Return what a side comes to where x is so much; raises `NotLinear` without that."""
        kept = self.ledger.locals.get(letter)
        self.ledger.locals[letter] = Found(Quantity(at), False, self.line)
        try:
            form = self.reader.form(side)
        finally:
            del self.ledger.locals[letter]
            if kept is not None:
                self.ledger.locals[letter] = kept
        for name in form.coefficients:
            if name not in self.figure.true:
                raise NotLinear(f"no value for {name.removeprefix('?')} yet")
        terms = (q.centre * self._value(name) for name, q in form.coefficients.items())
        return form.constant.centre + sum(terms)

    def _by_formula(self, relation: Relation) -> bool:
        """Tell whether a chain begins with a formula in letters of the trade: `q·l = 6·2 = 12`."""
        first, *rest = relation.sides
        names = [node for node in walk(first) if isinstance(node, Name)]
        if isinstance(first, Name) or not names or self.context.fresh:
            return False
        if any(isinstance(node, Name) for side in rest for node in walk(side)):
            return False
        meanings = [self.reader.meaning(name) for name in names]
        own = [m for m in meanings if isinstance(m, Local) and m.key not in self.ledger.locals]
        small = all(m.key.islower() or m.key == "L" or m.key[0] in "MVQ" for m in own)
        return bool(own) and small and not any(isinstance(m, Unknown) for m in meanings)

    def _bends(self, relation: Relation) -> bool:
        """Take `Moment at D = 13(3) − 12(2) = 15 kNm` as the bending moment at D, if it is that."""
        label, sides = self.context.label, relation.sides
        joint = self.around.joint(label.about) if label is not None else None
        if label is None or label.axis != "moment" or not self.context.fresh or joint is None:
            return False
        if _SUMMED.search(self.text[slice(*label.span)]):
            return False
        if isinstance(sides[-1], Num) and not sides[-1].text:
            sides = sides[:-1]
        variable, _ = self.figure.variable(f"moment at {joint}")
        try:
            truth = self.figure.true[variable]
            values = [self.reader.evaluate(side) for side in sides]
        except (KeyError, NotLinear):
            return False
        value = values[-1]
        if any(isinstance(n, Name) for side in sides for n in walk(side)) or not truth:
            return False
        if not derived.same(abs(value.centre), abs(truth), 5e-3):
            return False
        for index in range(len(sides) - 1):
            self._numbers(relation, index, values[index], values[index + 1], ())
        self.judged.worsen("agrees")
        self.out.called.setdefault(variable, f"M_{joint}")
        self._state(variable, value if value.centre * truth > 0 else value.scaled(-1.0), False)
        self.context.fresh = False
        return True

    def _tallies(self, relation: Relation) -> bool:
        """Tell whether a line only counts up what turns or pulls one way: 'Clockwise: 8 B_y'."""
        first, last = relation.sides[0], relation.sides[-1]
        implied = isinstance(last, Num) and not last.text and len(relation.sides) == 2
        if not implied or not self.context.fresh:
            return False
        form = self._form(first)
        if form is None or len({term.sign for term in form.terms}) != 1:
            return False
        if not _ONE_WAY.search(self.text[: relation.span[0]]):
            return False
        self.judged.worsen("agrees")
        self.context.fresh = False
        return True


def _inner(first: Expr, rest: Sequence[Expr]) -> tuple[str, str]:
    """Return the kind of inner force and the letter of the place that a function names, or ''."""
    if not isinstance(first, Name):
        return "", ""
    keys = {key_of(node) for side in rest for node in walk(side) if isinstance(node, Name)}
    places = [key for key in keys if key in _PLACES or (key[:2] == "x_" and key[2:].isdigit())]
    kind, _, letter = first.base.partition(" along ")
    if letter:
        return kind, places[0] if len(places) == 1 else letter
    kind = _INNER.get(first.base, "")
    own = first.sub in ("", "x", *(key.partition("_")[2] for key in places))
    return (kind, places[0]) if kind and own and len(places) == 1 else ("", "")


def _alike(one: Form, two: Form) -> bool:
    """Tell whether two sides say the same whatever their letters are."""
    rest = one.minus(two, 1)
    amounts = [*rest.coefficients.values(), rest.constant]
    size = max((abs(t.coefficient.centre) for t in rest.terms), default=0.0)
    return all(abs(q.centre) <= q.radius + 1e-6 * size for q in amounts)


def way_of(relation: Relation) -> str:
    """Return whether a value's label says across or up, '' where it says neither."""
    said = {mark.meaning for marks in relation.marks[-1:] for mark in marks}
    if said & {"left", "right"}:
        return "across"
    return "up" if said & {"up", "down"} else ""
