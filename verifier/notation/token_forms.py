"""The tokens of an expression: their kinds, and the patterns by which they are cut."""

import re
from dataclasses import dataclass

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


TOKEN = re.compile(
    rf"""
    (?P<space>\s+)
  | (?P<num>\d{{1,3}}(?:\.\d{{3}})+,\d+ | \d{{1,3}}(?:[,']\d{{3}})+\.\d+
      | \d{{1,3}}(?:[\ ']\d{{3}})+(?:[.,]\d+)?(?!\d)
      | \d+(?:[.,]\d+)* (?:(?:[eE][+-]|e)\d{{1,2}}(?![\d.\w]))?
      | (?<![\d\w])[.,]\d+ | [½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])
  | (?P<word>[∠∡∢]?[{LETTER}](?:[{LETTER}0-9{SUBSCRIPT}]|'+(?![0-9])
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
INVERSE = re.compile(r"\s?(?:\^\s?\{?\s?-\s?1\s?\}?|\^\(-1\)|⁻¹|-1(?=\s?\())")
OF_DEGREES = re.compile(r"a?(?:sin|cos|tan)(?P<d>d)(?=\()|a(?:rc)?tan2(?=\s?\()", re.I)
SPELT_INVERSE = re.compile(r"(?:inv(?:erse)?\.?|arc|Inv)\s(?:sin|cos|tan)(?![a-zA-Z])")
KIND = {
    "num": "NUM", "composite": "COMPOSITE", "name": "NAME", "func": "FUNC", "unit": "UNIT",
    "sign": "SIGN",
    "times": "TIMES", "div": "DIV", "power": "POW", "sup": "SUP", "open": "LPAR", "close": "RPAR",
    "eq": "EQ", "arrow": "MARK", "cjk": "WORD", "word": "WORD", "soft": "SOFT", "bar": "BAR",
    "other": "BAD",
}  # fmt: skip
