"""Cutting numbers with their units from plain text."""

import re

from verifier.notation import units, words
from verifier.notation.names import Lexicon, canonical, is_known
from verifier.notation.numbers import COMPOSITE
from verifier.notation.runs import function_at
from verifier.notation.token_forms import KIND, Tok

_POWER_OF_TEN = re.compile(r"E\d{1,2}(?![\w.])")
_DOTS = re.compile(r"(?:…|\.{3})(?=\s|$|[^\W\d])")
_ACCELERATION = re.compile(r"m\s?(?:/\s?s|s\s?\^?[{(]?[-⁻][2²])")
_QUOTES = re.compile(r"(?:''|['\"])(?![A-Za-z])")
_TYPED_DEGREE = re.compile(r"\^?\{?o\}?(?![\w])")
_GAP = re.compile(r"[  ]{0,3}")
_BRACKETED = re.compile(r"[\[(]([^\[\]()]{1,12})[\])]")
_OUT_OF_PAGE = re.compile(r"[A-Z]\w?\s?k(?![\w])[^=]*[-+=]")  # `4 B k − 20 k = 0`: vectors
_SHARED = re.compile(r"(?<!\w)N\s?[·*]?\s?(?:sin|cos|sen)(?![^\W\d_])[^=]*=\s*[-+−–]?\s*$")
_METRIC = ("N", "kN", "MN", "daN", "kgf")
_WORD_AFTER = re.compile(
    r"\s+(?:the\s)?(?:[A-Z]?[a-z]{3,}|[A-Z]\d?(?:[A-Z]\d?)?(?![\w=])|\d{1,2}\s?-\s?\d"
    r"|\d[\d.,]*\s?(?:mm|cm|m|ft)\b)"  # 0,6 kN in 1,5 m Höhe
)


_CLAUSE = re.compile(r"[;,:]\s|[⇒→∴⟹⟶]|=>|->|\b(?:and|und|et|e|y|so|thus|hence)\b")
_ITSELF = re.compile(r"(?:^|(?<=[\s,;:⇒→>]))N\s*=[^=]*$")  # `hence N = 2.25 N`
_BEGUN = re.compile(r"[=≈]\s*[-+−–]?\s*$")
_ENDED = re.compile(r"\s*(?:$|[^\s\w=≈+*/·×−–.^-])")
_EQUATED = re.compile(r"\s*[=≈](?:\s*[-−–]?\s?(?P<kilo>\d[\d.,]*)\s?kN)?")
_ADDED = re.compile(r"\s*[-+−–]\s*[\w(]")
_LED = re.compile(r"[\w)]\s*[-+−–]\s*$")


def _turned(newtons: str, kilonewtons: str) -> bool:
    """Tell whether two written numbers are one force in newtons and in kilonewtons."""
    figures = [text.replace(",", ".").strip(".") for text in (newtons, kilonewtons)]
    if any(text.count(".") > 1 for text in figures):
        return False
    small, large = map(float, figures)
    return abs(small - 1000 * large) <= 0.01 * small


def _size(text: str) -> float:
    """Return the size of a number as written, as far as one can tell; infinite where not."""
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return float("inf")


class Measures:
    """A stretch of plain text, cut from `at` on, with what is cut already in `out`."""

    def __init__(self, text: str, start: int, end: int, lex: Lexicon) -> None:
        self.text = text
        self.at = start
        self.end = end
        self.lex = lex
        self.out: list[Tok] = []

    def push(self, kind: str, end: int) -> None:
        """Add a token from the present place to `end` and go on there."""
        self.out.append(Tok(KIND.get(kind, kind), self.text[self.at : end], self.at, end))
        self.at = end

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
        metric = whole.endswith(" in") and before in _METRIC  # 44 kN in h/3 = 1 m
        if metric or (whole.endswith("in") and before and self._preposition(match.end())):
            self.push("unit", start + len(before))
        else:
            self.push("unit", match.end())

    def _preposition(self, end: int) -> bool:
        """Tell whether an `in` that ends here is the word, as in `12 kN in tension`."""
        return bool(_WORD_AFTER.match(self.text, end, self.end))

    def _is_name(self, match: re.Match[str], spaced: bool) -> bool:
        """Tell whether what looks like a unit after a number is a name of the sheet."""
        text = match.group()
        if text == "in" and re.match(r"\s+[a-z(\d]", self.text[match.end() : match.end() + 3]):
            return True
        if _ACCELERATION.match(self.text, match.start(), self.end):
            return False
        if text == "k" and spaced and _OUT_OF_PAGE.search(self.text):
            return True
        if text == "N" and self.out and "N" in self.lex.letters:
            return self._times_force(match.end(), spaced)
        if not spaced and text in ("m", "N") and any(t.kind == "UNIT" for t in self.out):
            return any(t.text == "°" for t in self.out if t.kind == "UNIT")
        after = self.text[match.end() : match.end() + 2].lstrip()[:1]
        if after and after in "(_'" and len(text) == 1 and after != "(":
            return True
        if function_at(text, self.lex):
            return True
        apart = not spaced or text == "Pa"  # 1.75 Pa, of a load P and a length a
        if len(text) > 1 and apart and all(one in self.lex.letters for one in text):
            return True
        if canonical(text) not in self.lex.letters and not is_known(canonical(text), self.lex):
            return False
        own = text == "N" and self.lex.force != "N"
        return own or not spaced or text not in ("m", "N", "kN", "ft")

    def _times_force(self, end: int, spaced: bool) -> bool:
        """Tell whether a number stands before a force N and not before a newton.

        `X = 0.6N = 237.1 N`: what is set equal to something more, or stands in a sum, holds the
        force; what a chain ends with is a value, and so is what N itself comes to.
        """
        clause = _CLAUSE.split(self.text[: self.out[-1].start])[-1]
        after = self.text[end : self.end]
        begun, ended = bool(_BEGUN.search(clause)), bool(_ENDED.match(after))
        if self.lex.force != "N":
            chain = clause.count("=") > 1 or _ITSELF.search(clause)
            share = not spaced or _size(self.out[-1].text) <= 1.0
            if share and _SHARED.search(clause):
                return True  # N_x = N sin 30° = 0.5N
            return not (begun and ended and chain)
        if spaced or self.text[end : end + 1] in ("·", "/", "m"):
            return False
        equated = _EQUATED.match(after)
        if equated and equated["kilo"] and _turned(self.out[-1].text, equated["kilo"]):
            return False  # 300N = 0.3 kN
        return bool(equated or _ADDED.match(after) or _LED.search(clause))

    def _unit_follows(self) -> bool:
        match = units.PATTERN.match(
            self.text, self.at + (self.text[self.at : self.at + 1] == " "), self.end
        )
        return match is not None and match.group() in words.UNIT_WORDS
