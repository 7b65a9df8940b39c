"""One clause of a line (what stands between two separators) → its parts."""

import re
from dataclasses import dataclass, replace

from verifier.notation import build, marks, words
from verifier.notation.names import Lexicon, canonical, is_known
from verifier.notation.numbers import Comma
from verifier.notation.slips import Slip
from verifier.notation.source import Source
from verifier.notation.tokens import Scanner, Tok
from verifier.notation.tree import (
    Assumption,
    Expr,
    Mark,
    Name,
    Num,
    Part,
    Prose,
    Relation,
    Statement,
    Unread,
)

_OPERATORS = ("SIGN", "TIMES", "DIV", "POW", "FUNC", "SUP")
_NOTHING = ("zero", "nil", "null", "zéro", "cero", "Null", "nought")
_MARKLIKE = re.compile(r"[↑↓→←↺↻✓✗]|[^\W\d_)\]}.]$|[)\]}.]\s*$")
_TRAILING = re.compile(r"(?<![\w])[(\[]?(?=[^\W\d_])|[↑↓→←↺↻✓✗]")
ASSUME = re.compile(
    r"(?:i |we )?(?:assum(?:e|ing|ed)|suppos(?:e|ing)|let|take|taking|guess(?:ing)?|Annahme|angenommen|on suppose|supposons|suppongo|si suppone|se supone|suponiendo|zakładamy|say|drawn|taken)\b:?\s*",
    re.I,
)
_THAT = re.compile(
    r"(?:that |all |the |members?|bars?|forces?|reactions?|in|at|force|unknown|is|are|acts?|to be|be|as|both|sense of|direction of)\s*",
    re.I,
)


@dataclass(frozen=True)
class Context:
    """What the reading of a clause needs to know of its line and working."""

    source: Source
    lex: Lexicon
    comma: Comma = "open"
    labelled: bool = False
    closing: bool = False
    tag: str = ""
    follows: bool = False
    carried: bool = False


def clause(text: str, start: int, end: int, ctx: Context) -> list[Part]:
    """Read plain text[start:end] (`text` may be masked) as relation, statement, words or Unread."""
    while end > start and text[end - 1] in " \t.,":
        end -= 1
    if start >= end:
        return []
    found, stop = marks.marks_at(ctx.source, start, end)
    if found and not text[stop:end].strip(" .,!"):
        return list(found)
    tokens = Scanner(text, start, end, ctx.lex).run()
    if not tokens:
        return []
    if any(t.kind == "EQ" and not d for t, d in zip(tokens, _depths(tokens), strict=True)):
        return _Relations(text, tokens, end, ctx).read()
    return _without_equals(text, tokens, start, end, ctx)


def _depths(tokens: list[Tok]) -> list[int]:
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


def _without_equals(text: str, tokens: list[Tok], start: int, end: int, ctx: Context) -> list[Part]:
    span = ctx.source.span(start, end)
    if assumed := _assumption(text, start, end, ctx):
        return [assumed]
    if stated := _statement(text, tokens, start, end, ctx):
        return [stated]
    marks_from = marks.tail(text, start, end)
    before = [token for token in tokens if token.start < marks_from]
    kinds = {token.kind for token in before}
    if "WORD" not in kinds and (kinds & {"NUM", *_OPERATORS}) or (ctx.labelled and "NUM" in kinds):
        return _bare_expression(tokens, before, text, ctx)
    return [Prose(span)]


def _bare_expression(tokens: list[Tok], before: list[Tok], text: str, ctx: Context) -> list[Part]:
    """Read a balance with `= 0` left out, or a value restated."""
    start, end = tokens[0].start, tokens[-1].end
    relations = _Relations(text, tokens, end, ctx)
    span = ctx.source.span(start, end)
    named = any(t.kind == "NAME" for t in before)
    sums = any(t.kind == "SIGN" for t in before[1:])
    if ctx.carried:
        return relations.read(restated=True)
    if ctx.labelled and not ctx.follows or named and sums:
        return relations.read(implied=True)
    if not named:
        parts = relations.read(restated=True)
        keep = ctx.follows or not isinstance(parts[0], Relation) or len(tokens) > 2
        return parts if keep else [Prose(span)]
    names = [i for i, t in enumerate(before) if t.kind == "NAME"]
    if names == [0] and len(before) > 1 and before[1].kind == "NUM":
        at = ctx.source.place(before[1].start)
        return [Unread(span, at, "no = between the two sides", "missing =")]
    return relations.read(implied=True)


class _Relations:
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
            first = [*sides[:index], sides[index][:place]]
            out += self._chain(first, implied=False, restated=False)
            sides = [sides[index][place:], *sides[index + 1 :]]
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
            side, said = self._marks(side, last=index == len(sides) - 1)
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
        if not equals or any(t.kind in ("NUM", *_OPERATORS, "LPAR") for t in side[:at]):
            return side
        last = max(i for i, t in enumerate(side) if t.kind == "WORD")
        rest = side[last + 1 :]
        if not rest:
            return side
        if (
            len(rest) == 1
            and rest[0].kind == "NAME"
            and not is_known(canonical(rest[0].text), self.ctx.lex)
            and not self.ctx.lex.bare
        ):
            return side
        if len(rest) == 1 and _PHRASE.search(self.text[side[0].start : rest[0].start]):
            return side
        self.before.append(Prose(self.ctx.source.span(side[0].start, side[last].end)))
        return rest

    def _marks(self, side: list[Tok], last: bool) -> tuple[list[Tok], tuple[Mark, ...]]:
        """Take the marks behind a side's value, and in the last side what words say after it."""
        if not side:
            return side, ()
        start, end = side[0].start, side[-1].end
        said: list[Mark] = []
        if last:
            side, words_at = _before_words(side)
            if words_at is not None:
                said += self._in_words(words_at, end)
                end = words_at
        if end > start and _MARKLIKE.search(self.text[start:end]):
            at = self._tail(side, start, end)
            if at < end:
                first, _ = marks.marks_at(self.ctx.source, at, end)
                said = [*first, *said]
                side = [t for t in side if t.start < at]
        while side and side[-1].kind in ("SOFT",):
            side = side[:-1]
        return side, tuple(said)

    def _tail(self, side: list[Tok], start: int, end: int) -> int:
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
        if mark.strip("()[] ") in ("T", "C"):
            kept = [t for t in side if t.start < at]
            united = bool(kept) and kept[-1].kind == "UNIT"
            known = mark.strip("()[] ") in self.ctx.lex.letters
            if not united and (
                (known and len(kept) > 1) or (mark in ("T", "C") and (known or self.ctx.lex.bare))
            ):
                return end
        return at

    def _in_words(self, start: int, end: int) -> list[Mark]:
        """Find what words behind a value say of its sense; the words become prose."""
        said, at = marks.marks_at(self.ctx.source, start, end)
        for match in _TRAILING.finditer(self.text, start, end):
            if match.start() < at:
                continue
            mark = marks.mark_at(self.text, match.start(), end)
            if mark is None or mark.text.strip() in _LOOSE:
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
            if index:
                stream.append(
                    Tok(
                        "EQ",
                        "=",
                        side[0].start if side else self.end,
                        side[0].start if side else self.end,
                    )
                )
            if not side:
                raise Slip(
                    stream[-1].end if stream else self.tokens[0].start, label="missing operand"
                )
            stream += _phrase(side, self.text)
        return build.parse(stream, self.ctx.source, self.ctx.comma)


_PHRASE = re.compile(r"\b(?:of|at|for|component|moment|distance|reaction|length)\b\s*$", re.I)


def _phrase(side: list[Tok], text: str) -> list[Tok]:
    """Turn words that stand for a quantity into one name; 'zero' is a number."""
    if len(side) == 1 and side[0].text in _NOTHING:
        return [Tok("NUM", "0", side[0].start, side[0].end)]
    if not any(t.kind == "WORD" for t in side) or any(
        t.kind not in ("WORD", "NAME", "SOFT") for t in side
    ):
        return [t for t in side if t.kind != "SOFT" or t.text not in ("…",)]
    return [Tok("NAME", text[side[0].start : side[-1].end], side[0].start, side[-1].end)]


def _split(tokens: list[Tok]) -> list[list[Tok]]:
    """Cut tokens at the equals signs outside brackets."""
    sides: list[list[Tok]] = [[]]
    for token, depth in zip(tokens, _depths(tokens), strict=True):
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
        before, name = side[-2], side[-1]
        gap = name.start - before.end
        if (gap and before.kind == "UNIT" and before.text != "°") or (
            gap > 1 and before.kind in ("NUM", "UNIT", "RPAR", "MARK")
        ):
            return index, len(side) - 1
    return None


def _before_words(side: list[Tok]) -> tuple[list[Tok], int | None]:
    """Cut the last side where words begin: at a word, or at a bracket that holds words or `=`."""
    opened = 0
    for index, (token, depth) in enumerate(zip(side, _depths(side), strict=True)):
        if token.kind == "LPAR" and not depth:
            opened = index
        elif (token.kind == "WORD" and token.text not in _NOTHING) or (
            token.kind == "EQ" and depth
        ):
            cut = opened if depth else index
            return (side, None) if cut == 0 else (side[:cut], side[cut].start)
    return side, None


def _assumption(text: str, start: int, end: int, ctx: Context) -> Part | None:
    lead = ASSUME.match(text, start, end)
    if lead is None:
        return None
    names, mark = _names_and_mark(text, lead.end(), end, ctx)
    if mark is None:
        return None
    return Assumption(ctx.source.span(start, end), names, mark[0])


def _statement(text: str, tokens: list[Tok], start: int, end: int, ctx: Context) -> Part | None:
    if any(t.kind in ("NUM", "DIV", "TIMES", "FUNC") for t in tokens):
        return None
    names, mark = _names_and_mark(text, start, end, ctx)
    if mark is None or not names:
        return None
    span = ctx.source.span(start, end)
    only = len(names) == 1 and mark[0].meaning in (
        "up",
        "down",
        "left",
        "right",
        "clockwise",
        "anticlockwise",
    )
    if only and not re.search(r"\b(?:is|are|acts?|acting|must)\b", text[start:end]):
        return Assumption(span, names, mark[0])
    return Statement(span, names, tuple(mark))


def _names_and_mark(
    text: str, start: int, end: int, ctx: Context
) -> tuple[tuple[Name, ...], list[Mark] | None]:
    """Read names and the marks that follow them: 'QR, PR in compression', 'A_y up'."""
    names: list[Name] = []
    at = start
    said: list[Mark] = []
    while at < end:
        gap = _GAP.match(text, at, end)
        at = gap.end() if gap else at
        if at >= end:
            break
        mark = marks.mark_at(text, at, end)
        if mark is not None and mark.text.strip() not in ("T", "C"):
            said.append(marks.as_mark(ctx.source, mark))
            at = mark.end
            continue
        filler = _THAT.match(text, at, end)
        if filler and filler.end() > at:
            at = filler.end()
            continue
        token = next(iter(Scanner(text, at, end, ctx.lex).run()), None)
        if token is None or token.kind != "NAME":
            if token is not None and token.kind == "WORD":
                at = token.end
                continue
            return (), None
        base, sub = build.undress(token.text)
        span = ctx.source.span(token.start, token.end)
        names.append(Name(span, ctx.source.line[span[0] : span[1]], base, sub))
        at = token.end
    return tuple(names), said or None


_LOOSE = ("T", "C", "up", "down", "left", "right")
_GAP = re.compile(r"[\s,;&:()]*(?:and\s|und\s|et\s|y\s|e\s)?")
_UNUSED = words
