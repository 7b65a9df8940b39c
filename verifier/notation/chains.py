"""A clause with equals signs → its relation: lead words, sides, marks, trailing words."""

import re
from dataclasses import replace

from verifier.notation import build, marks, words
from verifier.notation.context import Context
from verifier.notation.names import Lexicon, canonical, is_known
from verifier.notation.slips import Slip
from verifier.notation.tokens import Tok
from verifier.notation.tree import (
    Expr,
    Mark,
    MarkMeaning,
    Name,
    Num,
    Part,
    Prose,
    Relation,
    Statement,
    Unread,
)

_LOOSE = ("T", "C", "up", "down", "left", "right")
OPERATORS = ("SIGN", "TIMES", "DIV", "POW", "FUNC", "SUP")


_NOTHING = ("zero", "nil", "null", "zéro", "cero", "Null", "nought")


_MARKLIKE = re.compile(r"[↑↓→←↺↻✓✗]|->|<-|\^\s*$|[^\W\d_)\]}.]$|[)\]}.]\s*$")


_TRAILING = re.compile(r"(?<![\w])[(\[]?(?=[^\W\d_])|[↑↓→←↺↻✓✗]")


_GERMAN: dict[str, MarkMeaning] = {"Z": "tension", "D": "compression"}


_POSITIVE = re.compile(r"\+\s?(?:ve\b|[↑→↓←↺↻])|[↑→↓←↺↻]\s?\+|\bpositi|\bpos\.", re.I)


_SMALL = ("a", "e", "i", "k", "o", "s", "u", "v", "w", "y", "z", "à", "è", "é", "ó")
_PHRASE = re.compile(r"\b(?:of|on|at|for|component|moment|distance|reaction|length)\b\s*$", re.I)


class Chains:
    """Reads a clause with equals signs: lead words, sides, marks, trailing words."""

    def __init__(self, text: str, tokens: list[Tok], end: int, ctx: Context) -> None:
        self.text = text
        self.tokens = tokens
        self.end = end
        self.ctx = ctx
        self.before: list[Part] = []
        self.after: list[Part] = []

    def read(self, implied: bool = False, restated: bool = False) -> list[Part]:
        """Return the parts; an `Unread` where the equation cannot be understood."""
        source = self.ctx.source
        start = self.tokens[0].start
        try:
            return [*self.before, *self._chains(implied, restated), *self.after]
        except Slip as slip:
            span = source.span(start, self.end)
            at = max(span[0], min(source.place(slip.at), span[1]))
            return [*self.before, Unread(span, at, slip.reason, slip.label)]

    def _chains(self, implied: bool, restated: bool) -> list[Part]:
        sides = _split(self.tokens)
        sides[0] = self._lead(sides[0], len(sides) > 1)
        out: list[Part] = []
        while (cut := _side_by_side(sides, self.text)) is not None:
            index, place = cut
            whole = sides[index][:place]
            if whole[-1].kind == "DIV":  # it sets two answers apart: `A_y = 8 kN / B_y = 4 kN`
                whole = whole[:-1]
            first = [*sides[:index], whole]
            out += self._chain(first, implied=False, restated=False)
            sides = [sides[index][place:], *sides[index + 1 :]]
        while (told := _words_between(sides)) is not None:
            index, begin, last = told
            side = sides[index]
            out += self._chain([*sides[:index], side[:begin]], implied=False, restated=False)
            out.append(Prose(self.ctx.source.span(side[begin].start, side[last].end)))
            sides = [side[last + 1 :], *sides[index + 1 :]]
        return out + self._chain(sides, implied, restated)

    def _chain(self, sides: list[list[Tok]], implied: bool, restated: bool) -> list[Part]:
        source = self.ctx.source
        continues = restated or not sides[0] or self.ctx.carried
        if not sides[0]:
            sides = sides[1:]
        if len(sides) > 1 and not sides[-1]:
            sides = sides[:-1]
        kept: list[list[Tok]] = []
        found: list[tuple[Mark, ...]] = []
        for index, side in enumerate(sides):
            side, said = self._marks(side, index, len(sides) - 1)
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
        if others:
            relation = replace(relation, others=(replace(relation, sides=others),))
        return [relation]

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
            return side
        if not equals or any(t.kind in ("NUM", *OPERATORS, "LPAR") for t in side[:at]):
            return side
        last = max(i for i, t in enumerate(side) if t.kind == "WORD")
        rest = side[last + 1 :]
        if not rest:
            return side
        telling = any(t.kind == "WORD" and t.text.lower() not in words.STOP for t in side[:last])
        telling = telling or side[last].text.lower() not in words.STOP
        if (
            telling
            and len(rest) == 1
            and rest[0].kind == "NAME"
            and not is_known(canonical(rest[0].text), self.ctx.lex)
            and not self.ctx.lex.bare
        ):
            return side
        if len(rest) == 1 and _PHRASE.search(self.text[side[0].start : rest[0].start]):
            return side
        self.before.append(Prose(self.ctx.source.span(side[0].start, side[last].end)))
        return rest

    def _marks(self, side: list[Tok], index: int, most: int) -> tuple[list[Tok], tuple[Mark, ...]]:
        """Take the marks behind a side's value, and in the last side what words say after it."""
        if not side:
            return side, ()
        side, german = self._zug_or_druck(side)
        if german:
            return side, (german,)
        start, end = side[0].start, side[-1].end
        said: list[Mark] = []
        if index == most:
            side, words_at = _before_words(side)
            side, words_at = self._before_mark(side, words_at, end)
            if words_at is not None and side and side[-1].kind == "SIGN":
                words_at, side = side[-1].start, side[:-1]
            if words_at is not None:
                said += self._in_words(words_at, end)
                end = words_at
        if end > start and _MARKLIKE.search(self.text[start:end]):
            at = self._tail(side, start, end, index == 0 < most)
            if at < end:
                first, _ = marks.marks_at(self.ctx.source, at, end)
                said = [*first, *said]
                side = [t for t in side if t.start < at]
        while side and side[-1].kind in ("SOFT",):
            side = side[:-1]
        return side, tuple(said)

    def _before_mark(
        self, side: list[Tok], words_at: int | None, end: int
    ) -> tuple[list[Tok], int | None]:
        """Let the words begin where a mark does whose first word looks like a name: `w lewo`."""
        if words_at is None or len(side) < 2 or side[-1].kind != "NAME":
            return side, words_at
        small = side[-1].text in _SMALL and not is_known(canonical(side[-1].text), self.ctx.lex)
        if small and side[-2].kind in ("UNIT", "NUM", "RPAR") and side[-2].end < side[-1].start:
            return side[:-1], side[-1].start
        mark = marks.mark_at(self.text, side[-1].start, end)
        if mark is None or mark.end <= words_at:
            return side, words_at
        return side[:-1], side[-1].start

    def _member(self) -> bool:
        """Tell whether the relation begins with the name of a member's force alone."""
        first = self.tokens[0]
        alone = len(self.tokens) > 1 and self.tokens[1].kind == "EQ"
        text = canonical(first.text)
        pair = self.ctx.lex.pair(text) or (len(text) > 2 and self.ctx.lex.pair(text[1:]))
        own = text in self.ctx.lex.letters or not is_known(text, self.ctx.lex)  # N7, S_3
        return first.kind == "NAME" and alone and bool(pair or own)

    def _tail(self, side: list[Tok], start: int, end: int, leads: bool) -> int:
        at = marks.tail(self.text, start, end)
        if at == end:
            first = marks.mark_at(self.text, start, end)
            return (
                start
                if first
                and first.end >= end
                and not is_known(canonical(side[0].text), self.ctx.lex)
                and len(first.text) > 1
                else end
            )
        mark = self.text[at:end].strip(" .")
        if mark.strip("()[] ,-") in ("T", "C"):
            kept = [t for t in side if t.start < at]
            united = bool(kept) and kept[-1].kind == "UNIT"
            bare = mark in ("T", "C")
            if bare and not united and self.text[at - 1].isdigit() and not self._of_member():
                return end  # `120 = 2T`
            known = mark.strip("()[] ,-") in self.ctx.lex.letters
            loose = bare and (known or self.ctx.lex.bare)
            if not united and ((known and len(kept) > 1) or loose or "-" in mark):
                return end
            if leads or (mark in self.ctx.lex.joints and not united and not self._member()):
                return end  # 620 C = 3520, where C is the reaction at C
        return at

    def _zug_or_druck(self, side: list[Tok]) -> tuple[list[Tok], Mark | None]:
        """Take `(Z)`, `(D)` behind a value with its unit as Zug and Druck, in German figures."""
        kinds = [token.kind for token in side[-4:]]
        if self.ctx.comma != "decimal" or kinds != ["UNIT", "LPAR", "NAME", "RPAR"]:
            return side, None
        letter = side[-2].text
        if letter not in _GERMAN or letter in self.ctx.lex.letters:
            return side, None
        span = self.ctx.source.span(side[-3].start, side[-1].end)
        text = self.ctx.source.line[span[0] : span[1]]
        return side[:-3], Mark(span, text, _GERMAN[letter])

    def _of_member(self) -> bool:
        """Tell whether the clause gives the value of one name that may be a bar's force."""
        if len(self.tokens) < 2 or self.tokens[0].kind != "NAME" or self.tokens[1].kind != "EQ":
            return False
        name = canonical(self.tokens[0].text)
        pair = self.ctx.lex.pair(name) or self.ctx.lex.pair(name[1:])
        own = name in self.ctx.lex.letters or not is_known(name, self.ctx.lex)
        return pair is not None or (len(name) > 1 and own)

    def _in_words(self, start: int, end: int) -> list[Mark]:
        """Find what words behind a value say of its sense; the words become prose."""
        positive = bool(_POSITIVE.search(self.text, start, end))  # it tells of the sum, not of this
        said, at = ([], start) if positive else marks.marks_at(self.ctx.source, start, end)
        for match in _TRAILING.finditer(self.text, start, end):
            if match.start() < at:
                continue
            mark = marks.mark_at(self.text, match.start(), end)
            if mark is None or mark.text.strip() in _LOOSE or positive:
                continue
            said.append(marks.as_mark(self.ctx.source, mark))
            at = mark.end
        if not said:
            self.after.append(Prose(self.ctx.source.span(start, end)))
        return said

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
            stream += _phrase(side, self.text, self.ctx.lex)
        source, comma = self.ctx.source, self.ctx.comma
        sides_read, other = build.parse(stream, source, comma)
        if other is None and comma == "open" and any(_either(token) for token in stream):
            other, _ = build.parse(stream, source, "decimal")
        return sides_read, other


def _either(token: Tok) -> bool:
    """Tell whether a number may be thousands or carry a decimal comma: `1,500`."""
    return token.kind == "NUM" and bool(_EITHER.fullmatch(token.text))


_EITHER = re.compile(r"[1-9]\d{0,2},\d{3}")


def _phrase(side: list[Tok], text: str, lex: Lexicon) -> list[Tok]:
    """Turn words that stand for a quantity into one name; 'zero' is a number."""
    if len(side) == 1 and side[0].text in ("O", "o") and not is_known(side[0].text, lex):
        return [Tok("NUM", "0", side[0].start, side[0].end)]  # typed or read by machine for 0
    if len(side) == 1 and side[0].text in _NOTHING:
        return [Tok("NUM", "0", side[0].start, side[0].end)]
    if not any(t.kind == "WORD" for t in side) or any(
        t.kind not in ("WORD", "NAME", "SOFT") for t in side
    ):
        return [t for t in side if t.kind != "SOFT" or t.text not in ("…",)]
    return [Tok("NAME", text[side[0].start : side[-1].end], side[0].start, side[-1].end)]


def depths(tokens: list[Tok]) -> list[int]:
    """Return how deep each token stands in brackets that have their partners."""
    opened: list[int] = []
    pairs: dict[int, int] = {}
    for index, token in enumerate(tokens):
        if token.kind == "LPAR":
            opened.append(index)
        elif token.kind == "RPAR" and opened:
            pairs[opened.pop()] = index
    closing = set(pairs.values())
    depth, out = 0, []
    for index in range(len(tokens)):
        depth -= index in closing
        out.append(depth)
        depth += index in pairs
    return out


def _split(tokens: list[Tok]) -> list[list[Tok]]:
    """Cut tokens at the equals signs outside brackets."""
    sides: list[list[Tok]] = [[]]
    for token, depth in zip(tokens, depths(tokens), strict=True):
        if token.kind == "EQ" and not depth:
            sides.append([])
        else:
            sides[-1].append(token)
    return sides


def _side_by_side(sides: list[list[Tok]], text: str) -> tuple[int, int] | None:
    """Find `A = 3 kN  B = 4 kN`: a value with its unit, then the name of the next equation."""
    for index in range(1, len(sides) - 1):
        side = sides[index]
        if len(side) < 2 or side[-1].kind != "NAME" or len(sides[index - 1]) == 0:
            continue
        if [token.kind for token in side] == ["NUM", "UNIT", "DIV", "NAME"] and (
            text[side[2].start - 1] == text[side[2].end] == " "
        ):
            return index, 3
        before, name = side[-2], side[-1]
        gap = name.start - before.end
        if (gap and before.kind == "UNIT" and before.text != "°") or (
            gap > 1 and before.kind in ("NUM", "UNIT", "RPAR", "MARK")
        ):
            return index, len(side) - 1
        start = side[0].start
        if gap and marks.tail(text, start, before.end) < before.end and before.kind != "NUM":
            return index, len(side) - 1
    return None


def _words_between(sides: list[list[Tok]]) -> tuple[int, int, int] | None:
    """Find `= 12 kN acting at L/2 = 2 m`: words that end one equation before the next begins."""
    for index in range(1, len(sides) - 1):
        side = sides[index]
        at = [i for i, t in enumerate(side) if t.kind == "WORD" and t.text not in _NOTHING]
        if at and at[0] and at[-1] + 1 < len(side) and not any(depths(side)[at[0] : at[-1] + 1]):
            return index, at[0], at[-1]
    return None


def _abbreviated(inside: list[Tok]) -> bool:
    """Tell whether a bracket holds nothing but shortened words: `(tr.)`."""
    kinds = {token.kind for token in inside}
    if kinds == {"SIGN"}:
        return True  # `3,4 kN (+)`
    return "SOFT" in kinds and "NAME" in kinds and kinds <= {"NAME", "SOFT", "WORD"}


def _before_words(side: list[Tok]) -> tuple[list[Tok], int | None]:
    """Cut the last side where words begin: at a word, or at a bracket that holds words or `=`."""
    opened = 0
    for index, (token, depth) in enumerate(zip(side, depths(side), strict=True)):
        if token.kind == "LPAR" and not depth:
            opened = index
        elif (
            opened and token.kind == "RPAR" and not depth and _abbreviated(side[opened + 1 : index])
        ):
            return side[:opened], side[opened].start
        elif (token.kind == "WORD" and token.text not in _NOTHING) or (
            token.kind == "EQ" and depth
        ):
            cut = opened if depth else index
            return (side, None) if cut == 0 else (side[:cut], side[cut].start)
    return side, None
