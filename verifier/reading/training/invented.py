"""Hands that nobody has: what lies between and beside the hands of the collections.

Three hundred hands are few; a reader learns them by heart. A page's `Style` makes another hand of
one of them and keeps to it: signs drawn part of the way to another writer's (`between`), every
sign's own bend (wider bowls, other proportions), rounder or more angular strokes, a tremor, a pen
that now and then leaves the paper. Frame and units are the library's: capitals are 1 high.
"""

from dataclasses import dataclass, field
from random import Random

import cv2
import numpy as np
from numpy.typing import NDArray

Stroke = NDArray[np.float32]
_MARKS = set(".,·'°:;\"")
_POINTS = 20
_ALIKE = 0.17  # of a sign's size: strokes farther apart on average are another form of it
_STEP = 0.05


@dataclass
class Style:
    """A page's way of writing, from nothing (all zeros) to a strong one."""

    toward: float = 0.0
    strange: float = 0.0
    bend: float = 0.0
    round: float = 0.0
    angular: float = 0.0
    tremor: float = 0.0
    lifting: float = 0.0
    seed: int = 0
    bends: dict[str, Stroke] = field(default_factory=dict)

    def lender(self, sign: str, count: int) -> int:
        """Return which of `count` hands this page's hand has a sign from: mostly the first."""
        dice = Random(f"{self.seed} {sign}")
        return dice.randrange(count) if dice.random() < self.strange else 0


def style(rng: Random) -> Style:
    """Draw a page's style: one page in five is written as the collection has it."""
    if rng.random() < 0.2:
        return Style()
    edge = rng.random()
    return Style(
        toward=rng.choice([0.0, rng.uniform(-0.35, -0.1), rng.uniform(0.2, 0.7),
                           rng.uniform(0.4, 1.0)]),
        strange=rng.choice([0.0, 0.0, 0.0, 0.12, 0.4]),
        bend=rng.choice([0.0, rng.uniform(0.02, 0.06), rng.uniform(0.05, 0.1)]),
        round=rng.uniform(0.03, 0.09) if edge < 0.2 else 0.0,
        angular=rng.uniform(0.02, 0.06) if edge > 0.8 else 0.0,
        tremor=rng.choice([0.0, 0.0, 0.0, rng.uniform(0.004, 0.02)]),
        lifting=rng.choice([0.0] * 5 + [rng.uniform(0.02, 0.15)]),
        seed=rng.getrandbits(32),
    )  # fmt: skip


def own(sign: str, strokes: list[Stroke], page: Style, rng: Random) -> list[Stroke]:
    """Return a sign's strokes as this page's hand writes them."""
    if sign in _MARKS:
        return strokes
    out = strokes
    if page.round or page.angular or page.tremor:
        out = [_edged(s, page, rng) for s in out]
    if page.bend:
        out = _bent(out, _bend(sign, page), page.bend, rng)
    if page.lifting and sign.isalnum():
        out = [part for s in out for part in _lifted(s, page.lifting, rng)]
    return out


def between(one: Stroke, other: Stroke, share: float) -> list[Stroke] | None:
    """Return the sign that lies `share` of the way from one writer's to another's, or None.

    Signs are their strokes at even points (`even_strokes`). Only signs of one form have anything
    between them: as many strokes, drawn alike.
    """
    if one.shape != other.shape:
        return None
    low, high = one.min(axis=(0, 1)), one.max(axis=(0, 1))
    shift = (low + high - other.min(axis=(0, 1)) - other.max(axis=(0, 1))) / 2
    ahead, back = other - one, other[:, ::-1] - one  # a stroke may be drawn from its other end
    far = [np.abs(way + shift).sum(axis=(1, 2)) for way in (ahead, back)]
    apart = np.where((far[0] <= far[1])[:, None, None], ahead, back)
    size = max(float((high - low).max()), 0.1)
    if float(np.hypot(*(apart + shift).reshape(-1, 2).T).mean()) > _ALIKE * size:
        return None
    return list(one + np.float32(share) * apart)


def even_strokes(strokes: list[Stroke]) -> Stroke:
    """Return strokes as `(strokes, points, 2)`, each at as many points at even distances."""
    return np.stack([_even(s) for s in strokes])


def _even(stroke: Stroke, count: int = _POINTS) -> Stroke:
    """Return a stroke as `count` points at even distances."""
    if len(stroke) == 1:
        return np.repeat(stroke, count, axis=0)
    way = np.zeros(len(stroke))
    steps = stroke[1:] - stroke[:-1]
    np.cumsum(np.hypot(steps[:, 0], steps[:, 1]), out=way[1:])
    at = np.arange(count) * (way[-1] / (count - 1))
    out = np.empty((count, 2), np.float32)
    out[:, 0], out[:, 1] = np.interp(at, way, stroke[:, 0]), np.interp(at, way, stroke[:, 1])
    return out


def _edged(stroke: Stroke, page: Style, rng: Random) -> Stroke:
    """Round a stroke's corners, or cut its bows to straight pieces, or let it tremble."""
    steps = stroke[1:] - stroke[:-1]
    length = float(np.hypot(steps[:, 0], steps[:, 1]).sum())
    if length < 4 * _STEP:
        return stroke
    out = stroke
    if page.angular:
        reach = page.angular * rng.uniform(0.6, 1.3)
        out = cv2.approxPolyDP(stroke.reshape(-1, 1, 2), reach, False).reshape(-1, 2)
    out = _even(out, max(6, int(length / _STEP)))
    for _ in range(round((page.round / _STEP) ** 2 * 2)):
        out[1:-1] = (out[:-2] + 2 * out[1:-1] + out[2:]) / 4
    if page.tremor:
        noise = np.random.default_rng(rng.getrandbits(32)).normal(0, page.tremor, out.shape)
        noise[1:-1] = (noise[:-2] + noise[1:-1] + noise[2:]) / 1.7
        out = out + noise.astype(np.float32)
    return out.astype(np.float32)


def _bend(sign: str, page: Style) -> Stroke:
    """Return how this page's hand bends a sign: the same each time it writes it."""
    held = page.bends.get(sign)
    if held is None:
        dice = np.random.default_rng([page.seed, ord(sign)])
        held = page.bends[sign] = dice.normal(0, page.bend, (6, 2)).astype(np.float32)
    return held


def _bent(strokes: list[Stroke], bend: Stroke, least: float, rng: Random) -> list[Stroke]:
    """Bend a sign smoothly about its own middle, a little otherwise each time."""
    every = strokes[0] if len(strokes) == 1 else np.concatenate(strokes)
    low, high = every.min(axis=0), every.max(axis=0)
    size = max(float((high - low).max()) / 2, 0.05)
    place = (every - (low + high) / 2) / size
    u, v = place[:, 0], place[:, 1]
    basis = np.empty((len(every), 6), np.float32)
    basis[:, 0], basis[:, 1] = v, u * v
    basis[:, 2:4] = place * place - np.float32(0.3)
    basis[:, 4:] = np.sin(np.float32(2.2) * place + np.float32(rng.uniform(-0.3, 0.3)))
    noise = np.array([rng.gauss(0, 0.35 * least) for _ in range(12)], np.float32).reshape(6, 2)
    moved = np.asarray(every + np.float32(size) * (basis @ (bend + noise)), np.float32)
    out, at = [], 0
    for s in strokes:
        out.append(moved[at : at + len(s)])
        at += len(s)
    return out


def _lifted(stroke: Stroke, chance: float, rng: Random) -> list[Stroke]:
    """Leave a short gap in a stroke, as a dry or a hasty pen does."""
    if len(stroke) < 10 or rng.random() > chance:
        return [stroke]
    at = rng.randint(3, len(stroke) - 5)
    wide = max(1, round(len(stroke) * rng.uniform(0.02, 0.09)))
    return [stroke[:at], stroke[min(at + wide, len(stroke) - 3) :]]
