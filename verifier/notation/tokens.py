"""The tokens of an expression, cut by hand from plain characters with their places kept."""

import re
from dataclasses import replace

from verifier.notation import units, words
from verifier.notation.measures import Measures
from verifier.notation.names import GREEK, canonical, is_known
from verifier.notation.runs import function_at, pieces
from verifier.notation.token_forms import INVERSE, LETTER, OF_DEGREES, SPELT_INVERSE, TOKEN, Tok

__all__ = ["Scanner", "Tok"]

_AT_POINT = re.compile(r"[MVNQ]\s?\(\s?(?P<p>\w{1,3}'?)\s?\)(?=\s*=)")
_OF_BAR = re.compile(r"(?P<f>[FSNT])\s?\(\s?(?P<p>\w{2,6}'?|\w{1,3}'?-\w{1,3}'?)\s?\)(?=\s*=)")
_OF_BAR_WITHIN = re.compile(r"(?P<f>[FSNT])\s?\(\s?(?P<p>[A-Z]\w{1,5}'?)\s?\)")
_POINT_LETTER = re.compile(r"\.(?P<l>[^\W\d_])(?![\w])")
_AHEAD = re.compile(r"\d+|[^\W\d_]\w*")  # 3a.R_B, 2P.4a
_ANGLE_BEHIND = re.compile(r"\s*\d[\d.,]*\s?°")
_RAISED_UNIT = re.compile(r"\^\s?[({]?(?P<u>k|K|kips?|lbs?|#|kN)[)}]?(?![\w(])")
_NAME_AFTER = re.compile(r"\s+[A-ZΑ-Ω][\w']*(?:_\{?\w+\}?)?\s*(?:[=≈]|$)")
_CROSSED = re.compile(r"[xX]\d")
_BEFORE_NAME = re.compile(r"[xX][A-Z][\w']{0,3}")  # `18x2 = 7.5xRb`
_TIMES_IN_DIGITS = re.compile(r"\d[xX]\d")
_NAME_CROSSED = re.compile(r"(?P<name>[A-Z]_?[A-Z]?[xy]?\d?)[xX](?=\d+\.?\d*(?![\w]))")  # `RBx7.5`
_PARTLY = re.compile(
    r"^[^;:,]*\b(?:senkrecht|lotrecht|vertikal|waagerecht|waagrecht|horizontal(?:ly|ement|mente)?"
    r"|vertical(?:ly|ement|mente)?|verticale|orizzontalmente|pionowo|poziomo)\b"
)
_LYING = re.compile(r"\s+-?\s?\d[\d.,]*\s?(?:mm?|cm|ft|in)(?![\w·*])")
_HYPHEN = re.compile(rf"-(\{{?[{LETTER}]\w*'*\}}?|\d{{1,2}}(?=\s*[=:≈]))(?![\w])")
_NUMBERED = re.compile(
    r"(\d{1,2})\s?-\s?(\d{1,2})(?=\s*(?:[=:≈]\s*(-?\d+(?![.,]?\d))?|$|[(;,.]|[-–—]\s))"
)
_ANGLE_BETWEEN = re.compile(
    r"\b(?:angle|winkel|ángulo|ângulo|angolo|kąt|hoek|vinkel)\s(?:[^\W\d]+\s){0,2}?"
    r"(?:between|zwischen|entre|tra|fra|między|tussen|mellan|mellem)\s[^=:;.]*$",
    re.IGNORECASE,
)
_OVER_WITH = re.compile(r"\s*(?:$|[.;,]|[-–—]\s)")
_PART_AT = re.compile(
    r"(?P<joint>\d{1,2})_?[xyXYhvHV](?=\s*=\s*[-+−]?\s?[\d.,]+(?!\s?[\w·*×(]*[A-Z]))"
)
_BAR_NUMBERED = re.compile(r"[SNF]\d{1,2}-\d{1,2}\s*=(?!\s*0(?![.,\d]))")  # N1-4 = −8 kN
_BRACKETED_UNIT = re.compile(r"\s?[\[(]\s?(?P<unit>[^\W\d][\w·.*-]{0,5})\s?[\])]")
_DIRECTIONS = ("i", "j", "k")
_COMMON_FUNCTIONS = ("sin", "cos", "tan", "sen")


class Scanner(Measures):
    """Cuts one stretch of plain text into tokens."""

    def run(self, most: int = 1 << 30) -> list[Tok]:
        """Return the tokens in order, at least `most` of them where the text has as many."""
        while self.at < self.end and len(self.out) < most:
            match = TOKEN.match(self.text, self.at, self.end)
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

    def _space(self, match: re.Match[str]) -> None:
        self.at = match.end()

    def _num(self, match: re.Match[str]) -> None:
        """Take `1-5 = −17 kN` as a bar's name where the sheet numbers its joints; else a number."""
        part = _PART_AT.match(self.text, self.at, self.end)
        if part and not self.out and part["joint"] in self.lex.joints:
            self.push("name", part.end())  # 2x = 10.7, the reaction at joint 2
            return
        bar = _NUMBERED.match(self.text, self.at, self.end)
        first = not self.out or self.out[-1].kind in ("EQ", "WORD")
        if bar and bar[3] and int(bar[1]) - int(bar[2]) == int(bar[3]):
            bar = None  # `5-2 = 3`
        named = bar is not None and bool(
            self.lex.pair(canonical(bar.group())) or (self.lex.bare and self._bar_alone(bar))
        )
        if bar and first and named:
            self.push("name", bar.end())
        else:
            super()._num(match)

    def _bar_alone(self, bar: re.Match[str]) -> bool:
        """Tell whether `2-3`, typed close, is a bar where no sheet says so: what has a value."""
        close, before = " " not in bar.group(), [token.kind for token in self.out[-2:]]
        ends = [token.kind for token in self.out] == ["NAME", "EQ"] and int(bar[1]) < int(bar[2])
        if close and ends and _OVER_WITH.match(self.text, bar.end(), self.end):
            return True  # D2 = 1-5: what its letter stands for
        valued = self.text[bar.end() : self.end].lstrip()[:1] in ("=", ":", "≈")
        return close and (valued if not self.out else before == ["UNIT", "EQ"] or valued)

    def _word(self, match: re.Match[str]) -> None:
        word = match.group()
        before_name = _BEFORE_NAME.fullmatch(word) and _TIMES_IN_DIGITS.search(self.text)
        if (
            (_CROSSED.match(word) or before_name)
            and self.out
            and self.out[-1].kind in ("NUM", "RPAR")
        ):
            self.push("times", self.at + 1)
            return
        crossed = _NAME_CROSSED.match(self.text, self.at, self.end)
        if crossed and self._times_a_name(crossed):
            self.push("name", crossed.end("name"))
            self.push("times", crossed.end())
            return
        inner = _AT_POINT.match(self.text, self.at, self.end)
        if inner and (canonical(inner["p"]) in self.lex.joints or inner["p"].isupper()):
            self.push("name", inner.end())
            return
        held = _OF_BAR.match(self.text, self.at, self.end)
        if held and held["f"] not in self.lex.letters and self.lex.pair(canonical(held["p"])):
            self.push("name", held.end())
            return
        bar = _OF_BAR_WITHIN.match(self.text, self.at, self.end)
        if bar and bar["f"] not in self.lex.letters and canonical(bar["p"]) in self.lex.members:
            self.push("name", bar.end())
            return
        if degrees := OF_DEGREES.match(self.text, self.at, self.end):
            self.push("func" if degrees["d"] else "other", degrees.end())
            return
        place = function_at(word, self.lex)
        if place is None:
            self._name(match.end())
        elif place[0] == 0:
            self._function(self.at + place[1])
        else:
            self._name(self.at + place[0])

    def _times_a_name(self, crossed: re.Match[str]) -> bool:
        """Tell whether `x` between a name and a number multiplies them: `RBx7.5`, `R_Ax6`."""
        name, whole = canonical(crossed["name"]), canonical(crossed.group())
        return is_known(name, self.lex) and whole + self.text[crossed.end()] not in self.lex.letters

    def _function(self, end: int) -> None:
        inverse = INVERSE.match(self.text, end, self.end)
        self.push("func", inverse.end() if inverse else end)

    def _power(self, match: re.Match[str]) -> None:
        """Take a unit raised behind its number, as `9^k`; else a power."""
        raised = _RAISED_UNIT.match(self.text, self.at, self.end)
        behind = bool(self.out) and self.out[-1].kind == "NUM"
        if raised and behind and not is_known(canonical(raised["u"]), self.lex):
            self.push("unit", raised.end())
        else:
            self.push("power", match.end())

    def _sup(self, match: re.Match[str]) -> None:
        """Take a raised number with the unit behind it: `7,5·10⁶ N·mm`."""
        self.push("sup", match.end())
        behind = len(self.out) > 1 and self.out[-2].kind == "NUM"
        if behind and self._unit_follows():
            self.unit(self.at)

    def _root(self, match: re.Match[str]) -> None:
        self.push("func", match.end())

    def _name(self, end: int) -> None:
        word = self.text[self.at : end]
        if word in ("max", "min", "max.", "min.") and self._extends():
            last = self.out.pop()
            self.out.append(Tok("NAME", self.text[last.start : end], last.start, end))
            self.at = end
        elif inverse := SPELT_INVERSE.match(self.text, self.at, self.end):
            self.push("func", inverse.end())
        elif word in ("x", "X", "х") and (self._between() or self._behind_word(end)):
            self.push("times", end)
        elif word == "x" and self._of_a_ratio(end):
            self.out[-1] = replace(self.out[-1], kind="NAME")
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
            if kinds == [(1, "name"), (1, "name")] and self._defined(end):
                kinds = [(2, "name")]  # `Fh = 5 cos 60°`, no product
            if self._beside_unit(word):
                kinds = [(len(word), "word")]
            elif kinds[0][1] == "word" and self._capital(word, end):
                kinds = [(len(word), "name")]
            elif kinds == [(len(word), "name")] and self._leads_on(word, end):
                kinds = [(len(word), "word")]
            for size, kind in kinds:
                self.push(kind, self.at + size)
            if word in _DIRECTIONS:
                self._unit_of_vector()

    def _defined(self, end: int) -> bool:
        """Tell whether two letters stand alone before an `=`, neither a letter of the sheet."""
        first = not self.out or self.out[-1].kind == "WORD"
        own = not set(self.text[self.at : end]) & self.lex.letters
        return first and own and self.text[end : self.end].lstrip()[:1] == "="

    def _of_a_ratio(self, end: int) -> bool:
        """Tell whether `sin x 1.2` multiplies a sine worked out before: `sin = 0.78`."""
        bare = bool(self.out) and self.out[-1].kind == "FUNC" and "x" not in self.lex.letters
        return bare and bool(re.match(r"\s\d", self.text[end : self.end]))

    def _unit_of_vector(self) -> None:
        """Take the unit behind a vector: `0.73 i − 1.31 j (kN)`, `5 i m`."""
        inner = _BRACKETED_UNIT.match(self.text, self.at, self.end)
        if inner and units.PATTERN.fullmatch(inner["unit"]):
            self.push("unit", inner.end())
        elif self._unit_follows():
            self.unit(self.at)

    def _extends(self) -> bool:
        """Tell whether a name stands right before this place: `M max`."""
        return bool(self.out) and self.out[-1].kind == "NAME" and self.at - self.out[-1].end < 2

    def _beside_unit(self, word: str) -> bool:
        """Tell whether a small unknown word follows a unit: `9.07 kN ans`."""
        last = self.out[-1] if self.out else None
        if last is not None and last.text == "(" and self.text[self.at + len(word) :][:1] == ")":
            last = self.out[-2] if len(self.out) > 1 and len(word) > 2 else None  # 9.07 kN (opp)
        if last is None or last.kind != "UNIT" or last.end == self.at or last.text == "°":
            return False
        return len(word) > 1 and word.isalpha() and word.islower() and not is_known(word, self.lex)

    def _leads_on(self, word: str, end: int) -> bool:
        """Tell whether a short unknown writing before a name leads on to it: `dus B_y = 4`."""
        if not (1 < len(word) < 4 and word.isalpha() and word.islower()) or word in GREEK:
            return False
        if (self.out and self.out[-1].kind != "WORD") or is_known(word, self.lex):
            return False
        return bool(_NAME_AFTER.match(self.text, end, self.end))

    def _capital(self, word: str, end: int) -> bool:
        """Tell whether a common word such as `By` or `As` is a name here: no word follows it."""
        if len(word) > 2 or not word[0].isupper():
            return False
        follows = re.match(rf"\s+([a-z{LETTER}]+)", self.text[end : self.end])
        if follows is None or follows.group(1) == "x":  # E x 5
            return True
        return function_at(follows.group(1), self.lex) is not None

    def _glued(self, end: int) -> bool:
        """Take `U1-L2` as one name where the table has such a member."""
        match = _HYPHEN.match(self.text, end, self.end)
        if match is None:
            return False
        if self.lex.bare:
            numbered = _BAR_NUMBERED.match(self.text, self.at, self.end)
            if numbered and (not self.out or self.out[-1].kind == "EQ"):
                self.push("name", match.end())
                return True
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
        if rest[:2] == "- ":
            return False  # `6x - 3`: a name
        spaced = (
            self.text[self.at + 1 : self.at + 2] == " " or rest[:1].isdecimal() or rest[:1] == "("
        )
        return spaced and bool(rest) and (rest[0].isalnum() or rest[0] in "(√[.-½⅓¼¾⅔")

    def _behind_word(self, end: int) -> bool:
        """Tell whether `x` stands between a word and a number of an equation: `tie force x 1.2`."""
        last = self.out[-1] if self.out else None
        if last is None or last.kind != "WORD" or len(last.text) < 4 or "x" in self.lex.letters:
            return False
        apart = last.end < self.at and bool(re.match(r"\s\d", self.text[end : self.end]))
        return apart and last.text.lower() not in words.LEADS and "=" in self.text[: self.end]

    def _says(self, end: int) -> bool:
        """Tell whether `is` stands between a name and its value: R_A is 3.86 kN."""
        named = bool(self.out) and self.out[-1].kind == "NAME"
        place = named and canonical(self.out[-1].text) in self.lex.joints
        if place and _LYING.match(self.text, end, self.end):
            return False  # D is 5 m from A
        if _PARTLY.search(self.text[end : min(end + 40, self.end)]):
            return False  # der Stab AE trägt 15 kN senkrecht
        if _ANGLE_BETWEEN.search(self.text, 0, self.at):
            return False  # the angle between W and R is 18°
        return named and bool(re.match(r"\s+-?\s?\d", self.text[end : min(end + 8, self.end)]))

    def _unknown(self, word: str) -> bool:
        """Tell whether a word behind a value is no name of the sheet, so that it is a unit."""
        return self._after_value() and not is_known(canonical(word), self.lex)

    def _after_operator(self) -> bool:
        return bool(self.out) and self.out[-1].kind in ("EQ", "TIMES", "SIGN", "DIV")

    def _after_value(self) -> bool:
        return bool(self.out) and self.out[-1].kind in ("NUM", "RPAR", "NAME", "SUP")

    def _arrow(self, match: re.Match[str]) -> None:
        """Take a slanting arrow before an angle as words: `6.5 kN ↗ 67.4°`."""
        slants = match.group() in "↗↘↖↙" and bool(_ANGLE_BEHIND.match(self.text, match.end()))
        self.push("word" if slants else "arrow", match.end())

    def _other(self, match: re.Match[str]) -> None:
        """Take the sign of an angle behind a value as words: `6.5 kN ∠67.4°`, `8 kN ⊥ AB`."""
        self.push("word" if match.group() in "∠∡∢⊥" else "other", match.end())

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

    def _soft(self, match: re.Match[str]) -> None:
        """Take a point as a product between operands (`6.RB`, `w.L`); else it says nothing."""
        if match.group() == "." and self.out and self.at + 1 < self.end:
            nxt = self.text[self.at + 1]
            spaced = nxt == " " and self.text[self.at - 1] == " "
            follower = self.text[self.at + 1 : self.end].lstrip()[:4].lower()
            product = self.out[-1].kind in ("NAME", "RPAR") and follower.startswith(
                _COMMON_FUNCTIONS
            )
            letter = _POINT_LETTER.match(self.text, self.at, self.end)
            both = {self.out[-1].text, letter["l"]} if letter else set()
            letters = bool(both) and {*map(canonical, both)} <= self.lex.letters
            usual = self.lex.bare and letter is not None and self.out[-1].text in "PFWQGqwpL"
            ahead = _AHEAD.match(self.text, self.at + 1, self.end)
            known = ahead is not None and (
                ahead.group().isdigit() or is_known(canonical(ahead.group()), self.lex)
            )
            letters = letters or (canonical(self.out[-1].text) in self.lex.letters and known)
            letters = letters or (usual and letter is not None and letter["l"] in "Llabcdhx")
            if letters or (product and (spaced or nxt != " ")):
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
