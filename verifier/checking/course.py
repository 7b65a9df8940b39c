"""One pass over a working with fixed senses: every line judged with what came before it."""

import math
import re
from collections.abc import Container, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise
from typing import Any

from verifier.checking import derived
from verifier.checking.beyond import drawing_unit
from verifier.checking.cutletters import cut_letters, said_beside
from verifier.checking.figure import SENSES
from verifier.checking.foresight import angles_ahead, angles_put_in, arms_ahead
from verifier.checking.ledger import Found
from verifier.checking.loadletters import letters_put_in, loads_ahead
from verifier.checking.names import Local, Unknown, key_of
from verifier.checking.rounding import EarlyRounding
from verifier.checking.state import Judged, Outcome
from verifier.checking.unclaimed import Unclaimed
from verifier.checking.withdrawn import withdrawn_parts
from verifier.checking.written import Written
from verifier.notation.tree import (
    Assumption,
    Heading,
    Line,
    Mark,
    Name,
    Neg,
    Num,
    Part,
    Prose,
    Relation,
    Statement,
    Struck,
    SumLabel,
    Unread,
)

_WHERE = re.compile(
    r"[\s,;:([]*(?:with|where|for|mit|wobei|wo|avec|où|con|donde|dove|gdzie|z|przy)?[\s:]*"
)
_USUAL = re.compile(  # `tension positive: AC = −7.5`, whatever was drawn above
    r"\btension[- ](?:is )?positive\b|\bpositive (?:for|in|=|is) tension\b|\btension \(?\+\)?[ :,]"
    r"|\bZug(?:kräfte)?(?: ist| sind)? positiv|\btraction positive\b|\btracci[óo]n positiva\b"
    r"|\btrazione positiva\b|\brozciąganie dodatnie\b",
    re.IGNORECASE,
)
_CUT_AT = re.compile(
    r"\b(?:at|of|von|bei|in|en|à|a|w|through|durch)\s+(?:joint |point |Punkt )?"
    r"(?P<at>[A-Z]\d?'?)(?![\w])"
)
_LONG_WORDS = re.compile(r"[^\W\d_]{3,}")
_COEFFICIENTS = re.compile(
    r"\btension coefficients?\b"
    r"|\b(?:k?N|lb|forces?|push|pull|thrust)\b[^.;\n]{0,12}\bper (?:metre|meter|foot|m|unit) of"
    r" (?:its|their) (?:own )?length",
    re.IGNORECASE,
)


@lru_cache(maxsize=1024)
def _is_usual(text: str) -> bool:
    """Tell whether a line says that tension is positive; every pass asks the same again."""
    return _USUAL.search(text) is not None


class Course(Unclaimed):
    """Follows one working line by line."""

    def __init__(self, *fixed: Any, **choice: Any) -> None:
        super().__init__(*fixed, **choice)
        self.given = dict(self.reader.aliases)
        self.early = EarlyRounding()
        self.states: list[tuple[int, Course]] = []
        self.left = 0
        self.sectioned = 0
        self.below: Line | None = None

    def run(
        self,
        written: Sequence[Written],
        start: int = 0,
        limit: float = math.inf,
        marks: Container[int] = (),
        end: int | None = None,
    ) -> Outcome:
        """Judge every line from `start` on in turn, until the pass costs more than a limit.

        It is left before the line of index `end`. The state before each line whose index is in
        `marks` is kept in `states`.
        """
        if not start:
            self._prepare(written)
        for index in range(start, len(written)):
            if index == end:
                self.out.cut, self.left = True, index - 1
                return self.out
            if index in marks:
                self.states.append((index, self.copied()))
            self.reader.line = index
            self.below = written[index + 1].line if index + 1 < len(written) else None
            self.take(written[index].line)
            if self.judged.status in ("fault", "undecided", "carried") and self.out.cost > limit:
                self.out.cut, self.left = True, index
                return self.out
        if self.explains or not self.out.cost:
            stated, true, called = self.out.stated, self.figure.true, self.out.called
            told = {slip.line for slip in self.out.slips if slip.explanation.kind == "rounding"}
            self.out.slips += self.early.slips(stated, true, called, told)
            self.out.rounded = self.early.explained
            self.out.places = self.early.places
        return self.out

    def _prepare(self, written: Sequence[Written]) -> None:
        """Take what the whole of a working says before its first line is judged."""
        self.withdrawn = withdrawn_parts(written)
        self.paper = drawing_unit("\n".join(one.line.text for one in written))
        self.reader.per_length = any(_COEFFICIENTS.search(one.line.text) for one in written)
        self.ledger.locals |= dict(angles_ahead(written, self.reader, self.alone))
        self.ledger.locals |= dict(arms_ahead(written, self.reader, self.alone))
        if not self.alone:
            self.ledger.locals |= dict(loads_ahead(written, self.reader))
            self.ledger.locals |= dict(letters_put_in(written, self.reader))
            self.ledger.locals |= dict(angles_put_in(written, self.reader))
        parts = [part for one in written for part in one.line.parts]
        relations = [part for part in parts if isinstance(part, Relation)]
        keys = {key_of(name) for one in relations for name in one.named}
        self.vectors.plane = bool(keys & {"i", "j", "î", "ĵ"})
        if self.alone:
            self.kilos = all(unit.dims[0] != 1 for one in relations for unit in one.units)
        self.signed = any(map(_signed, relations))
        self.signed = self.signed or _told_twice(written)

    def go_on(
        self, written: Sequence[Written], limit: float, marks: Container[int] = ()
    ) -> Outcome:
        """Go on behind the line at which a pass was left, with a higher limit."""
        self.out.cut = False
        return self.run(written, self.left + 1, limit, marks)

    def copied(self) -> "Course":
        """Return the state of the pass as it is now, apart from what is judged from here on."""
        other: Course = _twin(self)
        other.states = []
        other.ledger = self.ledger.copied()
        other.reader = _twin(self.reader)
        other.reader.ledger = other.ledger
        other.reader.aliases = dict(self.reader.aliases)
        other.reader.asked = dict(self.reader.asked)
        other.pairing = _twin(self.pairing)
        other.pairing.ledger = other.ledger
        other.context = replace(self.context, signs=dict(self.context.signs))
        other.out = self.out.copied(other.ledger)
        other.dims, other.drawn = dict(self.dims), set(self.drawn)
        other.drawn_on = dict(self.drawn_on)
        other.settled = dict(self.settled)
        other.forms, other.seen_keys = list(self.forms), dict(self.seen_keys)
        other.early = self.early.copied()
        other.tallies, other.products = list(self.tallies), list(self.products)
        other.running, other.turned_back = list(self.running), dict(self.turned_back)
        other.resultants = self.resultants.copied()
        other.worked = self.worked.copied()
        other.vectors = self.vectors.copied(other.reader)
        return other

    def take(self, line: Line) -> None:
        """Judge one line."""
        self.line, self.text = line.number, line.whole
        self.texts[line.number] = line.whole
        self.judged = self.out.lines.setdefault(line.number, Judged())
        self.before = None
        self._look_ahead(line)
        if _only_says(line):
            self.last_side = None  # an `=` below goes on from what is said here
        senses = self.reader.senses
        if _is_usual(line.text) and any(isinstance(part, Relation) for part in line.parts):
            self.reader.senses = {v: s for v, s in senses.items() if "-" not in v}
        fresh = self.context.fresh
        row = line.whole.lstrip().startswith("|") and "=" not in line.whole
        self.context.fresh = fresh and not row  # a row of a table of loads is no sum
        self.symmetric = any(isinstance(p, Mark) and p.meaning == "symmetry" for p in line.parts)
        for part in self._points_named(label_first(line)):
            if id(part) in self.withdrawn:
                self.judged.notes.append("withdrawn by the writer")
            else:
                self._part(part)
        self.context.fresh = self.context.fresh or (fresh and row)
        self.reader.senses = senses

    def _points_named(self, parts: tuple[Part, ...]) -> Iterator[Part]:
        """Yield a line's parts; below a section, `C: 4 S = 6·32,5` takes moments about C.

        A force through C has no part in that: with one, it is the sum of the forces at C.
        """
        cut = any(body.cut for body in self.context.bodies)
        if not cut:
            yield from parts
            return
        for part, behind in zip(parts, (*parts[1:], None), strict=True):
            bare = isinstance(part, Heading) and part.kind == "joint" and len(part.names) == 1
            if bare and isinstance(part, Heading) and isinstance(behind, Relation):
                joint = self.around.joint(part.names[0]) or ""
                said = self.text[slice(*part.span)].strip(" :")
                if said == part.names[0] and joint and not self._acts_at(joint, behind):
                    yield SumLabel(part.span, "moment", joint)
                    continue
            yield part

    def _is_load(self, size: float) -> bool:
        return any(derived.same(size, load.value, 1e-6) for load in self.figure.loads)

    def _acts_at(self, joint: str, relation: Relation) -> bool:
        """Tell whether one of the forces in a relation acts at a joint."""
        meanings = map(self.reader.meaning, relation.named)
        return any(
            isinstance(m, Unknown) and joint in re.split(r"[ -]", m.variable) for m in meanings
        )

    def _look_ahead(self, line: Line) -> None:
        """Take 'M = 12 kN m' or 'd = 3.5 m' at the end of a line for the letter in front of it."""
        used: set[str] = set()
        alone = ""
        end = 0
        for part in line.parts:
            if not isinstance(part, Relation):
                continue
            begins, end = end, part.span[1]
            name, number = part.sides[0], part.sides[-1]
            if (
                len(part.sides) > 1
                and isinstance(name, Name)
                and isinstance(number, Num)
                and key_of(name) in used
                and key_of(name) != alone  # what is solved for
                and _WHERE.fullmatch(self.text[begins : part.span[0]])
            ):
                own = self.reader.meaning(name)
                value = self.reader.quantity(number)
                given = any(derived.same(value.centre, d.value, 1e-9) for d in self.figure.loads)
                long = number.unit is not None and number.unit.dims == (0, 1)
                if not isinstance(own, Local):
                    continue
                arm = len(part.sides) > 2 and own.key.islower() and len(own.key) < 3
                if given or long or arm or own.key in ("sin", "cos", "tan"):
                    self.ledger.locals.setdefault(own.key, Found(value, False, self.line))
            named = {key_of(n) for n in part.named}
            used, alone = used | named, next(iter(named)) if len(named) == 1 else ""

    def _names_piece(self, heading: Heading) -> bool:
        """Tell whether a heading says which piece a cut on its line leaves: `…, part CDE`."""
        sectioned, self.sectioned = self.sectioned, self.line * (heading.kind == "section")
        own = {body.name for body in self.figure.structure.bodies}
        return heading.kind == "body" and sectioned == self.line and not own & {*heading.names}

    def _part(self, part: object) -> None:
        match part:
            case Heading() if self._names_piece(part):
                pass
            case Heading():
                if part.kind == "section" and not part.names:
                    words = tuple(re.findall(r"\w+(?:[-–]\w+)?'*", self.text[slice(*part.span)]))
                    part = replace(part, names=words)
                bodies = self.around.bodies_of(part)
                place = None if bodies else _CUT_AT.search(self.text[slice(*part.span)])
                if place and part.kind == "section" and self.around.joint(place["at"]):
                    part = replace(part, names=(place["at"],))  # Cut at C, right part (C–D–E)
                    bodies = self.around.bodies_of(part)
                if bodies or part.kind in ("joint", "body", "section", "whole", "reactions"):
                    self.context.bodies = bodies
                    self.context.cut = bodies if part.kind == "section" else self.context.cut
                    self.context.sided = part.kind == "section" and bool(part.side)
                    self.reader.inner = frozenset(
                        self.figure.variable(action.item)[0]
                        for index, body in enumerate(bodies)
                        for action in body.actions
                        if (index == 0 and action.item.startswith("pin "))
                        or (action.kind == "cut" and " at " in action.item)
                    )
                said = self.text[slice(*part.span)]
                self.reader.cut = cut_letters(part, said, self.figure, self.names)
                self.reader.beside = said_beside(part, said, self.figure)
                for letter in self.reader.cut.keys() & self.ledger.locals.keys():
                    if not self._is_load(self.ledger.locals[letter].quantity.centre):
                        del self.ledger.locals[letter]  # that of another place
                self.context.label, self.context.fresh = None, False
                self.unread, self.last_side = False, None
            case SumLabel():
                self.context.label, self.context.fresh = part, True
            case Relation():
                self.place = part.span[0]
                self._relation(part)
                self.before = part.sides[-1]
            case Statement():
                self._statement(part)
            case Unread():
                self.judged.worsen("unread")
                self.unread, self.last_side = True, None  # a chain may go on below from here
                self.judged.notes.append(part.reason)
            case Assumption() | Mark() | Prose() | Struck():
                pass


def _twin(one: Any) -> Any:
    """Return a shallow copy: what `copy` makes of it, several times faster."""
    other = object.__new__(type(one))
    other.__dict__.update(one.__dict__)
    return other


def label_first(line: Line) -> tuple[Part, ...]:
    """Return a line's parts with a label in brackets behind its equation put in front of it.

    Behind the rest of a chain from the line above it says nothing new and is left out.
    """
    first = next((p for p in line.parts if isinstance(p, Relation)), None)
    last = next((p for p in reversed(line.parts) if isinstance(p, Relation | SumLabel)), None)
    if first is None or not isinstance(last, SumLabel):
        return line.parts
    said = line.whole[slice(*last.span)].strip()
    around = line.whole[: last.span[0]].rstrip()[-1:] + said[:1] + said[-1:]
    if not set(around) & set("([{)]}"):
        return line.parts
    rest = [part for part in line.parts if part is not last]
    if first.continues or any(isinstance(part, SumLabel) for part in rest):
        return tuple(rest)
    at = next(i for i, part in enumerate(rest) if part is first)
    return (*rest[:at], last, *rest[at:])


def _only_says(line: Line) -> bool:
    """Tell whether a line is words alone, that name what is worked out below them."""
    words = all(isinstance(part, Prose) for part in line.parts)
    return words and len(_LONG_WORDS.findall(line.text)) > 1


def _signed(relation: Relation) -> bool:
    """Tell whether a writer puts a sign before a value beside its label: −8 kN (C)."""
    marked = [any(m.meaning in SENSES for m in marks) for marks in relation.marks]
    return any(
        isinstance(side, Neg) and has for side, has in zip(relation.sides, marked, strict=False)
    )


def _told_twice(written: Sequence[Written]) -> bool:
    """Tell whether a writer says a negative result again with its label: −30 kN, i.e. 30 kN ↓."""
    for one in written:
        results = [part for part in one.line.parts if isinstance(part, Relation)]
        for first, again in pairwise(results):
            labelled = again.continues and len(again.sides) == 1 and any(again.marks)
            if labelled and isinstance(first.sides[-1], Neg) and isinstance(first.sides[0], Name):
                return True
    return False
