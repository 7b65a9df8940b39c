"""Checks a working against itself where no sheet is given."""

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from verifier import units
from verifier.checking import derived
from verifier.checking.alone_course import AloneCourse
from verifier.checking.assumptions import all_members, assumed, declared_senses, mark_of
from verifier.checking.choice import Choice
from verifier.checking.course import Course
from verifier.checking.draft import draft_sheet, joints_said, relations_of, variables_of
from verifier.checking.figure import Figure
from verifier.checking.names import (
    ACROSS_OR_UP,
    Dictionary,
    Local,
    Meaning,
    Unknown,
    key_of,
    letter_behind,
)
from verifier.checking.state import Outcome
from verifier.checking.trial import Trial
from verifier.checking.written import Written
from verifier.notation import dress, inner
from verifier.notation.tree import Add, Assumption, Expr, Func, Mul, Name, Names, Neg, Num, walk
from verifier.structure.model import Structure

FIGURE_NOTE = (
    "No sheet was given: the working was checked against itself. Its equations were re-solved, its "
    "chains, units and senses followed; whether the equations fit the figure was not checked."
)


_REACTIONS = ("R", "V", "H", "X", "Y", "N", "A", "B")
_JOINT = re.compile(r"[A-Z]\d*'*")
_BAR = re.compile(r"[A-Z]\d*'*[A-Z]\d*'*")
_NUMBERED = re.compile(r"\d{1,2}-\d{1,2}")
_TWO = re.compile(r"M[A-Z]")
_INDEXED = re.compile(r"\b[A-Z]_?\{?([A-Z]\d?),\s?[xyhvXYHV]\b")
_LABELS = ("C", "T")
_BEHIND_VALUES = re.compile(
    r"(?m)=\s*[-+−]?\s?\d[\d.,]*\s?(?:[kM]?N|kips?|k|lbs?|lbf)?\s([TC])(?=\s*(?:[,;.]|=>|[→⇒∴]|$|\s\s))"
)
_MOST_TURNS = 3


class AloneDictionary(Dictionary):
    """Takes names as what their writing says; there is no figure to hold them against."""

    bars: frozenset[str] = frozenset()
    """The bars that the working names, as variables: FG_h is no reaction at G where FG is one."""

    def learn_bars(self, written: Sequence[Written]) -> None:
        """Note which bars a working names."""
        self.bars = frozenset(v for v in variables_of(written, self) if "-" in v)
        self._answers.clear()

    def meanings(self, name: Name) -> tuple[Meaning, ...]:
        """Return the member or reaction that a name writes, else the writer's own name."""
        place = (name.base, name.sub)
        if place not in self._answers:
            letters = [*self._letter(name.text), *self._letter(key_of(name))]
            part = bool(name.sub) and self._is_part(name)
            found = tuple(letters[:1]) or (() if part else self._bar_of(name) or _by_writing(name))
            self._answers[place] = (*found, Local(key_of(name)))
        return self._answers[place]

    def _bar_of(self, name: Name) -> tuple[Meaning, ...]:
        """Return MN as a bar where other bars meet at a joint M, and as no moment at N."""
        ends = {end for bar in self.bars for end in bar.split("-")}
        bar = _TWO.fullmatch(name.base) is not None and not name.sub and name.base[0] in ends
        return (Unknown("-".join(sorted(name.base))),) if bar else ()

    def _is_part(self, name: Name) -> bool:
        """Tell whether a name is a component of a bar's force; no figure tells its share."""
        if name.base in ACROSS_OR_UP and _BAR.fullmatch(name.sub):
            return True
        kind, *ends = next(iter(dress(name)[1:]), ("",))
        return kind == "part" and "-".join(sorted(ends[:2])) in self.bars


def _by_writing(name: Name) -> tuple[Meaning, ...]:
    """Return what a name's letters alone say that it is."""
    if _NUMBERED.fullmatch(name.text):
        return (Unknown("-".join(sorted(name.text.split("-")))),)
    reactive = bool(name.sub) and name.base in _REACTIONS
    turning = bool(name.sub) and name.base in ("M", "m")
    for kind, *rest in sorted(dress(name), key=lambda c: reactive and c[0] != "reaction"):
        match kind:
            case "moment" if _JOINT.fullmatch(rest[0]):
                return (Unknown(f"reaction {rest[0]} moment"),)
            case "member" if all(_JOINT.fullmatch(end) for end in rest):
                return (Unknown("-".join(sorted(rest))),)
            case "reaction" if (rest[1] or reactive) and not turning and _JOINT.fullmatch(rest[0]):
                return (Unknown(f"reaction {rest[0]} {rest[1]}".strip()),)
    return ()


class AloneTrial(Trial):
    """Runs a working on a blank figure, in the units that it writes most."""

    kind = AloneCourse

    def __init__(self, written: Sequence[Written]) -> None:
        force = _most(written, units.FORCE, "kN", 1.0, (1, 0))
        size = units.FORCE[force]
        length = _most(written, units.LENGTH, "m", size, (0, 1), (1, 1))
        letters = {name: stand_in(at) for at, name in enumerate(letters_of(written))}
        blank = Structure("", force, length, {}, letters=letters)
        super().__init__(Figure(blank, {}), written)
        self.names = AloneDictionary(self.figure)
        self.names.learn_bars(written)
        self.declared = self._all_declared()

    def _all_declared(self) -> dict[str, float]:
        """Return the senses that the working declares, for all members where it says so."""
        everyone = 0.0
        for one in self.written:
            for part in one.line.parts:
                if isinstance(part, Assumption) and not part.names:
                    everyone = {"tension": 1.0, "compression": -1.0}.get(part.mark.meaning, 0.0)
            everyone = all_members(one.line) or everyone
        members = {v for v in variables_of(self.written, self.names) if "-" in v}
        own = dict(self._own_declared())
        said = declared_senses(self.written, self.figure, self.names)
        return {**({v: everyone for v in members} if everyone else {}), **own, **said}

    def _own_declared(self) -> Iterator[tuple[str, float]]:
        """Yield the senses declared for names whose writing says nothing: S_1, T."""
        for one in self.written:
            for part in one.line.parts:
                if not assumed(part, one.line):
                    continue
                for name in part.names:
                    meaning = self.names.meanings(name)[0]
                    claimed = self.figure.claimed_sense("", mark_of(part))
                    if isinstance(meaning, Local) and claimed:
                        yield f"?{meaning.key}", claimed

    def best(self) -> Choice:
        """Return the senses in which the names that nobody declared are first labelled.

        Without a figure any sense may have been drawn; a name that is labelled in two senses is
        at fault where it is labelled otherwise than first.
        """
        choice = Choice()
        for _ in range(_MOST_TURNS):
            first = self._at_odds(self.run(choice))
            turned = dict(choice.senses)
            for variable in first:
                turned[variable] = -turned.get(variable, 1.0)
            trial = replace(choice, senses=tuple(sorted(turned.items())))
            then = self._at_odds(self.run(trial))
            late = 10**9
            better = {v for v in first if then.get(v, late) > first[v]}
            if not better:
                break
            kept = {**dict(choice.senses), **{v: turned[v] for v in better}}
            choice = replace(choice, senses=tuple(sorted(kept.items())))
        return choice

    def _at_odds(self, outcome: Outcome) -> dict[str, int]:
        """Return the names without a declared sense whose label is at odds, with the first line."""
        found: dict[str, int] = {}
        for slip in outcome.slips:
            if slip.explanation.key.startswith("sense "):
                variable = slip.explanation.key.removeprefix("sense ")
                if variable not in self.declared:
                    found.setdefault(variable, slip.line)
        return found

    def course(self, choice: Choice) -> Course:
        """Return a course that takes sums as given."""
        course = super().course(choice)
        course.alone = True
        return course

    def notes(self) -> tuple[str, ...]:
        """Return what could not be checked, and a sheet to complete."""
        blank = self.figure.structure
        sheet = draft_sheet(self.written, self.names, blank.force_unit, blank.length_unit)
        return FIGURE_NOTE, sheet


def names_used(written: Sequence[Written]) -> Names:
    """Return the names that a working uses as its writing shows them, to read it again with."""
    blank = AloneDictionary(Figure(Structure("", "kN", "m", {}), {}))
    blank.learn_bars(written)
    variables = variables_of(written, blank)
    pairs = [tuple(v.split("-")) for v in sorted(variables) if "-" in v]
    supports = {v.split(" ")[1] for v in variables if v.startswith("reaction ")}
    ends = {end for pair in pairs for end in pair}
    return Names(
        joints=frozenset({*supports, *ends, *joints_said(written), *_indexed(written)}),
        members=frozenset((first, last) for first, last in pairs),
        letters=frozenset(letters_of(written)),
        extra=frozenset(k for k in _LABELS if k in _given_values(written) - _labels_of(written)),
    )


def _labels_of(written: Sequence[Written]) -> set[str]:
    """Return C and T where both stand behind values in turn: AD = 2.83 T, CE = −10 C."""
    text = "\n".join(one.line.text for one in written)
    behind = _BEHIND_VALUES.findall(text)
    return {*_LABELS} if len(behind) > 2 and len({*behind}) == 2 else set()


def _given_values(written: Sequence[Written]) -> set[str]:
    """Return the names to which a working gives a value: `T = 10 kN` says that T is no label."""
    firsts = (r.sides[0] for r in relations_of(written) if len(r.sides) > 1)
    return {key_of(first) for first in firsts if isinstance(first, Name)}


def _indexed(written: Sequence[Written]) -> set[str]:
    """Return the joints that names read only with them need: `R_E,y`, `V at E, left`."""
    lines = [one.line.text for one in written]
    return {joint for text in lines for joint in (*_INDEXED.findall(text), *inner.points_of(text))}


def stand_in(at: int) -> float:
    """Return a number for a letter that stays a letter, unlike any other's."""
    return 1.1 + (0.2712 + 0.618034 * at) % 0.87


def letters_of(written: Sequence[Written]) -> list[str]:
    """Return the names that stay letters where results are in letters: P in A_y = 13P/5, its a.

    A name that stands in one sum with plain numbers is no letter but a force with a value, nor is
    one of a sine or cosine, and what has an equation of its own.
    """
    own: set[str] = set()
    used: dict[str, None] = {}
    results: set[str] = set()
    barred: set[str] = set()
    before: Expr | None = None
    for relation in relations_of(written):
        first, last = relation.sides[0], relation.sides[-1]
        if relation.continues and before is not None and not set(_names_in(last)):
            barred |= set(_names_in(before))  # `a = L/2`, and in the next cell `5 m`
        before = last
        if isinstance(first, Name) and len(relation.sides) > 1:
            named = [side for side in relation.sides[:-1] if isinstance(side, Name)]
            own |= {*map(key_of, named), *map(letter_behind, named)}  # `the load is Q = q l/2`
            alike = isinstance(last, Name) and last.base == first.base  # S_1 = S_2: two forces
            own |= {key_of(last)} if isinstance(last, Name) and alike else set()
            results |= set(_names_in(last)) if not isinstance(last, Add) else set()
        terms = [term for side in relation.sides for term in _terms(side)]
        names = [_names_in(term) for term in terms]
        ratio = any(isinstance(side, Func) for side in relation.sides)  # tan α = 2h/(1.5h) = 4/3
        plain = not ratio and any(
            not of and _weighs(term) for term, of in zip(terms, names, strict=True)
        )
        for of in names:
            used |= {key: None for key in of}
            barred |= set(of) if plain else set()
        for side in relation.sides:
            barred |= {k for n in walk(side) if isinstance(n, Func) for k in _names_in(n.arg)}
            barred |= {key_of(n) for n in walk(side) if isinstance(n, Name) and _by_writing(n)}
    barred |= own | {key for key in _LABELS if _labels(written, key)}
    barred |= {"i", "j", "k"} if {"i", "j"} & used.keys() else set()  # unit vectors
    return [key for key in used if key not in barred] if results - barred else []


def _names_in(expr: Expr) -> list[str]:
    return [key_of(node) for node in walk(expr) if isinstance(node, Name)]


def _labels(written: Sequence[Written], key: str) -> bool:
    """Tell whether a letter stands only behind numbers at the end of a result, as (T) does."""
    sides = [(side, r.sides[-1]) for r in relations_of(written) for side in r.sides]
    return all(
        side is last and isinstance(bare, Mul) and isinstance(bare.factors[0], Num)
        for side, last in sides
        if any(isinstance(node, Name) and key_of(node) == key for node in walk(side))
        for bare in (derived.bare_number(side),)
    )


def _terms(side: Expr) -> tuple[Expr, ...]:
    return tuple(term for _, term in side.terms) if isinstance(side, Add) else (side,)


def _weighs(term: Expr) -> bool:
    """Tell whether a term without a name is a number other than zero."""
    unit = getattr(derived.bare_number(term), "unit", None)
    if unit is not None and unit.kind == "other":
        return False  # 2Pa may be two times P times a
    return not all(isinstance(node, Num | Neg) for node in walk(term)) or any(
        isinstance(node, Num) and node.value for node in walk(term)
    )


def _most(
    written: Sequence[Written],
    known: Mapping[str, float],
    usual: str,
    force: float,
    *kinds: tuple[int, int],
) -> str:
    """Return the unit, of those known, that a working writes most; `force` is divided out."""
    count: Counter[float] = Counter()
    for relation in relations_of(written):
        for side in relation.sides:
            for node in walk(side):
                unit = getattr(node, "unit", None)
                if unit is not None and unit.dims in kinds:
                    count[unit.factor / force ** unit.dims[0]] += 1
    for factor, _ in count.most_common():
        for name, size in known.items():
            if abs(size - factor) < 1e-6 * size:
                return name
    return usual
