"""The tokens of an expression, cut by hand from plain characters with their places kept."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from verifier.notation import units, words
from verifier.notation.names import GREEK, Lexicon, canonical, is_known
from verifier.notation.numbers import COMPOSITE

LETTER = "A-Za-zÀ-ÖØ-öø-ɏͰ-ΡΤ-ϿЀ-ӿµ"
SUBSCRIPT = "₀-₉ₐ-ₜᵢᵣᵤᵥᵦᵧᵨ"
SUPERSCRIPT = "⁰¹²³⁴-⁹"
CJK = "\u3040-\u30ff\u3400-\u9fff\uac00-\ud7af"


@dataclass(frozen=True, slots=True)
class Tok:
    """A token: `kind` is the grammar's terminal or WORD, MARK, BAD; places are plain columns."""

    kind: str
    text: str
    start: int
    end: int


_NUMBER = (
    r"\d{1,3}(?:(?:,\d{3})+|(?:\.\d{3}){2,}|(?:[ ']\d{3})+)(?![\d,.]*\d)(?:[.,]\d+)?"
    r"|\d[\d.,]*\d|\d|[.,]\d+"
)
_TOKEN = re.compile(
    rf"""
    (?P<space>\s+)
  | (?P<num>\d{{1,3}}(?:\.\d{{3}})+,\d+ | \d{{1,3}}(?:[,']\d{{3}})+\.\d+
      | \d{{1,3}}(?:[\ ']\d{{3}})+(?:[.,]\d+)?(?!\d)
      | \d+(?:[.,]\d+)* (?:(?:[eE][+-]|e)\d{{1,2}}(?![\d.\w]))?
      | (?<![\d\w])[.,]\d+ | [½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])
  | (?P<word>[{LETTER}](?:[{LETTER}0-9{SUBSCRIPT}]|'+(?![0-9])
      |\ ?_\ ?\{{[^{{}}]*\}}|\ ?_\([^()]*\)|\ ?_\ ?(?=[{LETTER}0-9{SUBSCRIPT}]))*)
  | (?P<cjk>[{CJK}]+|@)
  | (?P<sup>(?:⁻?[{SUPERSCRIPT}])+)
  | (?P<power>\*\*|\^)
  | (?P<eq>:=|==|=|≈|≡|≙|(?<=\s)~(?=\s?[-\d]))
  | (?P<arrow>->|<-|[↑↓→←↺↻↗↘↖↙✓✗])
  | (?P<sign>[+-])
  | (?P<times>[*·×])
  | (?P<div>[/÷])
  | (?P<root>√)
  | (?P<deg>°)
  | (?P<open>[(\[{{⟦])
  | (?P<close>[)\]}}⟧])
  | (?P<bar>\|)
  | (?P<soft>[.,!?…])
  | (?P<other>.)
    """,
    re.VERBOSE | re.DOTALL,
)
_FUNCTION = re.compile(
    r"(?:arc|Arc)?(?:sin|cos|tan|cot)|(?:a|A)(?:sin|cos|tan)|sen|arcsen|tg|arctg|ctg|sec|csc|cosec"
    r"|Sin|Cos|Tan|SIN|COS|TAN|SEN|sqrt|SQRT|Sqrt|abs|ABS"
)
_INVERSE = re.compile(r"\s?(?:\^\s?\{?\s?-\s?1\s?\}?|\^\(-1\)|⁻¹|-1(?=\s?\())")
_TAIL = re.compile(r"$|[0-9(₀-₉_]|[α-ω]")
_LOADS = re.compile(r"([qwpPFWQGT])([abcdehlLrsR])\d?|[mM]g")


def function_at(word: str, lex: Lexicon) -> tuple[int, int] | None:
    """Return the place of a function's name inside a run of letters, or None."""
    if word in words.NOT_FUNCTION:
        return None
    for match in _FUNCTION.finditer(word):
        start, end = match.span()
        before, after = word[:start], word[end:]
        if not _argument(after, lex):
            continue
        if not before or any(c.isupper() or c in "_₁₂₃₄₅'" or c.isdigit() for c in before):
            return (start, end)
        if len(before) == 1 or is_known(canonical(before), lex) or _loads(before):
            return (start, end)
    return None


def _argument(after: str, lex: Lexicon) -> bool:
    if _TAIL.match(after):
        return True
    head = re.match(r"[A-Za-z]+", after)
    if head is None:
        return True
    return (
        head.group() in GREEK
        or canonical(after) in lex.letters
        or (len(after) == 1 and after.isupper())
    )


def _loads(text: str) -> bool:
    return bool(_LOADS.fullmatch(text))


_WORD_AFTER = re.compile(r"\s+(?:the\s)?[A-Z]?[a-z]{3,}")
_AT_POINT = re.compile(r"[MVNQ]\s?\(\s?(?P<p>\w{1,3}'?)\s?\)(?=\s*=)")
"""The bending moment, shear or axial force at a point, written as a function of it: `M(C) = …`."""


class Scanner:
    """Cuts one stretch of plain text into tokens; `comma` tells how commas are read."""

    def __init__(self, text: str, start: int, end: int, lex: Lexicon) -> None:
        self.text = text
        self.at = start
        self.end = end
        self.lex = lex
        self.out: list[Tok] = []

    def run(self, most: int = 1 << 30) -> list[Tok]:
        """Return the tokens in order, at least `most` of them where the text has as many."""
        while self.at < self.end and len(self.out) < most:
            match = _TOKEN.match(self.text, self.at, self.end)
            if match is None:  # cannot be: the last branch takes anything
                break
            kind = match.lastgroup or "other"
            handler = getattr(self, f"_{kind}", None)
            before = self.at
            if handler is None:
                self.push(kind, match.end())
            else:
                handler(match)
            if self.at == before:
                self.at = match.end()
        return self.out

    def push(self, kind: str, end: int) -> None:
        """Add a token from the present place to `end` and go on there."""
        self.out.append(Tok(_KIND.get(kind, kind), self.text[self.at : end], self.at, end))
        self.at = end

    def _space(self, match: re.Match[str]) -> None:
        self.at = match.end()

    def _num(self, match: re.Match[str]) -> None:
        whole = COMPOSITE.match(self.text, self.at, self.end)
        if whole and whole.end() > match.end():
            self.push("composite", whole.end())
        else:
            self.push("num", self._number_end(match.end()))
            self._quotes()
            self._goes_on()
        self.unit(self.at)

    def _number_end(self, end: int) -> int:
        """Return where a number ends: `2.5E3` goes on unless E3 is a name, so does `5. kN`."""
        power = _POWER_OF_TEN.match(self.text, end, self.end)
        name = canonical(power.group()) if power else ""
        if power and name not in self.lex.joints and not is_known(name, self.lex):
            return power.end()
        if self.text[end : end + 2] == ". " and "." not in self.text[self.at : end]:
            unit = units.PATTERN.match(self.text, end + 2, self.end)
            if unit and unit.group() in words.UNIT_WORDS:
                return end + 1
        return end

    def _goes_on(self) -> None:
        """Leave out the dots of a number that goes on: `59.71… N`, `59.71... N`."""
        dots = _DOTS.match(self.text, self.at, self.end)
        if dots:
            self.push("soft", dots.end())

    def _quotes(self) -> None:
        """Take feet and inches marked by quotes, and the degree typed as an `o` behind sin."""
        mark = _QUOTES.match(self.text, self.at, self.end)
        if mark:
            self.push("unit", mark.end())
            return
        degree = _TYPED_DEGREE.match(self.text, self.at, self.end)
        before = [token.kind for token in self.out[-3:-1]]
        if degree and before and (before[-1] == "FUNC" or before == ["FUNC", "LPAR"]):
            self.push("unit", degree.end())

    def unit(self, at: int) -> None:
        """Take a unit that follows a number or a bracket, if one does."""
        gap = _GAP.match(self.text, at, self.end)
        start = gap.end() if gap else at
        if start < self.end and self.text[start] in "[(":
            inner = _BRACKETED.match(self.text, start, self.end)
            plain = inner.group(1).strip() if inner else ""
            sure = self.text[start] == "[" or plain in words.UNIT_WORDS - {"m", "t"}
            if inner and sure and units.PATTERN.fullmatch(plain):
                self.at = start
                self.push("unit", inner.end())
            return
        match = units.PATTERN.match(self.text, start, self.end)
        if match is None or self._is_name(match, start > at):
            return
        self.at = start
        whole = match.group()
        before = whole[:-2].rstrip(" ·.-")
        if whole.endswith("in") and before and self._preposition(match.end()):
            self.push("unit", start + len(before))
        else:
            self.push("unit", match.end())

    def _preposition(self, end: int) -> bool:
        """Tell whether an `in` that ends here is the word, as in `12 kN in tension`."""
        return bool(_WORD_AFTER.match(self.text, end, self.end))

    def _is_name(self, match: re.Match[str], spaced: bool) -> bool:
        """Tell whether what looks like a unit after a number is a name of the sheet."""
        text = match.group()
        if text == "in" and re.match(r"\s+[a-z(]", self.text[match.end() : match.end() + 3]):
            return True
        if _ACCELERATION.match(self.text, match.start(), self.end):
            return False
        if not spaced and text in ("m", "N") and any(t.kind == "UNIT" for t in self.out):
            return any(t.text == "°" for t in self.out if t.kind == "UNIT")
        after = self.text[match.end() : match.end() + 2].lstrip()[:1]
        if after and after in "(_'" and len(text) == 1 and after != "(":
            return True
        if function_at(text, self.lex):
            return True
        if len(text) > 1 and not spaced and all(one in self.lex.letters for one in text):
            return True
        if canonical(text) not in self.lex.letters and not is_known(canonical(text), self.lex):
            return False
        return not spaced or text not in ("m", "N", "kN", "ft")

    def _word(self, match: re.Match[str]) -> None:
        word = match.group()
        if _CROSSED.match(word) and self.out and self.out[-1].kind in ("NUM", "RPAR"):
            self.push("times", self.at + 1)
            return
        inner = _AT_POINT.match(self.text, self.at, self.end)
        if inner and canonical(inner["p"]) in self.lex.joints:
            self.push("name", inner.end())
            return
        if degrees := _OF_DEGREES.match(self.text, self.at, self.end):
            self.push("func" if degrees["d"] else "other", degrees.end())
            return
        place = function_at(word, self.lex)
        if place is None:
            self._name(match.end())
        elif place[0] == 0:
            self._function(self.at + place[1])
        else:
            self._name(self.at + place[0])

    def _function(self, end: int) -> None:
        inverse = _INVERSE.match(self.text, end, self.end)
        self.push("func", inverse.end() if inverse else end)

    def _power(self, match: re.Match[str]) -> None:
        """Take a unit raised behind its number, as `9^k`; else a power."""
        raised = _RAISED_UNIT.match(self.text, self.at, self.end)
        behind = bool(self.out) and self.out[-1].kind == "NUM"
        if raised and behind and not is_known(canonical(raised["u"]), self.lex):
            self.push("unit", raised.end())
        else:
            self.push("power", match.end())

    def _root(self, match: re.Match[str]) -> None:
        self.push("func", match.end())

    def _name(self, end: int) -> None:
        word = self.text[self.at : end]
        if word in ("max", "min", "max.", "min.") and self._extends():
            last = self.out.pop()
            self.out.append(Tok("NAME", self.text[last.start : end], last.start, end))
            self.at = end
        elif inverse := _SPELT_INVERSE.match(self.text, self.at, self.end):
            self.push("func", inverse.end())
        elif word in ("x", "X", "х") and self._between():
            self.push("times", end)
        elif word == "in" and self._preposition(end):
            self.push("word", end)
        elif word in words.EQUALS and self._says(end):
            self.push("eq", end)
        elif (
            units.PATTERN.fullmatch(word) and word in words.UNIT_WORDS and self._unknown(word)
        ) or (word in words.SURE_UNITS and self._after_operator() and not is_known(word, self.lex)):
            self.push("unit", end)
        elif self._glued(end):
            return
        else:
            kinds = list(pieces(word, self.lex))
            if self._beside_unit(word):
                kinds = [(len(word), "word")]
            elif kinds[0][1] == "word" and self._capital(word, end):
                kinds = [(len(word), "name")]
            for size, kind in kinds:
                self.push(kind, self.at + size)

    def _extends(self) -> bool:
        """Tell whether a name stands right before this place: `M max`."""
        return bool(self.out) and self.out[-1].kind == "NAME" and self.at - self.out[-1].end < 2

    def _beside_unit(self, word: str) -> bool:
        """Tell whether a small unknown word follows a unit: `9.07 kN ans`."""
        last = self.out[-1] if self.out else None
        if last is None or last.kind != "UNIT" or last.end == self.at or last.text == "°":
            return False
        return len(word) > 1 and word.isalpha() and word.islower() and not is_known(word, self.lex)

    def _capital(self, word: str, end: int) -> bool:
        """Tell whether a common word such as `By` or `As` is a name here: no word follows it."""
        if len(word) > 2 or not word[0].isupper():
            return False
        follows = re.match(rf"\s+([a-z{LETTER}]+)", self.text[end : self.end])
        return follows is None or function_at(follows.group(1), self.lex) is not None

    def _glued(self, end: int) -> bool:
        """Take `U1-L2` as one name where the table has such a member."""
        match = _HYPHEN.match(self.text, end, self.end)
        if match is None or self.lex.bare:
            return False
        first, second = canonical(self.text[self.at : end]), canonical(match.group(1))
        for joint in (first, first[1:]):
            if self.lex.members.get(joint + second) == (joint, second):
                self.push("name", match.end())
                return True
        return False

    def _between(self) -> bool:
        """Tell whether the present place stands between two operands."""
        if not self.out or self.out[-1].kind not in (
            "NUM",
            "NAME",
            "RPAR",
            "UNIT",
            "COMPOSITE",
            "SUP",
        ):
            return False
        rest = self.text[self.at + 1 : self.end].lstrip()
        spaced = (
            self.text[self.at + 1 : self.at + 2] == " " or rest[:1].isdigit() or rest[:1] == "("
        )
        return spaced and bool(rest) and (rest[0].isalnum() or rest[0] in "(√[.-½⅓¼¾⅔")

    def _says(self, end: int) -> bool:
        """Tell whether `is` stands between a name and its value: R_A is 3.86 kN."""
        named = bool(self.out) and self.out[-1].kind == "NAME"
        return named and bool(re.match(r"\s+-?\s?\d", self.text[end : min(end + 8, self.end)]))

    def _unknown(self, word: str) -> bool:
        """Tell whether a word behind a value is no name of the sheet, so that it is a unit."""
        return self._after_value() and not is_known(canonical(word), self.lex)

    def _after_operator(self) -> bool:
        return bool(self.out) and self.out[-1].kind in ("EQ", "TIMES", "SIGN", "DIV")

    def _after_value(self) -> bool:
        return bool(self.out) and self.out[-1].kind in ("NUM", "RPAR", "NAME", "SUP")

    def _deg(self, match: re.Match[str]) -> None:
        self.push("unit", match.end())

    def _open(self, match: re.Match[str]) -> None:
        if match.group() == "[" and self._after_value():
            before = self.at
            self.unit(self.at)
            if self.at != before:
                return
        self.push("open", match.end())

    def _close(self, match: re.Match[str]) -> None:
        self.push("close", match.end())
        self.unit(self.at) if self._unit_follows() else None

    def _unit_follows(self) -> bool:
        match = units.PATTERN.match(
            self.text, self.at + (self.text[self.at : self.at + 1] == " "), self.end
        )
        return match is not None and match.group() in words.UNIT_WORDS

    def _soft(self, match: re.Match[str]) -> None:
        """Take a point as a product between operands (`6.RB`); else it says nothing."""
        if match.group() == "." and self.out and self.at + 1 < self.end:
            nxt = self.text[self.at + 1]
            spaced = nxt == " " and self.text[self.at - 1] == " "
            follower = self.text[self.at + 1 : self.end].lstrip()[:4].lower()
            product = self.out[-1].kind in ("NAME", "RPAR") and follower.startswith(
                _COMMON_FUNCTIONS
            )
            if product and (spaced or nxt != " "):
                self.push("times", match.end())
                return
            if self.out[-1].kind in ("NUM", "UNIT", "RPAR") and (nxt.isalpha() or nxt == "("):
                self.push("times", match.end())
                return
            rest = self.text[self.at + 1 : self.end].lstrip()
            if nxt == " " and rest and rest[0].isdigit() and self.text[self.at - 1] == " ":
                self.push("times", match.end())
                return
        self.push("soft", match.end())


_COMMON_FUNCTIONS = ("sin", "cos", "tan", "sen")
_ENDS = ("NUM", "NAME", "RPAR", "UNIT", "COMPOSITE", "SUP")
_CROSSED = re.compile(r"[xX]\d")
_POWER_OF_TEN = re.compile(r"E\d{1,2}(?![\w.])")
_OF_DEGREES = re.compile(r"a?(?:sin|cos|tan)(?P<d>d)(?=\()|a(?:rc)?tan2(?=\s?\()", re.I)
_DOTS = re.compile(r"(?:…|\.{3})(?=\s|$|[^\W\d])")
_ACCELERATION = re.compile(r"m\s?(?:/\s?s|s\s?\^?[{(]?[-⁻][2²])")
_SPELT_INVERSE = re.compile(r"(?:inv(?:erse)?\.?|arc|Inv)\s(?:sin|cos|tan)(?![a-zA-Z])")
_RAISED_UNIT = re.compile(r"\^\s?[({]?(?P<u>k|K|kips?|lbs?|#|kN)[)}]?(?![\w(])")
_QUOTES = re.compile(r"(?:''|['\"])(?![A-Za-z])")
_TYPED_DEGREE = re.compile(r"\^?\{?o\}?(?![\w])")
_GAP = re.compile(r"[  ]{0,3}")
_BRACKETED = re.compile(r"[\[(]([^\[\]()]{1,12})[\])]")
_HYPHEN = re.compile(rf"-(\{{?[{LETTER}]\w*'*\}}?)(?![\w])")
_KIND = {
    "num": "NUM", "composite": "COMPOSITE", "name": "NAME", "func": "FUNC", "unit": "UNIT",
    "sign": "SIGN",
    "times": "TIMES", "div": "DIV", "power": "POW", "sup": "SUP", "open": "LPAR", "close": "RPAR",
    "eq": "EQ", "arrow": "MARK", "cjk": "WORD", "word": "WORD", "soft": "SOFT", "bar": "BAR",
    "other": "BAD",
}  # fmt: skip


_ELIDED = re.compile(r"[a-zA-Z]{1,5}'[a-zà-ÿ]{3,}")


def pieces(word: str, lex: Lexicon) -> Iterator[tuple[int, str]]:
    """Cut a run of letters into names of the table; what cannot be cut stays one name or word.

    Yields (length, 'name' or 'word').
    """
    text = canonical(word)
    if is_known(text, lex):
        yield (len(word), "name")
    elif word.lower() in words.STOP:
        yield (len(word), "word")
    elif cut := _cut(word, lex):
        for size in cut:
            yield (size, "name")
    elif len(word) == 2 and _loads(word) and not word.isupper():
        yield (1, "name")
        yield (1, "name")
    elif _ELIDED.fullmatch(word) or (
        word.isalpha() and len(word) > 3 and word[1:].islower() and word not in GREEK
    ):
        yield (len(word), "word")
    else:
        yield (len(word), "name")


def _cut(word: str, lex: Lexicon) -> list[int]:
    """Cut `word` into the fewest known names, each piece a whole writing; [] where it cannot be."""
    if len(word) > 14 or lex.bare:
        return []
    best: list[list[int] | None] = [[]] + [None] * len(word)
    for end in range(1, len(word) + 1):
        for start in range(end):
            before = best[start]
            if (
                before is None
                or word[end - 1] == "_"
                or word[start] in "_'₀₁₂₃₄₅₆₇₈₉"
                or word[start].isdigit()
            ):
                continue
            if is_known(canonical(word[start:end]), lex) and not word[end : end + 1].startswith(
                "_"
            ):
                old = best[end]
                if old is None or len(before) + 1 < len(old):
                    best[end] = [*before, end - start]
    found = best[-1]
    return found if found and len(found) > 1 else []
