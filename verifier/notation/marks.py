"""Marks beside a value or a line: (T), Druck, ↑, ✓, 'by inspection' and so on."""

import re

from verifier.notation.source import Source
from verifier.notation.tree import Mark, MarkMeaning

_WORDS: dict[MarkMeaning, str] = {
    "tension": r"in tension|tensile|tension|tens\.?|tie|Zug(?:kraft|stab)?|auf Zug|en traction|traction|en tracción"
    r"|tracción|traccion|tensión|in trazione|trazione|tirante|rozciąganie|rozciągany|rozc\.?|tah|растяжение"
    r"|растянут|розтяг|pulling|pull|T|Tn\b|受拉|拉|引張",
    "compression": r"in compression|compressive|compression|comp\.?|compr\.?|strut|thrust|Druck(?:kraft|stab)?"
    r"|auf Druck|en compression|en compresión|compresión|compresion|in compressione|compressione|puntone"
    r"|ściskanie|ściskany|ścisk\.?|tlak|сжатие|сжат|стиск|pushing|push|C|受压|压|圧縮",
    "up": r"↑|upwards?|up\b|vers le haut|nach oben|hacia arriba|verso l'alto|w górę",
    "down": r"↓|downwards?|down\b|vers le bas|nach unten|hacia abajo|verso il basso|w dół",
    "left": r"←|to (?:the )?left|leftwards?|left\b|nach links|à gauche|a la izquierda|a sinistra|w lewo",
    "right": r"→|to (?:the )?right|rightwards?|right\b|nach rechts|à droite|a la derecha|a destra|w prawo",
    "clockwise": r"↻|clockwise|c\.?w\.?\b|im Uhrzeigersinn|horaire|orario|horario",
    "anticlockwise": r"↺|anti-?clockwise|counter-?clockwise|a\.?c\.?w\.?\b|c\.?c\.?w\.?\b"
    r"|gegen den Uhrzeigersinn|antihoraire|antiorario|antihorario",
    "zero-force": r"zero[- ]force(?: members?)?|no force|unloaded|Nullst[aä]be?|barre? nulle|barra nula",
    "inspection": r"by inspection|from inspection|obviously|offensichtlich|à vue",
    "symmetry": r"(?:by|from|due to) symmetry|symmetry|symmetrical|aus Symmetrie|par symétrie"
    r"|per simmetria|por simetría|z symetrii",
    "check": r"✓|OK\b|ok\b|Ok\b|o\.k\.|checks\b|check\b|correct\b|Q\.?E\.?D\.?|q\.e\.d\.",
    "wrong": r"✗|wrong\b|not ok\b",
}
_ONE = "|".join(f"(?P<{name.replace('-', '_')}>{words})" for name, words in _WORDS.items())
_MARK = re.compile(rf"(?P<open>[(\[{{]?)\s*(?:{_ONE})(?![\w'])\s*(?P<close>[)\]}}]?)")
_BEFORE = re.compile(r"[\s,;:–-]*(?:and |i\.e\.?,? |acting |is |on |d\.h\. )?")
_LETTERS = frozenset({"T", "C"})


def marks_at(source: Source, start: int, end: int) -> tuple[list[Mark], int]:
    """Return the marks that stand at plain column `start`, one after the other, and their end."""
    found: list[Mark] = []
    while start < end:
        match = mark_at(source.text, start, end)
        if match is None:
            break
        found.append(match_mark(source, match))
        start = match.end()
    return found, start


def mark_at(text: str, start: int, end: int) -> re.Match[str] | None:
    """Match one mark at `start`, spaces and a comma before it left out."""
    gap = _BEFORE.match(text, start, end)
    match = _MARK.match(text, gap.end() if gap else start, end)
    if match is None or bool(match["open"]) != bool(match["close"]):
        return None
    return match


def match_mark(source: Source, match: re.Match[str]) -> Mark:
    """Return the mark of a match of `mark_at`."""
    span = source.span(match.start(), match.end())
    return Mark(span, source.line[span[0] : span[1]], meaning(match))


def meaning(match: re.Match[str]) -> MarkMeaning:
    """Return what a matched mark means."""
    for name in _WORDS:
        if match[name.replace("-", "_")] is not None:
            return name
    raise ValueError(match.group())


def tail(text: str, start: int, end: int) -> int:
    """Return where the marks that close text[start:end] begin, `end` where there are none.

    Looks for the leftmost place from which only marks follow.
    """
    at = end
    for match in _SPOTS.finditer(text, start, end):
        spot = match.start()
        place = spot
        while place < end:
            mark = mark_at(text, place, end)
            if mark is None:
                break
            place = mark.end()
        if place > spot and not text[place:end].strip(" .,;!"):
            return spot
    return at


_SPOTS = re.compile(
    r"(?<=[\w°)\]}²³'\"½])(?:\s*(?=[(\[{]?[↑↓→←↺↻✓✗])|\s+(?=[(\[{]?[^\W\d])|\s*(?=[(\[]\s?[TCtc]))"
)
