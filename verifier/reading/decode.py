"""Glyphs and Tesseract's letters → the likeliest glyphs of a printed line, and its doubtful places.

What a glyph may be is judged by its shape, by what Tesseract saw there, and by its neighbours'
kinds: digits keep company with digits. Nothing here knows what the line should say.
"""

import functools
from bisect import bisect_left, bisect_right

import numpy as np

from verifier.reading import heard, neighbours, standing
from verifier.reading.choice import Choice
from verifier.reading.printing import Glyph, Lattice
from verifier.reading.segment import Box4
from verifier.reading.shapes import GLYPHS, INDEX, JUNK, SCRIPTABLE, Array
from verifier.reading.tesseract import Letter

# How much of the doubt is real: fitted so that of lines held to be right with some probability,
# that share is right (14 pages in fonts that the network knows, 8 in fonts that it does not).
_DOUBT = 0.28
_DISPUTED = 0.8  # … and of the doubt about a figure that Tesseract reads otherwise
_SEVERAL = 3.0  # nats that it costs to read as one glyph what looks like several
_BEFORE_DEGREE = frozenset("0123456789αβγδθλμφω)}")
_KINDS_OF_WORD = frozenset("abcdefghijklmnopqrstuvwxyz")
_UNRAISED = frozenset("°'\"")


def decode(lattice: Lattice, letters: list[Letter], without: Box4 | None = None) -> list[Choice]:
    """Choose the glyphs of a line by shape, Tesseract and neighbours.

    No glyph fills the box `without`: for what else a doubtful piece of ink may be.
    """
    letters = sorted(letters, key=lambda letter: letter.box[0])
    lefts = [letter.box[0] for letter in letters]
    widest = max((letter.box[2] for letter in letters), default=0)

    def weigh(glyph: Glyph) -> float:
        x, _, w, _ = glyph.box
        near = letters[bisect_left(lefts, x - widest) : bisect_right(lefts, x + w)]
        seen = heard.seen([glyph], near)[0]
        return float(_scores(glyph, seen).max()) - heard.astride(glyph, near)

    line = lattice.best(weigh, without)
    glyphs = list(line.glyphs)
    glyphs = [
        standing.with_level(glyph, line.metrics, glyphs[i + 1 :]) for i, glyph in enumerate(glyphs)
    ]
    if not glyphs:
        return []
    seen = heard.seen(glyphs, letters)
    spaces = standing.spaces(glyphs, letters, line.metrics.cap)
    scripts = [standing.script(glyph, line.metrics) for glyph in glyphs]
    small = standing.small_height(glyphs, line.metrics)
    scores = [
        _scores(glyph, letter)
        + standing.stand(glyph, line.metrics, small, standing.ground(glyphs, i, line.metrics))
        for i, (glyph, letter) in enumerate(zip(glyphs, seen, strict=True))
    ]
    picks, beliefs = neighbours.likeliest(scores, scripts, spaces)
    return [
        _choice(glyph, picks, beliefs[i], seen[i], scripts[i], spaces[i], i, line.metrics.cap)
        for i, glyph in enumerate(glyphs)
    ]


def _choice(
    glyph: Glyph, picks: list[int], belief: dict[int, float], letter: Letter | None, script: int,
    space: bool, at: int, cap: float,
) -> Choice:  # fmt: skip
    char = GLYPHS[picks[at]]
    before = GLYPHS[picks[at - 1]] if at else ""
    doubt = _DISPUTED if heard.at_odds(char, letter) else _DOUBT
    others = tuple(
        (GLYPHS[k], doubt * float(p))
        for k, p in sorted(belief.items(), key=lambda item: -item[1])
        if k != picks[at] and p > 0.01
    )
    if char not in SCRIPTABLE or char in _UNRAISED or (space and char in "0oO"):
        script = 0
    if script == 2 and char in "oO0" and before and before in _BEFORE_DEGREE:
        char = "°"
    elif char == "°" and before and before in _KINDS_OF_WORD:
        char, script = "o", 0
    if char == "°" and (space or not at):  # a degree sign clings to its figure
        char, script = "*" if not at and glyph.box[3] < 0.6 * cap else "0", 0
    script = 0 if char in _UNRAISED else script
    sure = 1 - doubt * (1 - float(belief.get(picks[at], 0.0)))
    held = 1 - _DOUBT * (1 - glyph.held)
    return Choice(char, glyph.box, sure, script, space, others, held)


def _scores(glyph: Glyph, letter: Letter | None) -> Array:
    """Weigh each class of glyph `(G,)` in nats by its shape and by what Tesseract saw there."""
    several = _SEVERAL * float(np.exp(glyph.scores[JUNK]))
    scores = glyph.scores + _habits() - several
    scores[JUNK] = -30
    said = heard.said(letter) if letter is not None else None
    return scores if said is None else np.asarray(scores + said, np.float32)


@functools.cache
def _habits() -> Array:
    """Weigh how often each glyph is written at all: the network was shown all alike."""
    weights = np.zeros(len(GLYPHS), np.float32)
    for chars, cost in _SELDOM:
        for char in chars:
            weights[INDEX[char]] = -cost
    return weights


_SELDOM = (
    ("αβθφ", 0.7), ("γδλμπωΔ", 2.0), ("εηρστΦΩ", 3.0), ("éèàüöäçñóß", 3.5),
    ("½±✓√∵", 2.0), ("@*^~!?#&%\"|<>≤≥", 2.2), ("{}'", 0.7),
)  # fmt: skip
