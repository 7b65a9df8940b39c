"""A line in plain characters with a map back to the line as typed."""

import re
import unicodedata
from dataclasses import dataclass

from verifier.notation.tree import Span

_ALIKE = {
    "-": "−–—‐‑‒﹣－",
    "×": "✕✖⨯╳",
    "·": "∙⋅•‧・●∗",
    "/": "∕⁄",
    "'": "′’‘ʹʼ´",
    '"': "″”“„",
    "°": "º˚ᵒ",
    "≈": "≃≅∼≐≒",
    "Σ": "∑𝛴𝚺",
    "⇒": "⟹⟾➔➜➡⇨⇛⟶⇔⟺↦",
    "↺": "⟲↶⤺🔄⭯⥀",
    "↻": "⟳↷⤻🔃⭮⥁",
    "↑": "⇑⬆▲△",
    "↓": "⇓⬇▼▽",
    "←": "⇐⬅⟵",
    "→": "►▶▸➤",
    ":": "∶",
    "h": "ℎ",
    "l": "ℓ",
    "✓": "✔☑",
    "✗": "✘☒",
    "∥": "‖",
    "⊥": "⟂",
    "θ": "ϑ𝜃",
    "φ": "ϕ",
    "ε": "ϵ",
    "Δ": "∆",
    "Ω": "Ω",
    ",": "、",
    " ": "\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f"
    "\u3000",
}


def _table() -> dict[int, str]:
    table = {ord(other): plain for plain, others in _ALIKE.items() for other in others}
    for code in (*range(0xFF01, 0xFF5F), *range(0x1D400, 0x1D800)):
        table.setdefault(code, unicodedata.normalize("NFKC", chr(code)))
    for code in (0x200B, 0x200C, 0x200D, 0xFEFF, 0x2060, 0xFE0F, 0x2061, 0x2062):
        table[code] = " "
    return table


PLAIN = _table()


@dataclass(frozen=True)
class Source:
    """A line as typed (`line`) and in plain characters (`text`).

    `starts[i]`, `ends[i]` are the place in `line` of plain character `i`; both are None where the
    two stand character for character.
    """

    line: str
    text: str
    starts: tuple[int, ...] | None = None
    ends: tuple[int, ...] | None = None

    def span(self, start: int, end: int) -> Span:
        """Return the place in the typed line of plain characters `start` to `end`."""
        if self.starts is None or self.ends is None:
            return (start, end)
        if not self.starts:
            return (0, 0)
        if start >= end:
            place = self.starts[start] if start < len(self.starts) else self.ends[-1]
            return (place, place)
        low, high = self.starts[start], max(self.ends[start:end])
        return _whole(self.line, low, high) if "{" in self.line or "$" in self.line else (low, high)

    def place(self, index: int) -> int:
        """Return the column in the typed line of plain character `index`."""
        return self.span(index, index)[0]


def _whole(line: str, low: int, high: int) -> Span:
    """Widen a place in LaTeX so that its braces and dollars come in pairs, command included."""
    opened, unopened = 0, 0
    for char in line[low:high]:
        if char == "{":
            opened += 1
        elif char == "}":
            unopened += opened == 0
            opened = max(0, opened - 1)
    while opened and line[high : high + 1] == "}":
        high, opened = high + 1, opened - 1
    while unopened and low:
        low = _opening(line, low)
        unopened -= 1
    if line.count("$", low, high) % 2:
        if line[high : high + 1] == "$":
            high += 1
        elif line[low - 1 : low] == "$":
            low -= 1
    return (low, high)


def _opening(line: str, low: int) -> int:
    """Return where the brace that is open at `low` begins, with the command that it belongs to."""
    depth = 1
    while low and depth:
        low -= 1
        depth += (line[low] == "}") - (line[low] == "{")
    while line[low - 1 : low] == "}":
        start = line.rfind("{", 0, low)
        if start < 0:
            return low
        low = start
    start = low
    while start and line[start - 1].isalpha():
        start -= 1
    return start - 1 if start < low and line[start - 1 : start] == "\\" else low


def plain(line: str) -> Source:
    """Return a typed line with look-alike characters made one, character for character.

    Long runs of spaces or of leaders (`......`) are shortened, with the map kept.
    """
    text = line if line.isascii() else line.translate(PLAIN)
    return squeeze(Source(line, text)) if _RUN.search(text) else Source(line, text)


_RUN = re.compile(r"\s{13,}|([-.…_=*~#])\1{12,}")
_KEPT = 12


def squeeze(source: Source) -> Source:
    """Shorten long runs of spaces and leaders to what says the same."""
    text = ""
    keep: list[int] = []
    at = 0
    for run in _RUN.finditer(source.text):
        stop = run.start() + _KEPT
        text += source.text[at:stop]
        keep += range(at, stop)
        at = run.end()
    text += source.text[at:]
    keep += range(at, len(source.text))
    starts = source.starts or tuple(range(len(source.text)))
    ends = source.ends or tuple(range(1, len(source.text) + 1))
    return Source(source.line, text, tuple(starts[i] for i in keep), tuple(ends[i] for i in keep))
