"""A clause with equals signs → its relation: lead words, sides, marks, trailing words."""

import re
from dataclasses import replace

from verifier.notation import build, inner, words
from verifier.notation.context import Context
from verifier.notation.marks import mark_at
from verifier.notation.names import canonical, is_known
from verifier.notation.phrased import phrased
from verifier.notation.side_marks import SideMarks
from verifier.notation.sides import NOTHING, either, phrase, side_by_side, split, words_between
from verifier.notation.slips import Slip
from verifier.notation.tokens import Tok
from verifier.notation.tree import Expr, Mark, Name, Num, Part, Prose, Relation, Statement, Unread

_SMALL = ("a", "e", "i", "k", "o", "s", "u", "v", "w", "y", "z", "à", "è", "é", "ó")
OPERATORS = ("SIGN", "TIMES", "DIV", "POW", "FUNC", "SUP")
_ANGLE = ("angle", "winkel", "kąt", "angolo", "ángulo", "ângulo", "угол")
_BETWEEN = ("between", "zwischen", "entre", "tra", "fra", "między", "tussen", "mellan", "imellem")
_SORTS = (
    "moment",
    "reaction",
    "momento",
    "reazione",
    "reacción",
    "réaction",
    "reaktion",
    "reakcja",
)
_CORNER = re.compile(r"(?:[A-Z]\d?){3}")
_AT = ("at", "in", "bei", "en", "à", "a", "w", "im", "am")
_ARM = re.compile(
    r"\b(?:distances?|Abst[aä]nd\w*|Lot|Hebelarm|(?:lever )?arm|bras de levier|braccio|brazo|ramię"
    r"|distan[cz](?:ia|a)|odległość|afstand|perpendicular|perp)\b.*\b(?:to|of|from|auf|zu|von|de|di"
    r"|à|a|al|do|od|sur)(?:\s(?:the|la|le|der|dem))?(?:\s(?:line|bar|member|Stab|barre|barra))?\s$",
    re.I,
)
_MEET = re.compile(
    r"\b(?:meet|cross|intersect|schneiden|se coupent|se cortan)\w*\b.*\s(?:at|bei|en|in)\s$"
)
_PHRASE = re.compile(r"\b(?:of|on|at|for|component|moment|distance|reaction|length)\b\s*$", re.I)
_IN_PANEL = re.compile(r"\b(?:panel|bay|[Ff]eld|panneau|tramo|campo|przedzia\w*)\s$")


class Chains:
    """Reads a clause with equals signs: lead words, sides, marks, trailing words."""

    def __init__(self, text: str, tokens: list[Tok], end: int, ctx: Context) -> None:
        self.text = text
        self.tokens = tokens
        self.end = end
        self.ctx = ctx
        self.before: list[Part] = []
        self.after: list[Part] = []
        self.marks = SideMarks(text, tokens, ctx, self.after)

    def read(self, implied: bool = False, restated: bool = False) -> list[Part]:
        """Return the parts; an `Unread` where the equation cannot be understood."""
        source = self.ctx.source
        start = self.tokens[0].start
        if not restated and not implied and self._legend():
            return [Prose(source.span(start, self.end))]
        try:
            return [*self.before, *self._chains(implied, restated), *self.after]
        except Slip as slip:
            span = source.span(start, self.end)
            if not restated and (behind := self._behind_words()):
                worked = Chains(self.text, behind, self.end, self.ctx).read()
                if not any(isinstance(part, Unread) for part in worked):
                    return [Prose(source.span(start, behind[0].start)), *worked]
            if not restated and (rest := self._without_worded_sides()):
                return [*self.before, *Chains(self.text, rest, self.end, self.ctx).read()]
            named = phrased(self.text, self.tokens)
            if not restated and named != self.tokens:
                worked = Chains(self.text, named, self.end, self.ctx).read(implied)
                if not any(isinstance(part, Unread) for part in worked):
                    return worked
            if not restated and (self._in_words() or self._tells_loads()):
                return [*self.before, Prose(span)]
            at = max(span[0], min(source.place(slip.at), span[1]))
            return [*self.before, Unread(span, at, slip.reason, slip.label)]

    def _in_words(self) -> bool:
        """Tell whether nothing is reckoned and `is` is the verb: `the 9 kN load is 2 m away`."""
        kinds = [token.kind for token in self.tokens]
        verbs = [token for token in self.tokens if token.kind == "EQ"]
        spoken = all(token.text.isalpha() for token in verbs) and bool(verbs)
        return spoken and kinds.count("WORD") > 1 and not {"TIMES", "DIV", "POW"} & {*kinds}

    def _without_worded_sides(self) -> list[Tok]:
        """Leave out sides that say in words what is reckoned: `R_A = total load − R_B = 32 − 18`.

        Returns nothing where none does or fewer than two sides would be left.
        """
        sides = split(self.tokens)
        first, *others = sides
        kept = [side for side in others if not _says_in_words(side)]
        told = [token.kind for token in first].count("WORD") > 2 and {*OPERATORS} & {
            token.kind for token in first
        } == set()  # `moment of the 9 kN load about A = 9 × 2 = 18`
        kept = kept if told or _says_in_words(first) else [first, *kept]
        if len(kept) < 2 or len(kept) == len(sides) or not all(kept):
            return []
        equals = next(token for token in self.tokens if token.kind == "EQ")
        rest = list(kept[0])
        for side in kept[1:]:
            rest += [replace(equals, start=side[0].start - 1, end=side[0].start), *side]
        return rest

    def _behind_words(self) -> list[Tok]:
        """Return what is worked out behind a load in words: `4 kN/m on the left = 4·3 = 12`."""
        tokens, kinds = self.tokens, [token.kind for token in self.tokens]
        if kinds.count("EQ") < 2 or kinds[:2] != ["NUM", "UNIT"] or "/" not in tokens[1].text:
            return []
        at = kinds.index("EQ")
        words = {"WORD", "NAME", "SOFT"}
        return tokens[at + 1 :] if "WORD" in kinds[2:at] and words >= {*kinds[2:at]} else []

    def _tells_loads(self) -> bool:
        """Tell whether loads are only described, in words: `0.09 k/ft on AC = 0.36 k`."""
        kinds = [token.kind for token in self.tokens]
        names = [t for t in self.tokens if t.kind == "NAME"]
        known = any(is_known(canonical(t.text), self.ctx.lex) for t in names)
        if not {"NUM", "COMPOSITE", "FUNC"} & {*kinds} and kinds.count("WORD") > 1 and not known:
            return True  # `Chords = beam moment / depth:`
        if {"TIMES", "DIV", "POW", "FUNC"} & {*kinds}:
            return False
        spread = kinds[:3] == ["NUM", "UNIT", "WORD"] and "/" in self.tokens[1].text
        return spread or (kinds.count("WORD") > 3 and not known and "SIGN" in kinds)

    def _legend(self) -> bool:
        """Tell whether a letter is told in words alone: `A = hitch (pin), B = axle`."""
        first, rest = self.tokens[:2], self.tokens[2:]
        if [token.kind for token in self.tokens] == ["WORD", "NUM", "EQ", "NAME"]:
            return self.ctx.lex.pair(canonical(self.tokens[-1].text)) is not None  # Stab 1 = AB
        if [token.kind for token in first] != ["NAME", "EQ"] or not rest:
            return False
        small = [t for t in rest if t.kind != "NAME" or not (t.text.islower() and len(t.text) > 2)]
        worded = {token.kind for token in small} <= {"WORD", "SOFT", "LPAR", "RPAR"}
        mark = mark_at(self.text, rest[0].start, self.end)
        sort = rest[-1].text.lower() in _SORTS and len(rest) > 1  # R1 = left reaction
        says = (mark is not None and not sort) or rest[0].text in NOTHING
        return worded and rest[0].kind == "WORD" and not says

    def _chains(self, implied: bool, restated: bool) -> list[Part]:
        sides = split(self.tokens)
        sides[0] = self._lead(sides[0], len(sides) > 1)
        sides[1:] = map(self._places, sides[1:])
        out: list[Part] = []
        while (cut := side_by_side(sides, self.text)) is not None:
            index, place = cut
            whole = sides[index][:place]
            if whole[-1].kind == "DIV":  # it sets two answers apart: `A_y = 8 kN / B_y = 4 kN`
                whole = whole[:-1]
            first = [*sides[:index], whole]
            out += self._chain(first, implied=False, restated=False)
            sides = [sides[index][place:], *sides[index + 1 :]]
        while (told := words_between(sides)) is not None:
            index, begin, last = told
            side = sides[index]
            out += self._chain([*sides[:index], side[:begin]], implied=False, restated=False)
            out.append(Prose(self.ctx.source.span(side[begin].start, side[last].end)))
            sides = [side[last + 1 :], *sides[index + 1 :]]
        return out + self._chain(sides, implied, restated)

    def _chain(self, sides: list[list[Tok]], implied: bool, restated: bool) -> list[Part]:
        source = self.ctx.source
        sides = [side for side in sides if not _goes_on(side)] or sides
        continues = restated or not sides[0] or self.ctx.carried
        if not sides[0]:
            sides = sides[1:]
        if len(sides) > 1 and not sides[-1]:
            sides = sides[:-1]
        kept: list[list[Tok]] = []
        found: list[tuple[Mark, ...]] = []
        if len(sides) > 2 and _is_a_word(sides[-1]) and self._is_a_value(sides[-2]):
            said_last = source.span(sides[-1][0].start, sides[-1][-1].end)
            self.after.append(Prose(said_last))  # `−4 + 10 = 6 kN = load`
            sides = sides[:-1]
        for index, side in enumerate(sides):
            side, said = self.marks.take(side, index, len(sides) - 1)
            kept.append(side)
            found.append(said)
        if len(kept) == 2 and not kept[1] and found[1] and kept[0]:
            return self._claim(kept[0], found[1])
        exprs, others = self._expressions(kept)
        ops = tuple("=" for _ in exprs[1:])
        if implied:
            end = source.span(self.end, self.end)[0]
            end = exprs[-1].span[1]
            zero = Num((end, end), "", 0.0, 0.0, 0.0)
            exprs, ops, found = (*exprs, zero), (*ops, "="), [*found, ()]
            others = (*others, zero) if others else None
        ends = [e.span[1] for e in exprs] + [m.span[1] for said in found for m in said]
        first = self.before_equals(sides, continues)
        span = (min(exprs[0].span[0], first), max(ends))
        relation = Relation(
            span, exprs, ops, tuple(found), self.ctx.tag, continues, self.ctx.closing
        )
        if others is None and (named := self._named_unit(kept)):
            others = (*self._expressions([named, *kept[1:]])[0], *exprs[len(kept) :])
        if others:
            relation = replace(relation, others=(replace(relation, sides=others),))
        return [self._with_factor(relation, sides, kept)]

    def _is_a_value(self, side: list[Tok]) -> bool:
        return bool(side) and [t.kind for t in side] in (["NUM"], ["NUM", "UNIT"])

    def _with_factor(
        self, relation: Relation, sides: list[list[Tok]], kept: list[list[Tok]]
    ) -> Relation:
        """Add the reading in which T or C behind a bracket or a name is a force, no label."""
        meant = [
            bool(rest) and len(side) == len(rest) + 1 and rest[-1].kind in ("RPAR", "NAME")
            and side[-1].kind == "NAME" and side[-1].text in ("T", "C")
            for side, rest in zip(sides, kept, strict=True)
        ]  # fmt: skip
        if not any(meant):
            return relation
        whole = [s if factor else k for s, k, factor in zip(sides, kept, meant, strict=True)]
        told = (() if factor else m for m, factor in zip(relation.marks, meant, strict=False))
        exprs = (*self._expressions(whole)[0], *relation.sides[len(whole) :])
        other = replace(relation, sides=exprs, marks=tuple(told), others=())
        return replace(relation, others=(*relation.others, other))

    @staticmethod
    def _named_unit(sides: list[list[Tok]]) -> list[Tok]:
        """Return `6 N` at the start of an equation as six times a force N, [] for anything else."""
        first = sides[0]
        if len(sides) < 2 or [token.kind for token in first] != ["NUM", "UNIT"]:
            return []
        unit = first[1]
        return [first[0], replace(unit, kind="NAME")] if unit.text == "N" else []

    def before_equals(self, sides: list[list[Tok]], continues: bool) -> int:
        """Return where the relation begins: at its `=` where it continues a chain."""
        token = (
            self.tokens[0]
            if continues and self.tokens[0].kind == "EQ"
            else sides[0][0]
            if sides[0]
            else self.tokens[0]
        )
        return self.ctx.source.place(token.start)

    def _claim(self, names: list[Tok], said: tuple[Mark, ...]) -> list[Part]:
        """Read `PR = compression`."""
        exprs, _ = self._expressions([names])
        if not isinstance(exprs[0], Name):
            raise Slip(names[-1].end, label="missing operand")
        return [Statement((exprs[0].span[0], said[-1].span[1]), (exprs[0],), said)]

    def _lead(self, side: list[Tok], equals: bool) -> list[Tok]:
        """Leave out words before the first side; a phrase alone is a name of its own."""
        at = next((i for i, t in enumerate(side) if t.kind == "WORD"), None)
        if at is None:
            return side[1:] if equals and self._of_an_angle(side) else side
        side = self._prepositions(side)
        if not equals or any(t.kind in ("NUM", *OPERATORS, "LPAR") for t in side[:at]):
            return side
        last = max(i for i, t in enumerate(side) if t.kind == "WORD")
        rest = side[last + 1 :]
        if not rest or self._of_line(side, rest):
            return side
        if self._placed(side[: last + 1], rest):
            last += 1
            rest = rest[1:]
        if self._is_counted(side):
            return [
                Tok("NAME", self.text[side[0].start : side[-1].end], side[0].start, side[-1].end)
            ]
        if len(rest) == 1 and self._is_named(side[last], rest[0]):
            self.before.append(Prose(self.ctx.source.span(side[0].start, side[last].end)))
            return rest
        telling = any(t.kind == "WORD" and t.text.lower() not in words.STOP for t in side[:last])
        telling = telling or side[last].text.lower() not in words.STOP
        if len(rest) == 1 and self._names_all(side[: last + 1], rest[0], telling):
            return side
        self.before.append(Prose(self.ctx.source.span(side[0].start, side[last].end)))
        return rest

    def _is_counted(self, side: list[Tok]) -> bool:
        """Tell whether a word with its number is a name: `boat 1 = 180 kg`."""
        if [token.kind for token in side] != ["WORD", "NUM"]:
            return False
        word, number = side
        one = number.text.isdigit() and len(number.text) == 1 and word.end + 1 == number.start
        return one and word.text.lower() not in words.STOP and len(word.text) > 2

    def _is_named(self, word: Tok, name: Tok) -> bool:
        """Tell whether words say what the name behind them is: `Fixing moment MA`, `shear V`."""
        text = canonical(name.text)
        if text in ("V", "Q", "T", "N", "M") and inner.SORT.search(self.text[: name.start]):
            return True
        sort = word.text.lower() in _SORTS and is_known(text, self.ctx.lex)
        return sort and text not in self.ctx.lex.joints and self.ctx.lex.pair(text) is None

    def _of_an_angle(self, side: list[Tok]) -> bool:
        """Tell whether the first name says where an angle lies: `OA 180 − 36.9 = 143.1°`."""
        kinds = [token.kind for token in self.tokens]
        if [token.kind for token in side[:2]] != ["NAME", "NUM"] or {"FUNC", "DIV"} & {*kinds}:
            return False
        last = self.tokens[-1]
        degrees = last.kind == "UNIT" and last.text in ("°", "deg", "degrees")
        return degrees and side[0].end < side[1].start and kinds.count("NAME") == 1

    def _names_all(self, lead: list[Tok], name: Tok, telling: bool) -> bool:
        """Tell whether the words before the last name belong to it: `Load on deck`, `angle ABC`."""
        before = self.text[lead[0].start : name.start]
        if name.text in ("x", "y", "z", "s") and (name.text in "xz" or _MEET.search(before)):
            return False
        own = name.kind == "NAME" and not is_known(canonical(name.text), self.ctx.lex)
        if (telling and own and not self.ctx.lex.bare) or _PHRASE.search(before):
            return True
        if _IN_PANEL.search(before):
            return True
        return lead[-1].text.lower() in _ANGLE and bool(_CORNER.fullmatch(name.text))

    def _of_line(self, side: list[Tok], rest: list[Tok]) -> bool:
        """Tell whether `distance from C to BD` names an arm: the writer's own, no length BD."""
        words_before = self.text[side[0].start : rest[0].start]
        bar = len(rest) == 1 and self.ctx.lex.pair(canonical(rest[0].text)) is not None
        return bar and bool(_ARM.search(words_before))

    def _placed(self, before: list[Tok], rest: list[Tok]) -> bool:
        """Tell whether a name behind words says where: `at B 12 × 3`, `opposite AC 36° − 21°`.

        So it does in `between W and T 90 − 31 = 59`.
        """
        kinds = [token.kind for token in rest[:3]]
        if kinds[:2] != ["NAME", "NUM"] or rest[0].end == rest[1].start:
            return False
        angle = kinds[2:] == ["UNIT"] and rest[2].text == "°"
        words_before = {token.text.lower() for token in before}
        joint = before[-1].text.lower() in _AT and canonical(rest[0].text) in self.ctx.lex.joints
        return angle or joint or bool(words_before & {*_BETWEEN, *_ANGLE})

    def _prepositions(self, side: list[Tok]) -> list[Tok]:
        """Take a single letter between a word and a name for a word: `Reakcja w B`."""
        out = list(side)
        for i in range(1, len(side) - 1):
            before, here, after = side[i - 1 : i + 2]
            small = here.text in _SMALL and not is_known(canonical(here.text), self.ctx.lex)
            if small and before.kind == "WORD" and after.kind == "NAME" and here.end < after.start:
                out[i] = Tok("WORD", *(here.text, here.start, here.end))
        return out

    def _places(self, side: list[Tok]) -> list[Tok]:
        """Take `a` between a value and a place for a word: `= 10 kN a 2/3·5 = 3,33 m`."""
        out = list(side)
        for i in range(2, len(side) - 1):
            before, here, after = side[i - 1 : i + 2]
            apart = before.end < here.start and here.end < after.start
            small = here.text in _SMALL and not is_known(canonical(here.text), self.ctx.lex)
            if small and apart and (before.kind, after.kind) == ("UNIT", "NUM"):
                out[i] = Tok("WORD", here.text, here.start, here.end)
        return out

    def _expressions(
        self, sides: list[list[Tok]]
    ) -> tuple[tuple[Expr, ...], tuple[Expr, ...] | None]:
        stream: list[Tok] = []
        for index, side in enumerate(sides):
            if not side:
                raise Slip(
                    stream[-1].end if stream else self.tokens[0].start, label="missing operand"
                )
            if index:
                place = max(self.text.rfind(sign, 0, side[0].start) for sign in "=≈≡≙")
                place = max(place, stream[-1].end)
                stream.append(Tok("EQ", "=", place, place + 1))
            sums = any(token.kind == "SIGN" for other in sides[1:] for token in other)
            nought = bool(index) or sums  # `O = 4 × 7.5`: the left side is no typed 0
            stream += phrase(side, self.text, self.ctx.lex, nought)
        source, comma = self.ctx.source, self.ctx.comma
        sides_read, other = build.parse(stream, source, comma)
        if other is None and comma == "open" and any(either(token) for token in stream):
            other, _ = build.parse(stream, source, "decimal")
        return sides_read, other


def _is_a_word(side: list[Tok]) -> bool:
    """Tell whether a side is a long word or several: `= load`, `= total load`."""
    small = [token.text for token in side if token.text.islower() and len(token.text) > 3]
    worded = all(token.kind in ("WORD", "NAME") for token in side)
    return bool(side) and worded and len(small) == len(side) and not {*small} & {*NOTHING}


def _says_in_words(side: list[Tok]) -> bool:
    """Tell whether a side reckons with words and holds no number: `total load − R_B`."""
    kinds = {token.kind for token in side}
    worded = [token for token in side if token.kind == "WORD" and token.text not in NOTHING]
    return bool(worded) and bool(kinds & {*OPERATORS}) and not kinds & {"NUM", "COMPOSITE"}


def _goes_on(side: list[Tok]) -> bool:
    """Tell whether a side breaks off with dots: the check `−4 A_y + 3 A_x … = −6 − 6 + 12 = 0`."""
    kinds = {token.kind for token in side}
    dots = "".join(token.text for token in side[-3:]).endswith(("…", "..."))
    return dots and "NAME" in kinds and bool(kinds & {*OPERATORS})
