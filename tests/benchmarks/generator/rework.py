"""Works out the text of a right working again, to catch a slip of the generator's own pen.

Reads only what this generator writes, in the plain (not LaTeX) hands; what it cannot read it skips.
"""

from __future__ import annotations

import math
import random
import re
from dataclasses import dataclass

from .tongues import TONGUES

HENCE = "|".join(re.escape(h.strip()) for t in TONGUES.values() for h in t.hence)
SPLIT = re.compile(
    r" ?(?:→\+|↑\+|↺\+|↻\+) | → |⇒|∴|=>| -> |, so |; |, i\.e\. |\]|: |:$|, (?=[A-Z]|cos)|\.\.\.|"
    rf",? (?:{HENCE}) |^(?:{HENCE}) | ⟹ |ΣM?F?P?_?i\w+=0 |"
    r"wrong, should be|Wrong! should be|   \(\d+\)|∑M@\w+"
)
LABELS = re.compile(
    r"\((?:T|C|tension|compression|Zug|Druck|traction|tracción|compresión|tie|strut|tirante|puntone|"
    r"thrust|up|down|left|right|cw|ccw|[→←↑↓↺↻])\)|\[(?:tens|comp)\]| (?:T|C)$|"
    r",? (?:in )?(?:tension|compression)$|[→←↑↓↺↻✓]|~~[^~]*~~|\[[^\]]*\]?$| OK$"
)
UNITS = re.compile(
    r"(?<=\d) ?(?:kN·m|kNm|kN m|kN-m|N·m|Nm|N m|N-m|kip·ft|kip-ft|k-ft|lb·ft|lb-ft|ft-lb|"
    r"kips|kip|lbf|lb|kN|кН·м|кН|N|k|m|ft)(?![A-Za-z_\d])"
)
MARKS = {
    "sen": "sin",
    "½": "0.5",
    "−": "-",
    "×": "*",
    "·": "*",
    "∙": "*",
    "°": "",
    " x ": " * ",
    "≈": "=",
}
TOKEN = re.compile(r"\d+\.?\d*|[A-Za-zα-ω_'{}\d]+|[-+*/()√²^]")


WAYS = "|".join(re.escape(w) for t in TONGUES.values() for w in t.ways)
SENSES = "|".join(re.escape(w.strip()) for t in TONGUES.values() for pair in t.senses for w in pair)
SECOND = re.compile(rf"\(?(?:{SENSES}|{WAYS})\)?$|  (?:✓|\(ok\)|!)$")


@dataclass
class Tally:
    """Statements read, and those whose two sides do not agree."""

    read: int = 0
    seen: int = 0
    wrong: list[str] | None = None


class Unreadable(ValueError):
    """Not a piece of arithmetic that this small reader knows."""


class Reader:
    """Arithmetic with implicit multiplication, sines of degrees and known names."""

    def __init__(self, text: str, names: dict[str, float]) -> None:
        self.names = names
        self.tokens = TOKEN.findall(text)
        if "".join(self.tokens) != text.replace(" ", ""):
            raise Unreadable(text)
        self.at = 0
        self.largest = 0.0

    def peek(self) -> str:
        return self.tokens[self.at] if self.at < len(self.tokens) else ""

    def take(self) -> str:
        self.at += 1
        return self.tokens[self.at - 1]

    def whole(self) -> float:
        value = self.sum()
        if self.peek():
            raise Unreadable(self.peek())
        return value

    def sum(self) -> float:
        total, sign = 0.0, 1
        while True:
            while self.peek() in ("+", "-") and self.peek():
                sign *= -1 if self.take() == "-" else 1
            term = self.product()
            self.largest = max(self.largest, abs(term))
            total += sign * term
            if self.peek() not in ("+", "-") or not self.peek():
                return total
            sign = 1

    def product(self) -> float:
        value = self.factor()
        while (token := self.peek()) and token not in "+-)":
            if token == "/":
                self.take()
                value /= self.factor()
            else:
                if token == "*":
                    self.take()
                value *= self.factor()
        return value

    def factor(self) -> float:
        if not self.peek():
            raise Unreadable("end")
        token = self.take()
        if token == "-":
            return -self.factor()
        if token == "(":
            value = self.sum()
            if not self.peek() or self.take() != ")":
                raise Unreadable("(")
        elif token in ("√", "sqrt"):
            value = math.sqrt(self.factor())
        elif token[0].isdigit():
            value = float(token)
        elif token in self.names:
            value = self.names[token]
        elif token[:3] in ("sin", "cos"):
            value = self.trig(token)
        elif token in ("tan⁻", "arctan", "atan"):
            value = math.degrees(math.atan(self.factor()))
        else:
            raise Unreadable(token)
        if self.peek() == "²":
            self.take()
            value *= value
        elif self.peek() == "^":
            self.take()
            value **= self.factor()
        return value

    def trig(self, token: str) -> float:
        rest = token[3:]
        if not rest:
            angle = self.factor()
        elif rest in self.names:
            angle = self.names[rest]
        else:
            angle = float(rest) if rest.replace(".", "").isdigit() else math.nan
        return float(getattr(math, token[:3])(math.radians(angle)))


def plain(text: str, comma: bool) -> str:
    """ASCII arithmetic out of a person's marks."""
    text = SECOND.sub("", SECOND.sub("", text).rstrip()).rstrip()
    text = LABELS.sub("", text)
    text = re.sub(r"(?<=\d) (?=\d{3}(?!\d))", "", text)
    text = re.sub(r"(?<=\d),(?=\d{3}(?!\d))", "", text) if not comma else text.replace(",", ".")
    for old, new in MARKS.items():
        text = text.replace(old, new)
    text = re.sub(r"(sin|cos)(?=[\dα-ω])", r"\1 ", text)
    return UNITS.sub("", UNITS.sub("", text)).strip()


def rework(working: str, names: dict[str, float], comma: bool) -> Tally:
    """Check every statement of a right working whose two sides can be worked out."""
    tally = Tally(wrong=[])
    known = dict(names)
    lines = working.replace("\n    ", " ").split("\n")
    for line, after in zip(lines, [*lines[1:], ""], strict=True):
        if corrected(line) or corrected(after):
            continue
        for part in SPLIT.split(re.sub(r"^\(?\+?c?cw\)? ", "", line)):
            sides = plain(part, comma).split("=")
            if len(sides) < 2:
                continue
            tally.seen += 1
            values: list[tuple[float, float]] = []
            for side in sides:
                try:
                    reader = Reader(side, known)
                    value = reader.whole()
                    values.append((value, max(reader.largest, abs(value))))
                except (Unreadable, ValueError, ZeroDivisionError, OverflowError):
                    continue
            if len(values) < 2:
                continue
            tally.read += 1
            size = max(v[1] for v in values)
            if max(v[0] for v in values) - min(v[0] for v in values) > 0.02 * size + 1e-9:
                assert tally.wrong is not None
                tally.wrong.append(f"{line}   [{part}] {values}")
    return tally


LAST = re.compile(r"(?<![A-Za-z_α-ω\d.,])\d+(?:[.,]\d+)?(?![\d²A-Za-z_])")


def spoil(line: str, rng: random.Random) -> str | None:
    """The line with its last number miswritten, as somebody would who then sees it."""
    found = [m for m in LAST.finditer(line) if m.group() != "0"]
    if not found or "=" not in line[: found[-1].start()]:
        return None
    a, b = found[-1].span()
    first = line[a]
    other = rng.choice([d for d in "123456789" if d != first])
    return line[:a] + other + line[a + 1 : b] + line[b:]


def corrected(line: str) -> bool:
    """Whether a line takes back the one before it."""
    words = ("rong", "Correction", "Sorry", "No, ", "Falsch", "Korrektur", "erreur", "Corrección")
    return any(w in line for w in (*words, "mal, ", "Correzione", "errore", "Poprawka", "błąd"))
