"""What a writer's own letters are said to stand for: 'Let F be the thrust in CG'."""

import re
from collections.abc import Iterator, Sequence

from verifier.checking.names import Dictionary, Local, Unknown
from verifier.checking.written import Written
from verifier.notation.build import undress
from verifier.notation.tree import Name, Relation, Statement

_NAME = r"[A-Z][\w']{0,3}"
_LIST = rf"{_NAME}(?:(?:\s*,\s*|\s+(?:and|und|et|y|e|i)\s+){_NAME})*"
_SORT = (
    r"(?P<push>thrusts?|push(?:es)?|compress\w*|druck\w*|stabdruck\w*|compresi\w*|spint[ae])"
    r"|(?P<pull>tensions?|tensile|pulls?|zug\w*|traction|tracci\w*|trazion\w*|tir[oi])"
    r"|(?P<plain>(?:axial |member )?forces?|(?:stab)?kr[aä]ft\w*|efforts?|forza|fuerza)"
)
_SAID = re.compile(
    rf"(?P<let>\b(?:let|call|sei(?:en)?|soit|sea|sia)\s+)?\b(?P<names>(?-i:{_LIST}))\s*"
    r"(?:(?P<mark>[:,])|=|\bbe\b|\bis\b|\bare\b|\bist\b|\bsind\b|\bdenotes?\b)?\s*"
    r"(?:the |an? |die |der |das |la |le |el |il )*"
    rf"(?:{_SORT})(?:\s+(?:forces?|kr[aä]ft\w*))?\s+"
    r"(?:in|of|von|des|der|im|de|du|di|dans|en)\s+(?:the )?"
    r"(?:(?:struts?|bars?|members?|rods?|links?|ties?|cables?|ropes?|st[aä]be?n?|streben?|barres?)\s+)?"
    rf"(?P<bars>(?-i:{_LIST}))\b",
    re.IGNORECASE,
)
_WHERE = re.compile(
    r"=\s*0\s*,?\s*\(?(?:where|with|wobei|mit|où|avec|dove|con|donde|gdzie)\s+$", re.I
)
_EACH = re.compile(_NAME)
_PUSHES = re.compile(r"\b(?:compress\w*|druck|thrust|push)\w*\s*(?:is |as )?(?:\+|positi)", re.I)
_PULLS = re.compile(r"\b(?:tensi\w*|zug|pull)\w*\s*(?:is |as )?(?:\+|positi)", re.I)


_FORCE_LETTERS = frozenset("SNFTBPUODV")
_ENTRY = re.compile(r"\b(?P<n>\d{1,2})\s?[=:]\s?(?P<bar>[A-Z]\d?'?-?[A-Z]\d?'?)(?!\w)")
LEGEND = re.compile(
    r"(?<![\w.,=])\d{1,2}\s?[=:]\s?[A-Z]\d?'?-?[A-Z]\d?'?"
    r"(?:\s*[,;]\s*\d{1,2}\s?[=:]\s?[A-Z]\d?'?-?[A-Z]\d?'?)+(?!\w)"
)
"""`1 = AC, 2 = BC, 3 = AD`: which bar has which number."""


def letters_said(written: Sequence[Written], names: Dictionary) -> dict[str, tuple[str, float]]:
    """Return what own letters are said to be: each key with its variable and its sense.

    Only letters that the sheet lacks, said to be the push or the pull of members of it.
    """
    found: dict[str, tuple[str, float]] = dict(_numbered(written, names))
    for one in written:
        for match in _SAID.finditer(one.line.text):
            letters, bars = _EACH.findall(match["names"]), _EACH.findall(match["bars"])
            sense = _sense(match, one.line.text)
            if match["mark"] and not match["let"] and names.figure.points.keys() & {*letters}:
                continue  # Joint C: tension in AB …
            if sense and len(letters) >= len(bars):
                for letter, bar in zip(letters[-len(bars) :], bars, strict=True):
                    found |= dict(_said(letter, bar, sense, names))
    return found


def _numbered(
    written: Sequence[Written], names: Dictionary
) -> Iterator[tuple[str, tuple[str, float]]]:
    """Yield what numbered letters are where bars are numbered: `Bars: 1 = AC, 2 = BC`, then N1."""
    numbers: dict[str, str] = {}
    for one in written:
        legend = LEGEND.search(one.line.text)
        numbers |= {m["n"]: m["bar"] for m in _ENTRY.finditer(legend.group())} if legend else {}
    parts = (p for one in written for p in one.line.parts if isinstance(p, Relation))
    for name in (name for part in parts for name in part.named) if numbers else ():
        if name.sub in numbers and name.base in _FORCE_LETTERS:
            yield from _said(name.text, numbers[name.sub], 1.0, names)


def says_what(text: str) -> bool:
    """Tell whether a text says what a letter stands for."""
    return _SAID.search(text) is not None


def drawn_so(statement: Statement, text: str) -> bool:
    """Tell whether a claim behind a sum says how its force is drawn: '… = 0 where F is tension'."""
    return _WHERE.search(text[: statement.span[0]]) is not None


def _sense(match: re.Match[str], text: str) -> float:
    if match["push"]:
        return -1.0
    if match["pull"]:
        return 1.0
    return -1.0 if _PUSHES.search(text) else 1.0 if _PULLS.search(text) else 0.0


def _said(
    letter: str, bar: str, sense: float, names: Dictionary
) -> Iterator[tuple[str, tuple[str, float]]]:
    own = names.meanings(_named(letter))
    meant = names.meanings(_named(bar))[0]
    if len(own) > 1 or not isinstance(own[0], Local) or not isinstance(meant, Unknown):
        return
    if "-" in meant.variable:
        yield own[0].key, (meant.variable, sense * meant.factor)


def _named(text: str) -> Name:
    return Name((0, 0), text, *undress(text))
