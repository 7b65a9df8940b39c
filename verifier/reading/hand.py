"""Lines of handwriting → their likeliest readings, with probabilities and a box a character.

The network sees ink alone; `hand_prior` adds a light preference for what can be written and for
the sheet's names. Both are blind to statics.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from verifier.notation.tree import Names
from verifier.reading import hand_fractions, own_hand
from verifier.reading.hand_beam import chances, log_softmax
from verifier.reading.hand_image import CAPITAL, Prepared, prepare
from verifier.reading.hand_prior import Offered
from verifier.reading.hand_text import Written
from verifier.reading.hand_views import Heard, Scored, heard, ordered
from verifier.reading.hand_weights import Trust, network, trust
from verifier.reading.lines import Box

Way = tuple[str, float, tuple[Box | None, ...]]
_LEAST, _MOST, _WORTH = 7, 18, 3e-4  # readings of a line, and the share of the first's chance
_PARTED = 0.02  # parts read less surely than this were no parts
_ENOUGH = 4.0  # a longer lead makes no reading surer: ink that misleads all judges does so far


@dataclass(frozen=True)
class Looked:
    """A line as it was seen by itself; `parted` are its readings as fractions cut apart."""

    prepared: Prepared
    heard: Heard
    parted: list[Way]


def read_lines(images: Sequence[NDArray[np.uint8]], names: Names | None) -> list[list[Way]]:
    """Return for each line image (H, W) or (H, W, 3) of a page its readings, likeliest first.

    A reading is (text, probability, boxes): plain notation, how likely it is to be right as a
    whole (0 to 1), and for each of its characters the box (x, y, width, height) in the image or
    None where nothing stands for it on paper. A line without ink has no readings.
    """
    return told([look(image, names) for image in images])


def look(image: NDArray[np.uint8], names: Names | None) -> Looked | None:
    """Read a line by itself, whole and, where a fraction holds another, its parts as well."""
    offered = Offered.of(names)
    own = _heard(image, names, offered)
    parted = hand_fractions.cut(image) if own else None
    if own is None or parted is None:
        return own

    def part(image: NDArray[np.uint8], tall: float) -> list[Way]:
        seen = _heard(image, names, offered, tall)
        return _ways(ordered(seen.heard.groups), seen.prepared) if seen else []

    return replace(own, parted=hand_fractions.read(parted, part))


def told(page: Sequence[Looked | None]) -> list[list[Way]]:
    """Return the readings of the lines of a page, each judged by what the others show as well."""
    settled = iter(own_hand.settled([line.heard for line in page if line]))
    return [_told(line, next(settled)) if line else [] for line in page]


def _told(line: Looked, found: list[Scored]) -> list[Way]:
    own, ways = _ways(found, line.prepared), line.parted
    if not own or not ways or ways[0][1] < _PARTED:
        return own
    left = min(1 - sum(way[1] for way in ways), ways[-1][1])  # whole, it reads part of the ink
    return [*ways, *((text, max(0.0, left) * chance, at) for text, chance, at in own)]


def _heard(
    image: NDArray[np.uint8], names: Names | None, offered: Offered, tall: float = 0.0
) -> Looked | None:
    prepared = prepare(image, tall)
    return Looked(prepared, heard(prepared, names, offered), []) if prepared else None


def _ways(found: list[Scored], prepared: Prepared) -> list[Way]:
    found = [one for one in found if one.reading.text]
    if not found:
        return []
    chances = probabilities(found, trust())
    kept = sum(chance >= _WORTH * chances[0] for chance in chances)
    return [
        (one.reading.text, chance, boxes(one.reading, prepared))
        for one, chance in zip(found[: max(_LEAST, min(_MOST, kept))], chances, strict=False)
    ]


def clarity(images: Sequence[NDArray[np.uint8]]) -> float:
    """Return how clearly lines read sign by sign, 0 to 1: low for writing on its head."""
    scores = []
    for image in images:
        prepared = prepare(image)
        if prepared is None:
            continue
        logs = log_softmax(network().scores(prepared.picture, keep=True)[0])
        best = [int(n) for n, _ in groupby(logs.argmax(axis=1)) if n]
        scores.append(chances(logs, [best])[0] / max(3, len(best)))
    return math.exp(sum(scores) / len(scores)) if scores else 0.0


def features(found: list[Scored]) -> tuple[float, float, float]:
    """Return what doubt is judged by: the leads over other readings, and length."""
    lead, least = found[0].leads
    return min(lead, _ENOUGH), least, math.log1p(len(found[0].reading.text))


def probabilities(found: list[Scored], judged: Trust) -> list[float]:
    """Return the probability of each reading to be right as a whole."""
    lead, least, length = features(found)
    logit = judged.bias + judged.lead * lead + judged.least * least + judged.length * length
    best = 1 / (1 + math.exp(-max(-30.0, min(30.0, logit))))
    weights = [math.exp((one.score - found[0].score) / judged.temperature) for one in found[1:]]
    rest = sum(weights) + 0.5 * (weights[0] if weights else 1.0)
    return [best] + [min((1 - best) * w / rest, best) for w in weights]


def boxes(reading: Written, prepared: Prepared) -> tuple[Box | None, ...]:
    """Return a box in the line's image for each character that stands on paper."""
    marks = sorted({(p > 1, c) for c, p in zip(reading.columns, reading.part, strict=True)
                    if c is not None})  # fmt: skip
    spans: dict[tuple[bool, int], tuple[float, float]] = {}
    for i, (low, column) in enumerate(marks):
        left = marks[i - 1][1] if i and marks[i - 1][0] == low else None
        right = marks[i + 1][1] if i + 1 < len(marks) and marks[i + 1][0] == low else None
        reach = CAPITAL * 0.35
        start = column - reach if left is None else max((left + column) / 2, column - 2 * reach)
        end = column + reach if right is None else min((right + column) / 2, column + 2 * reach)
        spans[low, column] = (start, end)
    out: list[Box | None] = []
    for at, part in zip(reading.columns, reading.part, strict=True):
        out.append(None if at is None else _box(*spans[part > 1, at], part, prepared))
    return tuple(out)


def _box(start: float, end: float, part: int, prepared: Prepared) -> Box | None:
    """Return the box of the ink between two columns of the network's output."""
    height, width = prepared.ink.shape
    x0 = int(max(0, min(width - 1, 2 * start / prepared.scale + prepared.origin[0])))
    x1 = int(max(x0 + 1, min(width, math.ceil(2 * end / prepared.scale + prepared.origin[0]))))
    rows = np.flatnonzero(prepared.ink[:, x0:x1].any(axis=1))
    if len(rows) == 0:
        return (x0, 0, x1 - x0, height)
    top, low = int(rows[0]), int(rows[-1]) + 1
    if part:
        middle = (top + low) // 2
        top, low = (top, max(middle, top + 1)) if part == 1 else (middle, max(low, middle + 1))
    return (x0, top, x1 - x0, low - top)
