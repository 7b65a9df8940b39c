"""Forms of signs that whole countries write and the collections hold too few of.

A barred or hooked 7, a 1 with a long flag or a foot, an open 4 like an h, a 9 like a g, a slashed
0, a barred z, an x of two bows, a 5 with its roof apart, an 8 of two rings, a flat-topped 3. A
form is drawn once for a page (`chosen`), so that a hand keeps its habit; each sign then varies.
"""

from collections.abc import Callable
from random import Random

import numpy as np
from numpy.typing import NDArray

from verifier.reading.training.signs import arc, line

Stroke = NDArray[np.float32]
Maker = Callable[[Random], list[Stroke]]
Point = tuple[float, float]


def bow(points: list[Point], rng: Random, shake: float = 0.025) -> Stroke:
    """Return a smooth stroke through points (Catmull and Rom's spline), each a little off."""
    p = np.array([(x + rng.gauss(0, shake), y + rng.gauss(0, shake)) for x, y in points])
    p = np.concatenate([2 * p[:1] - p[1:2], p, 2 * p[-1:] - p[-2:-1]])
    t = np.linspace(0, 1, 6)[:, None]
    out = []
    for a, b, c, d in zip(p[:-3], p[1:-2], p[2:-1], p[3:], strict=True):
        out.append(
            0.5 * (2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t**2
                   + (3 * b - a - 3 * c + d) * t**3)
        )  # fmt: skip
    return np.concatenate(out).astype(np.float32)


def _seven(page: Random) -> Maker:
    hook = page.choice([0.0, page.uniform(0.08, 0.32), page.uniform(0.25, 0.55)])
    wave = page.choice([0.0, page.uniform(0.02, 0.12)])
    bar = page.random() < 0.6 or hook == 0
    foot, width = page.uniform(0.05, 0.35), page.uniform(0.4, 0.7)
    height = page.uniform(0.35, 0.6)

    def make(rng: Random) -> list[Stroke]:
        roof = [(0.02, -0.97 + hook), (0.0, -0.97)] if hook else [(0.0, -0.97)]
        roof += [(width * 0.5, -0.95 + wave), (width, -1.0 - wave / 2)]
        stem = line(width, -1, foot, 0, rng, 0.06)
        one = bow(roof, rng) if rng.random() < 0.9 else line(0, -0.97, width, -1, rng)
        strokes = [np.concatenate([one, stem])]
        if bar:
            x = width + (foot - width) * (1 - height)
            reach = rng.uniform(0.14, 0.3)
            y = -height + rng.gauss(0, 0.03)
            strokes.append(line(x - reach, y + rng.gauss(0.02, 0.04), x + reach, y, rng))
        return strokes

    return make


def _one(page: Random) -> Maker:
    flag, fall = page.uniform(0.18, 0.6), page.uniform(0.12, 0.75)
    foot = page.choice([0.0, 0.0, page.uniform(0.2, 0.55)])
    lean = page.gauss(0.02, 0.06)

    def make(rng: Random) -> list[Stroke]:
        top = (flag, -1.0)
        rise = line(rng.gauss(0, 0.03), -1 + fall * rng.uniform(0.8, 1.2), *top, rng)
        stem = line(*top, flag - lean + rng.gauss(0, 0.02), 0, rng)
        strokes = [np.concatenate([rise, stem])]
        if foot:
            x = flag - lean
            strokes.append(line(x - foot * 0.6, rng.gauss(0, 0.02), x + foot * 0.5, 0, rng))
        return strokes

    return make


def _four(page: Random) -> Maker:
    width, knee = page.uniform(0.3, 0.55), page.uniform(0.3, 0.5)
    start, over = page.uniform(-0.02, 0.3), page.uniform(-0.04, 0.2)
    second = page.uniform(-0.02, 0.4)

    def make(rng: Random) -> list[Stroke]:
        left = bow([(start, -1), (start * 0.4, -0.7), (0, -knee)], rng)
        across = line(0, -knee, width + over, -knee - rng.uniform(-0.03, 0.12), rng)
        down = line(width, -knee - second, width - rng.uniform(-0.03, 0.12), 0.06, rng)
        return [np.concatenate([left, across]), down]

    return make


def _closed_four(page: Random) -> Maker:
    """Return a 4 whose arms meet at the top, as printed: a 9 of straight strokes."""
    width, knee, over = page.uniform(0.3, 0.6), page.uniform(0.25, 0.45), page.uniform(-0.02, 0.2)
    gap = page.choice([0.0, page.uniform(-0.04, 0.08)])

    def make(rng: Random) -> list[Stroke]:
        left = line(width + gap, -1 + rng.gauss(0, 0.03), 0, -knee, rng, 0.05)
        across = line(0, -knee, width + over, -knee + rng.gauss(0, 0.04), rng)
        down = line(width, -1 + rng.gauss(0, 0.04), width + rng.gauss(0, 0.04), 0, rng)
        return [np.concatenate([left, across]), down]

    return make


def _fours(page: Random) -> Maker:
    return _four(page) if page.random() < 0.6 else _closed_four(page)


def _nine(page: Random) -> Maker:
    wide = page.uniform(0.17, 0.32)
    straight = page.random() < 0.5
    deep = page.uniform(-0.05, 0.05) if straight else page.uniform(-0.05, 0.18)
    curl = page.uniform(-0.02, 0.08) if straight else page.uniform(0.1, 0.4)

    def make(rng: Random) -> list[Stroke]:
        ring = arc(wide, -0.72, wide, -40, -400 + rng.uniform(-30, 20), rng.uniform(0.85, 1.1))
        right = 2 * wide
        tail = [(right, -0.78), (right - 0.02, -0.3), (right * 0.7, deep), (right - curl * 1.4,
                deep - 0.06)]  # fmt: skip
        return [np.concatenate([ring, bow(tail, rng)])]

    return make


def _zero(page: Random) -> Maker:
    wide, falls = page.uniform(0.25, 0.4), page.random() < 0.2

    def make(rng: Random) -> list[Stroke]:
        start = rng.uniform(230, 310)
        ring = arc(wide, -0.5, wide, start, start + rng.uniform(330, 390), 0.5 / wide)
        low, high = (wide * 0.3, -0.1), (wide * 1.8, -0.92)
        if falls:
            low, high = (low[0], high[1]), (high[0], low[1])
        return [ring, line(*low, *high, rng)]

    return make


def _zed(page: Random) -> Maker:
    width, tall = page.uniform(0.4, 0.65), page.uniform(0.85, 1.1)

    def zed(rng: Random, height: float) -> list[Stroke]:
        body = bow([(0, -height), (width, -height), (0.02, 0), (width, 0)], rng, 0.02)
        y = -height * rng.uniform(0.42, 0.58)
        return [body, line(width * 0.2, y, width * 0.85, y + rng.gauss(0, 0.03), rng)]

    return lambda rng: zed(rng, 0.62 * tall)


def _ex(page: Random) -> Maker:
    size, touch = page.uniform(0.5, 0.7), page.uniform(-0.02, 0.05)

    def make(rng: Random) -> list[Stroke]:
        h, m = size, size * 0.42
        left = bow([(0, -h * 0.9), (m - touch, -h * 0.55), (m - touch, -h * 0.4), (0, -0.05)], rng)
        right = bow([(2 * m, -h), (m + touch, -h * 0.6), (m + touch, -h * 0.4), (2 * m, 0)], rng)
        return [left, right]

    return make


def _five(page: Random) -> Maker:
    width, gap = page.uniform(0.35, 0.6), page.uniform(-0.02, 0.14)
    roof = page.uniform(0.25, 0.6)

    def make(rng: Random) -> list[Stroke]:
        body = bow([(0.08, -0.93), (0.04, -0.58), (width * 0.6, -0.62), (width, -0.3),
                    (width * 0.6, -0.01), (0.0, -0.05)], rng)  # fmt: skip
        x = 0.08 + gap
        return [body, line(x, -0.96, x + roof, -1 + rng.gauss(0, 0.06), rng)]

    return make


def _eight(page: Random) -> Maker:
    top, low = page.uniform(0.17, 0.25), page.uniform(0.2, 0.3)

    def make(rng: Random) -> list[Stroke]:
        turn = rng.uniform(0, 360)
        middle = low + rng.gauss(0, 0.03)
        return [
            arc(middle, -1 + top, top, turn, turn + rng.uniform(330, 380), 1.05),
            arc(low, -low, low, -90, -90 + rng.uniform(330, 380), 1.0),
        ]

    return make


def _three(page: Random) -> Maker:
    width, nick = page.uniform(0.4, 0.6), page.uniform(0.45, 0.65)

    def make(rng: Random) -> list[Stroke]:
        roof = line(0, -1, width, -1 + rng.gauss(0, 0.03), rng)
        back = line(width, -1, width * 0.35, -nick, rng)
        bowl = [(width * 0.35, -nick), (width, -0.36), (width * 0.6, -0.01), (0, -0.06)]
        return [np.concatenate([roof, back, bow(bowl, rng)])]

    return make


FORMS: dict[str, tuple[float, Callable[[Random], Maker]]] = {
    "7": (0.28, _seven), "1": (0.26, _one), "4": (0.22, _fours), "9": (0.16, _nine),
    "0": (0.03, _zero), "z": (0.15, _zed), "x": (0.12, _ex), "5": (0.12, _five),
    "8": (0.05, _eight), "3": (0.06, _three),
}  # fmt: skip
"""For each sign: how many of a hundred hands write this form of it, and its maker of makers."""


def chosen(page: Random) -> dict[str, Maker]:
    """Return the forms that one page's hand writes; continental habits come together."""
    most = page.choice([0.5, 0.5, 0.8, 3.0])
    return {
        sign: form(page) for sign, (chance, form) in FORMS.items() if page.random() < chance * most
    }
