"""What a printed glyph's size and place on its line say of it; where words begin."""

from dataclasses import replace
from itertools import pairwise

import numpy as np

from verifier.reading.printing import Glyph
from verifier.reading.shapes import GLYPHS, INDEX, Array, Metrics
from verifier.reading.tesseract import Letter

_UPRIGHT = frozenset("ABCDEFGHIKLMNOPRSTUVWXYZ0123456789acdehiklmnorstuvwxz")  # no descender
_SMALL = frozenset("acemnorsuvwxz")
_CASES = tuple((INDEX[a], INDEX[a.upper()]) for a in "cosvwxzkpu")
_DOTS = tuple((INDEX[char], at) for char, at in ((".", 0.0), (",", -0.12), ("·", 0.32)))
_AROUND = 3  # glyphs to each side
_UNEVEN = 0.3  # capitals: what stands further off is no glyph of the line
_FIGURES = frozenset("0123456789.,()/")


def with_level(glyph: Glyph, metrics: Metrics, after: list[Glyph]) -> Glyph:
    """Raise a short minus that stands high before a raised figure: tan⁻¹."""
    x, y, w, h = glyph.box
    high = (metrics.base_at(x) - y - h / 2) / metrics.cap
    follows = after and int(after[0].scripts.argmax()) == 2 and after[0].box[0] - x - w < 0.4 * w
    if follows and glyph.best in "−-" and high > 0.52 and w < 0.7 * metrics.cap:
        raised = np.log(np.array([0.02, 0.02, 0.96], np.float32))
        return replace(glyph, scripts=raised)
    return glyph


def script(glyph: Glyph, metrics: Metrics) -> int:
    """Tell whether a glyph stands on the line (0), is dropped (1) or raised (2)."""
    level = int(glyph.scripts.argmax())
    x, y, w, h = glyph.box
    if level == 0 and glyph.best in _UPRIGHT:
        foot = (metrics.base_at(x + w / 2) - y - h) / metrics.cap
        tallest = 0.6 if glyph.best in _SMALL else 0.85
        return 1 if -0.42 < foot < -0.09 and 0.3 < h / metrics.cap < tallest else 0
    return level if float(np.exp(glyph.scripts[level])) > 0.55 else 0


def small_height(glyphs: list[Glyph], metrics: Metrics) -> float:
    """Return the height of small letters in capitals, from those that are surely small."""
    heights = [
        glyph.box[3] / metrics.cap
        for glyph in glyphs
        if glyph.best in "aenmr" and int(glyph.scripts.argmax()) == 0
    ]
    heights = [height for height in heights if 0.55 < height < 0.85]
    return float(np.median(heights)) if heights else 0.71


def ground(glyphs: list[Glyph], at: int, metrics: Metrics) -> float:
    """Return how far over the line, in capitals, the glyphs around one stand.

    A page is never quite flat, and figures of old fashions hang: those that do not hang tell.
    """
    feet = [
        (metrics.base_at(x + w / 2) - y - h) / metrics.cap
        for glyph in glyphs[max(0, at - _AROUND) : at + _AROUND + 1]
        for x, y, w, h in [glyph.box]
        if glyph.best.isalnum() and h > 0.5 * metrics.cap and not int(glyph.scripts.argmax())
    ]
    return max((foot for foot in feet if abs(foot) < _UNEVEN), default=0.0)


def stand(glyph: Glyph, metrics: Metrics, small: float, over: float = 0.0) -> Array:
    """Weigh what only size or place tells apart: c from C, a point from a raised dot.

    `over` is how far over the line the glyphs around it stand.
    """
    added = np.zeros(len(GLYPHS), np.float32)
    x, y, w, h = glyph.box
    if int(glyph.scripts.argmax()) == 0:
        tall = h / metrics.cap
        low = (metrics.base_at(x + w / 2) - y - h) / metrics.cap
        lower = _near(tall, small, 0.055) + _near(low, 0.0, 0.05)
        upper = _near(tall, 1.0, 0.06) + _near(low, 0.0, 0.05)
        upper = max(upper, _near(tall, 0.68, 0.08) + _near(low, -0.18, 0.07))
        for little, large in _CASES:
            if GLYPHS[little] not in "kp":
                added[little] += lower
                added[large] += upper
    if w > 1.8 * h and w < 1.5 * metrics.cap:
        high = (metrics.base_at(x + w / 2) - y - h / 2) / metrics.cap
        added[INDEX["_"]] += _near(high, -0.14, 0.07)
        for bar in "−-":
            added[INDEX[bar]] += max(_near(high, 0.36, 0.09), _near(high, 0.75, 0.12))
            added[INDEX[bar]] -= 5.0 * (h > 0.27 * metrics.cap)  # an arrow has a head
    if h < 0.3 * metrics.cap and w < 0.32 * metrics.cap:
        foot = (metrics.base_at(x + w / 2) - y - h) / metrics.cap
        for dot, at in _DOTS:
            added[dot] += _near(foot - over, at, 0.06)
    return added


def _near(value: float, wanted: float, spread: float) -> float:
    return max(-5.0, -0.5 * ((value - wanted) / spread) ** 2)


def spaces(glyphs: list[Glyph], letters: list[Letter], cap: float) -> list[bool]:
    """Tell where words begin: by the gaps of this line, and by what Tesseract thinks."""
    pitch = _pitch(glyphs, cap)
    starts = [letter.box[0] for letter in letters if letter.after_space]
    gaps = [_gap(left, glyph, cap) for left, glyph in pairwise(glyphs)]
    least = _least_gap(gaps)
    found = [False]
    for (left, glyph), gap in zip(pairwise(glyphs), gaps, strict=True):
        begun = any(abs(start - glyph.box[0]) < 0.2 * cap for start in starts)
        if pitch:
            steps = (_centre(glyph) - _centre(left)) / pitch
            found.append(steps > (1.45 if begun else 1.6))
        else:
            found.append(gap > (0.17 if begun else least))
        if left.best in "([{" or glyph.best in ")]}":
            found[-1] = False  # however wide the gap: nobody writes a space there
        if left.best == glyph.best == "~":
            found[-1] = False  # two of them cross out what they stand around
    return found


def _gap(left: Glyph, glyph: Glyph, cap: float) -> float:
    """Return the gap between neighbours in capitals, less what their kinds leave by themselves."""
    gap = (glyph.box[0] - left.box[0] - left.box[2]) / cap
    if glyph.best in "°,.'":
        return gap - 0.3  # these cling to what is before them
    if glyph.best == "1" and left.best.isupper():
        return gap - 0.15  # F1: a slim 1 stands in a wide gap there too
    if left.best in _FIGURES and glyph.best in _FIGURES:
        # Figures share one width, so that a slim 1 stands in a wide gap.
        return gap - (0.5 if "1" in (left.best, glyph.best) else 0.08)
    return gap


def _least_gap(gaps: list[float]) -> float:
    """Return from where a gap parts words: the middle of the widest lull among this line's gaps."""
    usual = 0.31
    near = sorted(gap for gap in gaps if 0.1 < gap < 0.6)
    if len(gaps) < 12 or len(near) < 4:
        return usual
    lulls = [(b - a, (a + b) / 2) for a, b in pairwise(near) if 0.2 < (a + b) / 2 < 0.38]
    wide, middle = max(lulls, default=(0.0, usual))
    return middle if wide > 0.07 else usual


def _centre(glyph: Glyph) -> float:
    return glyph.box[0] + glyph.box[2] / 2


def _pitch(glyphs: list[Glyph], cap: float) -> float:
    """Return the width of a cell where all glyphs are as wide as each other, else 0."""
    level = [glyph for glyph in glyphs if int(glyph.scripts.argmax()) == 0]
    centres = np.array([_centre(glyph) for glyph in level])
    if len(centres) < 8:
        return 0.0
    steps = np.diff(centres)
    near = steps[(steps > 0.6 * cap) & (steps < 1.15 * cap)]
    if len(near) < 0.35 * len(steps):
        return 0.0
    pitch = float(np.median(near))
    off = np.abs(steps / pitch - np.round(steps / pitch))
    return pitch if float(np.mean(off < 0.12)) > 0.8 else 0.0
