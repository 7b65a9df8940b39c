"""A light preference among readings of one line: what can be written, and the sheet's names.

It knows how lines are built and spelt and nothing of statics: no figure, sign or function is
weighed against another, so that a writer's mistake is as welcome as a right line.
"""

import re
from dataclasses import dataclass

from verifier.notation import read_line
from verifier.notation.tree import Names, Unread

_UNREAD = -1.7
_BRACKETS = -1.7
_POINTS = -1.05
_OPERATORS = -0.9
_MIXED = -0.75
_KNOWN_NAME = 1.1
_STRANGE_NAME = -1.1
_USUAL_BASE = 0.8
_FORCES = "FRVHTSNMXYP"
_KNOWN_WORD = 1.2
_ABOUT = -0.7
_MOST = 3

_WORDS = re.compile(
    r"(?<![A-Za-z])(?:arcsin|arccos|arctan|sin|cos|tan|kNm|kN|kip|joint|section|moments?|about"
    r"|taking|check|tension|compression|reactions?|resolv(?:e|ing)|vertical|horizontal|through"
    r"|support|assume|inspection|force|member|whole|structure|part|left|right|method|body"
    r"|equilibrium|the|from|into|sub|zero|so|knoten)(?![a-z])",
    re.IGNORECASE,
)
_TWICE = re.compile(r"\d+[.,]\d+[.,]\d*[.]|[.,]{2,}|\d[.]\d+[.]\d")
_ODD = re.compile(r"[+\-×·/]{3}|[×·/+]{2}|=\s*[×·/)]|\([×·/=)]|[×·/+\-(]\s*$|[×·/+\-]\)|= *=")
_SCRIPTED = re.compile(r"([A-Za-z])_\{([A-Za-z0-9]+)\}")
_IN_LINE = re.compile(r"(?<![A-Za-z_{\d.])([A-Z])([A-Z0-9](?:[A-Z0-9])?)(?![A-Za-z0-9_.({])")
_LETTER_IN_NUMBER = re.compile(r"\d[lIOoSZ]\d|\.[lIOoSZ]|\d[lIOo]\.")


@dataclass(frozen=True)
class Offered:
    """The names that a sheet offers, as a reader meets them: indices and short names."""

    joints: frozenset[str]
    short: frozenset[str]

    @classmethod
    def of(cls, names: Names | None) -> "Offered":
        """Return what the sheet's names allow."""
        if names is None:
            return cls(frozenset(), frozenset())
        members = {a + b for a, b in names.members} | {b + a for a, b in names.members}
        short = members | set(names.letters) | set(names.bodies) | set(names.extra)
        return cls(names.joints, frozenset(short))

    def has(self, base: str, index: str) -> bool:
        """Return whether a name with an index can be one of the sheet's."""
        if f"{base}_{index}" in self.short or f"{base}{index}" in self.short:
            return True
        if index in self.joints or index in self.short:
            return True
        if len(index) == 2 and set(index) <= self.joints:
            return True
        ends = [j for j in self.joints if index.startswith(j)]
        if any(index[len(j) :] in ("x", "y", "h", "v", "H", "V") for j in ends):
            return True
        return base in self.joints and index in ("x", "y", "h", "v", "H", "V")


def weight(text: str, names: Names | None, offered: Offered) -> float:
    """Return a log weight of a reading, about −8 to 8."""
    total = _brackets(text) + _UNREAD * _unread(text, names)
    total += _POINTS * len(_TWICE.findall(text)) + _OPERATORS * len(_ODD.findall(text))
    total += _MIXED * len(_LETTER_IN_NUMBER.findall(text))
    total += _ABOUT * min(_MOST, text.count("≈"))
    total += _KNOWN_WORD * min(_MOST, len(_WORDS.findall(text)))
    if offered.joints:
        for base, index in [*_SCRIPTED.findall(text), *_IN_LINE.findall(text)][:_MOST]:
            if base in _FORCES or base in offered.joints:
                total += _USUAL_BASE
            if not index.isdigit():
                total += _KNOWN_NAME if offered.has(base, index) else _STRANGE_NAME
    return max(-8.0, total)


def _brackets(text: str) -> float:
    open_, wrong = 0, 0
    for sign in text:
        if sign in "([":
            open_ += 1
        elif sign in ")]":
            wrong += open_ == 0
            open_ = max(0, open_ - 1)
    return _BRACKETS * min(2, open_ + wrong)


def _unread(text: str, names: Names | None) -> int:
    line = read_line(text, 1, names or Names())
    return int(any(isinstance(part, Unread) for part in line.parts))
