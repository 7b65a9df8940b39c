"""What a hurried pen does to a sign: ends that overshoot, corners cut, strokes run together.

All of it works on strokes (N, 2) in capitals' heights and keeps a sign readable.
"""

from dataclasses import dataclass
from itertools import pairwise
from random import Random

import numpy as np
from numpy.typing import NDArray

Stroke = NDArray[np.float32]
APART = set('=:÷≈≠ij°√∴∵½;!?%⇒±"Ξ')
"""Signs whose strokes are never run together: apart is what they are."""
_SMALL = set(".,·'°:;-")


@dataclass(frozen=True)
class Haste:
    """How hastily a line is written: chances and sizes, 0 for a careful hand."""

    overshoot: float
    rounding: int
    scatter: float
    joining: float
    linking: float
    reach: float = 0.7  # how far a link goes
    tails: float = 0.0  # strokes that lead into letters and out of them


def haste(rng: Random) -> Haste:
    """Draw how hasty a hand is: about half of all hands are careful, a tenth writes joined-up."""
    if rng.random() < 0.12:
        return Haste(
            overshoot=rng.choice([0.0, rng.uniform(0.02, 0.1)]), rounding=rng.choice([0, 1, 2]),
            scatter=0.0, joining=rng.choice([0.0, rng.uniform(0.1, 0.6)]),
            linking=rng.choice([0.0, rng.uniform(0.5, 1.0)]), reach=rng.uniform(0.7, 1.2),
            tails=rng.choice([0.0, rng.uniform(0.15, 0.45)]),
        )  # fmt: skip
    if rng.random() < 0.4:
        return Haste(0.0, 0, 0.0, 0.0, 0.0)
    return Haste(
        overshoot=rng.choice([0.0, rng.uniform(0.02, 0.1)]),
        rounding=rng.choice([0, 0, 0, 1, 2, 4]),
        scatter=rng.choice([0.0, rng.uniform(0.0, 0.05)]),
        joining=rng.choice([0.0, 0.0, rng.uniform(0.05, 0.5)]),
        linking=rng.choice([0.0, 0.0, 0.0, 0.0, rng.uniform(0.05, 0.6)]),
    )


def hurried(sign: str, strokes: list[Stroke], hand: Haste, rng: Random) -> list[Stroke]:
    """Return a sign's strokes as this hand hurries over them."""
    if sign in _SMALL:
        return strokes
    out = strokes
    if hand.joining and len(out) > 1 and sign not in APART:
        out = _joined(out, hand.joining, rng)
    if hand.scatter and len(out) > 1:
        out = [
            s + np.array([rng.gauss(0, hand.scatter), rng.gauss(0, hand.scatter)], np.float32)
            for s in out
        ]
    if hand.rounding:
        out = [_rounded(s, hand.rounding) for s in out]
    if hand.overshoot:
        out = [_overshot(s, hand.overshoot, rng) for s in out]
    return out


def _joined(strokes: list[Stroke], chance: float, rng: Random) -> list[Stroke]:
    """Run strokes together where the pen's way between them is short."""
    out = [strokes[0]]
    for stroke in strokes[1:]:
        way = stroke[0] - out[-1][-1]
        if float(np.hypot(*way)) < 0.75 and rng.random() < chance:
            out[-1] = np.concatenate([out[-1], stroke])
        else:
            out.append(stroke)
    return out


def _rounded(stroke: Stroke, times: int) -> Stroke:
    if len(stroke) < 4:
        return stroke
    out = stroke.copy()
    for _ in range(times):
        out[1:-1] = (out[:-2] + 2 * out[1:-1] + out[2:]) / 4
    return out


def _overshot(stroke: Stroke, reach: float, rng: Random) -> Stroke:
    """Let a stroke's ends run on and bend away."""
    if len(stroke) < 3:
        return stroke
    tips = [_tip(stroke[::-1], reach, rng), stroke, _tip(stroke, reach, rng)]
    return np.concatenate([tip for tip in tips if tip is not None])


def _tip(stroke: Stroke, reach: float, rng: Random) -> Stroke | None:
    """Return a point (1, 2) to which the end of a stroke runs on, or none."""
    way = stroke[-1] - stroke[-3]
    length = float(np.hypot(*way))
    if length < 1e-3 or rng.random() > 0.5:
        return None
    turn = rng.gauss(0, 0.5)
    c, s = np.cos(turn), np.sin(turn)
    bent = np.array([c * way[0] - s * way[1], s * way[0] + c * way[1]]) / length
    return np.asarray((stroke[-1] + bent * abs(rng.gauss(0, reach)))[None], np.float32)


def ends(sign: str, strokes: list[Stroke]) -> tuple[Stroke, Stroke]:
    """Return where the pen begins a sign and where it goes on to the next: no dot, no crossbar."""
    if len(strokes) == 1 or sign not in "ijtfx":
        return strokes[0][0], strokes[-1][-1]
    main = max(strokes, key=lambda s: float(np.ptp(s, axis=0).max()))
    return main[0], main[-1]


def tailed(sign: str, strokes: list[Stroke], reach: float, rng: Random) -> list[Stroke]:
    """Lead into a letter from the line's foot, and out of it, as in joined-up writing.

    Capitals get a lead-in at their beginning's own height, at times a curl.
    """
    first, last = ends(sign, strokes)
    out = list(strokes)
    size = reach * rng.uniform(0.6, 1.4)
    small = sign.islower()
    if rng.random() < (0.8 if small else 0.4):
        foot = rng.uniform(-0.12, 0.02) if small else float(first[1]) + rng.gauss(0.1, 0.12)
        start = np.array([first[0] - size, foot], np.float32)
        out.append(_swung(start, first, rng.uniform(0.05, 0.3), rng))
        if not small and rng.random() < 0.3:
            out.append(_curl(start, size * rng.uniform(0.2, 0.5), rng))
    if rng.random() < (0.8 if small else 0.25):
        low = float(last[1]) > -0.35
        goal = float(last[1]) - (rng.uniform(0.1, 0.5) if low else rng.uniform(-0.1, 0.1))
        end = np.array([last[0] + size, goal], np.float32)
        out.append(_swung(last, end, rng.uniform(0.05, 0.35), rng))
    return out


def _swung(start: Stroke, end: Stroke, sag: float, rng: Random) -> Stroke:
    """Return a stroke that hangs below its straight way."""
    t = np.linspace(0, 1, 8, dtype=np.float32)[:, None]
    way = end - start
    deep = sag * float(np.hypot(*way)) * rng.uniform(0.6, 1.4)
    return (start + way * t + np.array([0.0, deep], np.float32) * 4 * t * (1 - t)).astype(
        np.float32
    )


def _curl(at: Stroke, size: float, rng: Random) -> Stroke:
    """Return a small open bow that ends at a point."""
    turn = np.linspace(0, rng.uniform(2.0, 5.0), 12) * rng.choice([-1, 1])
    bow = np.stack([np.cos(turn) - 1, np.sin(turn)], 1) * size / 2
    return (at + bow).astype(np.float32)


def link(start: Stroke, end: Stroke, rng: Random, reach: float = 0.7) -> Stroke | None:
    """Return the pen's way from one sign's end to the next one's beginning, if it is short."""
    way = end - start
    length = float(np.hypot(*way))
    if not 0.02 < length < reach or way[0] < -0.15:
        return None
    sag = np.array([0.0, rng.uniform(0.0, 0.2) * length], np.float32)
    t = np.linspace(0, 1, 5, dtype=np.float32)[:, None]
    return (start + way * t + sag * 4 * t * (1 - t)).astype(np.float32)


def around(strokes: list[Stroke], from_x: float, rng: Random) -> list[Stroke]:
    """Return what people draw about a line: an underline, a frame about its end, braces, rules.

    `from_x` is where the part that is underlined or framed begins.
    """
    every = np.concatenate(strokes)
    (left, top), (right, low) = every.min(axis=0), every.max(axis=0)
    part = every[every[:, 0] >= from_x]
    if len(part) == 0:
        part = every
    x0, (y0, y1) = float(part[:, 0].min()), (float(part[:, 1].min()), float(part[:, 1].max()))
    roll = rng.random()
    if roll < 0.5:
        if rng.random() < 0.35:
            x0 = float(left)
        return _underlined(x0, float(right), y1 + rng.uniform(0.02, 0.35), rng)
    if roll < 0.75:
        return _framed(x0, float(right), y0, y1, rng)
    x = float(left) - rng.uniform(0.15, 0.8) if rng.random() < 0.5 else float(right) + rng.uniform(
        0.15, 0.8)  # fmt: skip
    over = rng.uniform(0.0, 0.5)
    start, end = float(top) - over, float(low) + over
    if rng.random() < 0.4:
        return [_way([(x, start), (x + rng.gauss(0, 0.04), end)], rng, 0.01)]
    return _brace(x, start, end, 1 if x > right else -1, rng)


def _way(points: list[tuple[float, float]], rng: Random, shake: float = 0.03) -> Stroke:
    """Return straight pieces through points, not quite straight."""
    out = []
    for (xa, ya), (xb, yb) in pairwise(points):
        t = np.linspace(0, 1, 6, dtype=np.float32)
        bend = rng.gauss(0, shake) * np.sin(np.float32(np.pi) * t)
        out.append(np.stack([xa + (xb - xa) * t + bend * (ya != yb) * (xa == xb),
                             ya + (yb - ya) * t + bend * (xa != xb)], 1))  # fmt: skip
    return np.concatenate(out).astype(np.float32)


def _underlined(x0: float, x1: float, y: float, rng: Random) -> list[Stroke]:
    x0, x1 = x0 + rng.gauss(0, 0.15), x1 + rng.gauss(0.05, 0.2)
    if rng.random() < 0.1:
        t = np.linspace(0, 1, max(8, int(12 * (x1 - x0))), dtype=np.float32)
        wave = rng.uniform(0.04, 0.1) * np.sin(t * (x1 - x0) * rng.uniform(8, 16))
        return [np.stack([x0 + (x1 - x0) * t, y + wave], 1).astype(np.float32)]
    slope = rng.gauss(0, 0.02) * (x1 - x0)
    lines = [_way([(x0, y), (x1, y + slope)], rng, 0.05)]
    if rng.random() < 0.45:
        gap = rng.uniform(0.08, 0.25)
        lines.append(
            _way(
                [(x0 + rng.gauss(0, 0.15), y + gap), (x1 + rng.gauss(0, 0.2), y + gap + slope)],
                rng,
                0.05,
            )
        )
    return lines


def _framed(x0: float, x1: float, y0: float, y1: float, rng: Random) -> list[Stroke]:
    a, b, c, d = (rng.uniform(0.06, 0.4) for _ in range(4))
    x0, x1, y0, y1 = x0 - a, x1 + b, y0 - c, y1 + d
    if rng.random() < 0.2:
        t = np.linspace(0, 2 * np.pi * rng.uniform(0.97, 1.08), 40)
        start = rng.uniform(0, 6.3)
        x = (x0 + x1) / 2 + (x1 - x0) * 0.56 * np.cos(t + start)
        y = (y0 + y1) / 2 + (y1 - y0) * 0.62 * np.sin(t + start)
        return [np.stack([x, y], 1).astype(np.float32)]
    off = lambda: rng.gauss(0, 0.05)  # noqa: E731
    corners = [(x0, y0), (x1 + off(), y0 + off()), (x1, y1), (x0 + off(), y1 + off()), (x0, y0)]
    if rng.random() < 0.5:
        return [_way(corners, rng)]
    return [_way(list(pair), rng) for pair in pairwise(corners)]


def _brace(x: float, top: float, low: float, way: int, rng: Random) -> list[Stroke]:
    """Return a brace over the line's height and often beyond: of it, a line sees a piece."""
    wide, reach = rng.uniform(0.1, 0.3) * way, low - top
    top, low = top - rng.choice([0, rng.uniform(0, 1.0)]) * reach, low + rng.choice(
        [0, rng.uniform(0, 1.0)]) * reach  # fmt: skip
    top, low = max(top, -1.9), min(low, 1.1)
    mid = (top + low) / 2
    t = np.linspace(0, 1, 10, dtype=np.float32)
    upper = np.stack([x + wide * np.tanh(4 * t - 1.2), top + (mid - top) * t], 1)
    upper[-1, 0] = x + 2 * wide
    lower = np.stack([x + wide * np.tanh(4 * (1 - t) - 1.2), mid + (low - mid) * t], 1)
    lower[0, 0] = x + 2 * wide
    return [np.concatenate([upper, lower]).astype(np.float32)]
