"""What Tesseract saw of a printed line, as evidence for its glyphs: it errs, and it knows words."""

import functools

import numpy as np

from verifier.reading.printing import Glyph, GlyphLine
from verifier.reading.shapes import GLYPHS, INDEX, Array
from verifier.reading.tesseract import Letter

_TESSERACT_SURE = 1.3
_TESSERACT_FIGURE = 1.3
_TESSERACT = 0.6  # how far Tesseract's word counts: the two readers err together at times
_DIGITS = frozenset("0123456789")
_LIKE_TESSERACT = {
    "—": "−", "–": "−", "‘": "'", "’": "'", "“": '"', "”": '"', "«": "<", "»": ">", "©": "@",
    "€": "C", "£": "E", "¢": "c", "¥": "Y", "§": "S", "®": "@", "\\": "/", "$": "S",
}  # fmt: skip
_CANNOT = frozenset("αβγδεηθλμπρστφωΔΣΦΩ×·÷√∴∵⇒→←↑↓↺↻≈≤≥✓½±−°^~èàüöäçñóß")


def seen(glyphs: list[Glyph], letters: list[Letter]) -> list[Letter | None]:
    """Find, for each glyph, the letter that Tesseract saw at its place."""
    found: list[Letter | None] = []
    for glyph in glyphs:
        x, _, w, _ = glyph.box
        best, most = None, 0.3
        for letter in letters:
            left, right = max(x, letter.box[0]), min(x + w, letter.box[0] + letter.box[2])
            share = (right - left) / max(1, min(w, letter.box[2]))
            wide = (right - left) / max(1, max(w, letter.box[2]))
            if share > 0.5 and wide > most:
                best, most = letter, wide
        found.append(best)
    return found


def at_odds(char: str, letter: Letter | None) -> bool:
    """Whether Tesseract surely reads another figure here."""
    return letter is not None and {char, letter.char} <= _DIGITS and char != letter.char


def astride(glyph: Glyph, letters: list[Letter]) -> float:
    """Return what it costs, in nats, that Tesseract saw the ink parted otherwise."""
    x, _, w, _ = glyph.box
    inside, cost = 0, 0.0
    for letter in letters:
        left, wide = letter.box[0], letter.box[2]
        if letter.sure < 0.6:
            continue
        if x + 0.1 * w < left + wide / 2 < x + 0.9 * w and wide > 0.15 * w:
            inside += 1
        if left - 0.1 * wide < x and x + w < left + 1.1 * wide and w < 0.62 * wide:
            cost += 0.9
        both = min(x + w, left + wide) - max(x, left)
        if both > 0.8 * (max(x + w, left + wide) - min(x, left)):
            cost -= 1.5
    return cost + 1.4 * max(0, inside - 1)


@functools.lru_cache(maxsize=4096)
def said(letter: Letter) -> Array | None:
    """Weigh each class of glyph `(G,)` in nats by how likely it is that Tesseract said this of it.

    None where it said a character that no glyph is.
    """
    char = _LIKE_TESSERACT.get(letter.char, letter.char)
    if char not in INDEX:
        return None
    trust = min(0.97, 0.5 + 0.5 * letter.sure)
    weights = np.log(_miss() + (1 - trust) / len(GLYPHS))
    weights[INDEX[char]] = np.log(trust)
    if char.swapcase() in INDEX:
        weights[INDEX[char.swapcase()]] = np.log(max(1 - trust, 0.12))
    if char in _CANNOT:
        weights[INDEX[char]] = np.log(0.6)
    return np.asarray(_trust(char, letter) * weights, np.float32)


def _trust(char: str, letter: Letter) -> float:
    """Return how far Tesseract's word counts: more for a figure or a word that it is sure of."""
    if char in _DIGITS and letter.sure > 0.9:
        return _TESSERACT_FIGURE
    return _TESSERACT_SURE if char.isalpha() and letter.word >= 0.93 else _TESSERACT


@functools.cache
def _miss() -> Array:
    """How likely Tesseract is to say one given other character, for each class of glyph."""
    low = np.full(len(GLYPHS), 0.004, np.float32)
    for char in _CANNOT:
        low[INDEX[char]] = 1 / 25  # it has no such character and says anything
    return low


def agreement(line: GlyphLine, letters: list[Letter]) -> float:
    """Return the share of glyphs that Tesseract reads alike, of those that it can know."""
    glyphs = [glyph for glyph in line.glyphs if glyph.best not in _CANNOT]
    if not glyphs:
        return 0.0
    pairs = zip(glyphs, seen(glyphs, letters), strict=True)
    alike = sum(
        letter is not None
        and _LIKE_TESSERACT.get(letter.char, letter.char).lower() == glyph.best.lower()
        for glyph, letter in pairs
    )
    return alike / len(glyphs)
