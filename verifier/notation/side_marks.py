"""The marks behind a side's value, and what words after it say of its sense."""

import re

from verifier.notation import marks, units
from verifier.notation.context import Context
from verifier.notation.names import canonical, is_known
from verifier.notation.sides import before_words
from verifier.notation.tokens import Tok
from verifier.notation.tree import Mark, MarkMeaning, Part, Prose

_LOOSE = ("T", "C", "up", "down", "left", "right")
_MARKLIKE = re.compile(r"[↑↓→←↺↻✓✗]|->|<-|\^\s*$|[^\W\d_)\]}.]$|[)\]}.]\s*$")
_TRAILING = re.compile(r"(?<![\w])[(\[]?(?=[^\W\d_])|[↑↓→←↺↻✓✗]")
_GERMAN: dict[str, MarkMeaning] = {"Z": "tension", "D": "compression"}
_POSITIVE = re.compile(r"\+\s?(?:ve\b|[↑→↓←↺↻])|[↑→↓←↺↻]\s?\+|\bpositi|\bpos\.", re.I)
_SMALL = ("a", "e", "i", "k", "o", "s", "u", "v", "w", "y", "z", "à", "è", "é", "ó")


_UNIT_BEHIND = re.compile(
    r"(?<=[↑↓→←↺↻])\s*[\[(]?\s?(?:k?N|MN|kips?|k|lbf?|lbs|kgf)(?:\s?[·.*-]?\s?(?:m|ft))?\s?[\])]?\s*$"
    r"|(?<=\s[ijkîĵ]\s)\s*[\[(]\s?(?:k?N|MN|kips?|lbf?|lbs|kgf|m|ft)\s?[\])]\s*$"
)


class SideMarks:
    """Takes the marks from the sides of one clause; words that say nothing go to `after`."""

    def __init__(self, text: str, tokens: list[Tok], ctx: Context, after: list[Part]) -> None:
        self.text = text
        self.tokens = tokens
        self.ctx = ctx
        self.after = after

    def take(self, side: list[Tok], index: int, most: int) -> tuple[list[Tok], tuple[Mark, ...]]:
        """Take the marks behind a side's value, and in the last side what words say after it."""
        if not side or (len(side) == 1 and " at " in side[0].text):  # nothing, or an inner force
            return side, ()
        side, german = self._zug_or_druck(side)
        if german:
            return side, (german,)
        start, end = side[0].start, side[-1].end
        united = _UNIT_BEHIND.search(self.text, start, end) if index == most else None
        if united and len(kept := [t for t in side if t.start < united.start()]) > 1:
            side, end = kept, kept[-1].end  # 21.33 ↑ (kN)
        said: list[Mark] = []
        if index == most:
            side, leans_at = self._before_lean(side)
            side, words_at = before_words(side)
            words_at = leans_at if words_at is None else words_at
            side, words_at = self._before_mark(side, words_at, end)
            if words_at is not None and side and side[-1].kind == "SIGN":
                words_at, side = side[-1].start, side[:-1]
            if words_at is not None:
                said += self._in_words(words_at, end)
                end = start + len(self.text[start:words_at].rstrip())
        if end > start and _MARKLIKE.search(self.text[start:end]):
            at = self._tail(side, start, end, index == 0 < most)
            if index == 0 < most and all(t.kind == "WORD" for t in side):
                at = end  # `stay tension = 6 kN`
            if at < end:
                first, _ = marks.marks_at(self.ctx.source, at, end)
                said = [*first, *said]
                side = [t for t in side if t.start < at]
        while side and side[-1].kind in ("SOFT",):
            side = side[:-1]
        return side, tuple(said)

    def _before_lean(self, side: list[Tok]) -> tuple[list[Tok], int | None]:
        """Cut the side where a small word leads to an angle: `= 1042 N à 43,86° de …`."""
        for i in range(1, len(side) - 1):
            before, here, after = side[i - 1 : i + 2]
            if here.text not in _SMALL or is_known(canonical(here.text), self.ctx.lex):
                continue
            spaced = before.end < here.start and here.end < after.start
            if before.kind in ("UNIT", "NUM") and after.kind == "NUM" and spaced:
                return side[:i], here.start
        return side, None

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
            known = known and not (not bare and self._apart(at) and self._member())
            twice = self._apart(at) and any(t.kind == "NAME" for t in kept)  # no force times one
            loose = bare and (known or (self.ctx.lex.bare and not (twice and self._of_member())))
            if not united and ((known and len(kept) > 1) or loose or "-" in mark):
                return end
            restated = self.ctx.follows and all(t.kind != "EQ" for t in self.tokens)  # → 2P C
            named = mark in self.ctx.lex.joints and not united and not self._member()
            if leads or (named and not restated):
                return end  # 620 C = 3520, where C is the reaction at C
        return at

    def _apart(self, at: int) -> bool:
        """Tell whether a bracket is set apart from the value before it: `0.7P (C)`."""
        return self.text[at : at + 1] == " " or self.text[at - 1 : at] == " "

    def _zug_or_druck(self, side: list[Tok]) -> tuple[list[Tok], Mark | None]:
        """Take `(Z)`, `(D)` behind a value with its unit as Zug and Druck.

        No force is multiplied by a joint, so a joint D of the sheet does not matter.
        """
        kinds = [token.kind for token in side[-4:]]
        if kinds[1:] != ["LPAR", "NAME", "RPAR"] or kinds[0] not in ("UNIT", "NUM"):
            return side, None
        letter = side[-2].text
        if letter not in _GERMAN or letter in self.ctx.lex.letters:
            return side, None
        unit = units.unit(side[-4].text.strip("[]()"), (0, 0)) if kinds[0] == "UNIT" else None
        if not (unit.kind == "force" if unit else kinds[0] == "NUM" and self._member()):
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
