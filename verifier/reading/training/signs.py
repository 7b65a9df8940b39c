"""Signs drawn from lines and arcs: those that few collections hold, and those that vary in length.

Each function returns strokes (N, 2) in the library's frame: x from 0, baseline 0, capitals to −1.
"""

from collections.abc import Callable
from random import Random

import numpy as np
from numpy.typing import NDArray

Strokes = list[NDArray[np.float32]]


def _points(*xy: tuple[float, float]) -> NDArray[np.float32]:
    return np.array(xy, np.float32)


def line(
    x0: float, y0: float, x1: float, y1: float, rng: Random, bend: float = 0.03
) -> NDArray[np.float32]:
    """Return a nearly straight stroke."""
    t = np.linspace(0, 1, 7, dtype=np.float32)
    reach = float(np.hypot(x1 - x0, y1 - y0))
    sag = rng.gauss(0, bend) * reach
    wave = rng.gauss(0, bend / 3) * reach
    off = sag * 4 * t * (1 - t) + wave * np.sin(6.3 * t)
    nx, ny = (-(y1 - y0) / (reach or 1), (x1 - x0) / (reach or 1))
    return np.stack([x0 + (x1 - x0) * t + nx * off, y0 + (y1 - y0) * t + ny * off], 1)


def arc(
    cx: float, cy: float, r: float, start: float, end: float, squash: float = 1.0
) -> NDArray[np.float32]:
    """Return an arc; angles in degrees, clockwise on the page from +x."""
    a = np.radians(np.linspace(start, end, 18))
    return np.stack([cx + r * np.cos(a), cy + r * squash * np.sin(a)], 1).astype(np.float32)


def minus(rng: Random) -> Strokes:
    """Return a minus of any length, at any reasonable height."""
    length, y = rng.uniform(0.16, 0.95), -rng.uniform(0.25, 0.6)
    return [line(0, y, length, y + rng.gauss(0, 0.05) * length, rng)]


def equals(rng: Random) -> Strokes:
    """Return an equals sign with bars of their own lengths."""
    length, gap, y = rng.uniform(0.25, 0.9), rng.uniform(0.13, 0.38), -rng.uniform(0.2, 0.5)
    shift = rng.gauss(0, 0.08)
    return [
        line(0, y - gap, length, y - gap + rng.gauss(0, 0.03), rng),
        line(shift, y, shift + length * rng.uniform(0.75, 1.3), y + rng.gauss(0, 0.03), rng),
    ]


def plus(rng: Random) -> Strokes:
    """Return a plus with its cross off the middle."""
    w, h, y = rng.uniform(0.25, 0.8), rng.uniform(0.25, 0.8), -rng.uniform(0.3, 0.5)
    x = w * rng.uniform(0.35, 0.65)
    up = h * rng.uniform(0.35, 0.65)
    return [line(0, y, w, y, rng), line(x, y - up, x + rng.gauss(0, 0.04), y - up + h, rng)]


def dot(rng: Random, y: float = -0.03) -> Strokes:
    """Return a dot, or the short dash that a hasty pen leaves."""
    length = rng.choice([0.0, 0.02, 0.05, 0.09])
    y += rng.gauss(0, 0.05)
    return [line(0, y, length + 0.004, y + rng.gauss(0, 0.4) * length, rng)]


def middle_dot(rng: Random) -> Strokes:
    """Return a product's dot."""
    return dot(rng, -rng.uniform(0.22, 0.55))


def comma(rng: Random) -> Strokes:
    """Return a comma."""
    h = rng.uniform(0.12, 0.35)
    return [line(0.06, -0.08 + rng.gauss(0, 0.04), rng.gauss(0, 0.05), -0.08 + h, rng, 0.12)]


def cross(rng: Random) -> Strokes:
    """Return a product's cross."""
    s, y = rng.uniform(0.22, 0.55), -rng.uniform(0.3, 0.45)
    h = s / 2
    return [line(0, y - h, s, y + h, rng), line(s, y - h, rng.gauss(0, 0.03), y + h, rng)]


def slash(rng: Random) -> Strokes:
    """Return a slash of any slope."""
    h = rng.uniform(0.8, 1.5)
    w = h * rng.uniform(0.15, 0.7)
    low = rng.uniform(0, 0.3)
    return [line(w, low - h, 0, low, rng)]


def bracket(sign: str) -> Callable[[Random], Strokes]:
    """Return the maker of a bracket of any height."""

    def make(rng: Random) -> Strokes:
        h = rng.uniform(0.85, 1.6)
        low = rng.uniform(0.05, 0.4) * h * 0.6
        w = rng.uniform(0.06, 0.3) * h
        if sign in "[]":
            w = max(w, 0.14)
            strokes = _points((w, low - h), (0, low - h), (0, low), (w, low))
            path = [strokes]
        else:
            t = np.linspace(-1, 1, 12, dtype=np.float32)
            power = rng.uniform(1.6, 3)
            skew = rng.gauss(0, 0.1) * w
            x = w * np.abs(t) ** power + skew * t
            path = [np.stack([x - x.min(), low - h / 2 + t * h / 2], 1)]
        if sign in ")]":
            top = max(float(p[:, 0].max()) for p in path)
            path = [
                p * np.array([-1, 1], np.float32) + np.array([top, 0], np.float32) for p in path
            ]
        return path

    return make


def arrow(dx: float, dy: float) -> Callable[[Random], Strokes]:
    """Return the maker of a straight arrow."""

    def make(rng: Random) -> Strokes:
        length = rng.uniform(0.5, 1.7) if dx and not dy else rng.uniform(0.6, 1.4)
        x1, y1 = dx * length, dy * length
        shaft = line(0, 0, x1, y1, rng)
        head = rng.uniform(0.12, 0.35)
        spread = rng.uniform(0.35, 0.8)
        along = np.arctan2(y1, x1)
        tips = [
            (x1 - head * np.cos(along + s), y1 - head * np.sin(along + s))
            for s in (spread, -spread * rng.uniform(0.7, 1.3))
        ]
        heads = [_points(tips[0], (x1, y1), tips[1])]
        if rng.random() < 0.3:
            heads = [_points(tips[0], (x1, y1)), _points((x1, y1), tips[1])]
        return _settled([shaft, *heads], -rng.uniform(0.3, 0.6))

    return make


def turning(clockwise: bool) -> Callable[[Random], Strokes]:
    """Return the maker of a turning arrow: an arc of 150° to 330° with a head at its end."""

    def make(rng: Random) -> Strokes:
        r, squash = rng.uniform(0.28, 0.6), rng.uniform(0.6, 1.1)
        sweep = rng.uniform(150, 335)
        start = rng.uniform(0, 360) if sweep > 250 else rng.choice([180, 90, 270, 225, 135, 200])
        end = start + (sweep if clockwise else -sweep)
        body = arc(0, 0, r, start, end, squash)
        tip = body[-1]
        way = tip - body[-4]
        along = np.arctan2(way[1], way[0])
        head, spread = rng.uniform(0.09, 0.34), rng.uniform(0.4, 0.9)
        sides = [
            tip - head * np.array([np.cos(along + s), np.sin(along + s)], np.float32)
            for s in (spread, -spread)
        ]
        return _settled(
            [body, np.stack([sides[0], tip, sides[1]]).astype(np.float32)],
            -rng.uniform(0.35, 0.6),
        )

    return make


def _settled(strokes: Strokes, centre: float) -> Strokes:
    every = np.concatenate(strokes)
    low, high = every.min(axis=0), every.max(axis=0)
    move = np.array([-low[0], centre - (low[1] + high[1]) / 2], np.float32)
    return [s + move for s in strokes]


def double_arrow(rng: Random) -> Strokes:
    """Return an arrow of consequence."""
    w, g, y = rng.uniform(0.5, 1.1), rng.uniform(0.08, 0.16), -rng.uniform(0.3, 0.5)
    h = g + rng.uniform(0.1, 0.25)
    tip = w + rng.uniform(0.02, 0.2)
    return [
        line(0, y - g, w, y - g, rng),
        line(0, y + g, w, y + g, rng),
        _points((w - h * 0.6, y - h), (tip, y), (w - h * 0.6, y + h)),
    ]


def dots_three(up: bool) -> Callable[[Random], Strokes]:
    """Return the maker of the three dots of 'therefore' (up) or 'because'."""

    def make(rng: Random) -> Strokes:
        w, h = rng.uniform(0.25, 0.6), rng.uniform(0.2, 0.5)
        y = -rng.uniform(0.02, 0.2)
        spots = [(0.0, y), (w, y), (w / 2, y - h)] if up else [(0, y - h), (w, y - h), (w / 2, y)]
        return [
            line(x, v + rng.gauss(0, 0.02), x + rng.choice([0.005, 0.04]), v, rng) for x, v in spots
        ]

    return make


def tick(rng: Random) -> Strokes:
    """Return a tick."""
    w, h = rng.uniform(0.4, 1.0), rng.uniform(0.6, 1.3)
    x = w * rng.uniform(0.15, 0.4)
    return [
        np.concatenate([
            line(0, -h * rng.uniform(0.25, 0.5), x, 0, rng), line(x, 0, w, -h, rng, 0.08)
        ])
    ]  # fmt: skip


def waves(rng: Random) -> Strokes:
    """Return an 'about equal'."""
    w, gap, y = rng.uniform(0.35, 0.8), rng.uniform(0.15, 0.3), -rng.uniform(0.25, 0.4)
    t = np.linspace(0, 1, 12, dtype=np.float32)
    amp = rng.uniform(0.055, 0.12)
    return [
        np.stack([w * t, y - k * gap - amp * np.sin(6.3 * t)], 1).astype(np.float32) for k in (0, 1)
    ]


def degree(rng: Random) -> Strokes:
    """Return a degree's ring."""
    r = rng.uniform(0.06, 0.17)
    start = rng.uniform(0, 360)
    ring = arc(r, -rng.uniform(0.75, 1.1), r, start, start + rng.uniform(300, 400), 1.1)
    return [ring - np.array([ring[:, 0].min(), 0], np.float32)]


def prime(rng: Random) -> Strokes:
    """Return a prime."""
    return [line(rng.uniform(0, 0.12), -1.15, 0, -1.15 + rng.uniform(0.15, 0.35), rng)]


def sigma(rng: Random) -> Strokes:
    """Return a capital sigma of straight strokes."""
    w, h = rng.uniform(0.5, 0.9), rng.uniform(0.9, 1.4)
    x = w * rng.uniform(0.3, 0.65)
    low = rng.uniform(0, 0.15)
    top = low - h
    mid = top + h * rng.uniform(0.4, 0.6)
    serif = rng.choice([0.0, 0.0, 0.12])
    path = [(w, top + serif), (w, top), (rng.gauss(0, 0.04), top), (x, mid)]
    path += [(rng.gauss(0, 0.04), low), (w * rng.uniform(0.9, 1.2), low)]
    path += [(w, low - serif)] if serif else []
    return [_points(*path)]


MAKERS: dict[str, tuple[float, Callable[[Random], Strokes]]] = {
    "-": (0.6, minus), "=": (0.6, equals), "+": (0.5, plus), ".": (0.6, dot),
    "·": (0.8, middle_dot), ",": (0.6, comma), "×": (0.6, cross), "/": (0.5, slash),
    "(": (0.5, bracket("(")), ")": (0.5, bracket(")")), "[": (0.5, bracket("[")),
    "]": (0.5, bracket("]")), "→": (0.6, arrow(1, 0)), "←": (0.6, arrow(-1, 0)),
    "↑": (0.6, arrow(0, -1)), "↓": (0.6, arrow(0, 1)), "↗": (0.6, arrow(0.7, -0.7)),
    "↘": (0.6, arrow(0.7, 0.7)), "↖": (0.6, arrow(-0.7, -0.7)), "↙": (0.6, arrow(-0.7, 0.7)),
    "↻": (0.75, turning(True)), "↺": (0.75, turning(False)), "⇒": (0.6, double_arrow),
    "∴": (0.7, dots_three(True)), "∵": (1.0, dots_three(False)), "✓": (1.0, tick),
    "≈": (0.6, waves), "°": (0.7, degree), "'": (0.5, prime), "Σ": (0.4, sigma),
}  # fmt: skip
"""For each sign: how often a writer's own is left for a drawn one, and its maker."""
