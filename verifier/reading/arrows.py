"""Small heads of arrows, which a picture of few pixels hides: → from a minus, ↑ from a one.

An arrow's shaft is thicker near one end alone, and on both its sides; a one has its flag on one,
and its foot at the very end.
"""

import numpy as np

from verifier.reading.segment import Box4
from verifier.reading.shapes import GLYPHS, INDEX, JUNK, Array

_BARS, _STROKES = frozenset("-−"), frozenset("1lI|")
_END = 0.4  # the part of the shaft in which its head lies
_BAR_HEAD, _STROKE_HEAD = 1.35, 1.6  # how much thicker than its middle a shaft's head is …
_TAIL = 1.3  # … and its other end at most
_POINT = 0.12  # how far from its end a head is widest, of the shaft's length
_LEAN = 0.09  # of the thickness: how far aside of the shaft a head's middle may lie
_LEAD = 4.0  # nats


def pointed(scores: Array, dark: Array, box: Box4) -> Array:
    """Return the scores `(G,)` of a glyph with those of an arrow raised where a head shows."""
    best = GLYPHS[int(scores[:JUNK].argmax())]
    if best not in _BARS | _STROKES:
        return scores
    x, y, w, h = box
    if best in _BARS:
        shaft, ways, least = dark[max(0, y - 2) : y + h + 2, x : x + w].T, "←→", _BAR_HEAD
    else:
        shaft, ways, least = dark[y : y + h, max(0, x - 2) : x + w + 2], "↑↓", _STROKE_HEAD
    end = _head(shaft, least)
    if end is None:
        return scores
    raised = scores.copy()
    raised[INDEX[ways[end]]] = scores.max() + _LEAD
    return raised


def _head(shaft: Array, least: float) -> int | None:
    """Return at which end of a shaft `(L, W)` its head is, 0 or 1; None where there is none."""
    long = len(shaft)
    reach = int(_END * long)
    if reach < 3:
        return None
    thick = np.convolve(shaft.sum(axis=1), np.ones(3) / 3, "same")
    usual = max(float(np.median(thick[long // 4 : long - long // 4])), 1e-6)
    ends = thick[:reach].max() / usual, thick[-reach:].max() / usual
    end = int(ends[1] > ends[0])
    if ends[end] < least or ends[1 - end] > _TAIL:
        return None
    head = shaft[:reach] if end == 0 else shaft[-reach:]
    widest = int((thick[:reach] if end == 0 else thick[: -reach - 1 : -1]).argmax())
    if widest < _POINT * long:
        return None  # a foot, as l and 1 have it
    lean = _middle(head) - _middle(shaft[long // 3 : long - long // 3])
    return end if abs(lean) < _LEAN * usual else None


def _middle(part: Array) -> float:
    across = part.sum(axis=0)
    return float((across * np.arange(len(across))).sum() / max(float(across.sum()), 1e-6))
